"""Room on the base: whether ink and its shoulders find it, and what would give it to them."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Protocol

import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon, box

from ..artwork.artwork import Artwork
from ..errors import JobError
from ..findings import Finding
from ..job.sections.placing import BaseSection, LayoutSection
from ..plane.overlays import without
from .centring import turned_about_middle
from .fitting import fit_to_base, size_of

TOO_LARGE = "artwork too large"
NEAR_EDGE = "ink near the edge"

_CENTRES = ("bounds", "circle", "area", "page")


class OnBase(Protocol):
    """Ink on its base, paper frame, mm, and its magnification."""

    @property
    def inked(self) -> MultiPolygon:
        """The ink."""

    @property
    def base(self) -> Polygon:
        """The base."""

    @property
    def scale(self) -> float:
        """How many times as large as drawn the ink is."""


def beyond(laid: OnBase) -> shapely.Geometry | None:
    """Return the ink that reaches over the base's edge, or None."""
    outside = MultiPolygon() if laid.base.covers(laid.inked) else without(laid.inked, laid.base)
    return outside if outside.area > 1e-9 else None


def near_edge(laid: OnBase, foot: float, remedy: str) -> list[Finding]:
    """Return the finding that ink lies so near the edge that its shoulder, ``foot`` mm wide, has no room to stand."""
    distance = laid.base.exterior.distance(laid.inked)
    # A base that follows ink keeps its margin to a thousandth of a millimetre.
    if distance >= foot - 1e-3:
        return []
    return [
        Finding(
            kind=NEAR_EDGE,
            severity="warns",
            stage="layout",
            message=f"Ink comes to {distance:.2f} mm from the base's edge; its shoulder needs {foot:.2f} mm to stand",
            remedy=remedy,
            place=shapely.shortest_line(laid.base.exterior, laid.inked).buffer(0.5),
            measured=distance,
            limit=foot,
        )
    ]


def without_ends(
    findings: Iterable[Finding], inked: MultiPolygon, base: Polygon, *, upward: bool
) -> tuple[Finding, ...]:
    """Return findings without those that ink is near an end of a base that goes on there: a roller's repeat.

    ``upward``: it goes on up the paper rather than to the side. ``inked``, ``base``: mm, paper frame.
    """
    left, bottom, right, top = base.bounds
    far = right - left + top - bottom
    sides = box(left, bottom - far, right, top + far) if upward else box(left - far, bottom, right + far, top)
    distance = sides.exterior.distance(inked)
    return tuple(each for each in findings if each.kind != NEAR_EDGE or distance < (each.limit or 0.0) - 1e-3)


def other_place(
    artwork: Artwork, layout: LayoutSection, section: BaseSection, base: Polygon, scale: float
) -> dict[str, str]:
    """Return the settings of the nearest other place at which artwork of this size fits the base; none if none does.

    Other middles are tried as it is turned, then all at a quarter turn; that only where turning keeps its size.
    """
    turns = (0.0, 90.0) if layout.size_by in ("page", "drawn") else (0.0,)
    round_base = section.outline in ("round", "ellipse")
    for more in turns:
        turn = layout.turn + more if layout.turn + more <= 360.0 else layout.turn + more - 360.0
        for centre in dict.fromkeys((layout.centre, *_CENTRES)):
            tried = LayoutSection(centre=centre, mirror=layout.mirror)
            matrix = turned_about_middle(artwork, tried, turn, round_base=round_base)
            if base.covers(affinity.affine_transform(artwork.inked, [scale * part for part in matrix])):
                set_to = {} if centre == layout.centre else {"layout.centre": centre}
                return set_to | ({"layout.turn": f"{turn:g}"} if more else {})
    return {}


def too_large(
    laid: OnBase, centred: MultiPolygon, layout: LayoutSection, outside: shapely.Geometry, other: dict[str, str]
) -> Finding:
    """Return the finding that ink reaches over the edge: where else it fits, or how large it would."""
    width, height = size_of(centred)
    governing = height if layout.size_by == "height" else width
    try:
        fitting = fit_to_base(centred, laid.base, layout.margin)
        fits = f"with a margin of {layout.margin:g} mm it fits at {fitting * width:.2f} x {fitting * height:.2f} mm"
        remedy = "Set layout.size_by=fit, or use a larger base"
    except JobError as no_room:
        fitting, fits, remedy = 0.0, str(no_room), "Use a larger base, or another layout.centre"
    # Rounded down: what is advised has to fit.
    if (wide := math.floor(10 * fitting * width) / 10) >= 1.0:
        remedy = f"Set layout.size_by=fit, or layout.size_by=width and layout.width={wide:g}, or use a larger base"
    if other:
        named = " and ".join(f"{path}={value}" for path, value in other.items())
        fits, remedy = f"it fits at this size with {named}", f"Set {named}, or else {remedy[0].lower()}{remedy[1:]}"
    return Finding(
        kind=TOO_LARGE,
        severity="blocks",
        stage="layout",
        message=(
            f"The ink is {laid.scale * width:.2f} x {laid.scale * height:.2f} mm and reaches over the base's edge; "
            + fits
        ),
        remedy=remedy,
        place=outside,
        measured=laid.scale * governing,
        limit=fitting * governing,
    )

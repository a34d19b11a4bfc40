"""Placing: the artwork at its real size in the middle of its base, and what stands against lying so."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon

from ..artwork.artwork import Artwork, Code
from ..errors import ArtworkError, JobError
from ..findings import Finding
from ..job.sections.parts import DieSection
from ..job.sections.placing import BaseSection, LayoutSection
from ..job.sections.printing import PrinterSection
from ..plane.regions import sound_parts
from .bases import follow_ink, outline_base
from .beds import examine_on_bed
from .fitting import SMALLEST_INK, fit_to_base, size_of, wanted_scale

Matrix = tuple[float, float, float, float, float, float]

TOO_LARGE = "artwork too large"
NEAR_EDGE = "ink near the edge"


@dataclass(frozen=True)
class Layout:
    """Artwork placed on its base; paper frame, mm, origin in the middle of the base.

    ``matrix`` takes the artwork's page to this frame, in shapely's six-number affine form; ``scale`` is its
    magnification. ``findings`` are the layout's own; those of the artwork stay with the artwork. ``plain`` is the ink
    that takes no texture; ``codes`` are the codes in the artwork, as they lie and as fine as they are here.
    """

    inked: MultiPolygon
    base: Polygon
    scale: float
    matrix: Matrix
    findings: tuple[Finding, ...] = ()
    plain: MultiPolygon = field(default_factory=MultiPolygon)
    codes: tuple[Code, ...] = ()


def lay_out(
    artwork: Artwork, layout: LayoutSection, section: BaseSection, die: DieSection, printer: PrinterSection
) -> Layout:
    """Size, turn and centre the artwork on the base that a section describes.

    The middle of the turned artwork (of its bounds, its area, or its smallest enclosing circle) comes to the origin,
    which is the middle of the base: of its bounds, or, for a base that follows the artwork, that same middle of the
    artwork. Width and height are those of the ink as it lies on paper, after turning. Fitted artwork comes as close
    to the base's edge as the margin allows: ``layout.margin``, or ``base.margin`` for a base that follows it; such a
    base then fills ``base.width`` by ``base.height`` one way or the other.

    Raises :class:`~stampwright.errors.ArtworkError` when there is no ink, and
    :class:`~stampwright.errors.JobError` when the base has no usable outline or the margin leaves no room on it.
    """
    if artwork.inked.is_empty:
        raise ArtworkError(f"{artwork.name or 'the artwork'} holds no ink: there is nothing to print")
    turned = _turned_about_middle(artwork.inked, layout.centre, layout.turn)
    centred = _moved(artwork.inked, turned)
    width, height = size_of(centred)
    if not SMALLEST_INK < max(width, height) < math.inf:
        raise ArtworkError(f"{artwork.name or 'the artwork'} has ink of no size: there is nothing to print")
    set_base = None if section.outline == "follow" else outline_base(section)
    scale = wanted_scale(layout, section, centred, set_base)
    a, b, d, e, x, y = (scale * value for value in turned)
    inked = _moved(artwork.inked, (a, b, d, e, x, y))
    base, findings = follow_ink(inked, section) if set_base is None else (set_base, [])
    plain = _moved(artwork.plain, (a, b, d, e, x, y))
    codes = tuple(code.moved((a, b, d, e, x, y)) for code in artwork.codes)
    laid = Layout(inked=inked, base=base, scale=scale, matrix=(a, b, d, e, x, y), plain=plain, codes=codes)
    if set_base is not None:
        findings = _check_room(laid, centred, layout, die)
    off_bed = examine_on_bed("base", shapely.get_coordinates(base.exterior), 0.0, printer, stage="layout")
    return replace(laid, findings=(*findings, *off_bed))


def _turned_about_middle(inked: MultiPolygon, centre: str, rotation: float) -> Matrix:
    """Return the matrix that turns the artwork and brings its middle to the origin, at the page's own size."""
    hull = inked.convex_hull
    cosine, sine = _cosine_and_sine(rotation)
    match centre:
        case "bounds":
            left, bottom, right, top = affinity.affine_transform(hull, (cosine, -sine, sine, cosine, 0, 0)).bounds
            x, y = (left + right) / 2, (bottom + top) / 2
            return (cosine, -sine, sine, cosine, -x, -y)
        case "area":
            middle = inked.centroid
        case _:
            middle = shapely.minimum_bounding_circle(hull).centroid
    x, y = cosine * middle.x - sine * middle.y, sine * middle.x + cosine * middle.y
    return (cosine, -sine, sine, cosine, -x, -y)


def _cosine_and_sine(degrees: float) -> tuple[float, float]:
    # Quarter turns are exact, so that upright artwork stays upright to the last bit.
    quarters, rest = divmod(degrees, 90.0)
    if rest == 0.0:
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]
    return math.cos(math.radians(degrees)), math.sin(math.radians(degrees))


def _moved(inked: MultiPolygon, matrix: Matrix) -> MultiPolygon:
    return sound_parts(affinity.affine_transform(inked, matrix))


def _check_room(laid: Layout, centred: MultiPolygon, layout: LayoutSection, die: DieSection) -> list[Finding]:
    """Return what is wrong with how the ink lies on a base of set size."""
    inked, base = laid.inked, laid.base
    outside = MultiPolygon() if base.covers(inked) else inked.difference(base)
    if outside.area > 1e-9:
        return [_too_large(laid, centred, layout, outside)]
    foot = (die.relief + die.dressing) * math.tan(math.radians(die.shoulder))
    distance = base.exterior.distance(inked)
    if distance >= foot - 1e-6:
        return []
    return [
        Finding(
            kind=NEAR_EDGE,
            severity="warns",
            stage="layout",
            message=f"Ink comes to {distance:.2f} mm from the base's edge; its shoulder needs {foot:.2f} mm to stand",
            remedy="Raise layout.margin, use a larger base, make the artwork smaller, or lower die.shoulder",
            place=shapely.shortest_line(base.exterior, inked).buffer(0.5),
            measured=distance,
            limit=foot,
        )
    ]


def _too_large(laid: Layout, centred: MultiPolygon, layout: LayoutSection, outside: shapely.Geometry) -> Finding:
    width, height = size_of(centred)
    governing = height if layout.size_by == "height" else width
    try:
        fitting = fit_to_base(centred, laid.base, layout.margin)
        fits = f"with a margin of {layout.margin:g} mm it fits at {fitting * width:.2f} x {fitting * height:.2f} mm"
    except JobError as no_room:
        fitting, fits = 0.0, str(no_room)
    smaller = f", make the artwork {fitting * width:.0f} mm wide" if fitting * width >= 1.0 else ""
    return Finding(
        kind=TOO_LARGE,
        severity="blocks",
        stage="layout",
        message=(
            f"The ink is {laid.scale * width:.2f} x {laid.scale * height:.2f} mm and reaches over the base's edge; "
            + fits
        ),
        remedy=f"Set layout.size_by=fit{smaller}, or use a larger base",
        place=outside,
        measured=laid.scale * governing,
        limit=fitting * governing,
    )

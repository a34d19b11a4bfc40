"""Centres: whether a stamp that asks too much would print with its artwork set on the base by another centre."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from shapely import affinity
from shapely.geometry import MultiPolygon

from ...artwork import Artwork
from ...errors import ArtworkError, JobError, PressError
from ...job.sections.parts import DieSection
from ...job.sections.placing import BaseSection, LayoutSection
from ...job.sections.printing import PrinterSection
from ...layout import TOO_LARGE, fit_to_base, lay_out, outline_base
from ...looks.numbers import newtons
from ..faces.printed import laid_anew
from ..faces.seen import outlines_in
from .advice import Design
from .hands import HandForce
from .push_curve import force_to_print

CENTRES = ("level", "area", "circle", "bounds")
"""Centres that ink can be laid by without its page."""

_FITTED = 0.02
"""Ink that comes this near to filling its base, as a share, was fitted to it."""


@dataclass(frozen=True)
class Centre:
    """A centre of the artwork by which the base's middle prints it whole: its name, and the push that does, N."""

    name: str
    force: float

    def in_words(self, force: float | None) -> str:
        """Say what to set, beside the push that it takes as it is, N, None where none does."""
        now = "no push does" if force is None else f"it takes {newtons(force)}"
        return f"Set layout.centre = {self.name}: then about {newtons(self.force)} print it whole, where now {now}."


def easier_centre(design: Design, hand: HandForce, layout: LayoutSection, base: BaseSection) -> Centre | None:
    """Return the centre with which a hand prints a face whole, that moves its ink least; None where none does.

    For each centre the ink is laid on its base anew, at the size that it then comes to, and pushed there. Only centres
    are looked at that leave the ink on the base, and only for a stamp that is free to tilt, in no gauge, where it has
    to stay, and on a base that does not move with its ink.
    """
    conditions = design.conditions
    if not conditions.free or not math.isinf(conditions.rests_at) or base.outline == "follow":
        return None
    outlines = outlines_in(design.face) if design.face.outlines is None else design.face.outlines
    laid = [(name, _laid_by(name, outlines, layout, base)) for name in CENTRES if name != layout.centre]
    ways = [(name, matrix) for name, matrix in laid if matrix is not None]
    middle = outlines.convex_hull.centroid
    for name, matrix in sorted(ways, key=lambda way: affinity.affine_transform(middle, way[1]).distance(middle)):
        try:
            force = force_to_print(replace(design, face=laid_anew(design.face, outlines, matrix)).rig(), design.ink)
        except PressError:
            # It would tip over.
            continue
        if force is not None and force <= hand.newtons:
            return Centre(name, force)
    return None


def _laid_by(name: str, inked: MultiPolygon, layout: LayoutSection, base: BaseSection) -> list[float] | None:
    """Return the way from ink as it lies to where a centre brings it, as shapely takes it; None if it has no room."""
    size_by = layout.size_by
    try:
        outline = outline_base(base)
        if size_by in ("fit", "drawn"):
            # What comes to the margin as it lies was fitted, and is again.
            fits = fit_to_base(inked, outline, layout.margin)
            size_by = "fit" if abs(fits - 1.0) < _FITTED else "page"
        turned = replace(layout, centre=name, size_by=size_by, turn=0.0, turn_to_fit=False, mirror=False)
        found = lay_out(Artwork(inked, (1.0, 1.0)), turned, base, DieSection(), PrinterSection())
    except (JobError, ArtworkError):
        return None
    return None if any(finding.kind == TOO_LARGE for finding in found.findings) else list(found.matrix)

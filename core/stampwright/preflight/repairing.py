"""Repair of artwork: thicken only what is thin, open only what is too narrow, and leave the rest untouched."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import MultiPolygon

from ..findings import Finding
from ..job.kinds import FLOODING_COUNTER, NARROW_GAP, SPECK, SPIKE, THIN_LINE
from ..job.sections.preflight import PreflightSection
from .limits import PrintLimits
from .mending.choosing import Chosen, choose
from .mending.rounds import mend_once
from .mending.tubes import GRID, polygons_of
from .widths.edges import Floats

MENDED = "mended"
"""Kind of the notes that say what repair did."""

MOST_ROUNDS = 12
"""Repair gives up after this many rounds; what is left is found by examining the result."""

OPENING_ROUNDS = 1
"""In later rounds nothing is cut any more: what is still too narrow is filled, so that repair comes to an end."""

MOST_NEAR = 100
"""When fewer places than this were mended, the next round looks only near them."""


@dataclass(frozen=True, eq=False)
class Repair:
    """Mended artwork, paper frame, mm.

    ``inked``: the artwork as mended. ``added`` and ``removed``: what ink repair put in and took out. ``findings``:
    notes that say how much.
    """

    inked: MultiPolygon
    added: MultiPolygon
    removed: MultiPolygon
    findings: tuple[Finding, ...]


def repair(
    inked: MultiPolygon,
    wanted: PreflightSection,
    limits: PrintLimits,
    at: Sequence[tuple[float, float]] | None = None,
) -> Repair:
    """Mend what examining the ink finds, as far as the ``repair_...`` figures that are wanted ask for it.

    ``at``: points, mm, paper frame, as :func:`~.mending.choosing.spot_of` takes them from findings; then only what is
    found there is mended, and what no longer is anything is passed over.

    Lines are widened along their middle to the warning limit where there is room beside them, else to what the printer
    lays at least. Gaps and counters are opened along their middle where the ink beside them can spare it; where it
    cannot, they are filled, as the spread would. Specks grow to the size that holds or are dropped. Points lose the
    end that is a hair (under half of what the printer lays) and are blunted to what it lays at least. Everything else
    keeps its outline, to a hundred-thousandth of a millimetre.
    """
    # Snapping to a grid can divide zero by zero inside the geometry library, to no effect.
    with np.errstate(invalid="ignore", divide="ignore"):
        chosen = None if at is None else choose(inked, limits, at)
        mended = _mended(inked, wanted, limits, chosen)
        if mended is inked:
            return Repair(mended, MultiPolygon(), MultiPolygon(), ())
        before = shapely.set_precision(inked, GRID)
        added, removed = polygons_of(mended.difference(before)), polygons_of(before.difference(mended))
    return Repair(mended, added, removed, tuple(_notes(added, removed)))


def can_mend(finding: Finding, wanted: PreflightSection) -> bool:
    """Whether repair may take a finding on, as far as the ``repair_...`` figures that are wanted ask for it."""
    asked_for = {
        THIN_LINE: wanted.repair_lines,
        SPIKE: wanted.repair_spikes,
        NARROW_GAP: wanted.repair_gaps,
        FLOODING_COUNTER: wanted.repair_gaps,
        SPECK: wanted.repair_specks != "keep",
    }
    return finding.severity != "notes" and finding.place is not None and asked_for.get(finding.kind, False)


def _mended(inked: MultiPolygon, wanted: PreflightSection, limits: PrintLimits, chosen: Chosen | None) -> MultiPolygon:
    """Mend in rounds until nothing is found to mend; the same object when there never was."""
    near: Floats | None = None
    for turn in range(MOST_ROUNDS):
        # Fillings grow from round to round: two bulging edges can need a larger disc than their gap is wide.
        filling = 1.0 + (turn - OPENING_ROUNDS) / 2 if turn >= OPENING_ROUNDS else 0.0
        inked, touched = mend_once(inked, wanted, limits, near=near, filling=filling, chosen=chosen)
        if not len(touched):
            break
        # Far enough to see both ends of a short taper there.
        near = touched + 4 * limits.line_warns * np.array([-1, -1, 1, 1]) if len(touched) < MOST_NEAR else None
    return inked


def _notes(added: MultiPolygon, removed: MultiPolygon) -> Iterator[Finding]:
    for region, what, sign in ((added, "added", 1.0), (removed, "removed", -1.0)):
        if not region.is_empty:
            count = len(region.geoms)
            yield Finding(
                kind=MENDED,
                severity="notes",
                stage="preflight",
                message=f"Repair {what} {region.area:.2f} mm² of ink in {count} place{'s' if count > 1 else ''}",
                remedy="Look at the proof; draw it yourself where repair chose otherwise",
                place=region,
                measured=sign * region.area,
                unit="mm²",
            )

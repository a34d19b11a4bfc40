"""Repair of artwork: the smallest change of the ink after which lines and gaps print, and the rest untouched."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LineString, MultiPolygon

from ..findings import Finding
from ..job.kinds import FLOODING_COUNTER, NARROW_GAP, SPECK, SPIKE, THIN_LINE
from ..job.sections.preflight import PreflightSection
from ..plane.overlays import common, without
from ..plane.repeats import Repeat
from .limits import PrintLimits
from .mending.choosing import choose
from .mending.order import mend
from .mending.redrawing import redrawn_by_middle_lines
from .mending.tubes import MENDING_GRID, polygons_of
from .widths.places import NarrowPlace

MENDED = "mended"
"""Kind of the notes that say what repair did."""

NO_ROOM = "no room to repair"
"""Kind of the notes that say where repair could not do it, and why."""

MOST_CROWDED = 20
"""Places without room are listed up to this number."""


@dataclass(frozen=True, eq=False)
class Repair:
    """Mended artwork, paper frame, mm.

    ``inked``: the artwork as mended. ``added`` and ``removed``: what ink repair put in and took out. ``findings``:
    notes that say how much, and where there was no room.
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
    *,
    repeat: Repeat | None = None,
) -> Repair:
    """Mend what examining the ink finds, as far as the ``repair_...`` figures that are wanted ask for it.

    ``at``: points, mm, paper frame, as :func:`~.mending.choosing.spot_of` takes them from findings; then only what is
    found there is mended, and what no longer is anything is passed over.

    Lines grow along their middles to what the printer lays at least (or to the warning limit, as ``repair_to`` says),
    to both sides alike: for a straight line that is the least ink that does it. Where a neighbour is too near on one
    side they grow to the other. Gaps and counters are opened along their middles; lines beside them give way as far
    as there is room behind them. Specks grow to the size that holds or are dropped. Points lose the end that is a hair
    (under half of what the printer lays) and are blunted to what it lays at least. Nothing apart is joined and
    nothing joined is parted. Where all that is more than there is room for, ink keeps what it had, and a note
    says how much room is wanting. With ``repair_by`` line art is first redrawn along its middle lines at one width.
    Everything else keeps its outline, to a hundred-thousandth of a millimetre. ``repeat``: how the ink comes again,
    where a roller prints it: it is mended beside its neighbours, and alike at both ends.
    """
    whole = inked if repeat is None else repeat.around(inked)
    if repeat is not None and at is not None:
        at = [(float(x), float(y)) for x, y in repeat.in_neighbours(at)]
    # Snapping to a grid can divide zero by zero inside the geometry library, to no effect.
    with np.errstate(invalid="ignore", divide="ignore"):
        chosen = None if at is None else choose(whole, limits, at)
        result = mend(_redrawn(whole, wanted, limits) if at is None else whole, wanted, limits, chosen)
        if result.inked is whole:
            return Repair(inked, MultiPolygon(), MultiPolygon(), ())
        mended = result.inked if whole is inked or repeat is None else repeat.once(result.inked)
        before = shapely.set_precision(inked, MENDING_GRID)
        added, removed = polygons_of(without(mended, before)), polygons_of(without(before, mended))
    crowded = [place for place in result.crowded if repeat is None or repeat.holds(place.at).all()]
    notes = (*_notes(added, removed), *_about_room(crowded, result.inked, limits))
    return Repair(mended, added, removed, notes)


def _redrawn(inked: MultiPolygon, wanted: PreflightSection, limits: PrintLimits) -> MultiPolygon:
    if wanted.repair_by != "middle-lines":
        return inked
    width = limits.line_warns if wanted.repair_to == "warns" else limits.line_blocks
    return redrawn_by_middle_lines(inked, width)


def can_mend(finding: Finding, wanted: PreflightSection) -> bool:
    """Whether repair may take a finding on, as far as the ``repair_...`` figures that are wanted ask for it."""
    asked_for = {
        THIN_LINE: wanted.repair_lines and (finding.severity == "blocks" or wanted.repair_to == "warns"),
        SPIKE: wanted.repair_spikes,
        NARROW_GAP: wanted.repair_gaps,
        FLOODING_COUNTER: wanted.repair_gaps,
        SPECK: wanted.repair_specks != "keep",
    }
    return finding.severity != "notes" and finding.place is not None and asked_for.get(finding.kind, False)


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


def _about_room(crowded: Sequence[NarrowPlace], inked: MultiPolygon, limits: PrintLimits) -> Iterator[Finding]:
    """Say of lines that stay too thin how much room there is between the inks beside them, and how much it takes."""
    needed = limits.line_blocks + 2 * limits.gap
    for place in crowded[:MOST_CROWDED]:
        room = _room_across(place, inked, 2 * needed)
        short = room is not None and room < needed
        yield Finding(
            kind=NO_ROOM,
            severity="notes",
            stage="preflight",
            message=(
                f"Repair has no room here: a line of {limits.line_blocks:.2f} mm and the gaps beside it take "
                f"{needed:.2f} mm, and between its neighbours there are {room:.2f} mm"
                if short
                else "Repair cannot widen this to what the printer lays without joining it to what is near"
            ),
            remedy="Move the neighbours apart, enlarge the artwork, or use a finer nozzle",
            place=place.region(),
            measured=room if short else place.narrowest,
            limit=needed if short else limits.line_blocks,
        )


def _room_across(place: NarrowPlace, inked: MultiPolygon, reach: float) -> float | None:
    """Return how far apart the inks on both sides of a line are at its narrowest, mm, or None with none on a side."""
    edge = place.lines.edges[place.lines.narrowest.argmin(), 0]
    across, middle = place.lines.outline.inward[edge], np.asarray(place.at)
    paper: list[float] = []
    for way in (1.0, -1.0):
        ray = LineString([middle, middle + way * reach * across])
        met = shapely.get_parts(common(ray, inked))
        starts = sorted(shapely.distance(shapely.points(middle), met))
        beyond = [start for start in starts if start > 1e-6]
        if not beyond:
            return None
        paper.append(float(beyond[0]))
    return sum(paper)

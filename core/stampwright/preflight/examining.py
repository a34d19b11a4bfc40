"""Examining artwork against the process: every finding with its place, its measure and its remedy."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import shapely
from shapely.geometry import MultiPolygon

from ..findings import Finding, Severity, by_severity, note_on_rest
from ..job.kinds import (
    DENSE_OUTLINE,
    FLOODING_COUNTER,
    HIGH_COVER,
    ISOLATED_DOT,
    NARROW_GAP,
    SPECK,
    SPIKE,
    THIN_LINE,
    TOUCHING_CORNERS,
)
from ..job.sections.preflight import PreflightSection
from ..layout import TOO_LARGE, Layout
from ..looks.numbers import percent
from ..plane.repeats import Repeat
from .codes import check_codes
from .islands import (
    Islands,
    corners_that_touch,
    find_flooding_counters,
    find_small_islands,
    stand_alone,
    within_sight_of,
    without_counters,
    without_islands,
)
from .limits import PrintLimits
from .narrow_places import JudgedLines, judge_gaps, judge_lines
from .own import own_islands, own_lines, own_places
from .repairing import can_mend
from .widths.edges import Wholes
from .widths.middles import measure_gap_widths, measure_line_widths
from .widths.places import NarrowPlace

MOST_OF_A_KIND = 40
"""Findings of one kind and severity are listed up to this number, worst first; one note counts the rest."""

_LONG, _PINCHED = 5.0, 0.6
"""Limits that a stretch is long from which on it is told by its usual width, and the share of that which is a pinch."""

_BY_HAND = {
    THIN_LINE: ("draw it wider", "enlarge the artwork", "use a finer nozzle"),
    SPIKE: ("blunt the point",),
    NARROW_GAP: ("draw it wider", "enlarge the artwork"),
    FLOODING_COUNTER: ("open it", "enlarge the artwork", "fill it for good"),
    SPECK: ("remove it", "draw it larger"),
}
_BY_REPAIR = {
    THIN_LINE: "let preflight.repair thicken it",
    SPIKE: "let preflight.repair round it",
    NARROW_GAP: "let preflight.repair open it",
    FLOODING_COUNTER: "let preflight.repair open it",
    SPECK: "let preflight.repair grow or drop it (preflight.repair_specks)",
}
"""What mends each kind that repair takes on; of what is left after repair, only the first is said."""


def examine(layout: Layout, preflight: PreflightSection, limits: PrintLimits) -> tuple[Finding, ...]:
    """Examine laid-out artwork for what will not print, gravest first.

    Lines are measured against the extrusion width, gaps and counters against the spread of the ink, islands against
    what holds on, codes against what readers need; then come the share of the base that is ink and how finely the
    outlines are drawn. Places are small
    regions in the paper frame, mm. Kinds named in ``preflight.accept`` warn where they would block.
    A roller's repeat is measured beside its neighbours.
    """
    repeat = layout.repeat
    inked = layout.inked if repeat is None else repeat.around(layout.inked)
    if inked is layout.inked:
        repeat = None
    if inked.is_empty:
        return ()
    specks = find_small_islands(inked, limits.speck)
    counters = find_flooding_counters(inked, limits.counter)
    # Specks and counters are judged as such, not again as lines and gaps.
    large = without_islands(inked, specks)
    lines = own_lines(judge_lines(large, measure_line_widths(large, limits.line_warns), limits), repeat)
    gaps = judge_gaps(measure_gap_widths(without_counters(inked, counters), limits.gap), limits)
    findings = [
        *_about_lines(lines, limits),
        *_worst(own_places(gaps, repeat), NARROW_GAP, "warns", lambda place: _narrow_gap(place, limits)),
        *_about_counters(own_islands(within_sight_of(counters), repeat), limits),
        *_about_specks(own_islands(specks, repeat), limits),
        *_about_dots(inked, preflight, specks, repeat),
        *_about_cover(layout, preflight.cover),
        *_about_outlines(layout.inked, preflight.points_per_mm),
        *_about_touching_corners(inked, lines.joints, repeat),
        *check_codes(layout.codes, limits),
    ]
    return by_severity([_judged(finding, preflight) for finding in findings])


def _judged(finding: Finding, preflight: PreflightSection) -> Finding:
    """Return the finding with what the job says on it: whether its kind may block, and whether repair is tried."""
    if finding.kind in preflight.accept:
        finding = finding.weakened()
    if finding.severity == "notes" or finding.kind not in _BY_HAND:
        return finding
    ways = _BY_HAND[finding.kind]
    if not preflight.repair and can_mend(finding, preflight):
        ways = (*ways, _BY_REPAIR[finding.kind])
    return replace(finding, remedy=_either(ways))


def _either(ways: Sequence[str]) -> str:
    *rest, last = ways
    listed = f"{', '.join(rest)}{',' if len(rest) > 1 else ''} or {last}" if rest else last
    return listed[0].upper() + listed[1:]


def _about_lines(lines: JudgedLines, limits: PrintLimits) -> Iterator[Finding]:
    """Tell of lines: a stretch that is missing in print speaks for the weak line round it, as does a taper."""
    yield from _worst(lines.missing, THIN_LINE, "blocks", lambda place: _missing_line(place, limits))
    yield from _worst(lines.weak, THIN_LINE, "warns", lambda place: _weak_line(place, limits))
    yield from _worst(lines.spikes, SPIKE, "warns", lambda place: _spike(place, limits))


def _missing_line(place: NarrowPlace, limits: PrintLimits) -> Finding:
    return Finding(
        kind=THIN_LINE,
        severity="blocks",
        stage="preflight",
        message=(
            f"Ink {_width(place):.2f} mm wide{_over(place)} is narrower than the printer lays "
            f"({limits.line_blocks:.2f} mm)"
        ),
        place=place.region(),
        measured=place.narrowest,
        limit=limits.line_blocks,
    )


def _weak_line(place: NarrowPlace, limits: PrintLimits) -> Finding:
    return Finding(
        kind=THIN_LINE,
        severity="warns",
        stage="preflight",
        message=(
            f"Ink {_width(place):.2f} mm wide{_over(place)} is narrower than "
            f"{limits.line_warns / limits.extrusion:.3g} line widths ({limits.line_warns:.2f} mm): weak and uneven"
        ),
        place=place.region(),
        measured=place.narrowest,
        limit=limits.line_warns,
    )


def _has_pinch(place: NarrowPlace) -> bool:
    """Whether a stretch is long, and much narrower in some spot, such as where it meets another, than all along it."""
    return place.length >= _LONG * place.limit and place.narrowest < _PINCHED * place.usual


def _width(place: NarrowPlace) -> float:
    return place.usual if _has_pinch(place) else place.narrowest


def _over(place: NarrowPlace) -> str:
    if _has_pinch(place):
        return f" over {place.length:.1f} mm, {place.narrowest:.2f} mm where it is narrowest,"
    return f" over {place.length:.1f} mm" if place.length >= 0.05 else ""


def _spike(place: NarrowPlace, limits: PrintLimits) -> Finding:
    return Finding(
        kind=SPIKE,
        severity="warns",
        stage="preflight",
        message=(
            f"Ink tapers to a point: the last {place.length:.1f} mm are narrower than the printer lays "
            f"({limits.line_blocks:.2f} mm) and will be missing"
        ),
        place=place.region(),
        measured=place.length,
        limit=2 * limits.line_blocks,
    )


def _narrow_gap(place: NarrowPlace, limits: PrintLimits) -> Finding:
    return Finding(
        kind=NARROW_GAP,
        severity="warns",
        stage="preflight",
        message=(
            f"A gap {_width(place):.2f} mm wide{_over(place)} will close: "
            + _why_closed(limits, f"the ink spreads by {limits.spread:.2f} mm from each side")
        ),
        place=place.region(),
        measured=place.narrowest,
        limit=limits.gap,
    )


def _why_closed(limits: PrintLimits, by_spread: str) -> str:
    measured = limits.gap > 2 * limits.spread
    return f"gaps under {limits.gap:.2f} mm close on this printer, ink and paper" if measured else by_spread


def _about_counters(counters: Islands, limits: PrintLimits) -> Iterator[Finding]:
    def write(index: int) -> Finding:
        return Finding(
            kind=FLOODING_COUNTER,
            severity="warns",
            stage="preflight",
            message=(
                f"A counter that holds a disc of only {counters.sizes[index]:.2f} mm will flood: "
                + _why_closed(limits, f"most of it fills when the ink spreads by {limits.spread:.2f} mm")
            ),
            place=counters.shapes[index],
            measured=float(counters.sizes[index]),
            limit=limits.counter,
        )

    return _worst(np.argsort(counters.sizes, kind="stable"), FLOODING_COUNTER, "warns", write)


def _about_specks(specks: Islands, limits: PrintLimits) -> Iterator[Finding]:
    def write(index: int) -> Finding:
        size = float(specks.sizes[index])
        lost = size < limits.line_blocks
        return Finding(
            kind=SPECK,
            severity="blocks" if lost else "warns",
            stage="preflight",
            message=f"A speck {size:.2f} mm across "
            + ("is smaller than the printer lays" if lost else "is too small to hold on to the die"),
            place=specks.shapes[index],
            measured=size,
            limit=limits.speck,
        )

    order = np.argsort(specks.sizes, kind="stable")
    lost = int((specks.sizes < limits.line_blocks).sum())
    yield from _worst(order[:lost], SPECK, "blocks", write)
    yield from _worst(order[lost:], SPECK, "warns", write)


def _about_dots(
    inked: MultiPolygon, limits: PreflightSection, specks: Islands, repeat: Repeat | None
) -> Iterator[Finding]:
    small = find_small_islands(inked, limits.dot)
    dots = small.only(~np.isin(small.indices, specks.indices))

    def write(index: int) -> Finding:
        return Finding(
            kind=ISOLATED_DOT,
            severity="warns",
            stage="preflight",
            message=(
                f"A dot {dots.sizes[index]:.2f} mm across has no ink within {limits.isolation:g} mm: it takes the "
                f"whole push, marks the paper deeply and wears first"
            ),
            remedy="Set other ink near it, draw it larger, or remove it",
            place=dots.shapes[index],
            measured=float(dots.sizes[index]),
            limit=limits.dot,
        )

    alone = stand_alone(inked, dots, limits.isolation)
    if repeat is not None:
        alone &= repeat.holds(dots.centres)
    return _worst(np.flatnonzero(alone), ISOLATED_DOT, "warns", write)


def _about_cover(layout: Layout, limit: float) -> Iterator[Finding]:
    if any(finding.kind == TOO_LARGE for finding in layout.findings):
        # Art that overhangs is no share of the base.
        return
    share = layout.inked.area / layout.base.area
    if share > limit:
        yield Finding(
            kind=HIGH_COVER,
            severity="warns",
            stage="preflight",
            message=f"{percent(share)} of the base is ink; above {percent(limit)} a stamp is hard to ink and to "
            "press evenly",
            remedy="Open solid areas with white lines or texture, or print them as outlines",
            measured=share,
            limit=limit,
            unit="",
        )


def _about_outlines(inked: MultiPolygon, limit: float) -> Iterator[Finding]:
    parts = shapely.get_parts(inked)
    density = shapely.get_num_coordinates(parts) / shapely.length(parts)
    # A dot needs its few points however small it is.
    dense = np.flatnonzero((density > limit) & (shapely.get_num_coordinates(parts) > 100))
    if len(dense):
        worst = int(dense[density[dense].argmax()])
        yield Finding(
            kind=DENSE_OUTLINE,
            severity="notes",
            stage="preflight",
            message=(
                f"{_counted(len(dense), 'outline has', 'outlines have')} more than {limit:g} points per mm, up to "
                f"{density[worst]:.0f}: finer than any printer, and slow"
            ),
            remedy="Simplify the drawing",
            place=shapely.box(*parts[worst].bounds),
            measured=float(density[worst]),
            limit=limit,
            unit="1/mm",
        )


def _about_touching_corners(
    inked: MultiPolygon, joints: Sequence[NarrowPlace], repeat: Repeat | None
) -> Iterator[Finding]:
    corners = corners_that_touch(inked)
    if repeat is not None:
        corners = corners[repeat.holds(corners)]
    points = [*map(tuple, corners.tolist()), *(joint.at for joint in joints)]
    if points:
        widest = max((joint.narrowest for joint in joints), default=0.0)
        over = f"a neck up to {widest:.2f} mm wide" if joints else "a single point"
        yield Finding(
            kind=TOUCHING_CORNERS,
            severity="notes",
            stage="preflight",
            message=f"{_counted(len(points), 'pair of corners touches', 'pairs of corners touch')} in {over}: "
            "they may print joined or apart",
            remedy="Draw them clearly joined or clearly apart where it matters",
            place=shapely.MultiPoint(points[:MOST_OF_A_KIND]).buffer(0.2, quad_segs=2),
            measured=widest,
        )


def _worst(
    items: Sequence[Any] | Wholes, kind: str, severity: Severity, write: Callable[[Any], Finding]
) -> Iterator[Finding]:
    """Write the findings about items that come worst first; of very many only some, and a note that counts the rest."""
    for item in items[:MOST_OF_A_KIND]:
        yield write(item)
    if len(items) > MOST_OF_A_KIND:
        yield note_on_rest(kind, severity, "preflight", len(items), MOST_OF_A_KIND)


def _counted(count: int, one: str, more: str) -> str:
    return f"{count} {one if count == 1 else more}"

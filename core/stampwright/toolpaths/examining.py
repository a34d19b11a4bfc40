"""A toolpath examined: which thing is the die, which way up it lies, what its face prints, and what is wrong."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from shapely import affinity
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ..errors import ToolpathError
from ..findings import Finding, by_severity
from ..likeness import Judgement, judge_by_art
from ..plane.frames import die_to_paper
from ..plane.rasters.raster import MM_PER_INCH, MOST_SCAN_PIXELS
from ..plane.regions import sound_parts
from ..press import Impression, ink_outlines, spread_ink
from .choosing import ChosenDie, choose_die, floor_of, lies_face_down, tell_chosen
from .expected import Expected
from .laid.beads import lay_beads
from .laid.covers import BEAD_HAIR, Covers, without_hairs
from .laid.flow import Flow
from .laid.plate import LaidLayer, Thing, find_things
from .moves import Toolpath, refuse_spirals
from .seen.against import STRANGE, compare_bed, compare_height, compare_line, compare_material, compare_place
from .seen.face import (
    SEEN,
    enclosed_by,
    examine_seams,
    gaps_on_face,
    left_out_between,
    left_out_of,
    parts_ending_below,
    pieces_left_out_of,
    tell_gaps,
    tell_left_out,
    uneven_beads,
)
from .seen.feeding import tell_flow
from .seen.placing import Placing, lay_on, settle
from .seen.stacking import examine_stack
from .timing import Duration, time_of

NEAR_SIZE = 0.03
"""Share by which a base may be larger or smaller and still be laid on as it is."""

AGREE = 0.004
"""How far the sizes of face and base may differ and still be one, the face's, whose outlines are more."""

GAP = 1.5
"""Widths of a bead up to which what is missing between beads is a gap: more is paper."""

LEFT_OUT = 0.5
"""Share of a line's width from which on what is missing of the face is a line left out, not one laid narrow."""


@dataclass(frozen=True, eq=False)
class Examined:
    """What a toolpath prints, and what was found.

    ``impression``: of the die's face, paper frame; placed as the art is where a job is known, else about its own
    middle. ``base``: outline of the die there. ``thing``: the die; ``things``: how many stand on the plate.
    ``face_layer``: number of the layer that prints; ``face_down``: whether it lies on the bed. ``width``: of the
    beads on the face, mm, usual. ``placing``: against the job's face. ``judgement``: against the art as given.
    ``volume``: mm³ of all that is laid.
    """

    impression: Impression
    base: MultiPolygon
    thing: Thing
    things: int
    face_layer: int
    face_down: bool
    width: float
    flow: Flow | None
    duration: Duration
    volume: float
    filament: float
    placing: Placing | None
    judgement: Judgement | None
    findings: tuple[Finding, ...]

    def as_record(self) -> dict[str, Any]:
        """Return plain data for a report; mm, mm³, s."""
        layers = self.thing.layers
        return {
            "layers": len(layers),
            "layer_height": round(self.thing.pitch, 4),
            "height": round(layers[-1].top, 4),
            "things": self.things,
            "face": {"layer": self.face_layer, "down": self.face_down, "bead_width": round(self.width, 4)},
            "flow": None if self.flow is None else {"spacing": self.flow.spacing, "share": self.flow.share},
            "seconds": round(self.duration.seconds, 1),
            "assumed": self.duration.assumed,
            "volume": round(self.volume, 3),
            "filament": round(self.filament, 2),
            "placing": None if self.placing is None else vars(self.placing),
            "likeness": None if self.judgement is None else self.judgement.as_record(),
        }


@dataclass(frozen=True, eq=False)
class _Die:
    """The thing that is the die, its areas, and where in it the face is.

    ``layers``: those whose areas may be asked for. ``base``: outline of what the face stands on, as on the plate.
    ``grows``: how many times as large as its file it comes off the printer, in x and y of the plate.
    """

    thing: Thing
    covers: Covers
    down: bool
    at: int
    layers: tuple[int, ...]
    face: MultiPolygon
    base: MultiPolygon
    grows: tuple[float, float] = (1.0, 1.0)

    @property
    def layer(self) -> LaidLayer:
        """The layer that prints."""
        return self.thing.layers[self.at]

    def on_paper(self, region: BaseGeometry) -> BaseGeometry:
        """Return what is on the plate as it prints, about the base's middle: reversed, unless it lies face down."""
        middle = self.base.centroid
        grown = affinity.scale(affinity.translate(region, -middle.x, -middle.y), *self.grows, origin=(0, 0))
        return grown if self.down else die_to_paper(grown)


def examine_toolpath(
    toolpath: Toolpath,
    expected: Expected | None = None,
    *,
    spread: float = 0.0,
    depth: float | None = None,
    dpi: float = 600.0,
) -> Examined:
    """Return what a toolpath prints, and what is wrong with it.

    ``expected``: what it shall be, where the job is known. ``spread``: how far ink creeps past every edge, mm,
    where it is not. ``depth``: how far below its top the face is finished, mm; without it the job's, or 0.

    Raises :class:`~stampwright.errors.ToolpathError` when nothing in it can be a die, or it is laid in no layers, and
    :class:`~stampwright.errors.JobError` when a figure is absurd.
    """
    refuse_spirals(toolpath)
    chosen = choose_die(find_things(lay_beads(toolpath)), expected)
    die = _find_face(chosen.thing, depth if depth is not None else expected.depth if expected else 0.0)
    die = die if expected is None else replace(die, grows=expected.grows)
    width = die.layer.usual_width
    findings = [*_of_guesses(toolpath), *tell_chosen(chosen), *_of_feed(die, chosen.flow)]
    findings += [*examine_stack(die.thing, die.covers, die.layers), *_of_face(die, width, expected)]
    placing, judgement, against = None, None, list[Finding]()
    if expected is not None:
        placing, judgement, against = _held_against(die, expected)
        findings += [*compare_line(width, expected), *_of_filament(toolpath, chosen, die, expected)]
    frame = _frame(die, placing)
    findings = [_moved(finding, frame) for finding in findings]
    findings += against
    told, spread = by_severity(findings), expected.spread if expected else spread
    face, base = sound_parts(frame(die.face)), sound_parts(frame(die.base))
    return Examined(
        impression=ink_outlines(face, base.bounds, spread=spread, dpi=_seen_at(dpi, base.bounds), findings=told),
        base=base,
        thing=die.thing,
        things=1 + len(chosen.others),
        face_layer=die.layer.number,
        face_down=die.down,
        width=width,
        flow=chosen.flow,
        duration=time_of(toolpath),
        volume=toolpath.volume,
        filament=toolpath.volume / toolpath.told.feed_area,
        placing=placing,
        judgement=judgement,
        findings=told,
    )


def _seen_at(dpi: float, bounds: tuple[float, float, float, float]) -> float:
    """Return the resolution of a picture: coarser than asked for where a die is so large that its size is wrong."""
    left, bottom, right, top = bounds
    most = math.sqrt(0.9 * MOST_SCAN_PIXELS / max((right - left + 5) * (top - bottom + 5), 1.0)) * MM_PER_INCH
    return min(dpi, most)


def _find_face(thing: Thing, depth: float) -> _Die:
    """Return the die with its face found: the layer that is left when ``depth``, mm, is dressed off.

    Raises :class:`~stampwright.errors.ToolpathError` when nothing is laid there.
    """
    layers, down = thing.layers, lies_face_down(thing)
    tops = np.array([layer.top for layer in layers])
    # Heights in a file are rounded, and a die may be sliced a little too small.
    near = 0.25 * thing.pitch
    at = int(np.searchsorted(tops, depth + near if down else tops[-1] - depth + near)) - (not down)
    if not 0 <= at < len(layers):
        raise ToolpathError(f"dressing by {depth:g} mm would take all {tops[-1]:.2f} mm of it; give a smaller depth")
    covers = Covers(thing)
    # Nearest to the face first, as far as time allows.
    order = covers.worth_while([at, *sorted(set(range(len(layers))) - {at}, key=lambda place: abs(place - at))])
    base = covers.outline(floor_of(layers, down=down))
    face = without_hairs(covers[at])
    if face.is_empty or base.is_empty:
        raise ToolpathError("nothing is laid in the layer that would print; give another depth of dressing")
    return _Die(thing, covers, down, at, order, face, base)


def _of_guesses(toolpath: Toolpath) -> Iterator[Finding]:
    """Yield what was taken for said, though the file leaves it to the machine."""
    for guess in toolpath.told.guesses:
        yield Finding(
            kind="not said",
            severity="notes",
            stage="build",
            message=f"The file leaves to the machine's own start how it is to be read: {guess}",
            remedy="Look whether your machine's start says the same",
        )


def _of_feed(die: _Die, flow: Flow | None) -> Iterator[Finding]:
    """Yield what there is to say of how much is fed, and whether the face lies on the bed."""
    if die.down:
        yield Finding(
            kind="face down",
            severity="blocks",
            stage="build",
            message="The die lies face down: its floor would be laid over air between the lines of its face",
            remedy="Turn it over: a die is printed face up, as it is in its file",
        )
    if flow is not None:
        yield from tell_flow(flow)
    layers = [die.thing.layers[at] for at in die.layers]
    usual = float(np.median(np.concatenate([layer.beads.section / layer.height for layer in layers])))
    for at in sorted(die.layers):
        if at > 0:
            yield from uneven_beads(die.thing.layers[at], usual)


def _of_face(die: _Die, width: float, expected: Expected | None) -> Iterator[Finding]:
    """Yield gaps, seams and parts left out of the layer that prints, and gaps in the layers by it."""
    near = set(die.layers)
    under = die.at + 1 if die.down else die.at - 1
    if under in near:
        below = without_hairs(die.covers[under])
        if expected is None:
            yield from tell_gaps(gaps_on_face(die.face, below, GAP * width, SEEN), die.layer)
        yield from parts_ending_below(die.face, below, die.layer, width)
    yield from examine_seams(die.layer, die.face)
    for at in sorted(near):
        if {at - 1, at + 1} <= near and not (at == die.at and expected):
            parts = left_out_between(die.covers[at], die.covers[at - 1], die.covers[at + 1])
            yield from tell_left_out(parts, die.thing.layers[at], prints=at == die.at)


def _held_against(die: _Die, expected: Expected) -> tuple[Placing, Judgement | None, list[Finding]]:
    """Return how the face lies on the one meant, what it has of the art, and what there is to say of it, on paper."""
    face, base = (sound_parts(die.on_paper(region)) for region in (die.face, die.base))
    placing, off = _laid(face, base, expected)
    findings = [*compare_place(placing, off), *compare_height(die.thing, expected)]
    large = max(abs(size - 1) for size in placing.size) > NEAR_SIZE
    if placing.mirrored or placing.overlap < STRANGE or large:
        return placing, None, findings
    placed = sound_parts(placing.placed(face))
    parts = left_out_of(placed, expected.face, max(LEFT_OUT * expected.line, 2 * expected.spread, BEAD_HAIR))
    gaps, lines = enclosed_by(placed, parts, GAP * expected.line)
    findings += [*tell_gaps(gaps, die.layer), *tell_left_out(lines, die.layer, prints=True)]
    findings += _over_face(die, placing, expected, max(LEFT_OUT * expected.line, 2 * expected.spread, BEAD_HAIR))
    inked = spread_ink(placed, expected.spread)
    judged = judge_by_art(inked, expected.given, expected.limits, expected.accept, screen=expected.screen)
    return placing, judged, [*findings, *judged.findings]


def _over_face(die: _Die, placing: Placing, expected: Expected, width: float) -> Iterator[Finding]:
    """Yield what was left out of the layers over the face, which print until they are dressed off."""
    last = len(die.thing.layers) - 1
    for at in range(die.at) if die.down else range(die.at + 1, last + 1):
        if at in die.layers and expected.whole_top:
            placed = sound_parts(placing.placed(die.on_paper(die.covers[at])))
            # What is smaller than a bead is broad is gone with the first strokes of dressing.
            parts = pieces_left_out_of(placed, expected.face, width, expected.line**2)
            gaps, lines = enclosed_by(placed, parts, GAP * expected.line)
            yield from tell_gaps(gaps, die.thing.layers[at])
            yield from tell_left_out(lines, die.thing.layers[at], prints=True)


def _laid(face: MultiPolygon, base: MultiPolygon, expected: Expected) -> tuple[Placing, float | None]:
    """Return how the face lies on the one meant, and how far off its place on the base, mm, where that can be told."""
    large = math.sqrt(base.area / expected.base.area)
    if abs(large - 1) < NEAR_SIZE:
        return _by_base(lay_on(face, expected.face, (base, expected.base)), base, expected)
    # Of quite another size it is laid on at its own size first, as another base may have been meant.
    plain = lay_on(face, expected.face, (base, expected.base))
    shrunk = [sound_parts(affinity.scale(region, 1 / large, 1 / large, origin=(0, 0))) for region in (face, base)]
    fitted = lay_on(shrunk[0], expected.face, (shrunk[1], expected.base))
    if fitted.overlap < max(plain.overlap, STRANGE):
        return plain, None
    return replace(fitted, size=(fitted.size[0] * large, fitted.size[1] * large)), None


def _by_base(placing: Placing, base: MultiPolygon, expected: Expected) -> tuple[Placing, float | None]:
    """Return a placing with its size made sure of by the base, and how far the face lies off its place on that, mm.

    A face may lack lines and then seem of another size; a base hardly. Where the base is another, the placing stays
    as it is, and the place is None.
    """
    if placing.overlap < STRANGE or not 0.9 < base.area / expected.base.area < 1.1:
        return placing, None
    settled = settle(base, MultiPolygon([expected.base]), placing)
    middle = base.centroid
    one, other = placing.placed(middle), settled.placed(middle)
    # By its area, as one outline does not tell its size from lines that are a little wide.
    large = math.sqrt(base.area / expected.base.area)
    agree = abs(sum(placing.size) / 2 - large) < AGREE
    sized = placing if agree else replace(placing, size=(large, large))
    return sized, math.hypot(one.x - other.x, one.y - other.y)


def _of_filament(toolpath: Toolpath, chosen: ChosenDie, die: _Die, expected: Expected) -> Iterator[Finding]:
    """Yield whether the file is for the die's filament, and for the job's bed."""
    beads = die.layer.beads
    tool = int(np.bincount(beads.tool).argmax())
    others = sum(int(thing.layers[0].beads.tool[0]) == tool for thing in chosen.parts)
    yield from compare_material(toolpath.told, beads.section * beads.speed, others, expected)
    bounds = np.array([layer.bounds for layer in die.thing.layers])
    yield from compare_bed((*bounds[:, :2].min(axis=0).tolist(), *bounds[:, 2:].max(axis=0).tolist()), expected)


def _frame(die: _Die, placing: Placing | None) -> Callable[[BaseGeometry], BaseGeometry]:
    """Return what takes places on the plate to paper: as the art lies where that is known, reversed where it is."""
    if placing is None or placing.overlap < STRANGE:
        return die.on_paper
    if placing.mirrored:
        return lambda region: affinity.scale(placing.placed(die.on_paper(region)), -1.0, 1.0, origin=(0.0, 0.0))
    return lambda region: placing.placed(die.on_paper(region))


def _moved(finding: Finding, frame: Callable[[BaseGeometry], BaseGeometry]) -> Finding:
    return finding if finding.place is None else replace(finding, place=frame(finding.place))

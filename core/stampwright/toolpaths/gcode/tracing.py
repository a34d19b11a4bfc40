"""Where a machine stands after every block, whatever mode it is in: absolute or relative, mm or inch, with offsets.

G90 and G91 also say how lengths of filament are counted, until M82 or M83 was said: from then on these alone do.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from ...job.materials import FILAMENT_DIAMETER
from ...plane.rasters.raster import MM_PER_INCH
from .blocks import AXIS_LETTERS, MOTIONS, TextBlocks, held_at

_Doubles = NDArray[np.float64]
_Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class AxisState:
    """One axis between two chunks: its coordinate as the file counts it, and what the machine adds to that, mm."""

    counted: float = 0.0
    offset: float = 0.0


@dataclass(frozen=True)
class Modes:
    """What is in force between two chunks."""

    motion: float = math.nan
    unit: float = 1.0
    relative: float = 0.0
    feed_relative: float = 0.0
    feed_said: bool = False
    speed: float = math.nan
    tool: float = 0.0
    diameter: float = math.nan
    acceleration: float = 0.0
    travelling: float = 0.0
    flow: float = 1.0
    own_flows: dict[int, float] = field(default_factory=dict)
    pace: float = 1.0
    plane: float = 17.0
    axes: dict[str, AxisState] = field(default_factory=lambda: {name: AxisState() for name in AXIS_LETTERS})
    levels: dict[int, tuple[float, float]] = field(default_factory=dict)

    @property
    def place(self) -> tuple[float, float, float]:
        """Where the machine stands, mm."""
        x, y, z = (axis.counted + axis.offset for axis in (self.axes[name] for name in "XYZ"))
        return x, y, z


@dataclass(frozen=True, eq=False)
class Traced:
    """Blocks that move, (n,) each, in their order.

    ``at``: which blocks they are. ``place``: (n, 3) mm at their ends; ``before``: where the first of them begins.
    ``fed``: mm or mm³ of filament, either way. ``unit``: mm of one unit of the file. ``speed``: mm/s, NaN if none was
    told yet. ``tool``, ``acceleration`` as in Moves. ``diameter``: mm, by which volumes that are told become lengths;
    0 where lengths are told, NaN where neither was said. ``plane``: the G code of that in which arcs lie.
    """

    at: NDArray[np.int64]
    place: _Doubles
    before: tuple[float, float, float]
    fed: _Doubles
    unit: _Doubles
    speed: _Doubles
    tool: NDArray[np.int64]
    acceleration: _Doubles
    diameter: _Doubles
    plane: _Doubles


def restored(modes: Modes, saved: Modes, *, places: bool) -> Modes:
    """Return modes put back to saved ones; ``places``: with where coordinates count from, as well."""
    axes = modes.axes
    if places:
        # The machine stays where it is: only what it is told from then on is counted as before.
        axes = {
            name: AxisState(axis.counted + axis.offset - saved.axes[name].offset, saved.axes[name].offset)
            for name, axis in modes.axes.items()
            if name != "E"
        } | {"E": saved.axes["E"]}
    return replace(
        modes,
        unit=saved.unit,
        relative=saved.relative,
        feed_relative=saved.feed_relative,
        feed_said=saved.feed_said,
        speed=saved.speed,
        flow=saved.flow if places else modes.flow,
        own_flows=saved.own_flows if places else modes.own_flows,
        pace=saved.pace if places else modes.pace,
        axes=axes,
    )


def trace(blocks: TextBlocks, modes: Modes) -> tuple[Traced, Modes]:
    """Return the moves of blocks, and the modes after them."""
    moving = blocks.is_g(*MOTIONS)
    unit, last_unit = _switched(blocks, {20.0: MM_PER_INCH, 21.0: 1.0}, modes.unit)
    relative, last_relative = _switched(blocks, {90.0: 0.0, 91.0: 1.0}, modes.relative)
    feed_relative, last_feed, feed_said = _feed_mode(blocks, modes)
    reset = blocks.is_g(92.0)
    all_reset = reset & ~np.any([blocks.said[name] for name in AXIS_LETTERS], axis=0)
    places, axes = _places(blocks, unit, moving, relative > 0, np.where(all_reset, 0.0, np.nan), modes=modes)
    fed, axes["E"] = _feed(np.where(all_reset, 0.0, blocks.words["E"]) * unit, moving, feed_relative > 0, reset, modes)
    speed, last_speed = _held(blocks.words["F"] * unit / 60.0, moving, modes.speed)
    pace, last_pace = _share(blocks, 220.0, modes.pace)
    tools = blocks.letter == ord("T")
    tool, last_tool = held_at(np.flatnonzero(tools), blocks.code[tools], len(tools), modes.tool)
    flow, last_flow, own_flows = _flows(blocks, tool, modes)
    fed, speed = fed * flow, speed * pace
    plane, last_plane = _switched(blocks, {17.0: 17.0, 18.0: 18.0, 19.0: 19.0}, modes.plane)
    diameter, last_diameter = _diameter(blocks, unit, modes.diameter)
    acceleration, last_print, last_travel = _accelerations(blocks, unit, np.nan_to_num(fed) > 0, modes)
    at = np.flatnonzero(moving | blocks.is_g(28.0))
    traced = Traced(
        at,
        np.column_stack([place[at] for place in places]),
        modes.place,
        fed[at],
        unit[at],
        speed[at],
        tool[at].astype(np.int64),
        acceleration[at],
        diameter[at],
        plane[at],
    )
    after = replace(
        modes,
        unit=last_unit,
        relative=last_relative,
        feed_relative=last_feed,
        feed_said=feed_said,
        speed=last_speed,
        tool=last_tool,
        diameter=last_diameter,
        acceleration=last_print,
        travelling=last_travel,
        flow=last_flow,
        own_flows=own_flows,
        pace=last_pace,
        plane=last_plane,
        axes=axes,
    )
    return traced, after


def _places(
    blocks: TextBlocks, unit: _Doubles, moving: _Flags, relative: _Flags, zeroed: _Doubles, *, modes: Modes
) -> tuple[list[_Doubles], dict[str, AxisState]]:
    """Return where X, Y and Z stand after each block, mm, and how they are left; ``zeroed``: 0 where all are set."""
    home, reset = blocks.is_g(28.0), blocks.is_g(92.0)
    everything = home & ~(blocks.said["X"] | blocks.said["Y"] | blocks.said["Z"])
    places, axes = [], {}
    for name in "XYZ":
        values = np.where(np.isnan(zeroed), blocks.words[name] * unit, zeroed)
        homed = everything | (home & blocks.said[name])
        values = np.where(homed, 0.0, values)
        place, axes[name] = _follow(values, moving, relative, reset, homed=homed, axis=modes.axes[name])
        places.append(place)
    return places, axes


def _switched(blocks: TextBlocks, states: dict[float, float], before: float) -> tuple[_Doubles, float]:
    at = np.flatnonzero(blocks.is_g(*states))
    values = np.array([states[code] for code in blocks.code[at].tolist()])
    return held_at(at, values, len(blocks.letter), before)


def _held(values: _Doubles, where: _Flags, before: float) -> tuple[_Doubles, float]:
    at = np.flatnonzero(where & ~np.isnan(values))
    return held_at(at, values[at], len(values), before)


def _share(blocks: TextBlocks, code: float, before: float) -> tuple[_Doubles, float]:
    """Return the percentage in force, as a share, by which M220 changes all speeds."""
    percent = blocks.words["S"]
    return _held(percent / 100.0, blocks.is_m(code) & (percent > 0), before)


def _flows(blocks: TextBlocks, tool: _Doubles, modes: Modes) -> tuple[_Doubles, float, dict[int, float]]:
    """Return the share by which M221 changes the feed, of all tools or of the one that it names, and how it is left."""
    percent, named = blocks.words["S"], blocks.words["T"]
    sets = blocks.is_m(221.0) & (percent > 0)
    flow, last = _held(percent / 100.0, sets & np.isnan(named), modes.flow)
    own = {}
    for number in {*modes.own_flows, *named[sets & (named >= 0)].astype(np.int64).tolist()}:
        its = sets & (np.isnan(named) | (named == number))
        share, own[number] = _held(percent / 100.0, its, modes.own_flows.get(number, modes.flow))
        flow = np.where(tool == number, share, flow)
    return flow, last, own


def _feed_mode(blocks: TextBlocks, modes: Modes) -> tuple[_Doubles, float, bool]:
    own, both = blocks.is_m(82.0, 83.0), blocks.is_g(90.0, 91.0)
    if modes.feed_said:
        both = np.zeros_like(both)
    elif own.any():
        both[np.flatnonzero(own)[0] :] = False
    at = np.flatnonzero(own | both)
    values = np.isin(blocks.code[at], (83.0, 91.0)).astype(np.float64)
    mode, last = held_at(at, values, len(own), modes.feed_relative)
    return mode, last, modes.feed_said or bool(own.any())


def _follow(
    values: _Doubles, moving: _Flags, relative: _Flags, reset: _Flags, *, homed: _Flags, axis: AxisState
) -> tuple[_Doubles, AxisState]:
    """Return where an axis stands after each block, mm, and how it is left."""
    at = np.flatnonzero((moving | reset | homed) & ~np.isnan(values))
    if not len(at):
        return np.full(len(values), axis.counted + axis.offset), axis
    counted, before = _counted(values[at], moving[at] & relative[at], axis.counted)
    offset = axis.offset + np.cumsum(np.where(reset[at], before - counted, 0.0))
    homes = np.flatnonzero(homed[at])
    taken_off, _ = held_at(homes, offset[homes], len(at), 0.0)
    offset -= taken_off
    place, _ = held_at(at, counted + offset, len(values), axis.counted + axis.offset)
    return place, AxisState(float(counted[-1]), float(offset[-1]))


def _feed(
    values: _Doubles, moving: _Flags, relative: _Flags, reset: _Flags, modes: Modes
) -> tuple[_Doubles, AxisState]:
    """Return how far the feed turns in each block, mm or mm³, and how its axis is left."""
    fed = np.zeros(len(values))
    at = np.flatnonzero((moving | reset) & ~np.isnan(values))
    if not len(at):
        return fed, modes.axes["E"]
    counted, before = _counted(values[at], moving[at] & relative[at], modes.axes["E"].counted)
    # What is told relatively is taken as told, without the rounding of sums.
    turns = np.where(relative[at], values[at], counted - before)
    fed[at] = np.where(moving[at], turns, 0.0)
    return fed, AxisState(float(counted[-1]))


def _counted(values: _Doubles, adds: _Flags, start: float) -> tuple[_Doubles, _Doubles]:
    """Return a coordinate as the file counts it, after each of its words and before it."""
    total = np.cumsum(np.where(adds, values, 0.0))
    sets = np.flatnonzero(~adds)
    base, _ = held_at(sets, values[sets] - total[sets], len(values), start)
    counted = base + total
    return counted, np.concatenate(([start], counted[:-1]))


def _diameter(blocks: TextBlocks, unit: _Doubles, before: float) -> tuple[_Doubles, float]:
    """Return the diameter by which volumes that are told become lengths, mm; 0 where lengths are told (M200)."""
    switch, told = blocks.words["S"], blocks.words["D"] * unit
    # S alone turns volumes on and off; without it a diameter turns them on, and one of nought off.
    on = np.where(np.isnan(told) | (told <= 0), FILAMENT_DIAMETER, told)
    values = np.where(switch == 0.0, 0.0, np.where(switch > 0.0, on, told))
    return _held(values, blocks.is_m(200.0), before)


def _accelerations(blocks: TextBlocks, unit: _Doubles, printing: _Flags, modes: Modes) -> tuple[_Doubles, float, float]:
    """Return the acceleration in force for each block, mm/s², 0 for none told."""
    sets = blocks.is_m(204.0)
    general = blocks.words["S"]
    printed = np.where(np.isnan(blocks.words["P"]), general, blocks.words["P"])
    travelled = np.where(np.isnan(blocks.words["T"]), general, blocks.words["T"])
    print_, last = _held(printed * unit, sets, modes.acceleration)
    travel, last_travel = _held(travelled * unit, sets, modes.travelling)
    return np.where(printing, print_, travel), last, last_travel

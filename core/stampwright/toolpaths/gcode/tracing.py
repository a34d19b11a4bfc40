"""Where a machine stands after every block, whatever mode it is in: absolute or relative, mm or inch, with offsets.

G90 and G91 also say how lengths of filament are counted, until M82 or M83 was said: from then on these alone do.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

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
    diameter: float = 0.0
    acceleration: float = 0.0
    travelling: float = 0.0
    flow: float = 1.0
    pace: float = 1.0
    axes: dict[str, AxisState] = field(default_factory=lambda: {name: AxisState() for name in AXIS_LETTERS})
    levels: dict[int, tuple[float, float]] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class Traced:
    """Blocks that move, (n,) each, in their order.

    ``at``: which blocks they are. ``place``: (n, 3) mm at their ends; ``before``: where the first of them begins.
    ``fed``: mm or mm³ of filament, either way. ``unit``: mm of one unit of the file. ``speed``: mm/s, NaN if none was
    told yet. ``tool``, ``acceleration`` as in Moves. ``volumetric``: bool. ``rapid``: bool.
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


def trace(blocks: TextBlocks, modes: Modes) -> tuple[Traced, Modes]:
    """Return the moves of blocks, and the modes after them."""
    count = len(blocks.letter)
    moving = blocks.is_g(*MOTIONS)
    unit, last_unit = _switched(blocks, {20.0: MM_PER_INCH, 21.0: 1.0}, modes.unit)
    relative, last_relative = _switched(blocks, {90.0: 0.0, 91.0: 1.0}, modes.relative)
    feed_relative, last_feed, feed_said = _feed_mode(blocks, modes)
    reset = blocks.is_g(92.0)
    all_reset = reset & ~np.any([blocks.said[name] for name in AXIS_LETTERS], axis=0)
    places, axes = _places(blocks, unit, moving, relative > 0, np.where(all_reset, 0.0, np.nan), modes=modes)
    before = [axis.counted + axis.offset for axis in (modes.axes[name] for name in "XYZ")]
    fed, axes["E"] = _feed(np.where(all_reset, 0.0, blocks.words["E"]) * unit, moving, feed_relative > 0, reset, modes)
    speed, last_speed = _held(blocks.words["F"] * unit / 60.0, moving, modes.speed)
    pace, last_pace = _share(blocks, 220.0, modes.pace)
    flow, last_flow = _share(blocks, 221.0, modes.flow)
    fed, speed = fed * flow, speed * pace
    tools = blocks.letter == ord("T")
    tool, last_tool = held_at(np.flatnonzero(tools), blocks.code[tools], count, modes.tool)
    diameter, last_diameter = _diameter(blocks, unit, modes.diameter)
    acceleration, last_print, last_travel = _accelerations(blocks, unit, np.nan_to_num(fed) > 0, modes)
    at = np.flatnonzero(moving | blocks.is_g(28.0))
    traced = Traced(
        at,
        np.column_stack([place[at] for place in places]),
        (before[0], before[1], before[2]),
        fed[at],
        unit[at],
        speed[at],
        tool[at].astype(np.int64),
        acceleration[at],
        diameter[at],
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
        pace=last_pace,
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
    """Return the percentage in force, as a share, by which M220 changes all speeds, and M221 all feeds."""
    percent = blocks.words["S"]
    return _held(percent / 100.0, blocks.is_m(code) & (percent > 0), before)


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
    """Return the diameter by which volumes that are told become lengths, mm; 0 where lengths are told."""
    off = blocks.words["S"] == 0.0
    values = np.where(off, 0.0, blocks.words["D"] * unit)
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

"""Moves that lay material, as beads: where each lies, how long it is, and its section.

A section is taken for a stadium as high as the layer: a flat piece between two half rounds, which is what plastic
pressed on a layer by a nozzle comes near. Its area A is the volume laid over the length; it is then A / h + h (1 -
pi / 4) wide, h being the layer's height. Where there is less than a full round, a section is a circle.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ..moves import MoveFloats, Moves, Toolpath

STANDING = 1e-3
"""A move shorter than this, mm, stands still: what it lays belongs to the bead before it."""

STEPS_TOLD = 25.0
"""Steps of the feed over which a section is averaged at least: a file rounds each length of filament by half a
step, and over so many the section is within 2 %."""

EVEN = 0.5
"""mm over which a section is averaged at least: what comes out of a nozzle does not change within its own bore."""

COASTS, CLOSES, MOST_COASTING = 1.0, 0.05, 4
"""mm that a loop may end unfed before where it began, mm that it may miss that by, and moves that it may take: what is
pressed on in the nozzle comes out there (common practice)."""

MOST_STANDING = 0.05
"""mm³ that may come out where the nozzle stands and still belong to the bead before; more is a blob of its own."""


_AT_A_TIME = 1_000_000


@dataclass(frozen=True, eq=False)
class Beads:
    """Straight beads in their order.

    ``start`` and ``end``: (n, 2) float32, mm, as the machine stands. ``top``: (n,) float32, mm, height of the
    nozzle. ``length``, ``section``: (n,) float32, mm and mm². ``speed``: (n,) float32, mm/s. ``run``: (n,) int32,
    the same for beads laid in one go. ``tool``: (n,) uint8.
    """

    start: MoveFloats
    end: MoveFloats
    top: MoveFloats
    length: MoveFloats
    section: MoveFloats
    speed: MoveFloats
    run: NDArray[np.int32]
    tool: NDArray[np.uint8]

    def __len__(self) -> int:
        return len(self.length)

    @property
    def volume(self) -> MoveFloats:
        """What each is made of, (n,) mm³."""
        return self.length * self.section

    def those(self, which: NDArray[np.bool_] | NDArray[np.intp] | slice) -> Beads:
        """Return some of the beads, by a mask or by their indices, or without a copy by a slice."""
        return Beads(**{name: getattr(self, name)[which] for name in self.__dataclass_fields__})


def lay_beads(toolpath: Toolpath) -> Beads:
    """Return the beads of a toolpath, their sections averaged where the file tells the feed coarsely."""
    moves = toolpath.moves
    begin = moves.begin
    length = np.hypot(moves.end[:, 0] - begin[:, 0], moves.end[:, 1] - begin[:, 1])
    going = (length > STANDING) | (np.abs(moves.end[:, 2] - begin[:, 2]) > STANDING)
    laying = going & (length > STANDING) & (moves.volume > 0)
    laying |= _laying_unsaid(toolpath, length, going, laying)
    coasts = _coasting(moves, begin, length, going, laying)
    laying |= coasts
    volume = _with_standing(moves, going)
    # As thick as what was laid last.
    unfed, fed = np.flatnonzero(coasts), np.flatnonzero(laying & ~coasts)
    if len(unfed):
        last = fed[np.searchsorted(fed, unfed) - 1]
        volume[unfed] = volume[last] / length[last] * length[unfed]
    run = np.cumsum(_opens_run(moves, begin, going, laying), dtype=np.int32)
    at = np.flatnonzero(laying)
    told = toolpath.told
    step = told.step * (1.0 if told.volumetric else told.feed_area)
    section = _even_sections(volume[at], length[at], run[at], STEPS_TOLD * step)
    return Beads(
        start=begin[at, :2],
        end=moves.end[at, :2],
        top=moves.end[at, 2],
        length=length[at],
        section=section,
        speed=moves.speed[at],
        run=run[at],
        tool=moves.tool[at],
    )


def width_of(section: NDArray[np.floating], height: NDArray[np.floating] | float) -> NDArray[np.float64]:
    """Return how wide beads are, mm, of sections, mm², under layers of a height, mm; see the module for the model.

    >>> width_of(np.array([0.08]), 0.2).round(4).tolist()
    [0.4429]
    """
    wide = section / height + height * (1 - math.pi / 4)
    round_ = 2 * np.sqrt(section / math.pi)
    return np.where(section >= math.pi / 4 * np.square(height), wide, round_).astype(np.float64)


def _with_standing(moves: Moves, going: NDArray[np.bool_]) -> MoveFloats:
    """Return the volume of each move with the little that comes out where the nozzle stands right after it."""
    volume = moves.volume.copy()
    small = np.flatnonzero(~going & (moves.volume > 0) & (moves.volume <= MOST_STANDING))
    if len(small):
        before = np.maximum.accumulate(np.where(going, np.arange(len(going)), -1))[small]
        fits = (before >= 0) & (moves.volume[before] > 0)
        np.add.at(volume, before[fits], volume[small[fits]])
    return volume


def _laying_unsaid(
    toolpath: Toolpath, length: MoveFloats, going: NDArray[np.bool_], laying: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """Return the moves that lay less than the file's smallest step of feed: short ones, as fast as the beads around."""
    moves, told = toolpath.moves, toolpath.told
    step = told.step * (1.0 if told.volumetric else told.feed_area)
    before = np.maximum.accumulate(np.where(laying, np.arange(len(moves)), 0))
    pauses = ~laying & going
    even = pauses & (moves.fed == 0) & (moves.speed == moves.speed[before]) & (length > STANDING)
    lays = float(moves.volume[laying].sum(dtype=np.float64))
    longest = 2 * step * float(length[laying | even].sum(dtype=np.float64)) / lays if lays else 0.0
    if longest < STANDING:
        return np.zeros(len(moves), dtype=np.bool_)
    # Those that go on at once from the last that lays, up to the first that does not.
    uneven = np.where(going & ~even & ~laying, np.arange(len(moves)), -1)
    even &= np.maximum.accumulate(uneven) <= before
    whole = np.bincount(before, np.where(even, length, 0.0), len(moves))
    return np.asarray(even & laying[before] & (whole[before] <= longest))


def _coasting(
    moves: Moves,
    begin: MoveFloats,
    length: MoveFloats,
    going: NDArray[np.bool_],
    laying: NDArray[np.bool_],
) -> NDArray[np.bool_]:
    """Return the moves that close a loop unfed, right after its beads: what is pressed on in the nozzle lays them."""
    opens = laying.copy()
    opens[1:] &= ~laying[:-1]
    ends, first = np.flatnonzero(laying[:-1] & ~laying[1:]), np.flatnonzero(opens)
    first = first[np.searchsorted(first, ends, side="right") - 1] if len(ends) else first
    coasts = going & ~laying & (moves.fed == 0) & (np.abs(moves.end[:, 2] - begin[:, 2]) <= STANDING)
    found = np.zeros(len(moves), dtype=np.bool_)
    if not len(ends):
        return found
    way = np.zeros(len(ends))
    alive = np.ones(len(ends), dtype=np.bool_)
    for step in range(1, MOST_COASTING + 1):
        at = np.minimum(ends + step, len(moves) - 1)
        alive &= coasts[at] & (ends + step < len(moves))
        way += np.where(alive, length[at], 0.0)
        closes = alive & (way <= COASTS)
        closes &= np.hypot(*(moves.end[at, :2] - begin[first, :2]).T) <= CLOSES
        for back in range(step):
            found[at[closes] - back] = True
        alive &= ~closes
    return found


def _opens_run(
    moves: Moves, begin: MoveFloats, going: NDArray[np.bool_], laying: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """Return which moves begin a run: the first that lays after one that goes and does not, and whatever climbs."""
    travels = going & ~laying
    climbs = laying & (np.abs(moves.end[:, 2] - begin[:, 2]) > STANDING)
    changes = np.zeros(len(moves), dtype=np.bool_)
    changes[1:] = moves.tool[1:] != moves.tool[:-1]
    # Between two runs any number of travels may lie; each opening a run of its own costs nothing.
    return np.asarray(travels | climbs | changes)


def _even_sections(volume: MoveFloats, length: MoveFloats, run: NDArray[np.int32], least: float) -> MoveFloats:
    """Return sections, mm², each the mean over a piece of its run of at least ``least`` mm³ and :data:`EVEN` mm."""
    section = np.empty(len(volume), dtype=np.float32)
    opens = np.flatnonzero(np.diff(run, prepend=-1))
    # Runs go whole, and so many at a time as take little memory.
    cuts = np.unique(np.searchsorted(opens, np.arange(0, len(run), _AT_A_TIME)))
    bounds = [*opens[cuts[cuts < len(opens)]].tolist(), len(run)]
    for part in (slice(*ends) for ends in pairwise(bounds)):
        section[part] = _even_runs(volume[part].astype(np.float64), length[part].astype(np.float64), run[part], least)
    return section


def _even_runs(
    volume: NDArray[np.float64], length: NDArray[np.float64], run: NDArray[np.int32], least: float
) -> NDArray[np.float64]:
    opens = np.flatnonzero(np.concatenate(([True], run[1:] != run[:-1])))
    counts = np.diff(np.concatenate((opens, [len(run)])))
    total = np.add.reduceat(volume, opens)
    come = np.cumsum(volume)
    come -= np.repeat(come[opens] - volume[opens], counts) + volume / 2
    long = np.add.reduceat(length, opens)
    pieces = np.maximum(np.floor(np.minimum(total / least, long / EVEN)), 1.0)
    piece = np.minimum(np.floor(come / np.repeat(total / pieces, counts)), np.repeat(pieces - 1, counts))
    bounds = np.concatenate(([True], (piece[1:] != piece[:-1]) | (run[1:] != run[:-1])))
    group = np.cumsum(bounds) - 1
    mean = np.bincount(group, volume) / np.bincount(group, length)
    return np.asarray(mean[group], dtype=np.float64)

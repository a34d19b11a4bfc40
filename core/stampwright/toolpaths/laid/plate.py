"""What stands on the plate: beads that hang together as things, and the layers of each."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ...errors import ToolpathError
from ...plane.links import least_labels
from ...plane.rasters.raster import spread_out
from .beads import Beads, width_of

CELL = 1.0
"""Things nearer to each other than this, mm, may count as one."""

MOST_CELLS = 4_000_000
LEVEL = 1e-3
"""Beads within this of each other in height are of one layer, mm."""

MOST_LAYERS = 5_000
"""Layers of one thing; what has more climbs all along."""

LEAST_LAID = 0.01
"""mm³; a level where less is laid is no layer: the nozzle dripped there."""

THIN = 0.5
"""Share of the section that most is laid with, under which a bead smooths or fills, and is none of a layer's lines."""

THICKEST = 1.0
"""Thickest first layer that there is, mm; a file whose heights begin above has another zero than the bed."""

MOST_PASSED = 200_000_000
"""Cells that beads may pass one after the other."""

_AT_A_TIME = 1_000_000
_AROUND = ((0, 1), (1, -1), (1, 0), (1, 1))


@dataclass(frozen=True, eq=False)
class LaidLayer:
    """One layer of a thing: ``top``, mm over the bed; ``height``, mm; ``beads``; ``number``, from 1."""

    number: int
    top: float
    height: float
    beads: Beads

    @cached_property
    def volume(self) -> float:
        """What is laid in it, mm³."""
        return float(self.beads.volume.sum(dtype=np.float64))

    @property
    def usual_width(self) -> float:
        """How wide the beads are that most of it is made of, mm."""
        width, volume = width_of(self.beads.section, self.height), self.beads.volume
        order = np.argsort(width, kind="stable")
        come = np.cumsum(volume[order], dtype=np.float64)
        return float(width[order[int(np.searchsorted(come, come[-1] / 2))]])

    @cached_property
    def full(self) -> NDArray[np.bool_]:
        """Which beads are laid in full: those that smooth what is laid already, or fill a gap, are far thinner."""
        section, volume = self.beads.section, self.beads.volume
        order = np.argsort(section, kind="stable")
        come = np.cumsum(volume[order], dtype=np.float64)
        usual = section[order[int(np.searchsorted(come, come[-1] / 2))]]
        return np.asarray(section >= THIN * usual)

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Left, front, right and back of its paths, mm."""
        points = np.vstack((self.beads.start, self.beads.end))
        return (*points.min(axis=0).tolist(), *points.max(axis=0).tolist())


@dataclass(frozen=True, eq=False)
class Thing:
    """What hangs together on the plate. ``layers`` from the bed upwards; ``pitch``: their usual height, mm."""

    layers: tuple[LaidLayer, ...]
    pitch: float

    @cached_property
    def volume(self) -> float:
        """What is laid for it, mm³."""
        return sum(layer.volume for layer in self.layers)

    @property
    def beads(self) -> int:
        """Of how many beads it is made."""
        return sum(len(layer.beads) for layer in self.layers)


def find_things(beads: Beads) -> tuple[Thing, ...]:
    """Return what stands on the plate, the largest first, without what is one layer high: skirts, primed lines.

    Raises :class:`~stampwright.errors.ToolpathError` when there is nothing, or it has no layers.
    """
    if not len(beads):
        raise ToolpathError("all that it lays comes out where the nozzle stands; is it the G-code of a stamp's die?")
    labels = _labels(beads)
    order = np.argsort(labels, kind="stable")
    bounds = np.flatnonzero(np.diff(labels[order])) + 1
    parts = np.split(order, bounds)
    things = [_thing(beads if len(parts) == 1 else beads.those(part)) for part in parts]
    standing = sorted((thing for thing in things if len(thing.layers) > 1), key=lambda thing: -thing.volume)
    if not standing:
        raise ToolpathError("nothing in it stands two layers high; is it the G-code of a stamp's die?")
    return tuple(standing)


def _labels(beads: Beads) -> NDArray[np.int64]:
    """Return for each bead a number, the same for those that hang together by cells that they pass."""
    low = np.minimum(beads.start.min(axis=0), beads.end.min(axis=0)).astype(np.float64)
    size = np.maximum(beads.start.max(axis=0), beads.end.max(axis=0)).astype(np.float64) - low
    cell = max(CELL, float(np.sqrt((size[0] + 1) * (size[1] + 1) / MOST_CELLS)))
    columns, rows = (np.floor(size / cell).astype(np.int64) + 1).tolist()
    passed = np.zeros(rows * columns, dtype=np.bool_)
    own = np.empty(len(beads), dtype=np.int64)
    counts = np.ceil(2 * np.abs(beads.end - beads.start).max(axis=1) / cell).astype(np.int64) + 1
    come = np.cumsum(counts)
    if come[-1] > MOST_PASSED:
        raise ToolpathError("its beads go to and fro over the plate without end; is it the G-code of a stamp's die?")
    bounds = np.searchsorted(come, np.arange(_AT_A_TIME, come[-1] + _AT_A_TIME, _AT_A_TIME), side="right")
    for part in (slice(*ends) for ends in zip([0, *bounds.tolist()], [*bounds.tolist(), len(beads)], strict=True)):
        first, way = (beads.start[part] - low) / cell, (beads.end[part] - beads.start[part]) / cell
        count = counts[part]
        bead, step = spread_out(np.zeros(len(count), dtype=np.int64), count)
        share = step / np.maximum(count - 1, 1)[bead]
        at = np.floor(first[bead] + way[bead] * share[:, None]).astype(np.int64)
        cells = np.clip(at[:, 1], 0, rows - 1) * columns + np.clip(at[:, 0], 0, columns - 1)
        passed[cells] = True
        own[part] = cells[np.cumsum(count) - count]
    nodes = np.flatnonzero(passed)
    number = np.full(len(passed), -1)
    number[nodes] = np.arange(len(nodes))
    grid = number.reshape(rows, columns)
    links = []
    for up, right in _AROUND:
        one = grid[: rows - up, max(0, -right) : columns - max(0, right)]
        other = grid[up:, max(0, right) : columns + min(0, right)]
        both = (one >= 0) & (other >= 0)
        links.append(np.column_stack((one[both], other[both])))
    return np.asarray(least_labels(len(nodes), np.vstack(links))[number[own]])


def _thing(beads: Beads) -> Thing:
    steps = np.rint(beads.top.astype(np.float64) / LEVEL).astype(np.int32)
    opens = np.flatnonzero(np.diff(steps, prepend=steps[0] - 1))
    levels, level_of = np.unique(steps[opens], return_inverse=True)
    at = np.repeat(level_of.astype(np.int32), np.diff(opens, append=len(steps)))
    laid = np.bincount(at, beads.volume)
    kept = (laid >= LEAST_LAID) & (levels > 0)
    if kept.sum() > MOST_LAYERS:
        raise ToolpathError(
            f"a thing in it has more than {MOST_LAYERS} layers: its nozzle climbs all along; slice it in layers"
        )
    tops = levels[kept] * LEVEL
    rises = np.diff(tops)
    pitch = float(np.median(rises)) if len(rises) else float(tops[0]) if len(tops) else THICKEST
    # Laid layer by layer, as nearly all are, they need no copy: of a large file it takes hundreds of megabytes.
    if (np.diff(at) < 0).any():
        order = np.argsort(at, kind="stable")
        beads, at = beads.those(order), at[order]
    bounds = np.searchsorted(at, np.arange(len(levels) + 1))
    layers = []
    for number, level in enumerate(np.flatnonzero(kept).tolist()):
        rise = float(rises[number - 1]) if number else float(tops[0])
        height = pitch if (not number and rise > THICKEST) else rise
        those = beads.those(slice(bounds[level], bounds[level + 1]))
        layers.append(LaidLayer(number + 1, float(tops[number]), height, those))
    return Thing(tuple(layers), pitch)

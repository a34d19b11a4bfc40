"""What the die stands on and what stands by it, told by geometry: rafts, walls round it, towers, other dies.

A raft is what lies below as much as a die is too high, and stands out round its floor on every side. Without a job's
height it is known by its lowest layer, which is laid sparsely.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from .beads import Beads
from .covers import Covers
from .plate import LaidLayer, Thing, find_things

OUT = 0.4
"""mm by which a raft's paths stand out past the die's floor on every side, at least."""

SPANS = 2.5
"""Half the distance, mm, up to which the lines of a raft lie apart."""

NEAR_BASE = 0.1
"""Share by which the outline that stands on a raft may be larger or smaller than the die's base."""

SPARSE = 0.85
"""Share of its outline that the lowest layer of a raft fills at most, where no job tells the die's height."""

APART = 0.2
"""mm that a wall round a die keeps from it, at least: lines of the die itself, fed too little, lie nearer."""

GAP = 1.2
"""Rise from one layer to the next, in usual ones, from which on the nozzle leaves a gap over a raft."""

SAME_LAYERS = 0.5
"""mm by which the bounds of a tower's layers differ at most."""

SMALL = 0.35
"""Share of the die's bounds that a tower stands on at most."""

ALIKE = 0.03
"""Share by which the volume of a second die of one kind may differ."""


@dataclass(frozen=True)
class Raft:
    """What a die stands on: ``layers`` of it, and its ``height`` up to the die's floor, mm, with the gap under that."""

    layers: int
    height: float


def without_raft(thing: Thing, height: float | None, area: float | None) -> tuple[tuple[Thing, ...], Raft | None]:
    """Return what stands on a thing's raft, heights counted from above that, and the raft; the thing itself if on none.

    ``height``, mm, and ``area`` of its base, mm²: of the die, where they are known.
    """
    layers = thing.layers
    tops = np.array([layer.top for layer in layers])
    for at, lift in (*_by_height(tops, thing.pitch, height), *_by_gap(thing, tops)):
        if _stands_out(layers[at - 1], layers[at]):
            above = find_things(_lifted(thing, at, lift))
            if height is None or area is None or any(_is_die(part, height, area) for part in above):
                return above, Raft(at, lift)
    return (thing,), None


def _is_die(thing: Thing, height: float, area: float) -> bool:
    """Whether a thing is as high and as large as a die."""
    return abs(thing.layers[-1].top - height) < 0.6 * thing.pitch and abs(_broadest(thing) / area - 1) < NEAR_BASE


def _by_height(tops: NDArray[np.float64], pitch: float, height: float | None) -> Iterator[tuple[int, float]]:
    """Yield the first layer over what is too high for a die of a height, and how high that is, mm."""
    lift = 0.0 if height is None else float(tops[-1]) - height
    at = int(np.searchsorted(tops, lift + 0.3 * pitch))
    if lift >= 0.5 * pitch and 0 < at < len(tops) - 1:
        yield at, lift


def _by_gap(thing: Thing, tops: NDArray[np.float64]) -> Iterator[tuple[int, float]]:
    """Yield the first layer over a gap, or over a lower one that stands out, where the lowest is laid sparsely."""
    layers = thing.layers
    half = [at for at in range(1, len(layers) // 2) if _stands_out(layers[at - 1], layers[at])]
    if half and _fills(thing) <= SPARSE:
        rises = np.diff(tops)
        at = next((at for at in reversed(half) if rises[at - 1] > GAP * thing.pitch), max(half[0], 2))
        yield at, float(tops[at]) - min(float(rises[at - 1]), thing.pitch)


def _stands_out(below: LaidLayer, layer: LaidLayer) -> bool:
    """Whether a layer's paths stand out past those of the one above it, on every side."""
    return bool((np.subtract(layer.bounds, below.bounds) * (1, 1, -1, -1) >= OUT).all())


def _fills(thing: Thing) -> float:
    """Return how much of what it spans the lowest layer fills."""
    spans = Covers(thing)[0].buffer(SPANS, quad_segs=2).buffer(-SPANS, quad_segs=2)
    return float(thing.layers[0].volume / thing.layers[0].height / max(spans.area, 1e-9))


def _broadest(thing: Thing) -> float:
    """Return the area of the broadest outline in the lower half of a thing, mm²; what lies lowest may have a brim."""
    half = range(min(1, len(thing.layers) - 1), max(2, len(thing.layers) // 2))
    at = max(half, key=lambda at: round(_spread(thing.layers[at]), 2))
    return float(Covers(thing).outline(at).area)


def _spread(layer: LaidLayer) -> float:
    left, front, right, back = layer.bounds
    return (right - left) * (back - front)


def _lifted(thing: Thing, first: int, lift: float) -> Beads:
    """Return the beads of a thing from one of its layers on, lower by ``lift``, mm."""
    above = [layer.beads for layer in thing.layers[first:]]
    beads = Beads(
        **{name: np.concatenate([getattr(each, name) for each in above]) for name in Beads.__dataclass_fields__}
    )
    return replace(beads, top=beads.top - np.float32(lift))


def without_walls(thing: Thing, floor: int, *, alone: bool) -> tuple[Thing, int]:
    """Return a thing without the walls round it that are not joined to it, and how many layers these have.

    ``floor``: place of the layer that shows its outline. ``alone``: what else lies there beside the largest part is
    none of it, either.
    """
    parts = shapely.get_parts(Covers(thing)[floor])
    if len(parts) < 2:
        return thing, 0
    die = parts[int(np.argmax(shapely.area(parts)))]
    around = np.array([shapely.Polygon(part.exterior).contains(die.representative_point()) for part in parts])
    others = parts[(parts != die) & (around | alone) & (shapely.distance(parts, die) >= APART)]
    if not len(others):
        return thing, 0
    reach = float(shapely.distance(others, die).min()) / 2
    outline = shapely.Polygon(die.exterior).buffer(reach, quad_segs=4)
    shapely.prepare(outline)
    layers = [_inside(layer, outline) for layer in thing.layers]
    kept = [layer for layer in layers if layer is not None]
    less = sum(len(one.beads) > (len(two.beads) if two else 0) for one, two in zip(thing.layers, layers, strict=True))
    kept = [replace(layer, number=number + 1) for number, layer in enumerate(kept)]
    return Thing(tuple(kept), thing.pitch), less


def _inside(layer: LaidLayer, outline: shapely.Polygon) -> LaidLayer | None:
    """Return what of a layer lies inside an outline; None for nothing."""
    middles: NDArray[np.float64] = (layer.beads.start + layer.beads.end).astype(np.float64) / 2
    inside = shapely.contains_xy(outline, *middles.T)
    if not inside.any():
        return None
    return layer if inside.all() else replace(layer, beads=layer.beads.those(inside))


def is_same_die(thing: Thing, die: Thing) -> bool:
    """Whether a thing is as high and as large as the die."""
    near = abs(thing.layers[-1].top - die.layers[-1].top) < 0.5 * die.pitch
    return near and abs(thing.volume / die.volume - 1) < ALIKE


def is_around(thing: Thing, die: Thing) -> bool:
    """Whether a thing stands round the die."""
    one, other = _bounds(thing), _bounds(die)
    return bool((np.subtract(other, one) * (1, 1, -1, -1) > 0).all())


def is_tower(thing: Thing, die: Thing) -> bool:
    """Whether a thing is small, the same in every layer, and no higher than the die."""
    bounds = np.array([layer.bounds for layer in thing.layers[1:] or thing.layers])
    left, front, right, back = _bounds(die)
    small = max(map(_spread, thing.layers)) < SMALL * (right - left) * (back - front)
    return bool(small and np.ptp(bounds, axis=0).max() <= SAME_LAYERS and _top(thing) <= _top(die) + 2 * die.pitch)


def _top(thing: Thing) -> float:
    return thing.layers[-1].top


def _bounds(thing: Thing) -> tuple[float, float, float, float]:
    bounds = np.array([layer.bounds for layer in thing.layers])
    return (*bounds[:, :2].min(axis=0).tolist(), *bounds[:, 2:].max(axis=0).tolist())

"""How dark ink came out over the whole face of a print, place by place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from ...plane.overlays import without
from ..finding.scans import Scan
from ..finding.views import View, as_seen
from ..finding.vision import vision
from ..testdie import Chart

Floats = NDArray[np.float64]

CELL = 25.4 / 120.0
"""Side of the squares over which darkness is averaged, mm."""

_LOOKS = 0.08  # mm between places that are looked at
_LOOKS_BARE = 0.2  # mm; paper changes more slowly
_FEW = 4
_PAPER = 0.4  # mm off any edge of the face, and its blur, that paper is taken from: ink creeps less far
_REACH = 3.0  # mm: how far off paper counts


@dataclass(frozen=True, eq=False)
class FaceTones:
    """How dark ink is over the face, by cells.

    ``places``: (n, 2) mm, chart frame; ``darkness``: (n,), 0 paper to 1 black; ``looks``: (n,), how many were averaged.
    """

    places: Floats
    darkness: Floats
    looks: Floats


def face_tones(scan: Scan, chart: Chart, view: View, *, blur: float, power: float) -> FaceTones:
    """Return how dark a print is wherever its face has ink, beside the paper next to it.

    All of the face speaks, not its broad lines alone, but what lies so near an edge that the picture blurs it with
    paper. ``blur``: of the print's edges, mm; ``power``: brightness is taken to it.
    """
    ink = _looked_at(scan, view, chart.inked.buffer(-0.6 * blur), _LOOKS, power)
    bare = without(shapely.box(*chart.inked.bounds).buffer(_REACH), chart.inked.buffer(blur + _PAPER))
    paper = _paper_over(_looked_at(scan, view, bare, _LOOKS_BARE, power), chart.size / 2.0 + 2.0 * _REACH)
    places, levels = ink
    darkness = np.clip(1.0 - levels / paper(places), -0.5, 1.0)
    cells = np.floor(places / CELL).astype(np.int64)
    _, which, count = np.unique(cells, axis=0, return_inverse=True, return_counts=True)
    which = which.reshape(-1)

    def mean(values: Floats) -> Floats:
        return np.asarray(np.bincount(which, values) / count)

    kept = count >= _FEW
    middles = np.stack((mean(places[:, 0]), mean(places[:, 1])), axis=-1)
    return FaceTones(middles[kept], mean(darkness)[kept], count[kept].astype(np.float64))


def _looked_at(scan: Scan, view: View, region: shapely.Geometry, step: float, power: float) -> tuple[Floats, Floats]:
    """Return places in a region, (n, 2) mm, a step apart, and brightness there."""
    left, bottom, right, top = region.bounds
    x, y = np.meshgrid(np.arange(left + step / 2, right, step), np.arange(bottom + step / 2, top, step))
    shapely.prepare(region)
    inside = shapely.contains_xy(region, x, y)
    places = np.stack((x[inside], y[inside]), axis=-1)
    return places, np.maximum(as_seen(scan.level, view.project(places), vision()), 0.0).astype(np.float64) ** power


def _paper_over(bare: tuple[Floats, Floats], half: float) -> Callable[[Floats], Floats]:
    """Return the brightness of paper at any places within ``half`` of the middle, from that of bare places nearby."""
    cv2 = vision()
    places, levels = bare
    side = 2 * round(half / CELL) + 1

    def laid(weights: Floats) -> NDArray[np.float32]:
        column, row = np.clip(np.floor(places / CELL).astype(np.int64) + side // 2, 0, side - 1).T
        sums = np.bincount(row * side + column, weights, minlength=side * side).reshape(side, side)
        return np.asarray(cv2.GaussianBlur(sums.astype(np.float32), (0, 0), _REACH / CELL))

    mean = laid(levels) / np.maximum(laid(np.ones_like(levels)), 1e-6)

    def at(where: Floats) -> Floats:
        cells = where / CELL + side // 2 - 0.5
        return np.maximum(as_seen(mean, cells, cv2).astype(np.float64), 0.05)

    return at

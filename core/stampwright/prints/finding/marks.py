"""The corner marks of test dies in a picture: rings with a dot, whatever their size, turn and perspective."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from ..testdie.chart import MARK_RINGS
from .scans import Scan
from .vision import vision

_LONG_SIDE = 3600  # pixels that are looked over first
_LEAST_ACROSS = 11.0  # pixels of a mark's outer ring: under this, its white ring is not seen
_OFF_CENTRE = 0.12  # that the middles of rings may differ, of the outer diameter
_LEAST_ROUND = 0.05  # deviation of an outline's radius, of the radius; a square has 0.1
_CUTS = (0.62, 0.75, 0.5, 0.85)  # of the paper's brightness: between ink and paper, tried one after the other


class CornerMark(NamedTuple):
    """A mark in a picture: its middle and the mean diameter of its outer ring, pixels, and how many it may be off."""

    x: float
    y: float
    across: float


def find_marks(scan: Scan) -> Iterator[list[CornerMark]]:
    """Yield the marks in a scan, as seen in several ways, the quickest first."""
    cv2 = vision()
    largest = max(scan.shape)
    shrinks = [1.0] if largest <= _LONG_SIDE else [_LONG_SIDE / largest, 1.0]
    for shrink in shrinks:
        level = scan.level if shrink == 1.0 else cv2.resize(scan.level, None, fx=shrink, fy=shrink, interpolation=3)
        # A touch of blur keeps paper and speckle from breaking outlines.
        smooth = cv2.GaussianBlur(level, (0, 0), 0.8)
        for cut in _CUTS:
            yield [
                CornerMark((mark.x + 0.5) / shrink - 0.5, (mark.y + 0.5) / shrink - 0.5, mark.across / shrink)
                for mark in _rings(np.asarray(smooth < cut, dtype=np.uint8), cv2)
            ]


def _rings(ink: NDArray[np.uint8], cv2: Any) -> Iterator[CornerMark]:
    """Yield black rings with a dot in their middle: three outlines inside each other, round and of fitting sizes."""
    outlines, tree = cv2.findContours(ink, cv2.RETR_TREE, cv2.CHAIN_APPROX_NONE)
    if tree is None:
        return
    children: dict[int, list[int]] = {}
    for index, parent in enumerate(tree[0][:, 3].tolist()):
        children.setdefault(parent, []).append(index)
    for hole, dots in children.items():
        if hole < 0 or tree[0][hole, 3] < 0 or len(outlines[hole]) < 12:
            continue
        outer = int(tree[0][hole, 3])
        # Speckle may lie in the white ring: the dot is the largest thing there.
        dot = max(dots, key=lambda at: len(outlines[at]))
        if len(outlines[outer]) < np.pi * _LEAST_ACROSS * 0.8 or len(outlines[dot]) < 6:
            continue
        mark = _as_mark([outlines[at].reshape(-1, 2) for at in (outer, hole, dot)], cv2)
        if mark is not None:
            yield mark


def _as_mark(rings: list[NDArray[np.int32]], cv2: Any) -> CornerMark | None:
    # Outlines run through the middles of the outermost pixels: half a pixel inside ink, half outside paper.
    ellipses = [_ellipse(ring, cv2, out) for ring, out in zip(rings, (1.0, -1.0, 1.0), strict=True)]
    if any(each is None for each in ellipses):
        return None
    middles = np.array([each[0] for each in ellipses if each is not None])
    sizes = np.array([each[1] for each in ellipses if each is not None])
    across = float(np.sqrt(sizes[0].prod()))
    if across < _LEAST_ACROSS or sizes[0].min() < 0.35 * sizes[0].max():
        return None
    if np.hypot(*(middles - middles[0]).T).max() > _OFF_CENTRE * across:
        return None
    outer, inner, dot = np.sqrt(sizes.prod(axis=1))
    # Ink spreads by the same on every edge: the sum of outer and inner diameter stays, the others give the spread.
    unit = (outer + inner) / (MARK_RINGS[0] + MARK_RINGS[1])
    grown = (outer - MARK_RINGS[0] * unit + dot - MARK_RINGS[2] * unit) / 2.0
    if not -1.6 * unit < grown < 1.6 * unit or abs(dot - MARK_RINGS[2] * unit - grown) > 0.9 * unit:
        return None
    x, y = np.average(middles, axis=0, weights=(1.0, 1.0, 0.5))
    return CornerMark(float(x), float(y), float(MARK_RINGS[0] * unit))


def _ellipse(ring: NDArray[np.int32], cv2: Any, out: float) -> tuple[tuple[float, float], NDArray[np.float64]] | None:
    """Return middle and both diameters of an outline, if it is an ellipse; its filled form is what is measured."""
    moments = cv2.moments(ring.reshape(-1, 1, 2))
    area = moments["m00"]
    if area < 3.0:
        return None
    spread = np.array([[moments["mu20"], moments["mu11"]], [moments["mu11"], moments["mu02"]]]) / area
    axes = 4.0 * np.sqrt(np.maximum(np.linalg.eigvalsh(spread), 1e-9))
    if abs(np.pi / 4.0 * axes.prod() / area - 1.0) > 0.12 + 1.5 / np.sqrt(area):
        return None
    # Of a square, as codes have them, corners stand out by two fifths.
    middle = np.array([moments["m10"], moments["m01"]]) / area
    away = np.linalg.solve(np.linalg.cholesky(spread), (ring - middle).T)
    if np.std(np.hypot(*away)) > 2.0 * (_LEAST_ROUND + 0.4 / np.sqrt(area)):
        return None
    return (moments["m10"] / area, moments["m01"] / area), axes + out

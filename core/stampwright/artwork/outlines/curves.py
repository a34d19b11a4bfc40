"""Outlines as lines and cubic curves, and their flattening to points within a tolerance."""

from __future__ import annotations

import math
from array import array
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]

MOVE, LINE, CURVE, PART = 0, 1, 2, 3
"""Kinds of step; a part is a piece of an arc that another piece of it follows, so that its end is no vertex."""

ARC_PIECE = math.pi / 4
"""Radians of an arc drawn as one cubic curve; at this size the curve strays by 4e-6 of the radius (Goldapp 1991)."""

Step = tuple[int, float, float, float, float, float, float, float, float]
"""(kind, x0, y0, x1, y1, x2, y2, x3, y3): from point 0 to point 3 with controls 1 and 2; a move has only point 3."""


@dataclass(frozen=True, eq=False)
class Outline:
    """Subpaths of lines and cubic curves.

    ``corners``: (n, 4, 2) float, the four control points of each step, user units. ``kinds``: (n,) int, MOVE, LINE,
    CURVE or PART; every subpath begins with a MOVE. ``closed``: (m,) bool, one for each subpath.
    """

    corners: Points
    kinds: NDArray[np.int8]
    closed: NDArray[np.bool_]

    @property
    def starts(self) -> NDArray[np.intp]:
        """Index of each subpath's first step."""
        return np.flatnonzero(self.kinds == MOVE)


@dataclass(frozen=True, eq=False)
class Polylines:
    """Flattened subpaths.

    ``points``: (n, 2) float. ``starts``: (m + 1,) int, where each begins and the last ends. ``closed``: (m,) bool.
    ``smooth``: (n,) bool, True at points inside a curve, where there is no corner to join.
    """

    points: Points
    starts: NDArray[np.intp]
    closed: NDArray[np.bool_]
    smooth: NDArray[np.bool_]

    def rings(self) -> list[Points]:
        """Return every subpath's points."""
        return [self.points[start:end] for start, end in zip(self.starts[:-1], self.starts[1:], strict=True)]


def outline_from_steps(steps: Sequence[Step] | array[float], closed: list[bool]) -> Outline:
    """Return the outline made of ``steps``, given one by one or as one flat array."""
    table: Any = np.array(steps, dtype=np.float64).reshape(-1, 9)
    return Outline(table[:, 1:].reshape(-1, 4, 2), table[:, 0].astype(np.int8), np.array(closed, dtype=bool))


def transformed(outline: Outline, matrix: Sequence[float]) -> Outline:
    """Return the outline taken through ``matrix``, (a, b, c, d, e, f) as in SVG; exact: cubic curves stay such."""
    a, b, c, d, e, f = matrix
    corners = outline.corners @ np.array([[a, b], [c, d]]) + (e, f)
    return Outline(corners, outline.kinds, outline.closed)


def count_pieces(outline: Outline, tolerance: float, half_width: float = 0.0) -> NDArray[np.intp]:
    """Return into how many straight pieces each step is cut, (n,) int.

    ``tolerance``: how far a chord may stray from the curve, in the outline's units. A stroke's outer edge turns with a
    radius greater by ``half_width``; its chords are kept within the tolerance too. Formula: Wang 1984, the bound by
    second differences; for an offset edge the turning of the control polygon squared times the half width is added.
    """
    pieces = np.ones(len(outline.kinds), dtype=np.intp)
    curved = np.flatnonzero(outline.kinds >= CURVE)
    if not len(curved):
        return pieces
    corners = outline.corners[curved]
    bends = np.diff(corners, n=2, axis=1)
    greatest = np.sqrt((bends**2).sum(axis=2).max(axis=1))
    squared = 0.75 * greatest / tolerance
    if half_width > 0:
        legs = np.diff(corners, axis=1)
        cross = legs[:, :-1, 0] * legs[:, 1:, 1] - legs[:, :-1, 1] * legs[:, 1:, 0]
        dot = (legs[:, :-1] * legs[:, 1:]).sum(axis=2)
        turning = np.abs(np.arctan2(cross, dot)).sum(axis=1)
        squared = squared + turning**2 * half_width / (8 * tolerance)
    with np.errstate(invalid="ignore"):
        pieces[curved] = np.clip(np.ceil(np.sqrt(squared)), 1, 1e7)
    return pieces


def flattened(outline: Outline, pieces: NDArray[np.intp]) -> Polylines:
    """Return the outline as points, each curve cut into equal steps of its parameter as ``count_pieces`` said."""
    kinds, corners = outline.kinds, outline.corners
    ends = np.cumsum(pieces)
    begins = ends - pieces
    starts = np.append(begins[outline.starts], ends[-1] if len(ends) else 0)
    if len(pieces) == len(kinds) and not (kinds >= CURVE).any():
        return Polylines(corners[:, 3], starts, outline.closed, np.zeros(len(kinds), dtype=bool))
    total = int(ends[-1])
    points = np.empty((total, 2))
    smooth = np.ones(total, dtype=bool)
    last = ends - 1
    points[last] = corners[:, 3]
    smooth[last] = False
    inner = np.flatnonzero(smooth)
    smooth[last] = kinds == PART
    owner = np.repeat(np.arange(len(pieces)), pieces)[inner]
    t = ((inner - begins[owner] + 1) / pieces[owner])[:, None]
    s = 1 - t
    p = corners[owner]
    points[inner] = s * s * s * p[:, 0] + 3 * s * s * t * p[:, 1] + 3 * s * t * t * p[:, 2] + t * t * t * p[:, 3]
    return Polylines(points, starts, outline.closed, smooth)

"""How the relief gives way under each place of the face: slim lines more than broad areas, filled cores less."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..contact.rolling import Rolling
from ..impression import HeightMap
from .conditions import PressConditions
from .stiffness import BULK_MODULUS, infill_stiffness

Floats = NDArray[np.float64]
Tones = NDArray[np.float32]

_BLOCK = 0.25  # mm; measures of the face are taken over squares of about this side
_WIDEST = 1e3  # mm; stands for a place from which no edge is in sight


@dataclass(frozen=True, eq=False)
class Blocks:
    """A coarse map: ``values`` (rows, columns) float, one per square of ``side`` pixels of the fine map."""

    values: Floats
    side: int

    def at(self, row: NDArray[np.intp], column: NDArray[np.intp]) -> Floats:
        """Return the values at fine pixels (n,) by linear blending between the squares' middles."""
        if self.side == 1:
            return np.asarray(self.values[row, column])
        down = np.clip((row + 0.5) / self.side - 0.5, 0.0, self.values.shape[0] - 1.000001)
        across = np.clip((column + 0.5) / self.side - 0.5, 0.0, self.values.shape[1] - 1.000001)
        below, left = down.astype(np.intp), across.astype(np.intp)
        v, u = down - below, across - left
        grid, width = np.pad(self.values, ((0, 1), (0, 1)), mode="edge").reshape(-1), self.values.shape[1] + 1
        corner = below * width + left
        low = grid[corner] * (1.0 - u) + grid[corner + 1] * u
        high = grid[corner + width] * (1.0 - u) + grid[corner + width + 1] * u
        return np.asarray(low * (1.0 - v) + high * v)


def column_compliance(widths: Floats, relief: float, conditions: PressConditions) -> Floats:
    """Return how much the relief under a line of each width gives way, mm/MPa.

    ``widths``: any shape, mm. The relief is a strip held at its foot and, by friction, at the paper, so that its
    modulus is (4/3) E (1 + k S²) with S = width / (2 relief) (Gent and Lindley 1959), in series with the bulk modulus.
    Lines within the walls are solid; broader ones have a filled core beside them.
    """
    walls = np.minimum(1.0, 2.0 * conditions.walls * conditions.line_width / np.maximum(widths, 1e-6))
    core = infill_stiffness(conditions.stiffness, conditions.infill).middle
    stiffness = walls * conditions.stiffness + (1.0 - walls) * core
    # A core with cells takes up what is pressed aside, and so is not stiffened by being held.
    filled = walls + (1.0 - walls) * conditions.infill**2
    held = 4.0 / 3.0 * stiffness * (1.0 + conditions.shape * filled * (widths / (2.0 * relief)) ** 2)
    return np.asarray(relief / held + relief / BULK_MODULUS)


def line_widths(face: HeightMap, rolling: Rolling | None = None) -> Blocks:
    """Return the width of the lines round about, mm: twice the inked area over the length of its edge.

    Both are taken from a square window twice as wide as the relief is high; a place in the middle of a broad area sees
    no edge and comes out very wide. ``rolling``: how the face rolls, if it does: a roller's lines go on over its ends.
    """
    return measure_lines(face, rolling)[0]


def measure_lines(face: HeightMap, rolling: Rolling | None = None) -> tuple[Blocks, Blocks]:
    """Return the width of the lines round about, mm, as :func:`line_widths`, and the share of each square that prints.

    The share is 0 to 1.
    """
    side = max(1, round(_BLOCK / face.pitch))
    reach = max(1, round(face.relief / (side * face.pitch)))
    own = tuple(slice(0, math.ceil(size / side)) for size in face.face.shape)
    printing = face.face
    if rolling is not None and rolling.round_once > 0.0:
        axis, beside = (0 if rolling.upward else 1), reach + 1
        printing = _going_on(face, rolling.round_once, axis, beside * side)
        start = slice(beside, beside + own[axis].stop)
        own = (start, own[1]) if axis == 0 else (own[0], start)
    inked, edge = _measures(printing, side, face.pitch)
    area, length = windowed(inked, reach)[own], windowed(edge, reach)[own]
    cell = (side * face.pitch) ** 2
    widths = np.divide(2.0 * area * cell, length, out=np.full_like(area, _WIDEST), where=length > 1e-9)
    return Blocks(np.clip(widths, face.pitch, _WIDEST), side), Blocks(inked[own], side)


def _going_on(face: HeightMap, round_once: float, axis: int, beside: int) -> NDArray[np.bool_]:
    """Return what of a face prints with ``beside`` more pixels at both ends of an axis, after which it comes again."""
    size, once = face.face.shape[axis], round(round_once / face.pitch)
    # The outermost pixels may lie half beyond the ends.
    first = 1 if size > once else 0
    pixels = first + (np.arange(-beside, size + beside) - first) % once
    return np.asarray(np.take(face.face, np.minimum(pixels, size - 1), axis=axis))


def _measures(printing: NDArray[np.bool_], side: int, pitch: float) -> tuple[Floats, Floats]:
    """Return inked share and length of edge (mm) of each square of ``side`` pixels."""
    rows, columns = (math.ceil(size / side) * side for size in printing.shape)
    ink = np.zeros((rows + 2, columns + 2), dtype=np.float32)
    ink[1 : printing.shape[0] + 1, 1 : printing.shape[1] + 1] = printing
    # The tone's slope adds up to the length of the edge, whichever way it runs; stairs of pixels do not. Softened by
    # half a pixel it is true to 3 %.
    low, high = _softened(ink[:-1], ink[1:])
    rise, both = high - low, high + low
    slope = np.hypot(rise[:, 1:] + rise[:, :-1], both[:, 1:] - both[:, :-1]) * np.float32(0.5 * pitch)
    blocks = (rows // side, side, columns // side, side)
    share = ink[1:-1, 1:-1].reshape(blocks).mean(axis=(1, 3), dtype=np.float64)
    return share, slope.reshape(blocks).sum(axis=(1, 3), dtype=np.float64)


def _softened(low: Tones, high: Tones) -> tuple[Tones, Tones]:
    """Return the lower and upper lines of the map of means over two by two pixels."""
    pairs = (low + high) * np.float32(0.25)
    means = pairs[:, 1:] + pairs[:, :-1]
    return means[:-1], means[1:]


def windowed(values: Floats, reach: int) -> Floats:
    """Return sums over squares of 2 reach + 1 by 2 reach + 1, what lies outside counting nothing."""
    for axis in (0, 1):
        width = [(0, 0), (0, 0)]
        width[axis] = (reach + 1, reach)
        running = np.cumsum(np.pad(values, width), axis=axis)
        ahead, behind = [slice(None), slice(None)], [slice(None), slice(None)]
        ahead[axis], behind[axis] = slice(2 * reach + 1, None), slice(None, -2 * reach - 1)
        values = running[tuple(ahead)] - running[tuple(behind)]
    return values

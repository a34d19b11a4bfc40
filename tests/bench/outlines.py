"""Times what outlines may cost at worst, and how it grows, up to a million points.

Each row is one shape at a growing number of points: seconds, and their growth over that of n log n (1 or less is as
good). A row ends where a shape is refused for a limit, or took more than :data:`LONGEST`.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import fields
from math import log
from time import process_time

import numpy as np
import shapely
from stampwright.artwork.codes_seen import see_codes
from stampwright.artwork.limits import Limits
from stampwright.artwork.made import make_artwork
from stampwright.artwork.outlines.filling import filled
from stampwright.errors import ArtworkError
from stampwright.job.pieces import QrCode
from stampwright.preflight.widths.middles import measure_line_widths
from stampwright.preflight.widths.places import find_places

LONGEST = 30.0
"""Seconds after which a shape is not tried any larger."""

SIZES = (500, 1_800, 8_006, 30_000, 100_000, 256_000, 1_000_000)


def main() -> None:
    """Print a row for each shape, in seconds of the processor."""
    print(f"{'seconds (growth over n log n)':<44}" + "".join(f"{size:>19,}" for size in SIZES))
    for name, work in WORKS.items():
        print(f"{name:<44}" + "".join(f"{cell:>19}" for cell in _cells(work)), flush=True)
    took = _timed(lambda: make_artwork((QrCode(text="Mossgate " * 40, version=40),)))
    print(f"\nQR symbol of version 40 made: {took:.2f} s")
    squares = shapely.union_all([_finder(10 * x, 10 * y) for x in range(8) for y in range(8)])
    print(f"64 finder squares looked at: {_timed(lambda: see_codes(squares)):.2f} s")


def _cells(work: Callable[[int], Callable[[], object]]) -> list[str]:
    cells: list[str] = []
    limits = [field.name for field in fields(Limits)]
    before: tuple[int, float] | None = None
    for size in SIZES:
        begun = process_time()
        try:
            took = _timed(work(size))
        except ArtworkError as error:
            limit = next((word for word in limits if f"({word}=" in str(error)), "refused")
            cells.append(f"{limit} {process_time() - begun:.1f}")
            break
        growth = took / before[1] * before[0] * log(before[0]) / (size * log(size)) if before else 1.0
        cells.append(f"{took:.2f} ({growth:.1f})")
        before = size, max(took, 0.001)
        if took > LONGEST:
            break
    return cells


def _timed(work: Callable[[], object]) -> float:
    begun = process_time()
    work()
    return process_time() - begun


def _ring(radius: float | np.ndarray, points: int, turns: float = 1.0) -> np.ndarray:
    angle = np.linspace(0, 2 * np.pi * turns, points, endpoint=False)
    return np.column_stack((np.cos(angle), np.sin(angle))) * np.broadcast_to(radius, points)[:, None]


def _random_path(rule: str) -> Callable[[int], Callable[[], object]]:
    return lambda size: lambda: filled([np.random.default_rng(1).random((size, 2)) * 100], rule)


def _concentric(size: int) -> Callable[[], object]:
    rings = [_ring(radius + 1.0, 64) for radius in range(max(2, size // 64))]
    return lambda: filled(rings, "evenodd")


def _rosette(size: int) -> Callable[[], object]:
    """Return how a closed line that crosses itself a few times is filled, finely drawn."""
    angle = np.linspace(0, 6 * np.pi, size, endpoint=False)
    rings = [_ring(50 + 10 * np.sin(angle / 3), size, turns=3)]
    return lambda: filled(rings, "nonzero")


def _noisy_ring(size: int) -> Callable[[], object]:
    rings = [_ring(50 + np.random.default_rng(2).normal(0, 0.2, size), size)]
    return lambda: filled(rings, "nonzero")


def _squares(size: int) -> Callable[[], object]:
    side = max(1, round((size / 4) ** 0.5))
    square = np.array([[0, 0], [0.9, 0], [0.9, 0.9], [0, 0.9]])
    return lambda: filled([square + np.array([x, y]) for x in range(side) for y in range(side)], "nonzero")


def _noisy_spike(size: int) -> Callable[[], object]:
    chance, half = np.random.default_rng(3), size // 2
    along = np.linspace(0, 1, half)
    edge = 0.15 * (1 - along) + 0.02
    upper = np.column_stack((5 * along, edge + chance.normal(0, 0.002, half)))
    lower = np.column_stack((5 * along, -edge + chance.normal(0, 0.002, half)))[::-1]
    spike = shapely.Polygon(np.vstack((upper, lower)))
    return lambda: find_places(measure_line_widths(spike, below=0.8), 0.4)


def _finder(x: float, y: float) -> shapely.Polygon:
    ring = shapely.box(x, y, x + 7, y + 7).difference(shapely.box(x + 1, y + 1, x + 6, y + 6))
    return ring.union(shapely.box(x + 2, y + 2, x + 5, y + 5))


WORKS: dict[str, Callable[[int], Callable[[], object]]] = {
    "random path, nonzero": _random_path("nonzero"),
    "random path, even-odd": _random_path("evenodd"),
    "concentric rings of 64 points": _concentric,
    "rosette that crosses itself": _rosette,
    "noisy ring that crosses itself": _noisy_ring,
    "squares side by side": _squares,
    "noisy spike of 5 mm, its widths and places": _noisy_spike,
}

if __name__ == "__main__":
    sys.exit(main())

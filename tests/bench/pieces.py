"""Five pieces of art for the bench, from 100 to 100,000 outline points: heads of lobed seeds, each with a hole."""

from __future__ import annotations

from pathlib import Path

import numpy as np

SIZES = (100, 1_000, 3_000, 30_000, 100_000)
"""Outline points of the pieces; 3,000 is a detailed mark by hand, 100,000 a traced etching."""

ACROSS = 46.0
"""Width of every piece, mm: fine art is finer, not larger."""

GOLDEN = np.pi * (3 - np.sqrt(5))
"""Angle from seed to seed in a seed head, rad (Vogel 1979)."""


def write_piece(points: int, folder: Path) -> Path:
    """Write the piece with about so many outline points as an SVG and return its path."""
    rings = seed_head(points)
    drawn = "".join("M" + " ".join(f"{x:.5f},{y:.5f}" for x, y in ring) + "Z" for ring in rings)
    half = ACROSS / 2
    path = folder / f"seed-head-{points}.svg"
    path.write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{ACROSS}mm" height="{ACROSS}mm" '
        f'viewBox="{-half} {-half} {ACROSS} {ACROSS}"><path fill-rule="evenodd" d="{drawn}"/></svg>',
        encoding="utf-8",
    )
    return path


def seed_head(points: int) -> list[np.ndarray]:
    """Return the rings of a seed head: (k, 2) floats, mm; a seed and its hole by turns.

    Both grow with the root of the number of points: how many seeds there are, and how finely each is drawn.
    """
    seeds = max(3, round(np.sqrt(points) / 2))
    outer = max(8, round(points / seeds * 2 / 3))
    inner = max(4, round(points / seeds) - outer)
    spacing = (ACROSS / 2 - 0.5) / (np.sqrt(seeds) + 0.5)
    rings = []
    for number in range(seeds):
        away, turn = spacing * np.sqrt(number + 0.5), number * GOLDEN
        middle = away * np.array([np.cos(turn), np.sin(turn)])
        rings.append(middle + _lobed(spacing * 0.78, outer, lobes=max(3, outer // 24)))
        rings.append(middle + _lobed(spacing * 0.36, inner, lobes=3))
    return rings


def _lobed(radius: float, points: int, lobes: int) -> np.ndarray:
    angles = np.linspace(0, 2 * np.pi, points, endpoint=False)
    reach = radius * (1 + 0.08 * np.cos(lobes * angles))
    return np.column_stack([reach * np.cos(angles), reach * np.sin(angles)])

"""What lies on the table beside the stamp: the sheet of paper, the ink pad, the ground itself. Lengths in metres."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import bpy
import numpy as np

if TYPE_CHECKING:
    from bpy.types import Mesh

MM = 0.001

PADS = ((34.0, 34.0), (68.0, 48.0))
"""Width and depth of the tins of a very small ink pad and of a small one, mm (common practice); larger stamps have
larger ones."""

AROUND = 10.0
"""An ink pad is at least this much longer and wider than the die that is inked on it, mm."""

THICK = 0.3
"""Thickness of the sheet, mm: card of some 250 g/m² (common practice)."""


def sheet(name: str, width: float, height: float) -> Mesh:
    """Return a sheet of card with its upper side at z = 0 and its middle at the origin."""
    # Square corners, as card is cut: round ones leave slivers across the picture, on which EEVEE errs.
    outline = np.array([(1, 1), (-1, 1), (-1, -1), (1, -1)]) * (width / 2, height / 2)
    return _stacked(name, [(outline, -THICK * MM), (outline, 0.0)])


def ink_pad(name: str, needed: tuple[float, float]) -> tuple[Mesh, Mesh]:
    """Return tin and felt of an ink pad for a die of this width and height, standing on z = 0."""
    least = [size / MM + 2 * AROUND for size in needed]
    usual = PADS[0] if least[0] <= PADS[0][0] and least[1] <= PADS[0][1] else PADS[1]
    width, depth = (max(each) * MM for each in zip(usual, least, strict=True))
    radius = 7.0 * MM

    def inset(by: float, height: float) -> tuple[Any, float]:
        return _rounded(width - 2 * by * MM, depth - 2 * by * MM, radius - by * MM), height * MM

    # From the foot up the outside, over the rolled rim, and down to the felt.
    outside = [(0.8, 0.0), (0.0, 0.8), (0.0, 10.6), (0.3, 11.3), (0.9, 11.6), (1.5, 11.3), (1.8, 10.6), (1.8, 7.0)]
    tin = _stacked(f"{name} tin", [inset(by, height) for by, height in outside])
    cushion = [(2.0, 7.0), (2.0, 8.6), (2.6, 9.2), (3.8, 9.6), (7.0, 9.9), (14.0, 10.1)]
    return tin, _stacked(f"{name} felt", [inset(by, height) for by, height in cushion])


def backdrop(name: str, reach: float) -> Mesh:
    """Return the ground: flat to twice ``reach`` behind the middle, then curved up into a wall without an edge."""
    behind, bend, high = 2.6 * reach, 3.0 * reach, 12.0 * reach
    profile = [(-14.0 * reach, 0.0), (behind, 0.0)]
    turns = np.linspace(0.0, math.pi / 2, 25)[1:]
    profile += [(behind + bend * math.sin(turn), bend - bend * math.cos(turn)) for turn in turns]
    profile.append((behind + bend, high))
    side = 16.0 * reach
    vertices = [(x, y, z) for y, z in profile for x in (-side, side)]
    faces = [(2 * row, 2 * row + 1, 2 * row + 3, 2 * row + 2) for row in range(len(profile) - 1)]
    mesh = bpy.data.meshes.new(name)
    # Smooth: a bend in flat steps has bands all across the picture.
    mesh.from_pydata(vertices, [], faces, shade_flat=False)
    return mesh


def _rounded(width: float, height: float, radius: float, steps: int = 10) -> Any:
    """Return the outline of a rectangle with round corners, (n, 2), counter-clockwise."""
    radius = max(radius, 1e-6)
    turns = np.linspace(0.0, math.pi / 2, steps)
    arc = radius * np.column_stack([np.cos(turns), np.sin(turns)])
    corner = np.array([width / 2 - radius, height / 2 - radius])
    quarters = []
    for quarter in range(4):
        cos, sin = [(1, 0), (0, 1), (-1, 0), (0, -1)][quarter]
        signs = np.array([(1, 1), (-1, 1), (-1, -1), (1, -1)][quarter])
        quarters.append(arc @ np.array([[cos, sin], [-sin, cos]]) + corner * signs)
    return np.vstack(quarters)


def _stacked(name: str, rings: Sequence[tuple[Any, float]]) -> Mesh:
    """Return a mesh with a wall through outlines at their heights, closed at both ends."""
    count = len(rings[0][0])
    vertices = np.vstack([np.column_stack([ring, np.full(count, height)]) for ring, height in rings])
    faces: list[tuple[int, ...]] = [tuple(range(count - 1, -1, -1))]
    for level in range(len(rings) - 1):
        low, high = level * count, (level + 1) * count
        faces += [(low + at, low + (at + 1) % count, high + (at + 1) % count, high + at) for at in range(count)]
    faces.append(tuple(range((len(rings) - 1) * count, len(rings) * count)))
    mesh = bpy.data.meshes.new(name)
    mesh.from_pydata(vertices.tolist(), [], faces)
    mesh.set_sharp_from_angle(angle=math.radians(50))
    return mesh

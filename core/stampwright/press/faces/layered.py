"""The curved face as it comes from the printer: the sides of its layers where it stood, steps where it lay."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..impression import HeightMap


def lay_layers(face: HeightMap, layer: float, *, upward: bool) -> HeightMap:
    """Return a face that was printed standing: a ridge for every layer of ``layer`` mm, running the way that it rolls.

    The sides of lines are taken as half round, so that the valley between two layers lies half a layer under their
    crowns (assumed; the same form as a bead's sides on a flat face). ``upward``: it rolls along y.
    """
    across = face.x[None, :] if upward else face.y[:, None]
    radius = layer / 2.0
    # Layers are counted from the die's end, which is that of the map.
    off_middle = np.abs((across - across.min()) % layer - radius)
    drop = radius - np.sqrt(np.maximum(radius**2 - off_middle**2, 0.0))
    return _lowered(face, np.broadcast_to(drop, face.height.shape))


def lay_steps(face: HeightMap, layer: float, radius: float, *, upward: bool) -> HeightMap:
    """Return a face of ``radius`` mm that was printed lying: level steps of ``layer`` mm that the curve runs through.

    The middle of the face is taken to lie just on a layer (assumed).
    """
    along = face.y[:, None] if upward else face.x[None, :]
    angle = along / radius
    below = radius * (1.0 - np.cos(angle))
    drop = (-below % layer) * np.cos(angle)
    return _lowered(face, np.broadcast_to(drop, face.height.shape))


def _lowered(face: HeightMap, drop: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> HeightMap:
    height = np.where(face.face, face.height - drop, face.height)
    return replace(face, height=height.astype(face.height.dtype))

"""How broad a round pen draws that is moved, turned and scaled with its object: the silhouette of its tube."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from ...stampwright.artwork.drawn import directions

EVEN = 1e-4
"""Share by which an object's scales may differ and still be one."""


def even_scale(matrix: Any) -> float | None:
    """Return the scale of a matrix, (4, 4) float, or None when it is not the same in all directions."""
    sizes = np.linalg.svd(matrix[:3, :3], compute_uv=False)
    return float(sizes.mean()) if sizes[0] - sizes[2] <= EVEN * sizes[0] else None


def pencil_scale(matrix: Any) -> float:
    """Return by how much the host draws pencil lines broader through a matrix, (4, 4) float, wherever they run.

    It takes how long what runs along all three axes alike becomes.
    """
    return float(np.linalg.norm(matrix[:3, :3].sum(axis=1))) / math.sqrt(3.0)


def widened(course: Any, placed: Any, matrix: Any, *, closed: bool) -> Any:
    """Return by how much a pen is broader as seen than as drawn at each point of its course, (n,) float.

    ``course``: (n, 3) float, the object's own places; ``placed``: (n, 2) float, the same as seen; ``matrix``: (4, 4)
    float, from the one to the other. The pen is a ball's cross-section square to the course: its tube, taken through
    the matrix, is seen as broad as its reach square to the course as seen.
    """
    scale = even_scale(matrix)
    if scale is not None:
        return np.full(len(course), scale)
    along = directions(course, closed=closed)
    seen = directions(placed, closed=closed)
    across = np.stack((-seen[:, 1], seen[:, 0]), axis=1)
    # Where the course runs towards the viewer any direction is across: the first will do.
    across[np.linalg.norm(across, axis=1) < EVEN] = (1.0, 0.0)
    pulled = across @ matrix[:2, :3]
    return np.linalg.norm(pulled - along * (pulled * along).sum(axis=1, keepdims=True), axis=1)

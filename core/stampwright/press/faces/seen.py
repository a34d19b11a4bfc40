"""Looking down on a mesh pixel by pixel (a z-buffer), for meshes too ragged to be cut exactly."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...errors import MeshFileError
from ...plane.rasters.raster import MM_PER_INCH, picture_grid
from ...solids.above import seen_from_above
from ..impression import HeightMap
from .exact import region_of_edges

_FINER = 2  # samples to a pixel each way: a step in height is known only to half a sample

# Which sides of a square of four samples the outline enters and leaves, by which corners are covered, with the covered
# ground on its left (marching squares: Lorensen and Cline 1987, in the plane). Corners: 1 lower left, 2 lower right,
# 4 upper right, 8 upper left; sides: 0 bottom, 1 right, 2 top, 3 left. Two corners that touch across stay apart.
_PASSES: tuple[tuple[int, int, int], ...] = (
    (1, 0, 3),
    (2, 1, 0),
    (3, 1, 3),
    (4, 2, 1),
    (5, 0, 3),
    (5, 2, 1),
    (6, 2, 0),
    (7, 2, 3),
    (8, 3, 2),
    (9, 0, 2),
    (10, 1, 0),
    (10, 3, 2),
    (11, 1, 2),
    (12, 3, 1),
    (13, 0, 1),
    (14, 3, 0),
)


def region_above(
    vertices: NDArray[np.float64], triangles: NDArray[np.int64], height: float, dpi: float
) -> MultiPolygon:
    """Return the region where the mesh, seen from above, reaches over the level ``height``.

    ``vertices``: (n, 3) float, mm; ``triangles``: (m, 3) int. The mesh may be open and may pass through itself. The
    outline is true to about a quarter of a pixel of ``dpi``.

    Raises :class:`~stampwright.errors.MeshFileError` when the mesh is too ragged to outline.
    """
    reaching = triangles[vertices[triangles, 2].max(axis=1) > height]
    if not len(reaching):
        return MultiPolygon()
    dpi *= _FINER
    pixel = MM_PER_INCH / dpi
    seen = vertices[reaching]
    low, high = seen[..., :2].min(axis=(0, 1)) - 2 * pixel, seen[..., :2].max(axis=(0, 1)) + 2 * pixel
    shape, corner = picture_grid((low[0], low[1], high[0], high[1]), dpi)
    heights = heights_over(seen, shape, corner, pixel)
    # A step in height says nothing of where it lies between two samples; cut off, it comes out half-way.
    over = np.clip((heights - height) / pixel, -1.0, 1.0)
    return outlined(over, corner, pixel)


def heights_over(
    corners: NDArray[np.float64], shape: tuple[int, int], corner: tuple[float, float], pixel: float
) -> NDArray[np.float64]:
    """Return the greatest height over the middle of each pixel, lowest row first; -inf where nothing is.

    ``corners``: (m, 3, 3) float, mm, of triangles that face either way.
    """
    places = (corners[..., :2].reshape(-1, 2) - corner) / pixel - 0.5
    triangles = np.arange(len(places)).reshape(-1, 3)
    return seen_from_above(places, corners[..., 2].reshape(-1), triangles, shape).astype(np.float64)


def outlined(over: NDArray[np.float64], corner: tuple[float, float], pixel: float) -> MultiPolygon:
    """Return the region where samples, at pixel middles and lowest row first, are positive (marching squares).

    Raises :class:`~stampwright.errors.MeshFileError` when they are too ragged to outline.
    """
    rows, columns = over.shape
    count = rows * columns
    flat = np.where(over.ravel() == 0, -1e-12, over.ravel())
    inked = (flat > 0).reshape(rows, columns)
    case = inked[:-1, :-1] + 2 * inked[:-1, 1:] + 4 * inked[1:, 1:] + 8 * inked[1:, :-1]
    square_rows, square_columns = np.nonzero((case > 0) & (case < 15))
    square = square_rows * columns + square_columns
    passed = case[square_rows, square_columns]
    # A side is named by its first sample; sides that run up come after all that run across.
    sides = np.stack([square, count + square + 1, square + columns, count + square])
    starts, ends = [], []
    for which, entered, left in _PASSES:
        chosen = np.flatnonzero(passed == which)
        starts.append(sides[entered, chosen])
        ends.append(sides[left, chosen])
    names, ordered = np.unique(np.concatenate(starts + ends), return_inverse=True)
    upright = names >= count
    first = names % count
    second = first + np.where(upright, columns, 1)
    share = flat[first] / (flat[first] - flat[second])
    points = np.stack(
        [first % columns + np.where(upright, 0.0, share), first // columns + np.where(upright, share, 0.0)]
    )
    places = (points.T + 0.5) * pixel + corner
    half = len(ordered) // 2
    region = region_of_edges(places, ordered[:half], ordered[half:])
    if region is None:
        raise MeshFileError("the mesh's face is too ragged to outline; close the mesh and try again")
    return region


def outlines_in(face: HeightMap) -> MultiPolygon:
    """Return the outlines of what is meant to print of a map, mm, paper frame; raises :class:`MeshFileError`."""
    edged = np.pad(np.where(face.face, 0.5, -0.5), 1, constant_values=-0.5)
    return outlined(edged, (face.corner[0] - face.pitch, face.corner[1] - face.pitch), face.pitch)

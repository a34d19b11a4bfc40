"""Whether a register can be believed, and why a scan shows no print where there is one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...plane.rasters.raster import MM_PER_INCH
from ..finding.scans import Scan
from ..finding.views import View

Floats = NDArray[np.float64]

_MOST_OFF = 0.06  # of its size, by which a print may be off at all
_NOTABLY_OFF = 0.015  # of its size; dies stretch and shrink by less
_MOST_SLANTED = 1.6  # times as many pixels to the mm one way as another, at a place of a photograph
_MOST_DEEP = 1.8  # times as many pixels to the mm at one corner as at another


def sizes(view: View, face: MultiPolygon, dpi: tuple[float, float]) -> tuple[float, float]:
    """Return how wide and how high a print is over its face, by a resolution across and up of its picture."""
    left, bottom, right, top = face.bounds
    ways = view.jacobian(((left + right) / 2, (bottom + top) / 2))
    wide, high = np.hypot(*(ways * MM_PER_INCH / np.reshape(dpi, (2, 1))))
    return float(wide), float(high)


def holds(view: View, face: MultiPolygon, dpi: tuple[float, float] | None, *, closely: bool = False) -> bool:
    """Say whether a view is one that a scanner of this resolution has, or a camera where there is none.

    Where half of a print is missing, least squares stretch what is there over all of the face. ``closely``: whether a
    scanned print is no farther off its size than dies shrink.
    """
    left, bottom, right, top = face.bounds
    corners = [(x, y) for x in (left, right) for y in (bottom, top)]
    ways = np.array([view.jacobian(corner) for corner in corners])
    if not np.isfinite(ways).all():
        return False
    if dpi is not None:
        ways = ways * MM_PER_INCH / np.reshape(dpi, (2, 1))
    stretch = np.linalg.svd(ways, compute_uv=False)
    if dpi is not None:
        return bool(np.abs(stretch - 1.0).max() < (_NOTABLY_OFF if closely else _MOST_OFF))
    depth = np.sqrt(stretch.prod(axis=1))
    slanted = float((stretch[:, 0] / np.maximum(stretch[:, 1], 1e-9)).max())
    return slanted < _MOST_SLANTED and float(depth.max()) < _MOST_DEEP * float(depth.min())


def is_of_another_size(size: tuple[float, float]) -> bool:
    """Say whether a print's size over its face's, across and up, is one to tell of."""
    return max(abs(part - 1.0) for part in size) > _NOTABLY_OFF


def negative(scan: Scan) -> Scan:
    """Return a scan with dark for light, as films and pictures that were turned over in brightness have it."""
    grey = 255 - scan.grey
    bright = float(np.percentile(grey[::7, ::7], 90))
    return replace(scan, grey=grey, level=(grey / np.float32(max(bright, 1.0))).astype(np.float32))

"""The paper round a print: ink where the stamp itself does not reach."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon

from ...plane.overlays import all_joined, joined, without
from ...plane.rasters.raster import MM_PER_INCH, picture_grid, picture_of, pixel_places
from ...plane.regions import filled_parts
from ...press.faces.seen import outlined
from ..finding.views import as_seen
from ..finding.vision import vision
from .registering import Registered

LOOKED_BESIDE = 12.0
"""How far beyond the stamp the paper is looked at, mm."""

_DPI = 150.0
_LEAST = 0.5  # of a place that is told of, mm²
_SPARED = 1.0  # round other prints in the picture, mm


def other_prints(registered: Registered, others: Sequence[Registered], hull: Polygon) -> shapely.Geometry:
    """Return where other prints of the same face lie, mm, in the frame of this one; ``hull``: of the face."""
    outline = np.asarray(hull.buffer(_SPARED, quad_segs=4).exterior.coords)
    seen = [registered.view.unproject(each.view.project(outline)) for each in others if each is not registered]
    return all_joined([shapely.Polygon(each).buffer(0) for each in seen])


def ink_beside(registered: Registered, footprint: Polygon, solid: float, besides: shapely.Geometry) -> MultiPolygon:
    """Return ink on the paper beside a stamp, no farther from it than :data:`LOOKED_BESIDE`, mm, paper frame.

    ``footprint``: what the stamp reaches; ``solid``: brightness of solid ink over the paper's. ``besides``:
    where other prints of the stamp lie. What goes on beyond what is looked at, as rulers and edges of paper do, is none
    of the stamp's, and is left out.
    """
    cv2, scan, view = vision(), registered.scan, registered.view
    looked = footprint.buffer(LOOKED_BESIDE)
    shape, corner = picture_grid(looked.bounds, _DPI)
    pitch = MM_PER_INCH / _DPI
    pixels = view.project(pixel_places(shape, corner, _DPI))
    rows, columns = scan.shape
    seen = ((pixels >= 0.0) & (pixels <= (columns - 1.0, rows - 1.0))).all(axis=-1)
    level = cv2.GaussianBlur(as_seen(scan.level, pixels, cv2), (0, 0), 0.8)
    looked_at = seen & (picture_of(filled_parts(looked), shape, corner, _DPI)[::-1] < 128)
    inked = looked_at & (level < (1.0 + solid) / 2.0)
    count, pieces = cv2.connectedComponents(inked.astype(np.uint8))
    inside = cv2.erode(looked_at.astype(np.uint8), np.ones((5, 5), np.uint8), borderValue=0) > 0
    kept = np.isin(pieces, np.setdiff1d(np.arange(1, count), pieces[inked & ~inside]))
    edged = np.pad(cv2.GaussianBlur(kept.astype(np.float32), (0, 0), 0.7) - 0.5, 1, constant_values=-0.5)
    region = outlined(edged.astype(np.float64), (corner[0] - pitch, corner[1] - pitch), pitch)
    beside = filled_parts(without(region, joined(footprint, besides)))
    return MultiPolygon([part for part in beside.geoms if part.area >= _LEAST])

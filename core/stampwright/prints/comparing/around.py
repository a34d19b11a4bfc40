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
_SHRUNK = 500  # pixels of the longer side at which the whole picture is looked at
_JOINED = 4.0  # mm apart, parts of one thing
_LEAST_THING = 8.0  # mm long, and so much ink, mm²
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


def things_elsewhere(registered: Registered, footprint: Polygon, solid: float, besides: shapely.Geometry) -> int:
    """Return how many other things a picture shows, farther from a print than :data:`LOOKED_BESIDE`.

    Arguments are those of :func:`ink_beside`. What goes on beyond the picture's edge, as shadows and tables do, is not
    counted.
    """
    cv2, scan, view = vision(), registered.scan, registered.view
    rows, columns = scan.shape
    shrink = min(1.0, _SHRUNK / max(rows, columns))
    small = cv2.resize(scan.level, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
    per_mm = view.pixels_per_mm((footprint.centroid.x, footprint.centroid.y)) * shrink
    # Thin lines are fainter in a small picture.
    inked = (small < 1.0 - 0.25 * (1.0 - solid)).astype(np.uint8)
    for outline in (footprint.buffer(LOOKED_BESIDE), *filled_parts(besides).geoms):
        seen = (view.project(np.asarray(outline.exterior.coords)) + 0.5) * shrink
        cv2.fillPoly(inked, [np.round(seen).astype(np.int32)], 0)
    near = 2 * max(1, round(_JOINED * per_mm / 2)) + 1
    count, pieces, boxes, _ = cv2.connectedComponentsWithStats(cv2.dilate(inked, np.ones((near, near), np.uint8)))
    ink = np.bincount(pieces[inked > 0], minlength=count) / per_mm**2
    high, wide = inked.shape
    things = 0
    for at in range(1, count):
        left, top, across, down, _ = (int(each) for each in boxes[at])
        at_edge = left == 0 or top == 0 or left + across == wide or top + down == high
        if not at_edge and max(across, down) - near >= _LEAST_THING * per_mm and ink[at] >= _LEAST_THING:
            things += 1
    return things

"""The sheet of paper that a print lies on: its four edges in a photograph, and the lens that bulges them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .scans import Scan
from .views import View, homography
from .vision import vision

Floats = NDArray[np.float64]

SHEETS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Sizes of sheets, mm: ISO 216, and 8.5 by 11 inches (ANSI/ASME Y14.1, size A)."""

_LONG = 900  # pixels of the picture in which the sheet is looked for
_STATIONS = 80  # along an edge, where its place is measured
_MOST_BULGE = 0.2
_LEAST_SHARE = 0.08  # of the picture that a sheet takes


@dataclass(frozen=True, eq=False)
class PaperSheet:
    """A sheet's corners, (4, 2) pixels without the lens's bulge, in order round it, and the lens: see :class:`View`."""

    corners: Floats
    lens: View

    def places(self, pixels: Floats, size: tuple[float, float], turn: int) -> Floats:
        """Return where pixels, (n, 2), lie on a sheet of a size, mm, that lies upright (turn 0) or across (1)."""
        wide, high = size if turn == 0 else size[::-1]
        flat = homography(np.array([(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)]), self.corners)
        view = View(flat, self.lens.bulge, self.lens.middle, self.lens.half_diagonal)
        return view.unproject(pixels)


def find_sheet(scan: Scan, inside: tuple[float, float]) -> PaperSheet | None:
    """Return the sheet round a place, (x, y) pixels; None where not all four edges are seen."""
    cv2 = vision()
    corners = _rough_corners(scan, inside, cv2)
    if corners is None:
        return None
    edges = [_edge_points(scan, corners[at], corners[(at + 1) % 4], corners.mean(axis=0), cv2) for at in range(4)]
    if any(len(points) < _STATIONS // 2 for points in edges):
        return None
    rows, columns = scan.shape
    middle, half = ((columns - 1) / 2.0, (rows - 1) / 2.0), float(np.hypot(rows, columns)) / 2.0

    def straightened(bulge: float) -> list[Floats]:
        lens = View(np.eye(3), bulge, middle, half)
        return [lens.unproject(points) for points in edges]

    tried = np.linspace(-_MOST_BULGE, _MOST_BULGE, 41)
    for _ in range(4):
        errors = [sum(_line(points)[2] for points in straightened(float(bulge))) for bulge in tried]
        best = float(tried[int(np.argmin(errors))])
        step = float(tried[1] - tried[0])
        tried = np.linspace(best - step, best + step, 11)
    lines = [_line(points) for points in straightened(best)]
    met = np.array([_meeting(lines[at - 1], lines[at]) for at in range(4)])
    if not np.isfinite(met).all():
        return None
    return PaperSheet(met, View(np.eye(3), best, middle, half))


def _rough_corners(scan: Scan, inside: tuple[float, float], cv2: Any) -> Floats | None:
    """Return the corners of the bright quadrilateral round a place, in order round it, pixels."""
    rows, columns = scan.shape
    shrink = min(1.0, _LONG / max(rows, columns))
    small = cv2.GaussianBlur(
        cv2.resize(scan.grey, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA), (0, 0), 2.0
    )
    # Prints on the sheet are filled up, so that they do not count as table.
    small = cv2.morphologyEx(small, cv2.MORPH_CLOSE, np.ones((25, 25), np.uint8))
    cut, bright = cv2.threshold(small, 0, 1, cv2.THRESH_BINARY | cv2.THRESH_OTSU)
    if float(small.max()) - cut < 12 or cut - float(small.min()) < 12:
        return None
    outlines, _ = cv2.findContours(bright, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    at = (inside[0] * shrink, inside[1] * shrink)
    for outline in outlines:
        if cv2.pointPolygonTest(outline, at, False) < 0 or cv2.contourArea(outline) < _LEAST_SHARE * small.size:
            continue
        hull = cv2.convexHull(outline)
        for share in (0.01, 0.02, 0.03, 0.05):
            corners = cv2.approxPolyDP(hull, share * cv2.arcLength(hull, True), True).reshape(-1, 2)
            if len(corners) == 4:
                break
        near_edge = 2
        wide, high = small.shape[1] - 1 - near_edge, small.shape[0] - 1 - near_edge
        if len(corners) != 4 or not all(near_edge < x < wide and near_edge < y < high for x, y in corners):
            return None
        return np.asarray((corners + 0.5) / shrink - 0.5, dtype=np.float64)
    return None


def _edge_points(scan: Scan, start: Floats, end: Floats, middle: Floats, cv2: Any) -> Floats:
    """Return where the sheet's edge lies along one side, (n, 2) pixels: half-way from paper to table."""
    from_start = np.linspace(0.06, 0.94, _STATIONS)[:, None]
    along = start + from_start * (end - start)
    inwards = np.array([-(end - start)[1], (end - start)[0]])
    inwards /= np.hypot(*inwards)
    if float(inwards @ (middle - (start + end) / 2)) < 0:
        inwards = -inwards
    reach = max(12.0, 0.02 * float(np.hypot(*(end - start))))
    offsets = np.linspace(-reach, reach, 2 * round(reach) + 1)
    points = along[:, None, :] + offsets[:, None] * inwards
    seen = cv2.remap(scan.grey, points.astype(np.float32), None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    level = seen.astype(np.float64).reshape(_STATIONS, -1)
    count = max(3, len(offsets) // 6)
    table, paper = np.median(level[:, :count], axis=1), np.median(level[:, -count:], axis=1)
    cut = (table + paper) / 2
    over = level > cut[:, None]
    index = np.clip(over.argmax(axis=1), 1, None)
    station = np.arange(_STATIONS)
    before, after = level[station, index - 1], level[station, index]
    share = np.clip((cut - before) / np.where(after > before, after - before, np.inf), 0, 1)
    place = offsets[index - 1] + share * (offsets[1] - offsets[0])
    kept = (paper - table > 15) & over.any(axis=1) & ~over[:, 0]
    return np.asarray((along + place[:, None] * inwards)[kept])


def _line(points: Floats) -> tuple[Floats, Floats, float]:
    """Return a point of the line through points, its direction, and how far points stray; strays are left out."""
    kept = points
    for _ in range(4):
        middle = kept.mean(axis=0)
        direction = np.linalg.svd(kept - middle)[2][0]
        off = np.abs((points - middle) @ np.array([-direction[1], direction[0]]))
        kept = points[off <= max(3.0 * float(np.median(off)), 0.3)]
    return middle, direction, float((np.minimum(off, 3.0) ** 2).mean())


def _meeting(one: tuple[Floats, Floats, float], other: tuple[Floats, Floats, float]) -> Floats:
    along = np.column_stack((one[1], -other[1]))
    if abs(float(np.linalg.det(along))) < 1e-3:
        return np.full(2, np.nan)
    share = np.linalg.solve(along, other[0] - one[0])
    return np.asarray(one[0] + share[0] * one[1])

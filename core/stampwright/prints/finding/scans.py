"""Scans and photographs of prints: the channel in which ink stands out most, and what the file says of its scale."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from ...errors import ArtworkError, PrintError
from ...plane.rasters.pictures import Picture, read_picture
from .vision import vision

MOST_SCANNED = 80_000_000
"""Pixels of a scan: an A4 page at 900 dpi, or the largest telephone cameras at full size."""

LEAST_DPI = 100.0
"""Resolution under which what a file records is no scanner's but what cameras and programs write unasked."""

_MAKER, _EXIF, _FOCAL_LENGTH = 0x010F, 0x8769, 0x920A  # EXIF: who made the camera; where it tells more; its lens
_SUNK = 0.75  # of the brightest far around, under which the brightest nearby is ink
_INK_IN_SHADE, _SOME_INK = 0.7, 0.03  # of the brightest nearby; share of a shadow that is so dark
_SOFT_EDGE = 0.2  # of the step from paper to shadow, for each pixel of the small picture; ink steps in two or three
_LEAST_CONTRAST = 20.0  # of 255, between paper and the darkest hundredth


@dataclass(frozen=True, eq=False)
class Scan:
    """A scan or photograph of prints.

    ``grey``: (rows, columns) uint8, top row first, encoded brightness as in the file, of the channel where ink stands
    out most. ``level``: (rows, columns) float32, the same over the brightness of the paper there, 1 for bare paper.
    ``dpi``: resolution across and up where a scanner recorded it, None for photographs. ``name``: of the file.
    ``camera``: whether the file says that a camera took it.
    """

    grey: NDArray[np.uint8]
    level: NDArray[np.float32]
    dpi: tuple[float, float] | None
    name: str
    camera: bool = False

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        return self.grey.shape[0], self.grey.shape[1]


def read_scan(path: str | Path, *, dpi: float | None = None) -> Scan:
    """Read a scan or photograph; ``dpi`` replaces what the file records.

    Raises :class:`PrintError` when it is no bitmap that can be read, or nothing is printed on it.
    """
    path = Path(path)
    try:
        picture = read_picture(path, most_pixels=MOST_SCANNED)
    except ArtworkError as error:
        raise PrintError(str(error)) from error
    grey = _clearest(picture)
    camera, lens = _taken_by(path)
    recorded = (dpi, dpi) if dpi else _scanned_at(picture, camera=camera, lens=lens)
    if min(grey.shape) < 32:
        raise PrintError(f"{path}: {grey.shape[1]} by {grey.shape[0]} pixels are too few to see a print in")
    return Scan(grey, paper_levelled(grey, str(path)), recorded, str(path), camera=lens or (camera and not recorded))


def paper_levelled(grey: NDArray[np.uint8], name: str) -> NDArray[np.float32]:
    """Return brightness as a share of the paper's, which light that falls unevenly makes differ from place to place.

    Raises :class:`PrintError` when nothing stands out from the paper.
    """
    cv2 = vision()
    rows, columns = grey.shape
    shrink = max(1, round(max(rows, columns) / 400))
    small = cv2.resize(grey, (max(columns // shrink, 8), max(rows // shrink, 8)), interpolation=cv2.INTER_AREA)
    if float(np.percentile(small, 90)) - float(grey[:: max(shrink // 2, 1), :: max(shrink // 2, 1)].min()) < (
        _LEAST_CONTRAST
    ):
        raise PrintError(f"{name}: nothing stands out from the paper; scan it with the print on it, and darker")
    # Paper is the brightest thing within a few millimetres of any place; the blur keeps its slow changes only.
    side = max(5, round(min(small.shape) / 8)) | 1
    paper = _brightest_near(cv2.medianBlur(small, 3), side, cv2)
    paper = cv2.GaussianBlur(paper.astype(np.float32), (0, 0), side / 4.0)
    paper = cv2.resize(np.maximum(paper, 1.0), (columns, rows), interpolation=cv2.INTER_LINEAR)
    return np.asarray(cv2.divide(grey, paper, dtype=cv2.CV_32F), dtype=np.float32)


def _brightest_near(small: NDArray[np.uint8], side: int, cv2: Any) -> NDArray[np.uint8]:
    """Return the brightness of paper over a picture: the brightest within about half a ``side``, pixels, of any place.

    Ink that is broader than that would be taken for paper: what is dark and lies in the midst of paper is none, unless
    it is a shadow. What goes on to the picture's edge may be a table, or a shadow.
    """
    near = np.asarray(cv2.morphologyEx(small, cv2.MORPH_CLOSE, np.ones((side, side), np.uint8)))
    wide = max(3, round(0.75 * min(small.shape))) | 1
    far = np.asarray(cv2.morphologyEx(small, cv2.MORPH_CLOSE, np.ones((wide, wide), np.uint8)))
    sunk = (near < _SUNK * far.astype(np.float32)).astype(np.uint8)
    count, islands = cv2.connectedComponents(sunk)
    at_edge = np.unique(np.concatenate((islands[0], islands[-1], islands[:, 0], islands[:, -1])))
    within = np.setdiff1d(np.arange(1, count), at_edge)
    ink = np.isin(islands, [each for each in within if not _is_shadow(islands == each, small, near, cv2)])
    return np.where(cv2.dilate(ink.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0, far, near)


def _is_shadow(island: NDArray[np.bool_], small: NDArray[np.uint8], near: NDArray[np.uint8], cv2: Any) -> bool:
    """Say whether a dark island in the midst of paper is a shadow: ink lies in it, or its edge is soft.

    ``near``: the brightest near each place.
    """
    deep = cv2.erode(island.astype(np.uint8), np.ones((5, 5), np.uint8)) > 0
    if deep.any() and float(np.mean(small[deep] < _INK_IN_SHADE * near[deep].astype(np.float32))) > _SOME_INK:
        return True
    across, down = (cv2.Sobel(near, cv2.CV_32F, *axis, scale=1 / 8) for axis in ((1, 0), (0, 1)))
    rim = (cv2.dilate(island.astype(np.uint8), np.ones((9, 9), np.uint8)) > 0) & ~deep
    step = float(np.percentile(near[rim], 95)) - float(np.percentile(near[rim], 5))
    return bool(np.percentile(np.hypot(across, down)[rim], 80) < _SOFT_EDGE * step)


def _clearest(picture: Picture) -> NDArray[np.uint8]:
    """Return the channel in which ink stands out most from paper; of greys, the brightness."""
    if picture.colours is None or not picture.tinted:
        return np.asarray(picture.grey * np.float32(255.0) + np.float32(0.5), dtype=np.uint8)
    step = max(1, round(max(picture.grey.shape) / 600))
    small = picture.colours[::step, ::step].reshape(-1, 3)
    contrast = np.percentile(small, 70, axis=0) - np.percentile(small, 1, axis=0)
    return np.ascontiguousarray(picture.colours[..., int(np.argmax(contrast))])


def _taken_by(path: Path) -> tuple[bool, bool]:
    """Return whether a file names the maker of what took it, and whether that has a lens."""
    with Image.open(path) as image:
        about = image.getexif()
        return bool(about.get(_MAKER)), bool(about.get_ifd(_EXIF).get(_FOCAL_LENGTH))


def _scanned_at(picture: Picture, *, camera: bool, lens: bool) -> tuple[float, float] | None:
    """Return the resolution that a scanner recorded; cameras write one that says nothing."""
    if picture.dpi is None or min(picture.dpi) < LEAST_DPI or lens:
        return None
    return picture.dpi if not camera or picture.dpi[0] >= 150 else None

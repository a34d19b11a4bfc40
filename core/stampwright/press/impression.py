"""An impression as data."""

from __future__ import annotations

from dataclasses import dataclass
from os import PathLike

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ..files import write_png
from ..findings import Finding


@dataclass(frozen=True, eq=False)
class Impression:
    """What a stamp leaves on paper.

    ``outlines``: solid ink, valid MultiPolygon, mm, paper frame with the origin of the stamp (the base's middle).
    ``picture``: (rows, columns) uint8, 0 full ink to 255 bare paper, top row first. ``dpi``: its resolution.
    ``corner``: lower-left corner of the picture in the paper frame, mm. ``creep``: how far ink crept past the edges of
    what was pressed, where it crept farthest, mm.
    """

    outlines: MultiPolygon
    picture: NDArray[np.uint8]
    dpi: float
    corner: tuple[float, float]
    findings: tuple[Finding, ...] = ()
    creep: float = 0.0

    @staticmethod
    def not_pressed(outlines: MultiPolygon) -> Impression:
        """Return what stands for an impression until the die is pressed: its outlines, and no picture."""
        return Impression(outlines, np.zeros((0, 0), dtype=np.uint8), 0.0, (0.0, 0.0))

    def save(self, path: str | PathLike[str], *, overwrite: bool = False) -> None:
        """Write the picture as PNG, its resolution recorded, so that it opens at true size.

        Raises :class:`~stampwright.errors.OutputError` when the file is there already (unless ``overwrite``) or cannot
        be written.
        """
        write_png(path, self.picture, dpi=self.dpi, overwrite=overwrite)


@dataclass(frozen=True, eq=False)
class HeightMap:
    """The face of a die as it stands, seen from the paper: a height for every pixel.

    ``height``: (rows, columns) float, mm over the finished face (0 is where the drawn face lies once dressed), the
    lowest row first, paper frame; -inf where nothing stands. ``face``: (rows, columns) bool, what is meant to print.
    ``pitch``: distance of pixels, mm. ``corner``: lower-left corner of the map, mm. ``relief``: how far the face stands
    over the floor, mm. ``findings``: what was to be said of the mesh that it was taken from. ``outlines``: what is
    meant to print, exactly, mm, where that is known.
    """

    height: NDArray[np.floating]
    face: NDArray[np.bool_]
    pitch: float
    corner: tuple[float, float]
    relief: float
    findings: tuple[Finding, ...] = ()
    outlines: MultiPolygon | None = None

    @property
    def face_area(self) -> float:
        """Area that is meant to print, mm²."""
        return float(np.count_nonzero(self.face)) * self.pitch**2

    @property
    def x(self) -> NDArray[np.float64]:
        """Middles of the columns, mm, paper frame."""
        return _middles(self.corner[0], self.height.shape[1], self.pitch)

    @property
    def y(self) -> NDArray[np.float64]:
        """Middles of the rows, mm, paper frame."""
        return _middles(self.corner[1], self.height.shape[0], self.pitch)

    @property
    def middle(self) -> tuple[float, float]:
        """Middle of the map, mm, paper frame: that of the die."""
        return float(self.x.mean()), float(self.y.mean())

    @property
    def across(self) -> float:
        """The die's shorter side, mm."""
        return float(min(self.height.shape)) * self.pitch

    def rows_and_columns(self, pixels: NDArray[np.intp]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        """Return rows and columns, (n,) each, of pixels given by their flat numbers, (n,) int."""
        return np.divmod(pixels, self.height.shape[1])

    def places(self, pixels: NDArray[np.intp]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return x and y, (n,) mm each, of the middles of pixels given by their flat numbers, (n,) int."""
        row, column = self.rows_and_columns(pixels)
        return self.x[column], self.y[row]


@dataclass(frozen=True, eq=False)
class Pressing:
    """A face held against paper.

    ``face``: the map that was pressed. ``pressure``: (rows, columns) float32, MPa, 0 where nothing touches. ``force``
    N. ``approach``: how far the face's level at the paper frame's origin has come past the untouched paper, mm.
    ``slopes``: how the face has turned, rise towards the paper per mm along x and y. ``strain``: greatest compression
    of the relief as a share of its height. ``solver``, its ``rounds`` and ``error`` (a share) say how it was found.
    ``band``: how wide what touches at a time is, along the way that a curved face rolls, mm; 0 for a flat one. There
    pressure is the greatest that each place came under, and the approach that half-way along.
    """

    face: HeightMap
    pressure: NDArray[np.float32]
    force: float
    approach: float
    slopes: tuple[float, float]
    strain: float
    solver: str
    rounds: int
    error: float
    band: float = 0.0

    @property
    def touching(self) -> NDArray[np.bool_]:
        """(rows, columns) bool, where die and paper touch."""
        return self.pressure > 0.0

    def printed_share(self, threshold: float) -> float:
        """Return the share of the face that is under at least ``threshold`` MPa and so prints solid."""
        meant = int(np.count_nonzero(self.face.face))
        return float(np.count_nonzero(self.pressure[self.face.face] >= threshold)) / meant if meant else 0.0


def _middles(start: float, count: int, pitch: float) -> NDArray[np.float64]:
    middles: NDArray[np.float64] = start + (np.arange(count, dtype=np.float64) + 0.5) * pitch
    return middles

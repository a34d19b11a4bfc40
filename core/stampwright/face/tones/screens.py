"""Screens: the tones of a photograph as dots or lines no smaller, and no closer, than what prints."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon

from ...errors import ArtworkError
from ...findings import Finding
from ...job.sections.tracing import TracingSection
from ...looks.numbers import percent
from ...plane.overlays import all_joined, without
from ...plane.regions import filled_parts
from ..face_map import Bounds
from ..textures.graining import Grey

Numbers = NDArray[np.float64]

_EASY = 1.5
"""Ruling as a multiple of the finest, dot and gap side by side, that leaves dots room to grow: tones need it."""

MOST_CELLS = 3_000
"""Cells of a screen from side to side; more of them take minutes."""


@dataclass(frozen=True)
class Screen:
    """Form, spacing (mm), turn (degrees, counter-clockwise) and limits (mm) of a screen."""

    form: str
    spacing: float
    turn: float
    smallest_dot: float
    smallest_gap: float

    @property
    def tones(self) -> tuple[float, float, float, float]:
        """Shares of ink that it can print between paper and solid: lightest and darkest of both its ranges.

        Dots grow from the first to the second, holes in the ink shrink from the third to the fourth. Lines have one
        range, given twice.
        """
        p, dot, gap = self.spacing, self.smallest_dot, self.smallest_gap
        if self.form == "lines":
            return dot / p, 1 - gap / p, dot / p, 1 - gap / p
        return _disc(dot, p), _disc(p - gap, p), 1 - _disc(p - dot, p), 1 - _disc(gap, p)


def choose_screen(tracing: TracingSection) -> Screen:
    """Return the screen that a job asks for; raises :class:`ArtworkError` when its spacing leaves no room for tone."""
    finest = tracing.smallest_dot + tracing.smallest_gap
    spacing = tracing.screen_spacing or _EASY * finest
    if spacing < finest:
        raise ArtworkError(
            f"a screen of {spacing:g} mm has no room for dots of {tracing.smallest_dot:g} mm and gaps of "
            f"{tracing.smallest_gap:g} mm; make tracing.screen_spacing {finest:g} mm or more, or its limits smaller"
        )
    return Screen(tracing.tone, spacing, tracing.screen_turn, tracing.smallest_dot, tracing.smallest_gap)


def screened_finding(screen: Screen) -> Finding:
    """Return the finding that says which tones a screen holds."""
    lightest, first_end, second_begin, darkest = screen.tones
    spans = f"{percent(lightest)} to {percent(darkest)}"
    if screen.form == "dots" and first_end < second_begin:
        spans = f"{percent(lightest)} to {percent(first_end)} and {percent(second_begin)} to {percent(darkest)}"
    return Finding(
        kind="screened tones",
        severity="notes",
        stage="artwork",
        message=f"The screen prints tones of {spans} ink beside bare paper and solid; others go to the nearest.",
        remedy="A wider tracing.screen_spacing or smaller limits hold more tones.",
        measured=lightest,
        unit="",
    )


def screen_tones(
    grey: Grey, pixel: tuple[float, float], screen: Screen, *, within: Bounds | None = None
) -> MultiPolygon:
    """Return a picture's tones as ink.

    ``grey``: (rows, columns), 0 solid ink to 1 paper. ``pixel``: width and height of one, mm. ``within``: where the
    tones matter; what lies outside may be left out. It and the region are in mm, from the picture's lower-left corner.
    Each dot, hole or stretch of line carries the mean tone of the cell round it. Raises :class:`ArtworkError` for a
    screen of too many cells.
    """
    cover = _Cover(grey, pixel, screen.spacing, within)
    return _screen_lines(cover, screen) if screen.form == "lines" else _screen_dots(cover, screen)


class _Cover:
    """Mean share of ink in squares of a picture, from its integral image."""

    def __init__(self, grey: Grey, pixel: tuple[float, float], side: float, within: Bounds | None = None) -> None:
        rows, columns = grey.shape
        self.size = np.array((columns * pixel[0], rows * pixel[1]))
        # What is screened, and as much round it as keeps the ends of lines and the edges of solid ink outside.
        self.low, self.high = np.array([0.0, 0.0]), self.size
        if within is not None:
            self.low, self.high = np.array(within[:2]) - 4 * side, np.array(within[2:]) + 4 * side
        self.pixel, self.side = pixel, side
        self.sums = np.zeros((rows + 1, columns + 1))
        np.cumsum(1.0 - grey[::-1], axis=0, out=self.sums[1:, 1:])
        np.cumsum(self.sums[1:, 1:], axis=1, out=self.sums[1:, 1:])

    def at(self, places: Numbers) -> Numbers:
        """Return the share of ink round each place; ``places``: (n, 2), mm."""
        edges = []
        for axis, count in ((0, self.sums.shape[1] - 1), (1, self.sums.shape[0] - 1)):
            middle, half = places[:, axis] / self.pixel[axis], self.side / 2 / self.pixel[axis]
            low = np.clip(np.rint(middle - half), 0, count - 1).astype(np.intp)
            edges.append((low, np.clip(np.rint(middle + half).astype(np.intp), low + 1, count)))
        (left, right), (bottom, top) = edges
        ink = self.sums[top, right] - self.sums[bottom, right] - self.sums[top, left] + self.sums[bottom, left]
        share: Numbers = ink / ((right - left) * (top - bottom))
        return share

    def lattice(self, screen: Screen, shift: float) -> tuple[NDArray[np.intp], Numbers]:
        """Return lattice numbers (n, 2) and places (n, 2), mm, of the cells that lie within the picture."""
        middle = self.size / 2
        low, high = np.maximum(self.low, 0.0), np.minimum(self.high, self.size)
        turn = np.radians(screen.turn)
        axes = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
        corners = np.array([low, (low[0], high[1]), high, (high[0], low[1])])
        steps = (corners - middle) @ axes.T / screen.spacing - shift
        first, last = np.floor(steps.min(axis=0)), np.ceil(steps.max(axis=0))
        if (last - first).max() > MOST_CELLS:
            raise ArtworkError(f"a screen of {screen.spacing:g} mm is too fine for a picture of this size; coarsen it")
        counts = [np.arange(begin, end + 1).astype(np.intp) for begin, end in zip(first, last, strict=True)]
        numbers = np.stack(np.meshgrid(*counts, indexing="ij"), axis=-1).reshape(-1, 2)
        places = middle + (numbers + shift) * screen.spacing @ axes
        # A cell turned by 45 degrees reaches 0.71 of its side from its middle; solid ink grows by half a dot.
        margin = 0.71 * screen.spacing + screen.smallest_dot / 2
        inside = (places > np.maximum(margin, self.low)) & (places < np.minimum(self.size - margin, self.high))
        inside = inside.all(axis=1)
        return numbers[inside], places[inside]


def _screen_dots(cover: _Cover, screen: Screen) -> MultiPolygon:
    """Dots on the lattice in light tones; in dark ones ink with holes, which stand between four dots."""
    p = screen.spacing
    lightest, dots_end, holes_begin, darkest = screen.tones
    numbers, places = cover.lattice(screen, 0.5)
    share = cover.at(places)
    solid = share > (dots_end + holes_begin) / 2
    squares = shapely.box(places[:, 0] - p / 2, places[:, 1] - p / 2, places[:, 0] + p / 2, places[:, 1] + p / 2)
    inked = [affinity.rotate(squares[at], screen.turn) for at in np.flatnonzero(solid)]
    holes = solid & (share < (1 + darkest) / 2)
    widths = p * np.sqrt(4 / np.pi * (1 - np.clip(share[holes], holes_begin, darkest)))
    # Holes keep a dot's width of ink between them; so must they to the outside.
    filled = shapely.union_all(inked, grid_size=1e-6).buffer(screen.smallest_dot / 2) if inked else MultiPolygon()
    filled = without(filled, all_joined(shapely.buffer(shapely.points(places[holes]), widths / 2)))
    taken = {(int(i), int(j)) for i, j in numbers[solid]}
    numbers, places = cover.lattice(screen, 0.0)
    share = cover.at(places)
    # A dot at the corner of a solid cell would leave slits beside it.
    clear = [taken.isdisjoint({(i, j), (i - 1, j), (i, j - 1), (i - 1, j - 1)}) for i, j in numbers.tolist()]
    wanted = (share > lightest / 2) & np.array(clear, dtype=np.bool_)
    widths = p * np.sqrt(4 / np.pi * np.clip(share[wanted], lightest, dots_end))
    dots = shapely.buffer(shapely.points(places[wanted]), widths / 2)
    return filled_parts(all_joined([filled, *dots]))


def _screen_lines(cover: _Cover, screen: Screen) -> MultiPolygon:
    """Lines that swell with the tone, broken where it is too light and run together where it is too dark."""
    p, dot, gap = screen.spacing, screen.smallest_dot, screen.smallest_gap
    numbers, places = cover.lattice(screen, 0.0)
    width = cover.at(places) * p
    width = np.where(width < dot / 2, 0.0, np.where(p - width < gap / 2, 1.02 * p, np.clip(width, dot, p - gap)))
    turn = np.radians(screen.turn)
    across = np.array([-np.sin(turn), np.cos(turn)])
    ribbons = []
    for line in np.unique(numbers[:, 1]):
        on = np.flatnonzero(numbers[:, 1] == line)
        on = on[np.argsort(numbers[on, 0])]
        inked = on[width[on] > 0]
        for run in np.split(inked, np.flatnonzero(np.diff(numbers[inked, 0]) > 1) + 1):
            if len(run):
                ribbons.append(_ribbon(places[run], width[run], across, p))
    region = shapely.union_all(ribbons, grid_size=1e-6)
    # Opening takes off tips thinner than a dot, closing then fills the wedges where lines run together.
    region = region.buffer(-0.49 * dot).buffer(0.49 * dot)
    return filled_parts(region.buffer(0.49 * gap).buffer(-0.49 * gap))


def _ribbon(places: Numbers, width: Numbers, across: Numbers, step: float) -> shapely.Polygon:
    """Return a stretch of line through cells' middles, half a cell longer at both ends."""
    along = np.array([across[1], -across[0]]) * step / 2
    places = np.vstack([places[:1] - along, places, places[-1:] + along])
    half = np.concatenate([width[:1], width, width[-1:]])[:, None] / 2 * across
    return shapely.Polygon(np.vstack([places + half, (places - half)[::-1]]))


def _disc(diameter: float, cell: float) -> float:
    return float(np.pi / 4 * (diameter / cell) ** 2)

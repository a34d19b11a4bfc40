"""Misregister: inks thrown on paper as far off as their play lets them, and what that shows: gaps and overlaps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import compress

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from ..findings import Finding
from ..plane.overlays import all_joined, common, grown, joined, without
from ..plane.rasters.raster import MM_PER_INCH, picture_grid, picture_of
from ..plane.regions import filled_parts, thinned
from .play import SEED, Pins, Play, moved_by

THROWS = 200
"""Sets of impressions that are tried, each ink at a place of its own by chance."""

PITCH = 0.03
"""Distance of the spots at which throws are compared, mm: a third of the narrowest gap that an eye sees."""

MOST_SPOTS = 20_000
"""Spots at most; on a larger picture they lie farther apart."""

ROUGH, FINALISTS, WORKED_OUT = 2_500, 12, 3
"""Spots at which all throws are compared; how many of the worst at all spots; and of these, how many are worked out."""

_AT_ONCE = 25  # throws looked at together: what they take stays near the processor

CHANNEL = 1.1
"""How wide bare paper between two inks is looked for, as a multiple of their greatest miss: a gap is no wider."""

COARSE = 0.02
"""How finely outlines are followed where it is only asked which edges two inks share, mm."""

HAIR = 0.002
"""Width under which a gap is rounding, mm."""

SEEN_GAP = 0.1
"""Width of a white gap that an eye sees between two inks, mm (about a minute of arc at 35 cm; from memory)."""

GAP, COUNTER = "gap at misregister", "trap closes a counter"

LEAST_OPEN = 0.5
"""Share of a counter that has to stay open."""

MOST_TOLD = 6


@dataclass(frozen=True, eq=False)
class Miss:
    """One set of impressions: ``printed`` in each ink, mm, paper frame of the first, and what went wrong.

    ``gaps``: bare paper where two inks should meet, and its greatest width; ``overlap``: area under two inks, mm².
    """

    places: Pins
    printed: tuple[MultiPolygon, ...]
    gaps: MultiPolygon
    gap_width: float
    overlap: float

    @property
    def gap_area(self) -> float:
        """Bare paper where two inks should meet, mm²."""
        return float(self.gaps.area)


@dataclass(frozen=True, eq=False)
class Misregister:
    """A set as it prints at ``perfect`` register, and as the ``worst`` of :data:`THROWS` throws prints it."""

    play: Play
    perfect: Miss
    worst: Miss
    findings: tuple[Finding, ...]


@np.errstate(divide="ignore", invalid="ignore")
def throw_inks(printed: Sequence[MultiPolygon], play: Play) -> Misregister:
    """Return what a set of impressions shows when each ink lands somewhere within its play.

    ``printed``: what each ink prints, mm, in printing order. The first ink is where the others should land, so what
    counts is how they lie to it. The worst throw is the one with the largest gap, then with the most overlap.
    """
    printed = tuple(printed)
    whole = all_joined(printed)
    seams = _seams(printed, play.worst)
    perfect = _missed(printed, np.zeros((len(printed), 3)), whole, seams)
    chance = np.random.default_rng(SEED)
    throws = np.stack([play.draw(THROWS, chance) for _ in printed], axis=1)
    throws -= throws[:, :1]
    near = _worst(printed, throws, _doubtful(printed, throws, whole, seams, play.worst))
    worst = max(
        (_missed(printed, throws[at], whole, seams) for at in near), key=lambda miss: (miss.gap_area, miss.overlap)
    )
    findings = (*_about_gaps(worst), *_about_counters(printed, whole, play))
    return Misregister(play, perfect, worst, findings)


def _seams(printed: Sequence[MultiPolygon], reach: float) -> BaseGeometry:
    """Return where two inks meet or lie over each other, and as far round as one may miss the other, mm."""
    # The band is only to tell seams from other edges: fine outlines would make it slow and no better.
    coarse = [thinned(region, COARSE) for region in printed]
    bands = [region.boundary.buffer(2 * COARSE, quad_segs=2) for region in coarse]
    meet = []
    for at, one in enumerate(coarse):
        for later, other in enumerate(coarse[at + 1 :], start=at + 1):
            near = joined(other, bands[later])
            meet += [common(one.boundary, near), common(other.boundary, joined(one, bands[at]))]
    lines = [part for each in meet for part in shapely.get_parts(each) if part.geom_type == "LineString"]
    if not lines:
        return MultiPolygon()
    edges = thinned(shapely.line_merge(shapely.multilinestrings(lines)), 2 * COARSE)
    return edges.buffer(reach + 2 * COARSE, quad_segs=2)


def _missed(printed: Sequence[MultiPolygon], places: Pins, whole: BaseGeometry, seams: BaseGeometry) -> Miss:
    """Return the impressions from their places, worked out exactly."""
    landed = tuple(
        filled_parts(moved_by(region, place)) if place.any() else region
        for region, place in zip(printed, places, strict=True)
    )
    covered = all_joined(landed)
    overlap = sum(float(region.area) for region in landed) - float(covered.area)
    bare = filled_parts(common(without(whole, covered), seams)) if places.any() else MultiPolygon()
    gaps = _between(bare, covered, CHANNEL / 2 * _greatest_miss(places, whole))
    return Miss(places, landed, gaps, width_of(gaps), overlap)


def _greatest_miss(places: Pins, whole: BaseGeometry) -> float:
    """Return how far any two inks lie off each other at most, anywhere on the art, mm."""
    return float(_off((places[:, None] - places[None]).reshape(-1, 3), whole).max())


def _off(places: Pins, whole: BaseGeometry) -> NDArray[np.float64]:
    """Return how far from its own place the art lies at most by each of some places, (n,) mm."""
    corners = shapely.get_coordinates(shapely.box(*whole.bounds))[:4]
    across = places[:, :1] - places[:, 2:] * corners[None, :, 1]
    up = places[:, 1:2] + places[:, 2:] * corners[None, :, 0]
    return np.asarray(np.hypot(across, up).max(axis=1))


def _between(bare: MultiPolygon, covered: BaseGeometry, reach: float) -> MultiPolygon:
    """Return what of bare paper has ink on both sides within ``reach``, mm."""
    if bare.is_empty:
        return bare
    near = common(covered, bare.buffer(2.0 * reach, quad_segs=2))
    closing = near.buffer(reach, join_style="mitre", mitre_limit=2.0).buffer(
        -reach, join_style="mitre", mitre_limit=2.0
    )
    # What is thinner than a hair is where two edges of the same line were cut a little differently.
    inner = filled_parts(common(bare, closing))
    return filled_parts(inner.buffer(-HAIR, join_style="mitre").buffer(HAIR, join_style="mitre"))


def width_of(region: MultiPolygon) -> float:
    """Return the greatest width of a region: of the largest disc that it holds anywhere, mm.

    >>> round(width_of(filled_parts(shapely.box(0, 0, 10, 0.3))), 3)
    0.3
    """
    if region.is_empty:
        return 0.0
    low, high = 0.0, float(np.sqrt(max(part.area for part in region.geoms) / np.pi)) * 2.0 + 1e-9
    for _ in range(12):
        middle = (low + high) / 2
        low, high = (low, middle) if region.buffer(-middle / 2, quad_segs=2).is_empty else (middle, high)
    return low


def _doubtful(
    printed: Sequence[MultiPolygon], throws: NDArray[np.float64], whole: BaseGeometry, seams: BaseGeometry, reach: float
) -> MultiPolygon:
    """Return where near the seams a throw may bare what should be ink: so deep in no ink that it stays covered.

    Nearer to paper than half the ``reach``, mm, what is bare is mostly an edge that has moved in; that is left out,
    unless the art is so thin that hardly anything else is left.
    """
    if seams.is_empty:
        return MultiPolygon()
    deepest = [float(_off(places, whole).max()) for places in throws.swapaxes(0, 1)]
    sure = [grown(thinned(region, COARSE), -(depth + COARSE)) for region, depth in zip(printed, deepest, strict=True)]
    inked = thinned(whole, COARSE)
    doubtful = without(common(seams, inked), all_joined(sure))
    inner = filled_parts(common(doubtful, grown(inked, -reach / 2, sharp=False)))
    return inner if inner.area > 0.05 * doubtful.area else filled_parts(doubtful)


def _worst(printed: Sequence[MultiPolygon], throws: NDArray[np.float64], doubtful: MultiPolygon) -> list[int]:
    """Return which throws leave the most paper bare, the worst first, judged at spots spread evenly where it may be."""
    apart = np.abs(throws[:, :, None] - throws[:, None]).max(axis=(1, 2, 3))
    if doubtful.is_empty:
        return [int(at) for at in np.argsort(-apart)[:WORKED_OUT]]
    pitch = max(PITCH, float(np.sqrt(doubtful.area / MOST_SPOTS)))
    covers = [_Cover.of(region, pitch) for region in printed]
    spots = _Cover.of(doubtful, pitch).spots()
    # Some of the spots tell which throws come into question; all of them tell which of these are the worst.
    rough = _scores(covers, spots[:: max(1, len(spots) // ROUGH)], throws)
    closest = sorted(range(len(rough)), key=lambda at: (*rough[at], apart[at]))[-FINALISTS:]
    exact = dict(zip(closest, _scores(covers, spots, throws[closest]), strict=True))
    worst = sorted(closest, key=lambda at: exact[at], reverse=True)
    # Nicks where a trap ends on paper lie between the spots; they are deepest where inks lie farthest apart.
    bare = [at for at in worst[:WORKED_OUT] if exact[at][0]] or worst[:1]
    return list(dict.fromkeys((*bare, int(apart.argmax()))))


def _scores(covers: Sequence[_Cover], spots: NDArray[np.float64], throws: NDArray[np.float64]) -> list[tuple[int, int]]:
    """Return of throws, (n, inks, 3), how many spots stay bare, and how many two inks lie on."""
    scores: list[tuple[int, int]] = []
    still = [not places.any() for places in throws.swapaxes(0, 1)]
    unmoved = np.zeros(len(spots), dtype=np.int8)
    for cover in compress(covers, still):
        unmoved += cover.at(spots)
    for some in np.split(throws, range(_AT_ONCE, len(throws), _AT_ONCE)):
        inks = np.tile(unmoved, (len(some), 1))
        for cover, places, stays in zip(covers, some.swapaxes(0, 1), still, strict=True):
            if not stays:
                inks += cover.under(spots, places)
        bare, over = np.count_nonzero(inks == 0, axis=1), np.count_nonzero(inks > 1, axis=1)
        scores += zip(bare.tolist(), over.tolist(), strict=True)
    return scores


@dataclass(frozen=True, eq=False)
class _Cover:
    """Where a region lies, cell by cell: (rows, columns) bool, the lowest row first, with a rim of bare ones.

    ``corner``: that of the first cell within the rim, mm. On the rim comes to lie whatever is farther off.
    """

    cells: NDArray[np.bool_]
    corner: NDArray[np.float64]
    pitch: float

    @classmethod
    def of(cls, region: MultiPolygon, pitch: float) -> _Cover:
        dpi = MM_PER_INCH / pitch
        shape, corner = picture_grid(region.bounds, dpi)
        return cls(np.pad(picture_of(region, shape, corner, dpi)[::-1] < 128, 1), np.array(corner), pitch)

    def spots(self) -> NDArray[np.float64]:
        """Return the middles of the cells that are covered, (n, 2) mm."""
        row, column = np.nonzero(self.cells[1:-1, 1:-1])
        return self.corner + (np.column_stack((column, row)) + 0.5) * self.pitch

    def at(self, spots: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Say of spots, (n, 2) mm, whether they are covered."""
        covered: NDArray[np.bool_] = self.under(spots, np.zeros((1, 3)))[0]
        return covered

    def under(self, spots: NDArray[np.float64], places: Pins) -> NDArray[np.bool_]:
        """Say of spots, (n, 2) mm, whether this covers them from places, (places, n); turns are small."""
        across, up = (spots / self.pitch).T
        x, y, turn = places.T[:, :, None] / np.array([self.pitch, self.pitch, 1.0])[:, None, None]
        left, bottom = self.corner / self.pitch
        columns = np.multiply(turn, up) + across + (1.0 - left - x - turn * y)
        rows = np.multiply(-turn, across) + up + (1.0 - bottom - y + turn * x)
        for at, most in ((rows, self.cells.shape[0] - 1), (columns, self.cells.shape[1] - 1)):
            np.maximum(at, 0.0, out=at)
            np.minimum(at, most, out=at)
        # Nothing is left of the first cell, so that cutting off decimals is rounding down.
        cells = rows.astype(np.int32)
        cells *= self.cells.shape[1]
        cells += columns.astype(np.int32)
        covered: NDArray[np.bool_] = self.cells.ravel()[cells]
        return covered


def _about_gaps(worst: Miss) -> list[Finding]:
    """Return what there is to say of white gaps, the widest first."""
    wide = sorted(((width_of(MultiPolygon([part])), part) for part in _largest(worst.gaps)), key=lambda each: -each[0])
    return [
        Finding(
            kind=GAP,
            severity="warns",
            stage="impression",
            message=f"Bare paper {width:.2f} mm wide shows between two inks, {part.area:.2f} mm², in the worst of "
            f"{THROWS} throws",
            remedy="Raise register.trap, lower register.clearance, or let the darker ink overprint (inks.laid)",
            place=part,
            measured=width,
            limit=SEEN_GAP,
        )
        for width, part in wide[:MOST_TOLD]
        if width > SEEN_GAP
    ]


def _largest(region: MultiPolygon) -> list[Polygon]:
    return sorted(region.geoms, key=lambda part: -part.area)[: 4 * MOST_TOLD]


def _about_counters(printed: Sequence[MultiPolygon], whole: BaseGeometry, play: Play) -> list[Finding]:
    """Return the counters, bounded by more than one ink, of which a likely miss leaves less than half open."""
    found: list[Finding] = []
    turns = np.arange(8) * (np.pi / 4)
    shifts = play.likely * np.column_stack((np.cos(turns), np.sin(turns)))
    for part in filled_parts(whole).geoms:
        for ring in part.interiors:
            counter = Polygon(ring)
            if counter.area > 40.0 * max(play.likely, 1e-9) ** 2 + 20.0 * play.likely * counter.length:
                continue
            around = [region for region in printed if region.distance(counter) < play.likely]
            if len(around) < 2:
                continue
            first, *others = around
            closed = without(counter, first)
            left = min(_open(closed, others, shift) for shift in shifts) / counter.area
            if left < LEAST_OPEN:
                found.append(_closed_counter(counter, left, play))
    return sorted(found, key=lambda finding: finding.measured or 0.0)[:MOST_TOLD]


def _open(counter: BaseGeometry, others: Sequence[MultiPolygon], shift: NDArray[np.float64]) -> float:
    near = counter.buffer(float(np.hypot(*shift)) + 0.1, quad_segs=2)
    for region in others:
        part = filled_parts(common(region, near))
        counter = without(counter, shapely.transform(part, lambda at: at + shift))
    return float(counter.area)


def _closed_counter(counter: Polygon, left: float, play: Play) -> Finding:
    return Finding(
        kind=COUNTER,
        severity="warns",
        stage="impression",
        message=f"A counter of {counter.area:.2f} mm² stays open by {100 * left:.0f} % only when two inks miss each "
        f"other by {play.likely:.2f} mm, as is likely",
        remedy="Lower register.trap or register.clearance, enlarge the art, or open the counter in the drawing",
        place=counter,
        measured=left,
        limit=LEAST_OPEN,
        unit="",
    )

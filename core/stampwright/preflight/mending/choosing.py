"""Choosing: what shall be mended when only single findings are, told by a point in each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...job.kinds import FLOODING_COUNTER, NARROW_GAP, SPECK, SPIKE, THIN_LINE
from ...plane.overlays import all_joined
from ..islands import (
    Islands,
    find_flooding_counters,
    find_small_islands,
    within_sight_of,
    without_counters,
    without_islands,
)
from ..limits import PrintLimits
from ..narrow_places import JudgedLines, judge_gaps, judge_lines
from ..widths.edges import Flags, Floats
from ..widths.middles import MiddleLines, measure_gap_widths, measure_line_widths
from ..widths.places import NarrowPlace

NEIGHBOURHOOD = 0.3
"""How far beside a finding's place the point that tells it may lie, mm: the artwork may have changed a little."""


@dataclass(frozen=True, eq=False)
class Chosen:
    """Where each kind of finding is mended, mm, by its name; where there is no region for it, it is left."""

    regions: dict[str, BaseGeometry]

    def lines(self, judged: JudgedLines) -> JudgedLines:
        """Return the lines and points that are mended; of weak lines round a missing one, what is beside that."""
        around = [part for place in judged.around_missing for part in self._beside(place)]
        return JudgedLines(
            missing=self._places(THIN_LINE, judged.missing),
            around_missing=around,
            weak=self._places(THIN_LINE, judged.weak),
            spikes=self._places(SPIKE, judged.spikes),
            joints=judged.joints,
        )

    def gaps(self, gaps: list[NarrowPlace]) -> list[NarrowPlace]:
        """Return the gaps that are opened or filled."""
        return self._places(NARROW_GAP, gaps)

    def islands(self, kind: str, islands: Islands) -> Islands:
        """Return the specks, or counters, that are mended."""
        meant = shapely.intersects(islands.shapes, self.regions.get(kind, MultiPolygon()))
        return islands.only(meant)

    def _places(self, kind: str, places: list[NarrowPlace]) -> list[NarrowPlace]:
        return [place for place in places if self._touched(kind, place.lines).any()]

    def _beside(self, place: NarrowPlace) -> Iterator[NarrowPlace]:
        touched = self._touched(THIN_LINE, place.lines)
        if touched.any():
            yield replace(place, lines=place.lines.only(touched), sources=place.sources[touched])

    def _touched(self, kind: str, lines: MiddleLines) -> Flags:
        region = self.regions.get(kind, MultiPolygon())
        shapely.prepare(region)
        along = shapely.linestrings(np.stack((lines.starts, lines.ends), axis=1))
        ends = [shapely.intersects_xy(region, at) for at in (lines.starts, lines.ends)]
        touched: Flags = ends[0] | ends[1] | shapely.intersects(along, region)
        return touched


def spot_of(place: BaseGeometry) -> tuple[float, float]:
    """Return the point that tells a finding by its place, mm, paper frame."""
    spot = place.representative_point()
    return float(spot.x), float(spot.y)


def choose(inked: MultiPolygon, limits: PrintLimits, points: Sequence[tuple[float, float]]) -> Chosen:
    """Return where to mend so that what is found at each of the points, mm, is mended.

    Of several findings that lie over each other at a point, the one that it was taken from is meant.
    """
    candidates = list(_candidates(inked, limits))
    regions: dict[str, list[BaseGeometry]] = {}
    for point in map(shapely.Point, points):
        near = [each for each in candidates if each[1].dwithin(point, NEIGHBOURHOOD)]
        if near:
            kind, _, core = min(near, key=lambda each: point.distance(shapely.Point(spot_of(each[1]))))
            regions.setdefault(kind, []).append(core)
    return Chosen({kind: all_joined(cores) for kind, cores in regions.items()})


def _candidates(inked: MultiPolygon, limits: PrintLimits) -> Iterator[tuple[str, BaseGeometry, BaseGeometry]]:
    """Yield of all that can be mended its kind, its place as a finding shows it, and the region that it fills itself.

    They are measured as examining does, so that the places are the same.
    """
    specks = find_small_islands(inked, limits.speck)
    counters = find_flooding_counters(inked, limits.counter)
    for kind, islands in ((SPECK, specks), (FLOODING_COUNTER, within_sight_of(counters))):
        for shape in islands.shapes:
            yield kind, shape, shape
    large = without_islands(inked, specks)
    lines = judge_lines(large, measure_line_widths(large, limits.line_warns), limits)
    gaps = judge_gaps(measure_gap_widths(without_counters(inked, counters), limits.gap), limits)
    for kind, places in ((THIN_LINE, [*lines.missing, *lines.weak]), (SPIKE, lines.spikes), (NARROW_GAP, gaps)):
        for place in places:
            yield kind, place.region(), _filled(place)


def _filled(place: NarrowPlace) -> BaseGeometry:
    lines = place.lines.divided(place.limit / 4)
    middles: Floats = np.concatenate((lines.starts, lines.ends))
    return shapely.MultiPoint(middles).buffer(place.limit / 2, quad_segs=2)

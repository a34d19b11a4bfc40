"""Marks on the proof: where each finding's sign goes, so that signs stand clear of the art and of each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LinearRing, Point, Polygon

from ...findings import Finding, gathered

REACH = 5.0
"""From the base's edge to the line that signs stand on, mm."""

SPACING = 5.0
"""From sign to sign along that line, mm; a sign is 3.6 mm across."""

MOST_MARKS = 40

MOST_ALIKE = 10
"""Signs for findings alike in kind and severity: enough to see what is meant, few enough to see the art."""


@dataclass(frozen=True)
class FindingMark:
    """A finding; ``sign`` is where its sign stands and ``spot`` what it points at, paper frame, mm.

    Findings alike in kind and severity share a ``number``. Both places are None for a finding about the whole stamp,
    and for one that no room is left for.
    """

    number: int
    finding: Finding
    sign: tuple[float, float] | None = None
    spot: tuple[float, float] | None = None


def mark_findings(findings: Sequence[Finding], base: Polygon) -> tuple[FindingMark, ...]:
    """Number findings by kind, the gravest first, and stand signs for those that have a place round the base's edge."""
    numbered = [
        (number, rank, finding)
        for number, alike in enumerate(gathered(findings), start=1)
        for rank, finding in enumerate(alike)
    ]
    line = LinearRing(base.buffer(REACH, quad_segs=16).exterior.coords)
    placed = [
        index
        for index, (_, rank, finding) in enumerate(numbered)
        if rank < MOST_ALIKE and finding.place is not None and not finding.place.is_empty
    ][: min(MOST_MARKS, int(line.length / SPACING))]
    where: dict[int, tuple[tuple[float, float], tuple[float, float]]] = {}
    if placed:
        spots = [_middle(numbered[index][2]) for index in placed]
        along = _spread_round(np.array([line.project(Point(spot)) for spot in spots]), line.length)
        signs = shapely.get_coordinates(shapely.line_interpolate_point(line, along)).tolist()
        where = {index: ((sign[0], sign[1]), spot) for index, sign, spot in zip(placed, signs, spots, strict=True)}
    return tuple(
        FindingMark(number, finding, *where.get(index, (None, None)))
        for index, (number, _, finding) in enumerate(numbered)
    )


def in_order(places: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the places, (n,), that are nearest to some given ones (least squares) and in order, not falling.

    Neighbours that are not in order are pooled (Ayer and others 1955).

    >>> in_order(np.array([1.0, 3.0, 2.0, 5.0])).tolist()
    [1.0, 2.5, 2.5, 5.0]
    """
    pools: list[list[float]] = []
    for place in places.tolist():
        pools.append([place, 1.0])
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            later, size = pools.pop()
            earlier, other = pools[-1]
            pools[-1] = [(earlier * other + later * size) / (other + size), other + size]
    return np.repeat([pool[0] for pool in pools], [int(pool[1]) for pool in pools])


def _middle(finding: Finding) -> tuple[float, float]:
    point = shapely.point_on_surface(finding.place)
    return float(point.x), float(point.y)


def _spread_round(wanted: NDArray[np.float64], length: float) -> NDArray[np.float64]:
    """Move places along a closed line as little as need be to lie ``SPACING`` apart (least squares).

    The line is cut at its widest gap; then, with i spacings taken off the i-th place, the places only have to be in
    order.
    """
    order = np.argsort(wanted, kind="stable")
    places = wanted[order]
    gaps = np.diff(np.append(places, places[0] + length))
    first = (int(np.argmax(gaps)) + 1) % len(places)
    order = np.roll(order, -first)
    places = np.roll(places, -first)
    places = places + np.where(places < places[0], length, 0.0) - SPACING * np.arange(len(places))
    settled = in_order(places)
    # All the way round, the last must not come within a spacing of the first.
    slack, middle = length - SPACING * len(places), float(np.median(settled))
    settled = np.clip(settled, middle - slack / 2, middle + slack / 2)
    spread = np.empty(len(places))
    spread[order] = (settled + SPACING * np.arange(len(places))) % length
    return spread

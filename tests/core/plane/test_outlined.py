"""Outlines walked along crossings and cells fill what shapely's overlays fill, and are refused where edges touch."""

from functools import reduce

import numpy as np
import pytest
import shapely
from stampwright.plane.links import rounds
from stampwright.plane.outlined.cells import cells_region
from stampwright.plane.outlined.crossed import fill_crossed

SQUARE = np.array([[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]])


def _paths(seed: int) -> list[np.ndarray]:
    chance = np.random.default_rng(seed)
    return [chance.random((int(chance.integers(3, 40)), 2)) * 50 for _ in range(int(chance.integers(1, 4)))]


@pytest.mark.sweep(8)
@pytest.mark.parametrize("seed", range(200))
def test_odd_windings_fill_as_overlays_do(seed: int) -> None:
    rings = _paths(seed)
    region = fill_crossed(rings, "evenodd")
    # What linework of one ring encloses an odd number of times (GEOS, MakeValid).
    odd = [shapely.make_valid(shapely.Polygon(ring), method="linework") for ring in rings]
    assert region is not None
    assert region.is_valid
    assert shapely.symmetric_difference(region, reduce(shapely.symmetric_difference, odd)).area < 1e-8


@pytest.mark.sweep(8)
@pytest.mark.parametrize("seed", range(200))
def test_windings_of_any_kind_fill_as_triangles_of_a_fan_sum_up(seed: int) -> None:
    rings = _paths(seed)
    region = fill_crossed(rings, "nonzero")
    assert region is not None
    assert region.is_valid
    places = np.random.default_rng(seed).random((300, 2)) * 50
    # The angle under which a ring is seen from a place, in turns (Sunday 2001).
    windings = np.zeros(len(places))
    for ring in rings:
        away = ring[None] - places[:, None]
        turn = np.diff(np.arctan2(away[..., 1], away[..., 0]), axis=1, append=0)
        turn[:, -1] = np.arctan2(away[:, 0, 1], away[:, 0, 0]) - np.arctan2(away[:, -1, 1], away[:, -1, 0])
        windings += ((turn + np.pi) % (2 * np.pi) - np.pi).sum(axis=1) / (2 * np.pi)
    near = shapely.dwithin(region.boundary, shapely.points(places), 1e-9)
    assert ((shapely.contains_xy(region, *places.T) == (np.round(windings) != 0)) | near).all()


@pytest.mark.parametrize(
    "rings",
    [
        [SQUARE, SQUARE],
        [SQUARE, SQUARE + np.array([2.0, 0.0])],
        [SQUARE, SQUARE + np.array([4.0, 4.0])],
        [np.array([[0.0, 0.0], [4.0, 0.0], [2.0, 0.0], [2.0, 3.0]])],
        [np.array([[0.0, 0.0], [4.0, 4.0], [4.0, 0.0], [0.0, 4.0], [2.0, 5.0], [2.0, -1.0]])],
        [np.array([[-1e6, 0.0], [1e6, 1e-9], [1e6, 2.0], [-1e6, 1e-9], [-1e6, -2.0], [1e6, -1e-9], [0.0, -9.0]])],
    ],
    ids=["twice", "along an edge", "at a corner", "folded", "three in a place", "nearly along"],
)
def test_edges_that_touch_are_left_to_the_slower_way(rings: list[np.ndarray]) -> None:
    assert fill_crossed(rings, "evenodd") is None


@pytest.mark.sweep(12)
@pytest.mark.parametrize("seed", range(200))
def test_cells_fill_what_their_union_fills(seed: int) -> None:
    chance = np.random.default_rng(seed)
    matrix = chance.random((int(chance.integers(1, 12)), int(chance.integers(1, 12)))) < chance.random()
    region = cells_region(matrix)
    rows, columns = np.nonzero(matrix)
    assert region.is_valid
    assert region.symmetric_difference(shapely.union_all(shapely.box(columns, rows, columns + 1, rows + 1))).area == 0


def test_cells_that_meet_at_a_corner_alone_are_two_parts_and_paper_there_is_one() -> None:
    assert len(cells_region(np.eye(2, dtype=np.bool_)).geoms) == 2
    ring = np.ones((4, 4), dtype=np.bool_)
    ring[1, 1] = ring[2, 2] = False
    (part,) = cells_region(ring).geoms
    assert part.is_valid
    assert len(part.interiors) == 2


def test_rounds_of_any_length_are_walked_once() -> None:
    following = np.concatenate((np.roll(np.arange(40), -1), 40 + np.random.default_rng(5).permutation(200)))
    order, lengths = rounds(following)
    assert sorted(order.tolist()) == list(range(240))
    assert lengths.sum() == 240
    ends = np.cumsum(lengths)
    for first, last in zip(ends - lengths, ends, strict=True):
        assert following[order[first:last]].tolist() == np.roll(order[first:last], -1).tolist()

"""Chains of edges find what lies near as looking at every edge does."""

import numpy as np
import pytest
import shapely
from stampwright.plane.chains import LONGEST, Chains

OUTLINES = {
    "a circle": shapely.Point(3, 4).buffer(2.0, quad_segs=40),
    "a ring and a square beside it": shapely.union_all(
        [shapely.Point(0, 0).buffer(3.0).difference(shapely.Point(0, 0).buffer(2.9)), shapely.box(4, -1, 5, 1)]
    ),
    "one triangle": shapely.Polygon([(0, 0), (1, 0), (0, 1)]),
}


@pytest.fixture(params=OUTLINES.values(), ids=OUTLINES)
def edges(request):
    corners = [shapely.get_coordinates(ring) for ring in shapely.get_rings(shapely.get_parts(request.param))]
    return np.concatenate([ring[:-1] for ring in corners]), np.concatenate([ring[1:] for ring in corners])


def test_chains_hold_every_edge_once_and_never_leap(edges):
    starts, ends = edges
    chains = Chains.of(starts, ends)
    assert set(chains.sizes.tolist()) <= set(range(1, LONGEST + 1))
    assert chains.sizes.sum() == len(starts)
    inner = np.setdiff1d(np.arange(len(starts)), chains.firsts)
    assert (starts[inner] == ends[inner - 1]).all()
    lines = shapely.get_coordinates(chains.tree.geometries)
    assert len(lines) == len(starts) + len(chains.sizes)


def test_distance_is_that_of_the_nearest_edge(edges):
    starts, ends = edges
    points = np.random.default_rng(7).uniform(-4, 7, (60, 2))
    lines = shapely.linestrings(np.stack((starts, ends), axis=1))
    nearest = shapely.distance(shapely.points(points)[:, None], lines[None, :]).min(axis=1)
    assert Chains.of(starts, ends).distances(points) == pytest.approx(nearest, abs=1e-12)


@pytest.mark.parametrize("slack", [1.0, 1.5])
def test_distance_is_the_same_where_a_bound_is_known(edges, slack):
    chains = Chains.of(*edges)
    points = np.random.default_rng(6).uniform(-4, 7, (60, 2))
    distances = chains.distances(points)
    assert chains.distances_within(points, slack * distances) == pytest.approx(distances, abs=1e-12)


def test_boxes_meet_the_edges_whose_boxes_they_meet(edges):
    starts, ends = edges
    low = np.random.default_rng(8).uniform(-4, 7, (60, 2))
    high = low + np.random.default_rng(9).uniform(0, 2, (60, 2))
    met = (np.minimum(starts, ends)[None] <= high[:, None]).all(axis=2)
    met &= (np.maximum(starts, ends)[None] >= low[:, None]).all(axis=2)
    found = Chains.of(starts, ends).met_by(low, high)
    assert sorted(zip(*(which.tolist() for which in found), strict=True)) == [*map(tuple, np.argwhere(met).tolist())]


def test_starts_lie_in_the_boxes_of_the_edges_named(edges):
    starts, ends = edges
    within = (np.minimum(starts, ends)[None] <= starts[:, None]).all(axis=2)
    within &= (np.maximum(starts, ends)[None] >= starts[:, None]).all(axis=2)
    found = Chains.of(starts, ends).starts_met()
    assert sorted(zip(*(which.tolist() for which in found), strict=True)) == [*map(tuple, np.argwhere(within).tolist())]


def test_no_edges_are_near_nothing():
    none = np.empty((0, 2))
    assert len(Chains.of(none, none).met_by(np.zeros((1, 2)), np.ones((1, 2)))[0]) == 0

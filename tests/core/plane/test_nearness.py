"""Regions that lie near each other are told by pieces of their outlines as the kernel tells them by the whole."""

from __future__ import annotations

import numpy as np
import shapely
from hypothesis import given
from hypothesis import strategies as st
from stampwright.plane.nearness import chained_outlines, near_pairs

SPOTS = st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), unique=True, min_size=1, max_size=9)


@given(SPOTS, st.floats(0.05, 3.0))
def test_pairs_are_those_that_the_kernel_finds(spots: list[tuple[int, int]], distance: float) -> None:
    # Two to a region by turns, rings with a hole, and none of them within another's ink.
    blobs = shapely.difference(shapely.buffer(shapely.points(spots), 0.45), shapely.buffer(shapely.points(spots), 0.2))
    regions = np.array([shapely.multipolygons(list(blobs[at : at + 2])) for at in range(0, len(blobs), 2)])
    one, other = near_pairs(regions, regions, distance)
    apart = shapely.distance(regions[:, None], regions[None, :])
    assert set(zip(one.tolist(), other.tolist(), strict=True)) == {*zip(*np.nonzero(apart <= distance), strict=True)}


def test_every_ring_of_every_part_is_chained_and_known_by_its_region() -> None:
    ring = shapely.difference(shapely.box(0, 0, 4, 4), shapely.box(1, 1, 3, 3))
    regions = np.array([shapely.box(9, 9, 10, 10), shapely.multipolygons([ring, shapely.box(6, 0, 7, 1)])])
    chains, region = chained_outlines(regions)
    lengths = np.hypot(*(chains.ends - chains.starts).T)
    of_region = np.repeat(region, chains.sizes)
    assert [float(lengths[of_region == at].sum()) for at in range(2)] == shapely.length(regions).tolist()


def test_regions_that_begin_at_one_point_are_told_apart() -> None:
    wedges = np.array([shapely.Polygon([(0, 0), (9, at), (9, at + 0.5)]) for at in range(5)])
    one, other = near_pairs(wedges[:1], wedges, 0.1)
    assert (one.tolist(), other.tolist()) == ([0] * 5, [*range(5)])

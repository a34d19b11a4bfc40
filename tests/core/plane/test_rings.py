"""Rings nest, fill and bound regions however deep they lie in each other, and whatever they touch."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from stampwright.plane.filling import fill_rings, outline_rings
from stampwright.plane.rings import bounded_by, fill_nested, nest_rings

SQUARE = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])


def around(radius, points=64, middle=(0.0, 0.0)):
    turn = np.linspace(0, 2 * np.pi, points, endpoint=False)
    return np.column_stack((np.cos(turn), np.sin(turn))) * radius + middle


def test_a_thousand_rings_in_each_other_are_each_in_the_next():
    order = np.random.default_rng(1).permutation(1000)
    nested = nest_rings([around(radius + 1.0) for radius in order])
    by_radius = np.argsort(order)
    assert nested.parents[by_radius].tolist() == [*by_radius[1:].tolist(), -1]


def test_hooks_that_lie_in_each_others_mouths_hold_nothing():
    """Every hook's box lies in that of the one round it; no hook holds another."""
    hook = np.array([[0, 0], [9, 0], [9, 1], [1, 1], [1, 8], [9, 8], [9, 9], [0, 9.0]]) - 4.5
    assert (nest_rings([hook * 0.7**size for size in range(30)]).parents == -1).all()


def test_rings_that_touch_in_points_still_bound_their_region():
    lower, upper = SQUARE, SQUARE + 1.0
    hole = np.array([[0.0, 0.0], [0.3, 0.6], [0.6, 0.3]])  # clockwise, from a corner of the lower square
    region = bounded_by([lower, upper, hole])
    assert region.is_valid
    assert region.area == pytest.approx(2.0 - 0.135)


def test_an_island_whose_corner_is_level_with_the_middle_of_a_side_holds_nothing():
    # As outlines of a raster come, in multiples of its pixel that no float holds: the first one's top corner is level,
    # but for rounding, with the middle of the second one's left side.
    page = np.array([[-30.0, -30.0], [30.0, -30.0], [30.0, 30.0], [-30.0, 30.0]])
    island = [
        (-18.796, -8.381999999999998),
        (-19.049999999999997, -8.127999999999997),
        (-19.304, -8.381999999999998),
        (-19.304, -8.889999999999997),
        (-19.049999999999997, -9.143999999999998),
        (-18.796, -8.889999999999997),
    ]
    other = [
        (-12.191999999999997, -7.873999999999999),
        (-12.445999999999998, -7.619999999999997),
        (-12.699999999999998, -7.873999999999999),
        (-12.699999999999998, -8.381999999999998),
        (-12.445999999999998, -8.636),
        (-12.191999999999997, -8.381999999999998),
    ]
    assert nest_rings([page, np.array(island), np.array(other)]).parents.tolist() == [-1, 0, 0]


def test_holes_that_touch_part_a_region_in_two():
    diamond = np.array([[2.0, 0.0], [1.0, 1.0], [2.0, 2.0], [3.0, 1.0]])
    up = np.array([0.0, 2.0])
    region = bounded_by([SQUARE * 4, diamond, diamond + up])
    assert region.is_valid
    assert len(region.geoms) == 2
    assert region.area == pytest.approx(16 - 4)


def test_rings_that_cross_are_told():
    assert nest_rings([SQUARE, SQUARE + 0.5]) is None
    assert nest_rings([SQUARE * 4, SQUARE + 1, SQUARE + 1.5]) is None
    assert nest_rings([np.array([[0.0, 0.0], [1.0, 1.0], [1.0, 0.0], [0.0, 1.0]])]) is None
    assert nest_rings([SQUARE, SQUARE.copy()]) is None


@settings(max_examples=100, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_nesting_agrees_with_containment_of_every_pair(seed):
    chance = np.random.default_rng(seed)
    rings = []
    for _ in range(40):
        ring = around(chance.choice([0.3, 1.0, 3.0]), 12, chance.uniform(-4, 4, 2))
        discs = shapely.polygons([*rings, ring]) if rings else shapely.polygons([ring])
        if not shapely.boundary(discs[-1]).intersects(shapely.union_all(shapely.boundary(discs[:-1]))):
            rings.append(ring[:: chance.choice([-1, 1])])
    discs = shapely.polygons(rings)
    holds = shapely.contains_properly(discs[:, None], discs[None])
    areas = np.where(holds, shapely.area(discs)[:, None], np.inf)
    expected = np.where(holds.any(axis=0), areas.argmin(axis=0), -1)
    nested = nest_rings(rings)
    assert nested.parents.tolist() == expected.tolist()
    assert fill_nested(nested, "evenodd").area == pytest.approx(
        float((shapely.area(discs) * (-1.0) ** holds.sum(axis=0)).sum())
    )


@pytest.mark.parametrize("rule", ["nonzero", "evenodd", "positive"])
@pytest.mark.parametrize("size", [1e-3, 1.0, 1e5])
def test_clipping_is_as_exact_as_cutting_along_every_edge(rule, size):
    """GEOS nodes and polygonizes the same edges; faces are told by the sign of their winding number."""
    ring = np.random.default_rng(2).random((40, 2)) * size + 3 * size
    lines = shapely.linestrings(np.stack((ring, np.roll(ring, -1, axis=0)), axis=1))
    faces = shapely.get_parts(shapely.polygonize(shapely.get_parts(shapely.node(shapely.multilinestrings(lines)))))
    middles = shapely.get_coordinates(shapely.point_on_surface(faces))
    turns = np.diff(np.unwrap(np.arctan2(*(np.vstack((ring, ring[:1]))[None] - middles[:, None]).T[::-1]).T), axis=1)
    windings = np.rint(turns.sum(axis=1) / (2 * np.pi))
    fills = {"nonzero": windings != 0, "evenodd": windings % 2 == 1, "positive": windings > 0}[rule]
    region = fill_rings([ring], rule)
    assert region.is_valid
    assert region.area == pytest.approx(shapely.area(faces[fills]).sum(), rel=3e-9)


def test_outlines_run_with_ink_on_their_left():
    doubled = [SQUARE * 4, SQUARE * 4, (SQUARE + 1)[::-1]]
    (outer,) = outline_rings(doubled, "positive")
    assert shapely.linearrings(outer).is_ccw
    areas = sorted(shapely.Polygon(ring).area for ring in outline_rings(doubled[1:], "positive"))
    assert areas == pytest.approx([1.0, 16.0])

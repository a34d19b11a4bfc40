"""A region is filled evenly, to its outlines and no farther, and cells are told inside from outside."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.plane.grid import GRID
from stampwright.solids.plan.even import cells_within, fill_evenly, rings_round, whole_step
from stampwright.solids.plan.filling import turning
from stampwright.solids.plan.outlines import outline

RINGS = MultiPolygon(
    [
        Point(0, 0).buffer(9).difference(Point(1, 2).buffer(3)).difference(box(-6, -6, -5.7, 4)),
        Point(1, 2).buffer(2),
        Polygon([(10, -8), (10.4, -8), (14, 9)]),
    ]
)


def filled(region: MultiPolygon, spacing: float) -> tuple[np.ndarray, np.ndarray, int, np.ndarray]:
    step = whole_step(spacing)
    outer = outline(region, "region")
    edge = outer.points[outer.following] - outer.points
    outer = outer.divided(np.flatnonzero(np.hypot(*edge.T) > step), step)
    inside, triangles, squares = fill_evenly(outer, step)
    return np.concatenate((outer.points, inside)), triangles, squares, outer.points


@given(spacing=st.floats(0.08, 3.0), x=st.floats(-1, 1), y=st.floats(-1, 1))
@settings(max_examples=25, deadline=None)
def test_triangles_cover_the_region_once_whatever_the_spacing(spacing: float, x: float, y: float) -> None:
    region = shapely.affinity.translate(RINGS, x, y)
    points, triangles, _, edge = filled(region, spacing)
    doubled = turning(points, triangles)
    assert (doubled > 0).all()
    assert doubled.sum() / 2 == pytest.approx(region.area, rel=1e-3)
    # Each side of a triangle is shared by two, but for the outlines' own edges.
    sides = np.sort(triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    used = np.unique(sides, axis=0, return_counts=True)[1]
    assert used.max() == 2
    assert np.count_nonzero(used == 1) == len(edge)


def test_squares_come_first_and_lie_on_whole_steps() -> None:
    points, triangles, squares, _ = filled(RINGS, 0.2)
    step = whole_step(0.2)
    corners = points[triangles[:squares]]
    assert squares > 1000
    assert (np.abs(corners / step - np.rint(corners / step)) < 1e-9).all()
    assert turning(points, triangles[:squares]) == pytest.approx(step**2)


def test_step_lies_on_the_grid() -> None:
    assert whole_step(0.2) / GRID == round(0.2 / GRID)
    assert whole_step(1e-9) == GRID


@given(seed=st.integers(0, 10_000))
@settings(max_examples=30, deadline=None)
def test_cells_inside_are_those_that_shapely_finds(seed: int) -> None:
    chance = np.random.default_rng(seed)
    discs = [Point(*chance.uniform(2, 18, 2)).buffer(chance.uniform(0.5, 5)) for _ in range(4)]
    region = shapely.orient_polygons(shapely.union_all(discs).difference(Point(10, 10).buffer(2)))
    points, ring = shapely.get_coordinates(shapely.get_rings(shapely.get_parts(region)), return_index=True)
    whole = ring[:-1] == ring[1:]
    y, x = np.mgrid[0:20, 0:20] + 0.5
    found = cells_within(points[:-1][whole], points[1:][whole], (20, 20))
    assert (found == shapely.contains_xy(region, x, y)).all()


def test_cells_reaching_beyond_the_grid_are_cut_there() -> None:
    square = np.array([(-5.0, -5.0), (3.0, -5.0), (3.0, 30.0), (-5.0, 30.0)])
    found = cells_within(square, np.roll(square, -1, axis=0), (6, 8))
    assert (found == (np.arange(8) < 3)).all()


def test_marked_cells_become_rings_of_their_area() -> None:
    y, x = np.mgrid[0:30, 0:40]
    cells = (np.hypot(x - 15, y - 15) < 11) ^ (np.hypot(x - 17, y - 13) < 4) | (np.hypot(x - 33, y - 20) < 5)
    signed = [
        0.5 * float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))) for x, y in (ring.T for ring in rings_round(cells))
    ]
    assert sum(signed) == cells.sum()
    plain = np.zeros((4, 5), dtype=bool)
    plain[1:3, 2:4] = True
    (ring,) = rings_round(plain)
    assert Polygon(ring).equals(box(2, 1, 4, 3))
    assert rings_round(np.zeros((2, 2), dtype=bool)) == []

"""What is seen of triangles from above is the highest of them, exactly, facing up or down."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stampwright.solids.above import seen_from_above


def looked_at_one_by_one(places, heights, triangles, shape) -> np.ndarray:
    """Look at each lattice point through each triangle, by shares of the corners."""
    top = np.full(shape, -np.inf)
    for triangle in triangles:
        (ax, ay), (bx, by), (cx, cy) = places[triangle]
        doubled = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay)
        if doubled == 0:
            continue
        for row in range(shape[0]):
            for column in range(shape[1]):
                b = ((column - ax) * (cy - ay) - (cx - ax) * (row - ay)) / doubled
                c = ((bx - ax) * (row - ay) - (column - ax) * (by - ay)) / doubled
                if min(b, c, 1 - b - c) >= -1e-9:
                    height = heights[triangle] @ (1 - b - c, b, c)
                    top[row, column] = max(top[row, column], height)
    return top


@given(seed=st.integers(0, 10_000))
@settings(max_examples=20, deadline=None)
def test_highest_triangle_is_seen(seed: int) -> None:
    chance = np.random.default_rng(seed)
    places, heights = chance.uniform(-2, 12, (30, 2)), chance.uniform(-5, 5, 30)
    triangles = chance.integers(0, 30, (25, 3))
    found = seen_from_above(places, heights, triangles, (9, 10))
    assert found == pytest.approx(looked_at_one_by_one(places, heights, triangles, (9, 10)), abs=1e-5)


def test_points_on_shared_edges_and_corners_are_seen() -> None:
    y, x = np.mgrid[0:40, 0:50]
    places = np.column_stack((x.ravel(), y.ravel())).astype(float)
    corner = (y[:-1, :-1] * 50 + x[:-1, :-1]).ravel()
    squares = np.stack((corner, corner + 1, corner + 51, corner, corner + 51, corner + 50), axis=1).reshape(-1, 3)
    heights = 0.1 * places[:, 0] - 0.2 * places[:, 1]
    found = seen_from_above(places, heights, squares, (40, 50))
    assert found == pytest.approx(heights.reshape(40, 50), abs=1e-5)


def test_nothing_is_seen_where_nothing_is() -> None:
    assert np.isneginf(seen_from_above(np.zeros((0, 2)), np.zeros(0), np.zeros((0, 3), dtype=np.int64), (3, 4))).all()

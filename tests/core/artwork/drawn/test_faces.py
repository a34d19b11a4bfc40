"""What triangles cover is what the union of them all covers, however they lie over each other."""

import numpy as np
import pytest
import shapely
from stampwright.artwork.drawn import Brushed, Faces, draw_artwork
from stampwright.artwork.drawn.faces import covered


def sheet(count, to_place):
    """Return the triangles, (n, 3, 2), of a sheet of squares, -1 to 1 both ways, taken to places."""
    along = np.linspace(-1, 1, count)
    x, y = np.meshgrid(along, along, indexing="ij")
    places = np.stack(to_place(x, y), axis=-1).reshape(-1, 2)
    row, column = np.divmod(np.arange((count - 1) ** 2), count - 1)
    corner = row * count + column
    square = np.stack((corner, corner + count, corner + count + 1, corner + 1), axis=1)
    return places[np.concatenate((square[:, [0, 1, 2]], square[:, [0, 2, 3]]))]


CHANCE = np.random.default_rng(3)

SHEETS = {
    "flat": sheet(12, lambda x, y: (20 * x, 20 * y)),
    "folded": sheet(16, lambda x, y: (20 * np.sin(3 * x), 20 * y + x)),
    "twisted": sheet(16, lambda x, y: (20 * x * np.cos(4 * y), 20 * x * np.sin(4 * y))),
    "a ring": sheet(16, lambda x, y: ((12 + 5 * y) * np.cos(np.pi * x), (12 + 5 * y) * np.sin(np.pi * x))),
    "a body": sheet(
        20,
        lambda x, y: (
            (12 + 5 * np.cos(np.pi * y)) * np.cos(np.pi * x),
            (12 + 5 * np.cos(np.pi * y)) * np.sin(np.pi * x) + 2 * np.sin(np.pi * y),
        ),
    ),
    "crumpled": sheet(12, lambda x, y: (20 * x + CHANCE.normal(0, 1.5, x.shape), 20 * y)),
    "single ones": CHANCE.uniform(-20, 20, (80, 3, 2)),
    "on a grid": np.round(CHANCE.uniform(-5, 5, (80, 3, 2))),
    "in one point": np.array([[(0, 0), (4, 1), (4, 0)], [(0, 0), (-4, 1), (-4, 0)], [(0, 0), (1, 4), (0, 4)]], float),
    "twice": np.repeat(sheet(4, lambda x, y: (x, y)), 2, axis=0),
}


@pytest.mark.parametrize("triangles", SHEETS.values(), ids=SHEETS.keys())
def test_triangles_cover_their_union(triangles):
    faces = shapely.polygons(triangles)
    union = shapely.union_all(faces[shapely.area(faces) > 1e-9])
    region = covered(triangles)
    assert region.is_valid
    assert region.symmetric_difference(union).area == pytest.approx(0.0, abs=1e-6 * union.area)


def test_which_way_triangles_turn_does_not_matter():
    triangles = SHEETS["a body"].copy()
    area = covered(triangles).area
    triangles[::3] = triangles[::3, ::-1]
    assert covered(triangles).area == pytest.approx(area)


def test_a_tube_is_its_outline_and_not_its_triangles():
    tube = sheet(60, lambda x, y: (30 * x + 0 * y, np.sin(np.pi * y)))
    assert shapely.get_num_coordinates(covered(tube)) < 400
    assert draw_artwork([Faces(tube)]).inked.area == pytest.approx(120.0, rel=0.01)


def test_a_brush_drawn_through_many_points_has_no_more_of_them_than_it_needs():
    turn = np.linspace(0, np.pi, 2000)
    course = 20 * np.column_stack((np.cos(turn), np.sin(turn)))
    radii = np.linspace(1.0, 2.0, 2000)
    even = Brushed(course, np.full(2000, 1.5)).region(0.005, 1.0)
    swelling = Brushed(course, radii).region(0.005, 1.0)
    assert shapely.get_num_coordinates(even) < 1500
    assert shapely.get_num_coordinates(swelling) < 1500
    # Area within a course of radius 20: half a ring, and the halves of discs at its ends.
    assert even.area == pytest.approx(np.pi * (21.5**2 - 18.5**2) / 2 + np.pi * 1.5**2, rel=1e-3)
    assert swelling.area == pytest.approx(even.area, rel=0.02)


def test_a_brush_that_turns_back_on_its_way_covers_the_whole_of_it():
    course = np.array([(0.0, 0.0), (10.0, 0.0), (4.0, 0.0)])
    region = Brushed(course, np.array([1.0, 1.0, 1.0])).region(0.005, 1.0)
    assert region.bounds == pytest.approx((-1.0, -1.0, 11.0, 1.0), abs=0.01)


def test_a_brush_that_only_dots_is_a_disc():
    dot = Brushed(np.array([(3.0, 3.0), (3.0, 3.0)]), np.array([2.0, 2.0])).region(0.005, 1.0)
    assert dot.area == pytest.approx(4 * np.pi, rel=0.01)

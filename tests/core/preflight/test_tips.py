"""Tips of broad shapes are no thin lines, though their outlines are as rough as pixels; lines and thorns are found."""

import math

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.job import Job
from stampwright.preflight import SPIKE, THIN_LINE

from ..stages import examined, repaired
from .conftest import laid


def triangle(angle, height=6.0):
    half = height * math.tan(math.radians(angle / 2))
    return Polygon([(-half, 0), (half, 0), (0, height)])


def star(points, outer, inner):
    turns = np.arange(2 * points) * np.pi / points + 0.1
    radii = np.where(np.arange(2 * points) % 2, inner, outer)
    return Polygon(np.column_stack([radii * np.sin(turns), radii * np.cos(turns)]))


def leaf(length=12.0, radius=8.0):
    away = math.sqrt(radius**2 - length**2 / 4)
    return Point(0, away).buffer(radius, quad_segs=64).intersection(Point(0, -away).buffer(radius, quad_segs=64))


def in_pixels(shape, pixel):
    """Ink as the pixels whose middles it holds, with corners a little rounded: as tracing leaves it."""
    left, bottom, right, top = shape.bounds
    rows, columns = np.arange(bottom, top, pixel), np.arange(left, right + pixel, pixel)
    shapely.prepare(shape)
    x, y = np.meshgrid(columns + pixel / 2, rows + pixel / 2)
    held = np.pad(shapely.contains_xy(shape, x, y), ((0, 0), (1, 1)))
    row, begin = np.nonzero(~held[:, :-1] & held[:, 1:])
    _, end = np.nonzero(held[:, :-1] & ~held[:, 1:])
    runs = shapely.box(left + begin * pixel, bottom + row * pixel, left + end * pixel, bottom + (row + 1) * pixel)
    whole = shapely.union_all(runs)
    rounded = whole.buffer(-0.2 * pixel).buffer(0.4 * pixel).buffer(-0.2 * pixel)
    return MultiPolygon([part for part in shapely.get_parts(rounded) if part.area > 4 * pixel**2])


def found(ink):
    ink = MultiPolygon(list(shapely.get_parts(ink)))
    return [(each.kind, each.severity) for each in examined(Job(), laid(ink)) if each.kind in (THIN_LINE, SPIKE)]


BROAD = {
    "triangle": triangle(35),
    "narrow triangle": triangle(25),
    "star": star(5, 8, 3.06),
    "star of many points": star(12, 9, 6),
    "arrow": shapely.union_all([box(-6, -0.6, 2, 0.6), Polygon([(2, -1.8), (6, 0), (2, 1.8)])]),
    "leaf": leaf(),
    "drop": Point(0, 0).buffer(2).union(Polygon([(-1.9, 0.6), (1.9, 0.6), (0, 6)])),
}


@pytest.mark.parametrize("pixel", [0.0, 0.06, 0.083])
@pytest.mark.parametrize("name", BROAD)
def test_the_tip_of_a_broad_shape_blocks_nothing(name, pixel):
    ink = in_pixels(BROAD[name], pixel) if pixel else BROAD[name]
    assert [each for each in found(ink) if each == (THIN_LINE, "blocks")] == []


@pytest.mark.parametrize("pixel", [0.0, 0.083])
@pytest.mark.parametrize("turn", [0, 17])
def test_a_thorn_is_a_spike_once_however_rough(pixel, turn):
    thorn = affinity.rotate(triangle(12), turn, origin=(0, 0))
    ink = in_pixels(thorn, pixel) if pixel else thorn
    assert [each for each in found(ink) if each != (THIN_LINE, "warns")] == [(SPIKE, "warns")]


@pytest.mark.parametrize("pixel", [0.0, 0.083])
@pytest.mark.parametrize(
    "thin",
    [box(4, -0.15, 7, 0.15), box(4, -0.1, 5, 0.1), Polygon([(4, -0.19), (9, -0.1), (9, 0.1), (4, 0.19)])],
    ids=["line", "stub", "line that thins a little"],
)
def test_a_thin_line_on_a_broad_shape_still_blocks(thin, pixel):
    ink = box(-4, -4, 4, 4).union(thin)
    assert (THIN_LINE, "blocks") in found(in_pixels(ink, pixel) if pixel else ink)


def test_a_waist_between_two_broad_shapes_is_a_line_though_both_taper_to_it():
    assert (THIN_LINE, "blocks") in found(
        shapely.union_all([triangle(30), affinity.translate(affinity.scale(triangle(30), 1, -1), 0, 5.6)])
    )


def test_repair_leaves_tips_of_broad_shapes_alone():
    ink = MultiPolygon(list(shapely.get_parts(in_pixels(BROAD["narrow triangle"], 0.083))))
    assert repaired(Job(), laid(ink)).added.area < 0.02

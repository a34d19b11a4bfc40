"""Fill rules hold for any rings, whether they cross, nest, touch or repeat."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Point, box
from stampwright.artwork.limits import Limits
from stampwright.artwork.outlines import crossing
from stampwright.artwork.outlines.crossing import winding_numbers
from stampwright.artwork.outlines.filling import filled, turning, united
from stampwright.errors import ArtworkError

PENTAGRAM = np.array([[10 * math.sin(4 * math.pi * k / 5), 10 * math.cos(4 * math.pi * k / 5)] for k in range(5)])


def square(x, y, side, *, backwards=False):
    corners = np.array([[x, y], [x + side, y], [x + side, y + side], [x, y + side]], dtype=float)
    return corners[::-1] if backwards else corners


@pytest.mark.parametrize(("rule", "area"), [("nonzero", 112.2569941), ("evenodd", 77.5676752)])
def test_pentagram_fills_by_its_rule(rule, area):
    """Circumradius 10; the areas follow from the golden ratio."""
    assert filled([PENTAGRAM], rule).area == pytest.approx(area, rel=1e-8)


def test_ring_inside_a_ring_is_a_hole_only_when_it_turns_the_other_way():
    outer, inner = square(0, 0, 10), square(3, 3, 4)
    assert filled([outer, inner], "nonzero").area == pytest.approx(100)
    assert filled([outer, inner[::-1]], "nonzero").area == pytest.approx(84)
    assert filled([outer, inner], "evenodd").area == pytest.approx(84)


def test_rings_in_rings_in_rings_keep_their_own_holes():
    rings = [square(k, k, 40 - 2 * k) for k in range(0, 20, 2)]
    expected = sum((-1) ** index * (40 - 4 * index) ** 2 for index in range(10))
    assert filled(rings, "evenodd").area == pytest.approx(expected)


def test_overlapping_copies_fill_once_or_cancel():
    assert filled([square(0, 0, 4), square(0, 0, 4)], "nonzero").area == pytest.approx(16)
    assert filled([square(0, 0, 4), square(0, 0, 4)], "evenodd").area == pytest.approx(0)
    assert filled([square(0, 0, 4), square(2, 2, 4)], "nonzero").area == pytest.approx(28)
    assert filled([square(0, 0, 4), square(2, 2, 4)], "evenodd").area == pytest.approx(24)
    assert filled([square(0, 0, 4), square(2, 2, 4, backwards=True)], "nonzero").area == pytest.approx(24)


def test_rings_without_area_leave_nothing():
    line = np.array([[0.0, 0.0], [5.0, 5.0], [0.0, 0.0]])
    assert filled([line], "nonzero").is_empty
    assert filled([np.zeros((4, 2))], "nonzero").is_empty
    assert filled([], "evenodd").is_empty


def test_outline_that_doubles_back_on_itself_keeps_its_face():
    """Edges that nearly coincide must not let the face leak away through the gaps between them."""
    t = np.linspace(0, 1, 200)[:, None]
    base = (1 - t) ** 3 * [8.5, 11.5] + 3 * (1 - t) ** 2 * t * [6.9, 11.5] + 3 * (1 - t) * t**2 * [9.9, 11.5]
    back = base + t**3 * [6.0, 11.5] + np.random.default_rng(3).normal(0, 1e-16, (200, 2))
    arch = np.array([[6.0, 5.0], [14.5, 3.5], [13.0, 9.0]])
    ring = np.concatenate((back, arch))
    assert filled([ring], "nonzero").area == pytest.approx(abs(turning(ring)) / 2, rel=1e-3)


corner = st.integers(0, 12).map(float)
ring = st.lists(st.tuples(corner, corner), min_size=3, max_size=9).map(np.array)


@settings(max_examples=150, deadline=None)
@given(st.lists(ring, min_size=1, max_size=4), st.sampled_from(["nonzero", "evenodd"]))
def test_every_point_is_inside_exactly_when_its_winding_number_says_so(rings, rule):
    region = filled(rings, rule)
    assert region.is_valid
    # Off the grid, so that no probe lies on an edge between whole numbers by chance of construction.
    probes = np.array([[x + 0.3137, y + 0.2713] for x in range(12) for y in range(12)])
    windings = winding_numbers(probes, rings)
    inside = windings != 0 if rule == "nonzero" else windings % 2 == 1
    for probe, expected in zip(probes, inside, strict=True):
        point = Point(probe)
        if region.boundary.is_empty or region.boundary.distance(point) > 1e-6:
            assert region.contains(point) == expected


@pytest.mark.parametrize("rule", ["nonzero", "evenodd"])
def test_path_that_crosses_itself_a_hundred_thousand_times_fills_by_its_winding_numbers(rule):
    chance = np.random.default_rng(4)
    ring = chance.random((1000, 2)) * 100
    region = filled([ring], rule)
    probes = chance.random((300, 2)) * 100
    windings = winding_numbers(probes, [ring])
    inside = windings != 0 if rule == "nonzero" else windings % 2 == 1
    assert region.is_valid
    assert shapely.contains_xy(region, *probes.T).tolist() == inside.tolist()


@pytest.mark.parametrize("rule", ["nonzero", "evenodd"])
def test_heaps_of_rings_fill_alike_together_and_each_by_itself(rule, monkeypatch):
    """Heaps that cross lie in rings that do not, and hold others; some wind round them more than once."""
    chance = np.random.default_rng(5)
    heap = [chance.random((60, 2)) * 10 + 20 for _ in range(2)]
    rings = [square(0, 0, 60), square(5, 5, 45), *heap, square(24, 24, 0.01), chance.random((50, 2)) * 5 + 70]
    rings += [square(12, 40, 3), square(14, 41, 3, backwards=True)]
    expected = filled(rings, rule)
    monkeypatch.setattr(crossing, "MOST_SWEPT", 0)
    for few in (0, 10_000):
        monkeypatch.setattr(crossing, "FEW_CROSSINGS", few)
        apart = filled(rings, rule)
        assert apart.is_valid
        assert apart.area == pytest.approx(expected.area, rel=1e-7)
        assert apart.symmetric_difference(expected).area < 1e-5
    monkeypatch.setattr(crossing, "MOST_SWEPT", 3_000)
    assert filled(rings, rule).symmetric_difference(expected).area < 1e-5


def test_outlines_too_dense_to_be_told_apart_are_refused_with_the_limit_that_they_pass():
    ring = np.random.default_rng(6).random((3000, 2))
    with pytest.raises(ArtworkError, match="most_crossings"):
        filled([ring], "nonzero")


def fan(count):
    """Return needles that all lie over one middle, as the pieces of a pen far wider than its line do."""
    return [affinity.rotate(box(-1, 0, 50, 0.4), 360 * at / count, origin=(0, 0)) for at in range(count)]


def test_a_heap_of_needles_is_united_as_by_uniting_one_after_the_other():
    needles = fan(300)
    region = united(needles)
    assert region.is_valid
    assert region.symmetric_difference(shapely.union_all(needles)).area < 1e-6 * region.area


def test_a_line_that_jumps_to_and_fro_in_a_band_is_refused_before_it_is_filled():
    chance = np.random.default_rng(4)
    angle = np.linspace(0, 2 * np.pi, 100_000, endpoint=False)
    ring = (50 + chance.normal(0, 0.2, len(angle)))[:, None] * np.column_stack((np.cos(angle), np.sin(angle)))
    with pytest.raises(ArtworkError, match="most_beside"):
        filled([ring], "nonzero", Limits(most_beside=1_000_000))
    assert filled([ring], "nonzero").is_valid


def test_many_rings_round_each_other_are_filled_whatever_lies_beside():
    angle = np.linspace(0, 2 * np.pi, 64, endpoint=False)
    circle = np.column_stack((np.cos(angle), np.sin(angle)))
    region = filled([(radius + 1) * circle for radius in range(1_600)], "evenodd", Limits(most_beside=1_000_000))
    assert len(region.geoms) == 800


def test_a_heap_past_the_limit_is_refused_in_one_line_before_it_is_united():
    with pytest.raises(ArtworkError, match="most_compared"):
        united(fan(300), Limits(most_compared=1_000))

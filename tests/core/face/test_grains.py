"""Grains look the same everywhere, print within what the printer lays, and leave plain ink alone."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Point, box
from stampwright.face import GRAINS, Bead, FaceMap, lay_picture, make_grain
from stampwright.job.sections.face import GRAIN_NAMES as NAMES
from stampwright.job.sections.face import FaceSection
from stampwright.press.faces.seen import outlined

BOUNDS = (-12.0, -12.0, 12.0, 12.0)
BEAD = Bead(line_width=0.4, layer=0.2)
DEPTH = 0.6


def grained(face: FaceSection, *, spacing: float = 0.1, **more: object) -> FaceMap:
    made, _ = make_grain(face, BOUNDS, spacing, BEAD, depth=DEPTH, **more)  # type: ignore[arg-type]
    assert made is not None
    return made


def survives(region: MultiPolygon, width: float) -> float:
    """Return the share of a region that is at least ``width`` mm wide."""
    opened = shapely.buffer(shapely.buffer(region, -0.49 * width), 0.49 * width)
    return float(opened.area / region.area)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("seed", [1, 12])
def test_finest_grain_has_ridges_and_grooves_that_the_printer_lays(name: str, seed: int) -> None:
    # A grain that is asked for far too fine comes as fine as the printer's line allows.
    made = grained(FaceSection(texture=name, scale=0.1, seed=seed), spacing=0.05)
    over = made.heights / DEPTH + 0.5
    for side in (over, -over):
        edged = np.pad(side.astype(np.float64), 1, constant_values=-0.5)
        region = outlined(edged, (BOUNDS[0], BOUNDS[1]), made.spacing)
        assert survives(region, BEAD.line_width) > 0.9


@pytest.mark.parametrize("name", NAMES)
def test_grain_is_as_deep_as_asked_and_no_deeper(name: str) -> None:
    made = grained(FaceSection(texture=name, strength=0.5))
    assert made.heights.max() <= 0
    assert made.heights.min() == pytest.approx(-DEPTH / 2, rel=0.02)


@pytest.mark.parametrize("name", NAMES)
def test_grain_is_the_same_each_time_and_another_by_another_seed(name: str) -> None:
    face = FaceSection(texture=name)
    assert grained(face) == grained(face)
    if name not in ("hatching", "ripple"):
        assert grained(face) != grained(replace(face, seed=2))


@pytest.mark.parametrize("name", NAMES)
def test_grain_turns_with_its_direction(name: str) -> None:
    across, along = (grained(FaceSection(texture=name, turn=turn)) for turn in (0.0, 90.0))
    places = np.random.default_rng(1).uniform(-8, 8, (500, 2))
    turned = np.column_stack((-places[:, 1], places[:, 0]))
    assert along.at(turned) == pytest.approx(across.at(places), abs=0.04)


def test_ripple_is_a_cosine_of_its_size() -> None:
    made = grained(FaceSection(texture="ripple", scale=3.0, turn=30.0))
    places = np.random.default_rng(2).uniform(-8, 8, (500, 2))
    across = places @ (-np.sin(np.pi / 6), np.cos(np.pi / 6))
    assert made.at(places) == pytest.approx(-DEPTH / 2 * (1 - np.cos(2 * np.pi * across / 3)), abs=3e-3)


def test_stipple_pits_keep_their_distance() -> None:
    made = grained(FaceSection(texture="stipple", scale=2.0), spacing=0.05)
    deep = np.pad(-made.heights.astype(np.float64) - DEPTH / 2, 1, constant_values=-1.0)
    pits = outlined(deep, (BOUNDS[0], BOUNDS[1]), made.spacing)
    assert len(pits.geoms) == pytest.approx(24**2 / (4 * np.sqrt(0.75)), rel=0.15)
    whole = [pit for pit in pits.geoms if pit.area > 0.5]
    middles = shapely.points([pit.centroid.coords[0] for pit in whole])
    tree = shapely.STRtree(middles)
    (_, _), distances = tree.query_nearest(middles, exclusive=True, return_distance=True)
    assert distances.min() > 0.79 * 2.0


def test_too_fine_a_grain_is_told_with_what_it_was_made_at() -> None:
    _, found = make_grain(FaceSection(texture="linen", scale=0.6), BOUNDS, 0.2, BEAD, depth=DEPTH)
    (finding,) = found
    assert finding.kind == "texture too fine"
    assert finding.limit == pytest.approx(0.4 / GRAINS["linen"].narrowest)


def test_texture_of_less_than_a_layer_is_told() -> None:
    _, found = make_grain(FaceSection(texture="ripple", strength=0.2), BOUNDS, 0.2, BEAD, depth=DEPTH)
    assert [finding.kind for finding in found] == ["texture too shallow"]


def test_plain_ink_takes_no_texture() -> None:
    plain = MultiPolygon([Point(3, -2).buffer(4).difference(Point(3, -2).buffer(1)), box(-11, 5, -6, 9)])
    made = grained(FaceSection(texture="hatching"), plain=plain)
    inside = shapely.contains_xy(plain.buffer(-0.2), *made.samples.T)
    outside = ~shapely.contains_xy(plain.buffer(0.2), *made.samples.T)
    assert not made.heights.reshape(-1)[inside].any()
    assert made.heights.reshape(-1)[outside].min() == pytest.approx(-DEPTH)


def wedge(columns: int = 240, rows: int = 120) -> NDArray[np.float64]:
    """Black on the left to white on the right, its upper half white."""
    grey = np.tile(np.linspace(0, 1, columns), (rows, 1))
    grey[: rows // 2] = 1.0
    return grey


def test_picture_stands_as_it_reads_white_high_and_black_deep() -> None:
    picture = lay_picture(wedge(), BOUNDS, width=24.0)
    made = grained(FaceSection(texture="picture"), picture=picture)
    places = np.array([(-9.0, -3.0), (9.0, -3.0), (-9.0, 3.0), (0.0, -3.0)])
    assert made.at(places) == pytest.approx([-DEPTH * 0.875, -DEPTH * 0.125, 0.0, -DEPTH / 2], abs=0.01)
    # Outside of the picture, 24 by 12 mm, the face is untouched.
    assert made.at(np.array([(-9.0, -8.0)])) == pytest.approx(0.0)


def test_picture_without_a_width_covers_the_base() -> None:
    assert lay_picture(wedge(), (-20.0, -10.0, 20.0, 10.0)).size == (40.0, 20.0)
    assert lay_picture(wedge(), (-10.0, -20.0, 10.0, 20.0)).size == (80.0, 40.0)


def test_picture_turns_with_its_direction() -> None:
    turned = lay_picture(wedge(), BOUNDS, width=24.0, turn=90.0)
    made = grained(FaceSection(texture="picture"), picture=turned)
    assert made.at(np.array([(3.0, -9.0), (3.0, 9.0), (-3.0, -9.0)])) == pytest.approx(
        [-DEPTH * 0.875, -DEPTH * 0.125, 0.0], abs=0.01
    )


def test_picture_shows_nothing_finer_than_the_printers_line() -> None:
    # Stripes of 0.1 mm, finer than a line of 0.4 mm, even out to grey.
    stripes = np.tile(np.repeat([0.0, 1.0], 1), (240, 120))
    made = grained(FaceSection(texture="picture"), picture=lay_picture(stripes, BOUNDS, width=24.0))
    inner = made.at(np.random.default_rng(3).uniform(-10, 10, (400, 2)))
    assert inner == pytest.approx(-DEPTH / 2, abs=1e-6)

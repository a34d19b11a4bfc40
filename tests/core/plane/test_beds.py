"""Parts fit a bed as geometry says they do, and several stand on it apart from each other."""

import math

import numpy as np
import pytest
from shapely.geometry import Polygon, box
from stampwright.plane.beds import BedPlace, arrange, fit_on_bed, turned


def rectangle(width: float, depth: float) -> np.ndarray:
    return np.array(box(3.0, -7.0, 3.0 + width, depth - 7.0).exterior.coords)[:-1]


def carver(p: float, q: float, a: float, b: float) -> bool:
    """Say whether p x q fits into a x b, p >= q and a >= b: W. B. Carver, American Mathematical Monthly 64 (1957)."""
    if p <= a:
        return q <= b
    return b >= (2 * p * q * a + (p * p - q * q) * math.sqrt(p * p + q * q - a * a)) / (p * p + q * q)


@pytest.mark.parametrize("length", [150, 210, 219.9, 220.1, 250, 280, 300, 310])
@pytest.mark.parametrize("breadth", [5, 20, 40, 80, 119, 121])
def test_a_rectangle_fits_just_where_carver_says(length: float, breadth: float) -> None:
    for bed in ((220, 220), (220, 120), (120, 220)):
        expected = carver(length, breadth, max(bed), min(bed))
        assert fit_on_bed(rectangle(length, breadth), bed).fits == expected, bed


def test_a_brim_takes_its_room_on_both_sides() -> None:
    assert fit_on_bed(rectangle(210, 100), (220, 220), 5.0).fits
    assert not fit_on_bed(rectangle(210.5, 210), (220, 220), 5.0).fits


def test_what_does_not_fit_tells_how_much_of_it_would() -> None:
    fit = fit_on_bed(rectangle(500, 500), (220, 250))
    assert (fit.fits, fit.scale) == (False, pytest.approx(0.44))


def placed(outline: np.ndarray, spot: BedPlace) -> Polygon:
    return Polygon(turned(outline, spot.turn) + np.array((spot.x, spot.y)))


@pytest.mark.parametrize(
    ("sizes", "bed", "brim", "beds"),
    [
        ([(210, 90), (214.4, 94.4)], (220, 220), 0.0, 1),
        ([(210, 90), (214.4, 94.4), (214.4, 94.4)], (220, 220), 0.0, 2),
        ([(50, 50), (54, 54), (54, 54)], (220, 220), 8.0, 1),
        ([(50, 50), (54, 54), (54, 54)], (60, 60), 0.0, 3),
        ([(250, 20), (250, 20)], (220, 220), 0.0, 2),
        ([(100, 190), (100, 190), (100, 190)], (220, 220), 0.0, 2),
    ],
)
def test_parts_stand_within_their_beds_and_apart(
    sizes: list[tuple[float, float]], bed: tuple[float, float], brim: float, beds: int
) -> None:
    outlines = [rectangle(*size) for size in sizes]
    spots = arrange(outlines, bed, brim)
    stands = [placed(outline, spot).buffer(brim - 1e-6) for outline, spot in zip(outlines, spots, strict=True)]
    assert 1 + max(spot.bed for spot in spots) == beds
    for index, stand in enumerate(stands):
        assert box(-1e-6, -1e-6, bed[0] + 1e-6, bed[1] + 1e-6).covers(stand)
        for other in range(index):
            if spots[other].bed == spots[index].bed:
                assert stand.disjoint(stands[other])

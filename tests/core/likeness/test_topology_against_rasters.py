"""Parts and counters against pictures at 1200 dpi, taken apart by scikit-image's label and euler_number."""

import numpy as np
import pytest
import shapely
from shapely.geometry import MultiPolygon, Point, box
from skimage.measure import euler_number, label
from skimage.morphology import disk, erosion
from stampwright.likeness import COUNTER_LOST, EYE, FELL_APART, PART_LOST, RUN_TOGETHER, liken
from stampwright.plane.rasters.raster import picture_grid, picture_of
from stampwright.plane.regions import filled_parts
from stampwright.press import spread_ink

DPI = 1200.0
SPREAD = 0.1
CLEAR = 0.05
"""Gaps of the drawings below lie this far, mm, from what decides, so that a picture's pixels of 0.02 mm can tell."""


def scene(seed: int) -> MultiPolygon:
    """Bars, discs and rings in rows, apart by gaps that the ink's spread closes or leaves open for certain."""
    rng = np.random.default_rng(seed)
    shapes, bottom = [], 0.0
    for _ in range(5):
        left, row = 0.0, []
        for _ in range(7):
            size = rng.uniform(0.8, 2.0)
            disc = Point(left + size / 2, size / 2).buffer(size / 2, quad_segs=24)
            hole = rng.choice([2 * SPREAD - CLEAR, 2 * SPREAD + EYE + CLEAR])
            row.append(
                {
                    0: box(left, 0, left + size, size * rng.uniform(0.3, 1)),
                    1: disc,
                    2: disc.difference(Point(left + size / 2, size / 2).buffer(hole / 2, quad_segs=24)),
                    3: box(left, 0, left + size, size).difference(box(left + 0.3, 0.3, left + 0.3 + hole, size - 0.2)),
                }[int(rng.integers(4))]
            )
            left += size + rng.choice([EYE + CLEAR, 2 * SPREAD + CLEAR])
        shapes += [shapely.affinity.translate(shape, 0, bottom) for shape in row]
        bottom += 2.6
    kept: list[shapely.Geometry] = []
    for shape in shapes:
        apart = shapely.distance(shape, kept) if kept else np.zeros(0)
        # Shapes of unlike height may lie farther apart than their gap: just as far as what decides, for some.
        if not any((abs(apart - decides) < CLEAR / 2).any() for decides in (EYE, 2 * SPREAD)):
            kept.append(shape)
    return filled_parts(shapely.union_all(kept))


def pictures(*regions: MultiPolygon) -> list[np.ndarray]:
    bounds = tuple(shapely.total_bounds(list(regions)) + np.array([-0.5, -0.5, 0.5, 0.5]))
    shape, corner = picture_grid(bounds, DPI)
    return [picture_of(region, shape, corner, DPI) < 128 for region in regions]


def pixels_to_mm(picture: np.ndarray) -> float:
    return float(np.count_nonzero(picture)) * (25.4 / DPI) ** 2


def joined_parts(given: MultiPolygon, art: np.ndarray, ink: np.ndarray) -> set[int]:
    """Return the numbers of the given parts that share a connected region of ink with another part."""
    bounds = shapely.total_bounds([given]) - 0.5 - SPREAD
    parts, prints = label(art, connectivity=1), label(ink, connectivity=1)
    number = {}
    for at, part in enumerate(given.geoms):
        x, y = part.representative_point().coords[0]
        row, column = art.shape[0] - 1 - int((y - bounds[1]) * DPI / 25.4), int((x - bounds[0]) * DPI / 25.4)
        number[at] = parts[row, column]
    assert len(set(number.values())) == len(given.geoms)
    assert 0 not in number.values()
    owners = {at: set(np.unique(prints[parts == own])) - {0} for at, own in number.items()}
    return {at for at in owners for other in owners if at != other and owners[at] & owners[other]}


@pytest.mark.parametrize("seed", range(12))
def test_numbers_of_parts_and_counters_are_those_of_the_pictures(seed):
    given = scene(seed)
    printed = spread_ink(given, SPREAD)
    likeness = liken(printed, given, spread=SPREAD)
    for at, picture in enumerate(pictures(given, printed)):
        parts = int(label(picture, connectivity=1).max())
        # The Euler number is parts less holes (Gray 1971, as in scikit-image).
        counters = parts - euler_number(picture, connectivity=1)
        assert (likeness.parts[at], likeness.counters[at]) == (parts, counters)


@pytest.mark.parametrize("seed", range(12))
def test_what_ran_together_and_what_filled_is_what_the_pictures_show(seed):
    given = scene(seed)
    printed = spread_ink(given, SPREAD)
    likeness = liken(printed, given, spread=SPREAD)
    art, ink = pictures(given, printed)
    changes = [change for change in likeness.changes if change.kind == RUN_TOGETHER]
    told = set()
    for change in changes:
        assert EYE < change.width < 2 * SPREAD
        told |= {at for at, part in enumerate(given.geoms) if part.distance(change.place) < 0.05}
    # Bridges of one pixel may be told or not, those of 0.2 mm are.
    assert joined_parts(given, art, erosion(ink, disk(5))) <= told <= joined_parts(given, art, ink)

    papers = label(~art, connectivity=1)
    outside = papers[0, 0]
    filled = [at for at in range(1, papers.max() + 1) if at != outside and ink[papers == at].all()]
    lost = [change for change in likeness.changes if change.kind == COUNTER_LOST]
    assert len(lost) == len(filled)
    assert sum(change.area for change in lost) == pytest.approx(
        sum(pixels_to_mm(papers == at) for at in filled), rel=0.06
    )


@pytest.mark.parametrize("seed", range(6))
def test_intersection_over_union_is_that_of_the_pictures(seed):
    given = scene(seed)
    printed = shapely.affinity.translate(spread_ink(given, SPREAD), 0.45, -0.3)
    likeness = liken(filled_parts(printed), given, spread=SPREAD)
    art, ink = pictures(given, filled_parts(printed))
    assert likeness.iou == pytest.approx(pixels_to_mm(art & ink) / pixels_to_mm(art | ink), abs=0.004)
    assert likeness.added == pytest.approx(pixels_to_mm(ink & ~art), rel=0.01)
    assert likeness.lost == pytest.approx(pixels_to_mm(art & ~ink), rel=0.02)
    assert likeness.added == pytest.approx(printed.difference(given).area, rel=1e-6)
    assert likeness.lost == pytest.approx(given.difference(printed).area, rel=1e-6)


@pytest.mark.parametrize("seed", range(6))
def test_worn_prints_fall_apart_and_lose_parts_as_the_pictures_show(seed):
    given = scene(seed)
    cut = shapely.union_all([box(x, -1, x + 0.4, 20) for x in np.arange(0.5, 12, 2.9)])
    printed = filled_parts(given.difference(cut))
    likeness = liken(printed, given)
    art, ink = pictures(given, printed)
    art_parts, ink_parts = label(art, connectivity=1), label(ink, connectivity=1)
    lost, apart, surely_apart = 0, 0, 0
    solid = erosion(ink, disk(4))
    for part in range(1, art_parts.max() + 1):
        left = art_parts == part
        lost += np.count_nonzero(ink & left) < 0.25 * np.count_nonzero(left)
        apart += len(np.unique(ink_parts[left & ink])) > 1
        surely_apart += len(np.unique(ink_parts[left & solid])) > 1
    assert sum(change.kind == PART_LOST for change in likeness.changes) == lost
    # Pieces that no eye sees may be told or not.
    assert 0 < surely_apart <= sum(change.kind == FELL_APART for change in likeness.changes) <= apart

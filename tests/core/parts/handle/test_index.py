"""The index on the handle's top."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.job import Job
from stampwright.memory import Memory
from stampwright.parts.handle.index import STEP, index_region
from stampwright.solids import section

from ...stages import handle_of, index_of
from ..conftest import flag, judged, outline_for

FLAT = Point(0, 0).buffer(12, quad_segs=32)


def likeness(one: MultiPolygon, other: MultiPolygon) -> float:
    """Return the intersection over union of two shapes brought to the same box."""
    placed = []
    for shape in (one, other):
        _, bottom, _, top = shape.bounds
        placed.append(affinity.affine_transform(shape, (1 / (top - bottom), 0, 0, 1 / (top - bottom), 0, 0)))
    moved = affinity.translate(
        placed[1], placed[0].bounds[0] - placed[1].bounds[0], placed[0].bounds[1] - placed[1].bounds[1]
    )
    return float(placed[0].intersection(moved).area / placed[0].union(moved).area)


def test_sunk_index_reads_right_seen_from_above() -> None:
    handle, _ = handle_of(Job(), outline_for(Job()), flag())
    assert handle is not None
    judged(handle)
    # Sunk 0.6: just under the flat, the index is what is missing.
    top = section(handle, 44.5)
    sunk = MultiPolygon([Polygon(ring) for part in top.geoms for ring in part.interiors])
    assert likeness(flag(), sunk) > 0.9
    assert likeness(affinity.scale(flag(), -1, 1), sunk) < 0.75


def test_raised_index_stands_on_the_flat_and_reads_right() -> None:
    job = Job().with_value("handle.index", "raised")
    handle, _ = handle_of(job, outline_for(job), flag())
    assert handle is not None
    judged(handle)
    assert handle.vertices[:, 2].max() == pytest.approx(45.6)
    assert likeness(flag(), section(handle, 45.3)) > 0.9


def test_index_takes_or_adds_its_area_times_its_depth() -> None:
    volumes = {}
    for index in ("none", "sunk", "raised"):
        job = Job().with_value("handle.index", index)
        handle, _ = handle_of(job, outline_for(job), flag())
        assert handle is not None
        volumes[index] = handle.volume
        if index == "raised":
            area = section(handle, 45.3).area
    assert volumes["raised"] - volumes["none"] == pytest.approx(0.6 * area, rel=1e-3)
    assert volumes["none"] - volumes["sunk"] == pytest.approx(0.6 * area, rel=1e-3)


def test_index_fills_the_flat_and_keeps_its_border() -> None:
    region, found = index_of(Job(), flag(), FLAT)
    assert found == ()
    # Its size goes by steps, so that a drag which changes the flat by a hair leaves it as it is.
    lost = (1 - 1 / STEP) * math.sqrt(FLAT.area / math.pi)
    assert 1.3 < FLAT.exterior.distance(region) < 1.5 + lost


def test_index_is_drawn_anew_only_when_its_size_or_its_art_changes() -> None:
    memory = Memory()
    first, _ = index_region(flag(), FLAT, 0.4, memory=memory)
    wider, _ = index_region(flag(), FLAT.buffer(0.01), 0.4, memory=memory)
    assert wider is first
    larger, _ = index_region(flag(), FLAT.buffer(1.0), 0.4, memory=memory)
    assert larger.area > first.area * STEP
    other, _ = index_region(affinity.scale(flag(), 0.9, 1.0), FLAT.buffer(1.0), 0.4, memory=memory)
    assert other is not larger
    fresh, _ = index_region(affinity.scale(flag(), 0.9, 1.0), FLAT.buffer(1.0), 0.4)
    assert other.equals_exact(fresh, 0.0)


def test_lines_too_fine_for_the_top_are_thickened_to_the_extrusion_width_and_reported() -> None:
    rings = MultiPolygon([Point(0, 0).buffer(r).difference(Point(0, 0).buffer(r - 0.5)) for r in (22.0, 14.0, 6.0)])
    region, found = index_of(Job(), rings, FLAT)
    (finding,) = found
    # 22 mm of radius comes to 10.6: lines of 0.5 mm come to 0.24.
    assert finding.measured == pytest.approx(0.5 * 10.6 / 22, abs=0.02)
    assert finding.limit == 0.4
    assert finding.severity in ("notes", "warns")
    sturdy = region.buffer(-0.17).buffer(0.17)
    assert region.difference(sturdy.buffer(0.02)).area < 0.02 * region.area
    assert len(region.geoms) == 3


def test_width_that_is_told_is_the_lines_own_whatever_corners_the_picture_has() -> None:
    frame = box(-22, -22, 22, 22).difference(box(-19, -19, 19, 19))
    stars = [affinity.rotate(box(-1.5, -0.45, 1.5, 0.45), turn) for turn in (0, 60, 120)]
    star = shapely.union_all(stars)
    spread = [affinity.translate(star, x, y) for x in range(-15, 16, 5) for y in range(-15, 16, 5)]
    region, found = index_of(Job(), MultiPolygon([frame, *spread]), FLAT)
    scale = (region.bounds[2] - region.bounds[0]) / 44.0
    assert found[0].measured == pytest.approx(0.9 * scale, rel=0.02)


def test_gaps_too_narrow_for_the_top_are_closed() -> None:
    comb = MultiPolygon([box(x, -15, x + 1.6, 15) for x in np.arange(-15, 15, 2.2)])
    region, found = index_of(Job(), comb, FLAT)
    assert "gaps were closed" in found[0].message
    gaps = region.buffer(0.18).buffer(-0.18).difference(region.buffer(0.02))
    assert gaps.area < 0.02 * region.area


def test_picture_that_no_top_can_show_warns() -> None:
    dust = MultiPolygon([box(x, y, x + 0.3, y + 0.3) for x in np.arange(-20, 20, 2.0) for y in np.arange(-20, 20, 2.0)])
    _, (finding,) = index_of(Job(), dust, FLAT)
    assert (finding.kind, finding.severity) == ("index hard to read", "warns")


def test_specks_that_no_top_can_show_are_left_out_and_reported() -> None:
    specks = MultiPolygon([*flag().geoms, *(Point(x, 14).buffer(0.1) for x in (12.0, 13.5, 15.0))])
    region, _ = index_of(Job(), specks, FLAT)
    assert len(region.geoms) == 2
    _, found = index_of(Job(), MultiPolygon([Point(x, 0).buffer(0.05) for x in (-20, 20)]), FLAT)
    assert "specks were left out" in found[0].message


def test_top_too_small_for_an_index_is_left_plain_and_noted() -> None:
    region, (finding,) = index_of(Job(), flag(), Point(0, 0).buffer(2.5))
    assert region.is_empty
    assert finding.kind == "no room for an index"
    assert index_of(Job(), flag(), Polygon())[1][0].measured == 0.0


def test_index_stays_on_a_flat_of_any_form() -> None:
    bar = box(-30, -6, 30, 6)
    horseshoe = box(-20, -20, 20, 20).difference(box(-8, -5, 8, 21))
    for flat in (bar, horseshoe):
        region, _ = index_of(Job(), flag(), flat)
        assert not region.is_empty
        assert flat.buffer(-1.0).contains(region)
        assert region.is_valid


def test_index_of_busy_artwork_is_valid() -> None:
    rng = np.random.default_rng(5)
    dots = shapely.union_all([Point(*spot).buffer(rng.uniform(0.2, 2)) for spot in rng.uniform(-20, 20, (300, 2))])
    region, _ = index_of(Job(), MultiPolygon(shapely.get_parts(dots).tolist()), FLAT)
    assert region.is_valid
    assert FLAT.contains(region)


def test_a_picture_whose_lettering_is_gone_is_not_called_as_drawn_for_its_ink() -> None:
    # A broad ring that prints well, and in it twenty small letters that run together into a bar.
    ring = Point(0, 0).buffer(24).difference(Point(0, 0).buffer(14))
    letters = [box(x, -1.5, x + 0.7, 1.5) for x in np.arange(-10.0, 10.0, 1.0)]
    region, (finding,) = index_of(Job(), MultiPolygon([ring, *letters]), FLAT)
    assert len(region.geoms) == 2
    assert (finding.kind, finding.severity) == ("index hard to read", "warns")
    # The ring and its counter are left, of the ring, its counter and twenty letters.
    assert "2 of the picture's 22 parts and counters stand as drawn" in finding.message


def test_counters_that_close_count_as_lost() -> None:
    rings = [Point(x, 0).buffer(3).difference(Point(x, 0).buffer(0.2)) for x in (-12.0, 0.0, 12.0)]
    _, found = index_of(Job(), MultiPolygon(rings), FLAT)
    assert "3 of the picture's 6 parts and counters" in found[0].message

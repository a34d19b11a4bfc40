"""Cleaning takes out what nobody sees, and says what it changed."""

import pytest
from shapely.geometry import MultiPolygon, Point, box
from stampwright.artwork import Artwork
from stampwright.artwork.cleaning import clean_artwork


def artwork(*parts):
    return Artwork(MultiPolygon(list(parts)), (100.0, 100.0))


def test_slivers_of_ink_and_paper_go_and_their_area_is_told():
    plate = box(0, 0, 40, 40).difference(box(10, 10, 10.01, 30)).difference(box(20, 10, 30, 30))
    cleaned = clean_artwork(artwork(plate, box(60, 0, 90, 0.015)))
    assert cleaned.inked.equals(box(0, 0, 40, 40).difference(box(20, 10, 30, 30)))
    told = {finding.kind: finding.measured for finding in cleaned.findings}
    assert told["sliver dropped"] == pytest.approx(0.45)
    assert told["sliver filled"] == pytest.approx(0.2)


def test_thin_line_that_is_no_sliver_stays():
    line = box(0, 0, 50, 0.1)
    assert clean_artwork(artwork(line)).inked.equals(line)


def test_points_that_change_nothing_are_dropped():
    ring = Point(50, 50).buffer(20, quad_segs=2000)
    cleaned = clean_artwork(artwork(ring), near=0.005)
    assert len(cleaned.inked.geoms[0].exterior.coords) < 400
    assert cleaned.inked.hausdorff_distance(ring) <= 0.005 + 1e-9


def test_double_outline_is_filled_only_on_request():
    outer = box(0, 0, 40, 40).difference(box(1, 1, 39, 39))
    inner = box(1.4, 1.4, 38.6, 38.6).difference(box(2.4, 2.4, 37.6, 37.6))
    art = artwork(outer, inner)
    assert clean_artwork(art).inked.area == pytest.approx(art.inked.area)
    filled = clean_artwork(art, outline=0.5)
    assert filled.inked.equals(box(0, 0, 40, 40).difference(box(2.4, 2.4, 37.6, 37.6)))
    assert filled.findings[0].measured == pytest.approx(filled.inked.area - art.inked.area)

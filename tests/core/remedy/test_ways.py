"""Promises of what would make artwork pass: sizes and nozzles are the least that do, and each way was tried."""

import pytest
from shapely.geometry import MultiPolygon, Point, box
from stampwright import Artwork, make_stamp
from stampwright.job import Job
from stampwright.remedy import ways_to_pass
from stampwright.remedy.searching import least_that_passes


def artwork(*parts):
    return Artwork(inked=MultiPolygon(list(parts)), page_size=(40.0, 40.0))


def as_drawn(**values):
    return Job().with_values({"layout.size_by": "page", "layout.centre": "bounds", **values})


BARS = artwork(box(5, 5, 25, 5.2), box(5, 10, 25, 11))
CROWD = artwork(*[box(5, 5 + 0.5 * i, 25, 5.2 + 0.5 * i) for i in range(12)], box(5, 15, 25, 18))


def test_sound_artwork_needs_no_way():
    assert ways_to_pass(as_drawn(), artwork(box(5, 5, 25, 15))) == ()


@pytest.mark.parametrize("art", [BARS, CROWD], ids=["bars", "crowd"])
def test_every_way_passes_when_it_is_taken(art):
    job = as_drawn()
    ways = ways_to_pass(job, art)
    assert len(ways) >= 3
    for way in ways:
        stamp = make_stamp(job.with_values(dict(way.settings)), art)
        assert not stamp.blocked, way.what


def test_the_size_is_the_smallest_at_which_lines_are_laid():
    # 0.2 mm drawn, 0.4 mm laid: twice as large, and widths in steps of half a millimetre.
    ways = ways_to_pass(as_drawn(), BARS)
    larger = next(way for way in ways if set(way.settings) == {"layout.size_by", "layout.width", "base.width"})
    assert larger.settings["layout.width"] == pytest.approx(40.0)
    assert larger.settings["base.width"] == 100.0


def test_the_nozzle_is_the_widest_that_lays_the_line():
    (finer,) = (way for way in ways_to_pass(as_drawn(), BARS) if "printer.nozzle" in way.settings)
    assert finer.settings["printer.nozzle"] == 0.2
    assert finer.settings["printer.layer"] <= 0.1


def test_repair_comes_first_where_it_does_it_alone():
    ways = ways_to_pass(as_drawn(), BARS)
    assert ways[0].settings["preflight.repair"] is True
    assert ways[0].examination.judgement.likeness.iou > 0.6


def test_repair_that_has_no_room_is_not_offered_alone():
    for way in ways_to_pass(as_drawn(), CROWD):
        if way.settings.get("preflight.repair_by") == "outlines":
            assert len(way.settings) > 2


def test_artwork_that_overhangs_is_fitted():
    ways = ways_to_pass(as_drawn(), artwork(box(0, 0, 80, 40)))
    assert ways[0].settings == {"layout.size_by": "fit"}


def test_a_base_of_ones_own_grows_with_its_artwork():
    job = as_drawn(**{"base.outline": "custom", "base.points": [(-20, -10), (20, -10), (20, 10), (-20, 10)]})
    ways = ways_to_pass(job, artwork(box(5, 5, 35, 5.2), Point(20, 9).buffer(2)))
    larger = next(way for way in ways if "layout.width" in way.settings and "preflight.repair" not in way.settings)
    assert max(x for x, _ in larger.settings["base.points"]) >= 39.9


def test_a_search_ends_at_the_least_that_was_tried():
    tried = []

    def passes(figure):
        tried.append(figure)
        return figure >= 2.7

    found = least_that_passes(passes, 1.0, 8.0)
    assert found in tried
    assert 2.7 <= found <= 2.8
    assert least_that_passes(lambda figure: False, 1.0, 8.0) is None
    assert least_that_passes(lambda figure: True, 1.0, 8.0) == 1.0

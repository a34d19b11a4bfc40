"""What reads otherwise in print, on shapes whose measure is known, on both sides of what an eye sees."""

import math

import pytest
import shapely
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.likeness import (
    COUNTER_LOST,
    COUNTER_OPENED,
    EYE,
    FELL_APART,
    GAP_CLOSED,
    PART_LOST,
    RUN_TOGETHER,
    STROKE_LOST,
    WIDENED,
    liken,
    likeness_in_words,
    unchanged,
)
from stampwright.plane.regions import filled_parts
from stampwright.press import spread_ink

RING = Point(0, 0).buffer(3, quad_segs=32).difference(Point(0, 0).buffer(2.2, quad_segs=32))


def region(*shapes: shapely.Geometry) -> MultiPolygon:
    return filled_parts(shapely.union_all(shapes))


def kinds_of(printed: MultiPolygon, given: MultiPolygon, spread: float = 0.0) -> list[str]:
    return [change.kind for change in liken(printed, given, spread=spread).changes]


def spread_kinds(given: MultiPolygon, spread: float = 0.1) -> list[str]:
    return kinds_of(spread_ink(given, spread), given, spread)


def c_with_mouth(mouth: float) -> MultiPolygon:
    return region(RING.difference(box(0, -mouth / 2, 5, mouth / 2)))


def letter_e(gap: float) -> MultiPolygon:
    arms = [box(0, at * (0.4 + gap), 1.4, at * (0.4 + gap) + 0.4) for at in range(3)]
    return region(box(0, 0, 0.4, 1.2 + 2 * gap), *arms)


def test_what_prints_as_it_is_has_changed_in_nothing():
    given = region(RING, box(5, 0, 9, 1))
    likeness = liken(given, given)
    assert (likeness.iou, likeness.added, likeness.lost) == (1.0, 0.0, 0.0)
    assert likeness.changes == ()


def test_what_is_known_to_be_unchanged_is_told_as_if_it_were_compared():
    ring = Point(0, 0).buffer(5).difference(Point(0, 0).buffer(3))
    region = filled_parts(shapely.union_all([ring, Point(0, 0).buffer(1), box(8, 0, 9, 5)]))
    assert unchanged(region).as_record() == liken(region, region).as_record()


def test_broader_strokes_alone_are_no_loss():
    assert spread_kinds(region(RING, box(5, 0, 9, 1), box(5, 2, 9, 2.3))) == []


@pytest.mark.parametrize(
    ("gap", "said"),
    [(0.05, []), (EYE + 0.02, [RUN_TOGETHER]), (0.18, [RUN_TOGETHER]), (0.22, [])],
)
def test_bars_run_together_over_gaps_that_are_seen_and_fill(gap, said):
    given = region(box(0, 0, 1, 6), box(1 + gap, 0, 2 + gap, 6))
    likeness = liken(spread_ink(given, 0.1), given, spread=0.1)
    assert [change.kind for change in likeness.changes] == said
    for change in likeness.changes:
        assert change.width == pytest.approx(gap, abs=1e-6)
        assert change.length == pytest.approx(6.0, abs=0.2)
        assert change.share == pytest.approx(1.0, abs=0.05)
        assert change.place.within(box(0.9, -1, 1.1 + gap, 7))


def test_discs_that_touch_are_told_apart_from_bars_that_fuse():
    given = region(Point(0, 0).buffer(1), Point(2.18, 0).buffer(1))
    (touch,) = liken(spread_ink(given, 0.1), given, spread=0.1).changes
    assert touch.kind == RUN_TOGETHER
    assert touch.share < 0.2


@pytest.mark.parametrize(("mouth", "said"), [(0.05, []), (0.15, [GAP_CLOSED]), (0.3, [])])
def test_a_c_becomes_an_o_where_its_mouth_was_seen(mouth, said):
    given = c_with_mouth(mouth)
    found = [change.kind for change in liken(spread_ink(given, 0.1), given, spread=0.1).changes]
    assert found == said


def test_a_c_within_a_ring_becomes_an_o_and_is_told_by_its_own_size():
    given = region(c_with_mouth(0.15), Point(0, 0).buffer(6).difference(Point(0, 0).buffer(5)))
    (closed,) = liken(spread_ink(given, 0.1), given, spread=0.1).changes
    assert closed.kind == GAP_CLOSED
    assert closed.area == pytest.approx(math.pi * 2.1**2, rel=0.02)
    assert closed.size == pytest.approx(6.0, abs=0.01)


def test_a_counter_that_prints_as_two_is_told():
    waisted = shapely.union_all([box(1, 1, 3, 3), box(1.93, 2.9, 2.07, 4.1), box(1, 4, 3, 6)])
    given = region(box(0, 0, 4, 7).difference(waisted))
    (divided,) = [change for change in liken(spread_ink(given, 0.1), given, spread=0.1).changes if not change.length]
    assert divided.kind == GAP_CLOSED
    assert divided.area == pytest.approx(1.8**2, rel=0.05)


@pytest.mark.parametrize(("gap", "filled"), [(0.15, 2), (0.25, 0)])
def test_gaps_between_the_arms_of_an_e_fill_without_any_change_of_topology(gap, filled):
    given = letter_e(gap)
    likeness = liken(spread_ink(given, 0.1), given, spread=0.1)
    gaps = [change for change in likeness.changes if change.kind == GAP_CLOSED]
    assert likeness.parts == (1, 1)
    assert len(gaps) == filled
    for change in gaps:
        assert change.width == pytest.approx(gap, abs=0.02)


@pytest.mark.parametrize(("across", "said"), [(0.25, [COUNTER_LOST]), (0.35, [])])
def test_a_counter_is_lost_when_less_than_an_eye_sees_is_left(across, said):
    # 0.25 less twice 0.1 leaves 0.05 mm, under one minute of arc; 0.35 leaves 0.15 mm.
    given = region(box(-1, -1, 1, 1).difference(Point(0, 0).buffer(across / 2, quad_segs=32)))
    found = liken(spread_ink(given, 0.1), given, spread=0.1).changes
    assert [change.kind for change in found] == said
    for change in found:
        assert change.place.area == pytest.approx(math.pi * (across / 2) ** 2, rel=0.01)


def test_a_ring_that_is_cut_has_its_counter_opened():
    given = region(RING)
    cut = filled_parts(given.difference(box(0, -0.3, 5, 0.3)))
    assert set(kinds_of(cut, given)) == {COUNTER_OPENED, STROKE_LOST}


def test_an_eight_whose_waist_is_gone_has_a_counter_opened():
    given = region(box(0, 0, 4, 8).difference(region(box(1, 1, 3, 3.8), box(1, 4.2, 3, 7))))
    assert COUNTER_OPENED in kinds_of(filled_parts(given.difference(box(1, 3.7, 3, 4.3))), given)


def test_a_breach_between_two_counters_is_that_of_the_smaller_ones_wall():
    frame = box(0, 0, 40, 30).difference(box(1, 1, 39, 29))
    ring = Point(10, 10).buffer(3).difference(Point(10, 10).buffer(2))
    cut = ring.difference(box(9, 9.5, 14, 10.5))
    for given in ([ring, frame], [frame, ring]):
        changes = liken(MultiPolygon([cut, frame]), MultiPolygon(given)).changes
        (opened,) = [change for change in changes if change.kind == COUNTER_OPENED]
        assert opened.size < 7


def test_a_hair_whose_counter_opens_into_another_is_told_as_what_is_not_laid():
    frame = box(0, 0, 40, 30).difference(box(1, 1, 39, 29))
    hair = Point(10, 10).buffer(3).difference(Point(10, 10).buffer(2.9))
    given = MultiPolygon([hair, frame])
    opened = [each for each in liken(given, given, laid=0.4).changes if each.kind == COUNTER_OPENED]
    assert all(not each.laid for each in opened)


@pytest.mark.parametrize(("cut", "said"), [(0.05, set()), (0.5, {FELL_APART, STROKE_LOST})])
def test_a_bar_falls_apart_over_a_cut_that_is_seen(cut, said):
    given = region(box(0, 0, 10, 1))
    assert set(kinds_of(region(box(0, 0, 4, 1), box(4 + cut, 0, 10, 1)), given)) == said


def test_a_part_that_does_not_print_is_lost():
    given = region(box(0, 0, 5, 5), box(8, 0, 10, 1))
    (lost,) = liken(region(box(0, 0, 5, 5)), given).changes
    assert (lost.kind, lost.share) == (PART_LOST, 1.0)
    assert lost.area == pytest.approx(2.0)
    assert lost.size == pytest.approx(2.0)


def test_an_e_that_grew_over_its_own_gaps_has_drowned():
    given = letter_e(0.5)
    assert WIDENED in kinds_of(spread_ink(given, 0.35), given, 0.1)
    assert WIDENED not in spread_kinds(given)


def test_islands_in_counters_are_parts_and_their_counters_are_counted():
    given = region(
        box(0, 0, 10, 10).difference(box(1, 1, 9, 9)), box(2, 2, 8, 8).difference(box(3, 3, 7, 7)), box(4, 4, 6, 6)
    )
    likeness = liken(spread_ink(given, 0.1), given, spread=0.1)
    assert (likeness.parts, likeness.counters, likeness.changes) == ((3, 3), (2, 2), ())


def test_a_letter_reversed_out_of_ink_is_lost_when_it_fills():
    given = region(box(0, 0, 10, 4).difference(box(3, 1, 3.25, 3)))
    assert spread_kinds(given, 0.1) == [COUNTER_LOST]


def test_thousands_of_dots_are_matched_one_by_one():
    given = MultiPolygon([Point(i % 70, i // 70).buffer(0.3, quad_segs=4) for i in range(4900)])
    lost = MultiPolygon(given.geoms[:-10])
    likeness = liken(spread_ink(lost, 0.1), given, spread=0.1)
    assert likeness.parts == (4900, 4890)
    assert [change.kind for change in likeness.changes] == 10 * [PART_LOST]


@pytest.mark.parametrize(("width", "laid"), [(0.01, False), (0.37, False), (0.4, True), (0.8, True)])
def test_what_no_printer_lays_is_not_printed_whatever_the_file_holds(width, laid):
    given = region(box(0, 0, 20, 5), box(0, 6, 20, 6 + width))
    likeness = liken(spread_ink(given, 0.1), given, spread=0.1, laid=0.4)
    assert likeness.lost == pytest.approx(0.0 if laid else 20 * width, abs=1e-9)
    assert [(change.kind, change.laid) for change in likeness.changes] == ([] if laid else [(PART_LOST, False)])


def test_nothing_against_nothing_is_alike_and_all_against_nothing_is_lost():
    nothing, bar = MultiPolygon(), region(box(0, 0, 10, 1))
    assert liken(nothing, nothing).iou == 1.0
    assert kinds_of(nothing, bar) == [PART_LOST]
    assert liken(bar, nothing).iou == 0.0


def test_screened_art_is_judged_by_tone():
    dots = MultiPolygon([Point(x, y).buffer(0.35) for x in range(12) for y in range(12)])
    likeness = liken(spread_ink(dots, 0.1), dots, spread=0.1, screen=dots)
    assert likeness.changes == ()
    assert likeness.tone is not None
    # A dot of radius 0.45 for one of 0.35 in each square millimetre; the rim has fewer.
    assert likeness.tone.most == pytest.approx(math.pi * (0.45**2 - 0.35**2), abs=0.02)
    assert "darker than drawn" in likeness_in_words(likeness, 0.1)


def test_the_words_say_what_is_printed_and_what_is_lost():
    given = region(box(0, 0, 5, 5), box(8, 0, 10, 1))
    told = likeness_in_words(liken(region(box(0, 0, 5, 5)), given), 0.0).replace("\N{NO-BREAK SPACE}", " ")
    assert told == "92.6 % of the art as given; 1 part lost"


@pytest.mark.parametrize("apart", [0.0, 0.04])
@pytest.mark.parametrize("joined", [False, True])
def test_a_gap_that_fills_is_told_though_its_sides_touch_or_all_but_touch_at_one_end(apart, joined):
    """What an eye takes for one shape loses the gap as one that hangs together does."""
    low, high = box(0, 0, 10, 2), Polygon([(0, 2 + apart), (10, 2.18), (10, 4), (0, 4)])
    given = region(low, high, *([box(-1, 0, 0, 4)] if joined else []))
    assert len(given.geoms) == 2 - joined
    (change,) = liken(spread_ink(given, 0.1), given, spread=0.1).changes
    assert change.kind == GAP_CLOSED
    assert change.length > 5

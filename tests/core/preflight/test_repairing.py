"""Promises of repair: it mends what preflight finds, only that, and comes to an end whatever the artwork."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box
from stampwright.job import Job
from stampwright.preflight import (
    FLOODING_COUNTER,
    MENDED,
    NARROW_GAP,
    NO_ROOM,
    SPECK,
    SPIKE,
    THIN_LINE,
    TOUCHING_CORNERS,
    measure_gap_widths,
    measure_line_widths,
    narrowest_width,
)

from ..stages import examined, repaired
from .conftest import laid

MENDABLE = {THIN_LINE, SPIKE, NARROW_GAP, FLOODING_COUNTER, SPECK}


def mended(ink, job=None, **figures):
    job = (job or Job()).with_values({f"preflight.{name}": value for name, value in figures.items()})
    layout = laid(ink, job)
    return repaired(job, layout), examined(job, replace(layout, inked=repaired(job, layout).inked))


def unmended(findings):
    """What repair must leave none of; lines that are no more than printable still warn."""
    return [
        finding
        for finding in findings
        if finding.kind in MENDABLE
        and finding.severity != "notes"
        and (finding.kind, finding.severity) != (THIN_LINE, "warns")
    ]


def test_sound_ink_comes_back_untouched():
    layout = laid(Point(0, 0).buffer(8).difference(Point(0, 0).buffer(5)))
    result = repaired(Job(), layout)
    assert result.inked is layout.inked
    assert result.added.is_empty
    assert result.removed.is_empty
    assert result.findings == ()


@pytest.mark.parametrize("width", [0.05, 0.22, 0.3])
def test_line_is_widened_to_what_is_laid_and_not_lengthened(width):
    result, findings = mended(affinity.rotate(box(-6, 0, 6, width), 25, origin=(0, 0)))
    assert unmended(findings) == []
    upright = affinity.rotate(result.inked, -25, origin=(0, 0))
    left, bottom, right, top = upright.bounds
    assert (top - bottom, right - left) == (pytest.approx(0.4, abs=0.03), pytest.approx(12, abs=0.1))
    # Half of it on either side.
    assert bottom == pytest.approx(-(0.4 - width) / 2, abs=0.02)


def test_thick_and_thin_stay_apart():
    strokes = MultiPolygon([box(-8, 2 * i, 8, 2 * i + width) for i, width in enumerate((0.22, 0.42, 0.65))])
    result, _ = mended(strokes)
    widths = sorted(round(part.area / 16, 2) for part in result.inked.geoms)
    assert widths == [pytest.approx(0.4, abs=0.03), 0.42, 0.65]


@pytest.mark.parametrize("width", [0.05, 0.3, 0.6])
def test_line_is_widened_to_the_warning_limit_on_request(width):
    result, findings = mended(affinity.rotate(box(-6, 0, 6, width), 25, origin=(0, 0)), repair_to="warns")
    assert findings == ()
    upright = affinity.rotate(result.inked, -25, origin=(0, 0))
    left, bottom, right, top = upright.bounds
    assert (top - bottom, right - left) == (pytest.approx(0.8, abs=0.03), pytest.approx(12, abs=0.1))


def test_only_what_is_thin_is_thickened():
    frame = box(-10, -10, 10, 10).difference(box(-8, -8, 8, 8))
    result, findings = mended(shapely.union_all([frame, box(-8.1, -0.15, 8.1, 0.15)]), repair_to="warns")
    assert findings == ()
    assert result.removed.is_empty
    assert result.added.within(box(-8.1, -0.5, 8.1, 0.5))
    assert result.added.area == pytest.approx(16 * 0.5, rel=0.05)


def test_added_and_removed_are_the_difference_and_are_told():
    ink = MultiPolygon([box(-8, -3, 8, -0.05), box(-8, 0.05, 8, 3), box(-8, 5, 8, 5.3)])
    result, _ = mended(ink)
    assert result.inked.difference(ink).symmetric_difference(result.added).area < 1e-3
    assert ink.difference(result.inked).symmetric_difference(result.removed).area < 1e-3
    added, removed = result.findings
    assert (added.kind, added.measured) == (MENDED, pytest.approx(result.added.area))
    assert (removed.kind, removed.measured) == (MENDED, pytest.approx(-result.removed.area))
    assert removed.place.equals(result.removed)


def test_gap_is_opened_by_its_middle_to_the_spread():
    result, findings = mended(MultiPolygon([box(-8, -3, 8, -0.05), box(-8, 0.05, 8, 3)]))
    assert findings == ()
    assert result.added.is_empty
    assert result.inked.geoms[0].distance(result.inked.geoms[1]) == pytest.approx(0.2, abs=0.03)
    assert abs(result.removed.centroid.y) < 0.01


def test_lines_that_spare_nothing_move_apart_where_there_is_room_behind_them():
    lines = MultiPolygon([box(-8, 0, 8, 0.4), box(-8, 0.5, 8, 0.9), box(-8, -6, 8, -2)])
    result, findings = mended(lines, repair_specks="keep")
    assert unmended(findings) == []
    assert len(result.inked.geoms) == 3
    assert narrowest_width(result.inked, below=0.38) is None
    assert len(measure_gap_widths(result.inked, below=0.19)) == 0
    _, bottom, _, top = shapely.union_all([result.added, result.removed]).bounds
    assert (bottom, top) == (pytest.approx(-0.05, abs=0.02), pytest.approx(0.95, abs=0.02))


def test_a_line_beside_a_block_grows_away_from_it():
    result, findings = mended(MultiPolygon([box(-8, 0, 8, 0.15), box(-8, -5, 8, -0.22)]))
    assert unmended(findings) == []
    assert result.inked.geoms[0].distance(result.inked.geoms[1]) >= 0.19
    assert result.inked.bounds[3] == pytest.approx(0.39, abs=0.03)


def test_lines_without_room_are_left_apart_and_said_with_the_room_there_is():
    pitch, width = 0.5, 0.2
    lines = MultiPolygon([box(-8, pitch * i, 8, pitch * i + width) for i in range(5)])
    result, findings = mended(lines)
    assert len(result.inked.geoms) == 5
    assert len(measure_gap_widths(result.inked, below=0.19)) == 0
    assert (THIN_LINE, "blocks") in {(finding.kind, finding.severity) for finding in findings}
    crowded = [finding for finding in result.findings if finding.kind == NO_ROOM]
    assert crowded
    for finding in crowded:
        assert finding.place is not None
        # Two gaps and what a line may have at most between neighbours at this pitch that keep their gaps open.
        assert finding.measured <= 2 * pitch - width + 0.01
        assert finding.limit == pytest.approx(0.4 + 2 * 0.2)


@pytest.mark.parametrize(
    "unseen",
    [box(-0.03, -0.03, 0.03, 0.03), box(-0.02, -4, 0.02, 5), box(-0.02, -4, 0.02, 4)],
    ids=["pinhole", "slit", "enclosed slit"],
)
def test_what_no_eye_sees_is_neither_found_nor_cut_open(unseen):
    ink = box(-4, -4, 4, 4).difference(unseen)
    result, findings = mended(ink)
    assert findings == ()
    assert result.removed.is_empty


def test_a_ring_too_small_for_its_counter_is_not_filled():
    ring = Point(0, 0).buffer(0.52).difference(Point(0, 0).buffer(0.1))
    result, _ = mended(ring)
    (counter,) = result.inked.geoms[0].interiors
    assert Polygon(counter).area >= Point(0, 0).buffer(0.1).area - 1e-4
    assert narrowest_width(result.inked, below=0.38) is None


@pytest.mark.parametrize(("width", "sure"), [(0.3, True), (0.12, False)])
def test_necks_shorter_than_they_are_wide_are_no_thin_lines_and_hairs_may_print_apart(width, sure):
    halves = [box(-4, -3, -0.05, 3), box(0.05, -3, 4, 3), box(-0.1, -width / 2, 0.1, width / 2)]
    kinds = {(finding.kind, finding.severity) for finding in examined(Job(), laid(shapely.union_all(halves)))}
    assert (THIN_LINE, "blocks") not in kinds
    assert ((TOUCHING_CORNERS, "notes") in kinds) != sure


def test_a_traced_code_has_no_thin_lines_where_its_modules_all_but_touch():
    # Squares corner to corner over necks of 0.03 mm, as tracing leaves them.
    squares = [box(x, (x % 2) * 1.0 + y, x + 1.0, (x % 2) * 1.0 + y + 1.0) for x in range(6) for y in (0.0, 2.0, 4.0)]
    ink = shapely.union_all(squares).buffer(0.01, join_style="mitre")
    kinds = {(finding.kind, finding.severity) for finding in examined(Job(), laid(ink))}
    assert (THIN_LINE, "blocks") not in kinds
    assert (TOUCHING_CORNERS, "notes") in kinds


def test_the_outline_of_a_stroke_that_swells_and_thins_stays_smooth():
    x = np.linspace(-10, 10, 400)
    half = 0.22 + 0.12 * np.sin(2 * x)
    wave = 2 * np.sin(x / 2)
    stroke = Polygon(np.concatenate([np.column_stack([x, wave + half]), np.column_stack([x, wave - half])[::-1]]))
    result, findings = mended(stroke)
    assert unmended(findings) == []
    # Where the swelling meets the widened waist its flank has this slope; nothing may turn more sharply beside the
    # drawing's own turns.
    kink = np.degrees(np.arctan(0.24 * np.sqrt(1 - ((0.2 - 0.22) / 0.12) ** 2)))
    assert sharpest_turn(result.inked) < sharpest_turn(stroke) + kink + 2


def sharpest_turn(ink):
    """The sharpest corner of an outline away from its ends, degrees, seen at a tenth of a millimetre."""
    (ring,) = (part.exterior for part in shapely.get_parts(ink))
    outline = shapely.get_coordinates(ring.segmentize(0.1).simplify(0.01))[:-1]
    steps = np.roll(outline, -1, axis=0) - outline
    turns = np.angle(np.exp(1j * np.diff(np.arctan2(steps[:, 1], steps[:, 0]))))
    return np.degrees(np.abs(turns[np.abs(outline[1:, 0]) < 9.5])).max()


def test_lines_close_together_are_widened_as_far_as_there_is_room():
    lines = MultiPolygon([box(-8, 0.9 * i, 8, 0.9 * i + 0.3) for i in range(5)])
    result, findings = mended(lines, repair_to="warns")
    assert unmended(findings) == []
    assert len(result.inked.geoms) == 5
    inner = measure_line_widths(MultiPolygon([result.inked.geoms[2]]), below=0.8)
    # A pitch of 0.9 mm less the 0.2 mm that keep a gap open.
    assert 0.66 <= inner.narrowest.min() <= 0.72
    assert len(measure_gap_widths(result.inked, below=0.19)) == 0


def test_widening_floods_no_counter():
    # A ring of 0.5 mm ink round a counter of 0.6 mm.
    result, findings = mended(Point(0, 0).buffer(0.8).difference(Point(0, 0).buffer(0.3)))
    assert unmended(findings) == []
    assert len(result.inked.geoms[0].interiors) == 1


def test_counter_is_opened_when_the_ink_round_it_can_spare_it():
    result, findings = mended(box(-4, -4, 4, 4).difference(Point(1, 1).buffer(0.12)))
    assert findings == ()
    counter = Polygon(result.inked.geoms[0].interiors[0])
    assert counter.area == pytest.approx(np.pi * 0.2**2, rel=0.1)
    assert counter.centroid.distance(Point(1, 1)) < 0.01


def test_spike_loses_its_hair_and_keeps_its_length():
    result, findings = mended(Polygon([(-10, -0.9), (0, 0), (-10, 0.9)]))
    assert findings == ()
    # The hair, under 0.2 mm, is the last 1.1 mm; the blunt end of 0.4 mm takes 0.2 mm back.
    assert -1.1 < result.inked.bounds[2] < -0.7
    assert result.inked.bounds[0] == pytest.approx(-10)
    assert narrowest_width(result.inked, below=0.38) is None


@pytest.mark.parametrize("policy", ["grow", "drop", "keep"])
def test_specks_fare_as_the_job_says(policy):
    block, speck = box(-4, -4, 4, 4), Point(6, 0).buffer(0.25)
    result, findings = mended(MultiPolygon([block, speck]), repair_specks=policy)
    sizes = sorted(2 * shapely.minimum_bounding_radius(part) for part in result.inked.geoms)
    expected = {"grow": [pytest.approx(0.8, abs=0.03)], "drop": [], "keep": [pytest.approx(0.5)]}[policy]
    assert sizes[:-1] == expected
    assert bool(findings) == (policy == "keep")


@pytest.mark.parametrize(
    ("figure", "ink", "kind"),
    [
        ("repair_lines", box(-8, 0, 8, 0.3), THIN_LINE),
        ("repair_gaps", MultiPolygon([box(-8, -3, 8, -0.05), box(-8, 0.05, 8, 3)]), NARROW_GAP),
        ("repair_gaps", box(-4, -4, 4, 4).difference(Point(1, 1).buffer(0.12)), FLOODING_COUNTER),
        ("repair_spikes", Polygon([(-10, -0.9), (0, 0), (-10, 0.9)]), SPIKE),
    ],
)
def test_what_the_job_does_not_ask_for_is_left(figure, ink, kind):
    result, findings = mended(ink, **{figure: False})
    assert result.inked.equals(MultiPolygon(list(shapely.get_parts(ink))))
    assert [finding.kind for finding in findings] == [kind]


def test_corners_and_pinches_are_left_alone():
    modules = MultiPolygon([box(i, j, i + 1, j + 1) for i in range(6) for j in range(6) if (i + j) % 2])
    result, _ = mended(modules)
    assert result.inked is not None
    assert result.added.is_empty
    assert result.removed.is_empty


def test_corners_that_all_but_meet_are_cut_apart():
    tips = MultiPolygon([Polygon([(-6, -2), (-0.02, 0), (-6, 2)]), Polygon([(6, -2), (0.02, 0), (6, 2)])])
    result, findings = mended(tips)
    assert findings == ()
    assert len(result.inked.geoms) == 2
    assert result.inked.geoms[0].distance(result.inked.geoms[1]) == pytest.approx(0.2, abs=0.03)


def test_repair_of_repaired_ink_changes_nothing():
    job, layout = Job(), laid(LineString([(-8, 0), (0, 5), (8, 0), (0, 1)]).buffer(0.15))
    once = repaired(job, layout).inked
    assert repaired(job, replace(layout, inked=once)).inked is once


coordinates = st.floats(-8, 8)
points = st.tuples(coordinates, coordinates)


@st.composite
def inks(draw):
    """Random ink: polygons with holes, strokes, dots and boxes, joined and cut."""
    ink = MultiPolygon()
    for _ in range(draw(st.integers(1, 4))):
        form = draw(st.sampled_from(["polygon", "stroke", "dot", "box"]))
        match form:
            case "polygon":
                part = Polygon(draw(st.lists(points, min_size=3, max_size=9))).buffer(0)
            case "stroke":
                part = LineString(draw(st.lists(points, min_size=2, max_size=5))).buffer(draw(st.floats(0.02, 1)))
            case "dot":
                part = Point(draw(points)).buffer(draw(st.floats(0.05, 4)))
            case _:
                left, bottom = draw(points)
                part = box(left, bottom, left + draw(st.floats(0.05, 5)), bottom + draw(st.floats(0.05, 5)))
        operation = draw(st.sampled_from([shapely.union, shapely.difference, shapely.symmetric_difference]))
        ink = operation(ink, part)
    parts = [part for part in shapely.get_parts(shapely.make_valid(ink)) if part.geom_type == "Polygon"]
    return MultiPolygon([part for part in parts if part.area > 1e-9])


def parts_and_counters(ink):
    parts = [part for part in shapely.get_parts(ink) if part.area > 1e-4]
    return len(parts), sum(Polygon(ring).area > 1e-4 for part in parts for ring in part.interiors)


SHARDS = Polygon(
    [
        (0.05, 7.5617485),
        (0.05, 7.5117485),
        (0, 7.5117485),
        (0, 2.6268423),
        (0, 2.6268423),
        (0, 1.3853954),
        (4.6052832, 3.116007),
        (0.61036671, 0.41298371),
        (3.5068439, -3.1791488),
        (4.789019, -3.5781756),
        (4.0073326, -3.7998414),
        (4.3777011, -4.2591624),
        (3.928557, -3.8221801),
        (-7.201402, -6.9783445),
        (-3.6318278, -0.95751695),
        (3.1551237, -3.0696897),
        (0, 0),
        (-7e-08, 1e-07),
        (-2.9904881, 2e-08),
        (-2.9904881, 0),
        (-2.9904881, 2e-08),
        (-3.0641437, 2e-08),
        (-3.002335, 0.10425329),
        (-3.4421327, 0.09188216),
        (-2.8856995, 0.30098329),
        (-2.8402872, 0.37758049),
        (-1.8952996, 2.7531244),
        (-5.5073418, 8),
        (-1.6908998, 3.2669521),
        (0, 7.5175971),
        (0, 7.5617485),
    ]
)
"""Points one on the other: a line stayed thin away from all that was mended, and nothing said so."""


@example(MultiPolygon([SHARDS]))
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(inks())
def test_repair_of_anything_joins_nothing_and_parts_nothing(ink):
    # Wider than the grid that mended outlines lie on, and no hairs, which go.
    ink = MultiPolygon([part for part in shapely.get_parts(ink.buffer(-0.02).buffer(0.02)) if not part.is_empty])
    if not ink.is_valid or ink.is_empty or len(measure_gap_widths(ink, below=0.01)):
        return
    result, findings = mended(ink, repair_spikes=False)
    assert result.inked.is_valid
    assert parts_and_counters(result.inked) == parts_and_counters(ink)
    reach = 0.8 + 0.03
    assert result.added.difference(ink.buffer(reach)).area < 1e-6
    missing = [finding for finding in findings if (finding.kind, finding.severity) == (THIN_LINE, "blocks")]
    if missing:
        assert any(finding.kind == NO_ROOM for finding in result.findings)

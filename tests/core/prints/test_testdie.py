"""A test die is sound, prints at default settings, and its code says what it is."""

import numpy as np
import pytest
import shapely
import stampwright
import zxingcpp
from shapely import affinity
from stampwright import Job
from stampwright.cli import main
from stampwright.errors import JobError
from stampwright.plane.rasters.raster import picture_grid, picture_of
from stampwright.prints.testdie import (
    GAUGES,
    chart_of,
    draw_chart,
    fingerprint,
    height_comb,
    job_of_test_die,
    seat_gauge,
    seat_peg,
)
from stampwright.prints.testdie.chart import key_places
from stampwright.prints.testdie.gauges import CLEARANCES, PEG_SIDE
from stampwright.solids import check_soundness, section


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("test") / "die"
    assert main(["testdie", "-o", str(folder), "--size", "30"]) == 0
    return folder


def test_smallest_test_die_is_made_and_proven_like_any_stamp(made):
    names = {path.name for path in made.iterdir()}
    assert {"die.stl", "backing.stl", "ticket.html", "test-chart.svg", *GAUGES} <= names
    job = stampwright.read_job(made / "job.json")
    printed = stampwright.impress(made / "die.stl", depth=job.die.dressing).outlines
    chart = chart_of(job)
    common = printed.intersection(chart.inked).area
    assert common / printed.union(chart.inked).area > 0.999


def test_its_folder_makes_the_same_die_again(made, tmp_path):
    assert main(["make", "--job", str(made / "job.json"), "-o", str(tmp_path / "again")]) == 0
    first, again = (stampwright.impress(folder / "die.stl").outlines for folder in (made, tmp_path / "again"))
    assert first.symmetric_difference(again).area < 0.01


def test_code_says_size_line_width_and_job():
    job = job_of_test_die(Job(), 50.0)
    chart = chart_of(job)
    shape, corner = picture_grid((-25, -25, 25, 25), 400)
    seen = zxingcpp.read_barcodes(picture_of(chart.inked, shape, corner, 400))
    # An independent decoder, zxing-cpp.
    assert [code.text for code in seen] == ["0500040" + fingerprint(job)]


def test_fingerprint_tells_jobs_apart():
    assert fingerprint(Job()) == fingerprint(Job().with_value("name", "other"))
    assert fingerprint(Job()) != fingerprint(Job().with_value("ink.spread", 0.12))


@pytest.mark.parametrize("size", [30.0, 37.5, 50.0, 100.0])
def test_chart_holds_every_rung_at_every_size(size):
    chart = draw_chart(size)
    for direction in (0.0, 45.0, 90.0, 135.0):
        for kind in ("line", "gap"):
            widths = [rung.width for rung in chart.rungs if (rung.kind, rung.direction) == (kind, direction)]
            assert (min(widths), max(widths)) == pytest.approx((0.2, 1.6)), (direction, kind)
    for rung in chart.rungs:
        (x0, y0), (x1, y1) = rung.start, rung.end
        turned = np.degrees(np.arctan2(y1 - y0, x1 - x0)) % 180
        assert turned == pytest.approx(rung.direction, abs=1e-6) or turned == pytest.approx(180, abs=1e-6)
        middle = shapely.Point((x0 + x1) / 2, (y0 + y1) / 2)
        # Half of the width away on either side lies the edge; nothing nearer does.
        assert middle.distance(chart.inked.boundary) == pytest.approx(rung.width / 2, abs=1e-5)
        assert chart.inked.contains(middle) == (rung.kind == "line")


@pytest.mark.parametrize("size", [30.0, 34.0, 45.9, 46.0, 50.0, 90.0])
def test_parts_of_the_chart_stand_apart(size):
    chart = draw_chart(size)
    solid = chart.patches_of("solid")[0].region
    assert chart.inked.intersection(solid).area == pytest.approx(solid.area)
    for patch in chart.patches_of("cover"):
        share = chart.inked.intersection(patch.region).area / patch.region.area
        assert 0.6 * patch.share < share <= patch.share + 1e-6
    regions = [patch.region for patch in chart.patches if patch.kind != "hole"]
    regions += [shapely.Point(mark).buffer(4.75 * chart.unit) for mark in chart.marks]
    ladders = {(rung.kind, rung.direction): [] for rung in chart.rungs}
    for rung in chart.rungs:
        ladders[rung.kind, rung.direction].append(shapely.LineString([rung.start, rung.end]))
    regions += [shapely.union_all(ladder).convex_hull for ladder in ladders.values()]
    for index, one in enumerate(regions):
        for other in regions[index + 1 :]:
            assert one.distance(other) > 0.15, (one.bounds, other.bounds)
    for mark in chart.marks:
        clear = shapely.Point(mark).buffer(5.4 * chart.unit).difference(shapely.Point(mark).buffer(4.8 * chart.unit))
        assert chart.inked.intersection(clear).area < 0.01


def test_keys_tell_every_turn_and_mirroring():
    chart = draw_chart(50.0)
    solids, blanks = (
        shapely.union_all([affinity.scale(each, chart.unit, chart.unit, origin=(0, 0)) for each in places])
        for places in key_places()
    )

    def right(inked):
        return inked.intersection(solids).area / solids.area - inked.intersection(blanks).area / blanks.area

    assert right(chart.inked) == pytest.approx(1.0, abs=1e-6)
    for mirrored in (1, -1):
        for turn in (0, 90, 180, 270):
            if (mirrored, turn) != (1, 0):
                other = affinity.rotate(affinity.scale(chart.inked, mirrored, 1, origin=(0, 0)), turn, origin=(0, 0))
                assert right(other) < 0.6, (mirrored, turn)


@pytest.mark.parametrize(("size", "line"), [(29.9, 0.4), (50.0, 0.8), (151.0, 0.4), (float("nan"), 0.4)])
def test_die_without_room_is_refused(size, line):
    with pytest.raises(JobError, match="test die"):
        draw_chart(size, line)


def test_gauges_are_sound_and_of_the_sizes_that_they_say():
    for solid in (seat_gauge(), seat_peg(), height_comb(0.2)):
        assert check_soundness(solid.vertices, solid.triangles).sound

    plate = section(seat_gauge(), 1.5)
    holes = [shapely.Polygon(ring) for part in plate.geoms for ring in part.interiors]
    sides = sorted(hole.bounds[2] - hole.bounds[0] for hole in holes if hole.area > 30)
    assert sides == pytest.approx([PEG_SIDE + 2 * clearance for clearance in CLEARANCES], abs=1e-3)
    assert sum(hole.area < 30 for hole in holes) == sum(range(1, len(CLEARANCES) + 1))
    comb = height_comb(0.2)
    assert set(np.round(comb.vertices[:, 2], 3)) >= {0.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0}


def test_heights_of_the_comb_are_whole_layers():
    heights = np.unique(height_comb(0.3).vertices[:, 2]) - 2.0
    assert np.allclose(heights[heights > 0] / 0.3, np.round(heights[heights > 0] / 0.3), atol=1e-3)

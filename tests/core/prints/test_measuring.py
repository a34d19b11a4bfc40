"""Prints made by an independent way are measured as what they were made to be, and unusable ones refused."""

import re
import sys

import numpy as np
import pytest
import shapely
from PIL import Image
from shapely import affinity
from skimage import transform
from stampwright import Job
from stampwright.cli import main
from stampwright.errors import PrintError
from stampwright.examination.laying import limits_of
from stampwright.files.jobs import write_job
from stampwright.job.measured import measured_in, read_measured, take_measured
from stampwright.prints.finding.views import homography
from stampwright.prints.measuring import measure_prints
from stampwright.prints.measuring.gathering import relation
from stampwright.prints.testdie import chart_of, draw_chart, job_of_test_die

from .synthetic import Stamped, photographed, scanned

SCAN, PHOTO, SIZE = 0.01, 0.02, 0.001
"""How far spread, mm, from a scan at 600 dpi and from a photograph, and size as a share, may be off."""


def chart_and_lost_lines(size, line, lost):
    """Return a chart, and where its lines narrower than ``lost`` are."""
    chart = draw_chart(size, line, "0C0FFEE")
    thin = [rung for rung in chart.rungs if rung.kind == "line" and rung.width < lost - 1e-9]
    places = [shapely.LineString([rung.start, rung.end]).buffer(rung.width, cap_style="square") for rung in thin]
    return chart, shapely.union_all(places) if places else None


def of(measured, name):
    return next(figure for figure in measured.figures if figure.name == name)


def check(measured, chart, *, spread, lost, within, scale=None):
    steps = sorted({rung.width for rung in chart.rungs})
    assert of(measured, "ink spread").value == pytest.approx(spread, abs=within)
    printed = min(width for width in steps if width >= lost - 1e-9)
    assert abs(steps.index(of(measured, "least line").value) - steps.index(printed)) <= (0 if lost else 1)
    opened = min(width for width in steps if width > 2 * spread)
    found = min(range(len(steps)), key=lambda at: abs(steps[at] - of(measured, "least gap").value))
    assert abs(found - steps.index(opened)) <= 1
    if scale is not None:
        sizes = of(measured, "size across").value / 100, of(measured, "size up").value / 100
        assert sizes == pytest.approx(scale, abs=SIZE)


@pytest.mark.sweep(2)
@pytest.mark.parametrize("case", range(100))
def test_scans_are_measured_as_they_were_made(case, tmp_path):
    rng = np.random.default_rng(1000 + case)
    size, line = [(50.0, 0.4), (30.0, 0.4), (40.0, 0.35), (60.0, 0.6)][case % 4]
    spread, scale = rng.uniform(0.03, 0.16), tuple(rng.uniform(0.985, 1.015, 2))
    lost = rng.choice([0.0, line, 1.25 * line])
    chart, drop = chart_and_lost_lines(size, line, lost)
    stamped = Stamped(
        chart.inked, spread, scale, drop, ink=rng.uniform(0.08, 0.45), speckle=rng.uniform(0, 0.02), seed=case
    )
    path = tmp_path / ("scan.jpg" if case % 3 == 1 else "scan.png")
    side = size + 30
    scanned(
        [stamped],
        path,
        page=(side, side),
        places=((side / 2, side / 2),),
        turns=(rng.uniform(0, 360),),
        blur=rng.uniform(0.4, 1.1),
        noise=rng.uniform(0.003, 0.02),
        seed=case,
    )
    check(measure_prints([path]), chart, spread=spread, lost=lost, within=SCAN, scale=scale)


@pytest.mark.sweep(1)
@pytest.mark.parametrize("case", range(50))
def test_photographs_are_measured_as_they_were_taken(case, tmp_path):
    rng = np.random.default_rng(2000 + case)
    spread, lost = rng.uniform(0.03, 0.16), rng.choice([0.0, 0.4])
    size, line = [(50.0, 0.4), (30.0, 0.4), (40.0, 0.35)][case % 3]
    lost = line if lost else lost
    chart, drop = chart_and_lost_lines(size, line, lost)
    stamped = Stamped(
        chart.inked, spread, (1, 1), drop, ink=rng.uniform(0.08, 0.4), speckle=rng.uniform(0, 0.015), seed=case
    )
    path = tmp_path / "photo.jpg"
    photographed(
        stamped,
        path,
        # As large in the picture as it has room: smaller dies are taken from nearer.
        across=rng.uniform(600, 740) * 50.0 / max(size, 40.0),
        turn=rng.uniform(0, 360),
        tip=rng.uniform(-0.3, 0.3, 2),
        barrel=rng.uniform(-0.06, 0.03),
        blur=rng.uniform(0.5, 1.1),
        light=rng.uniform(0, 0.35),
        seed=case,
    )
    check(measure_prints([path]), chart, spread=spread, lost=lost, within=PHOTO)


@pytest.mark.sweep(2)
@pytest.mark.parametrize("case", range(40))
def test_noisy_scan_that_a_program_blurred_is_measured_as_it_is_written(case, tmp_path):
    rng = np.random.default_rng(777 + case)
    chart, spread = draw_chart(*[(30.0, 0.4), (50.0, 0.4)][case % 2]), rng.uniform(0.03, 0.15)
    stamped = Stamped(chart.inked, spread, ink=rng.uniform(0.05, 0.5), speckle=rng.uniform(0, 0.02), seed=case)
    middle, how = chart.size / 2 + 8, {"noise": rng.uniform(0.003, 0.03), "light": rng.uniform(0, 0.3), "seed": case}
    place = {"page": (2 * middle, 2 * middle), "places": ((middle, middle),), "turns": (rng.uniform(0, 360),)}
    scanned([stamped], tmp_path / "scan.png", dpi=600.0, blur=rng.uniform(0.4, 2), **place, **how)
    assert of(measure_prints([tmp_path / "scan.png"]), "ink spread").value == pytest.approx(spread, abs=SCAN)


@pytest.mark.sweep(2)
@pytest.mark.parametrize("case", range(40))
def test_what_a_lens_blurred_is_measured_in_light(case, tmp_path):
    # Lenses blur light, files hold its root, and cameras and scanners sharpen that: half-way is where light is half.
    rng = np.random.default_rng(3000 + case)
    chart, spread = draw_chart(*[(30.0, 0.4), (40.0, 0.4)][case // 2 % 2]), rng.uniform(0.03, 0.15)
    stamped = Stamped(chart.inked, spread, ink=rng.uniform(0.03, 0.4), speckle=rng.uniform(0, 0.01), seed=case)
    # Sharpened twice as much, one scan in ten looks as if it had been blurred as it is written.
    how = {"lens": True, "sharpened": rng.choice([0.0, 0.15, 0.3]), "paper": rng.choice([0.6, 0.85, 0.93])}
    how["seed"] = case
    if case % 2:
        path, middle = tmp_path / "scan.png", chart.size / 2 + 8
        page = (2 * middle, 2 * middle)
        scanned([stamped], path, page=page, places=((middle, middle),), blur=rng.uniform(0.4, 1.0), noise=0.006, **how)
    else:
        path, per_mm = tmp_path / "photo.jpg", rng.uniform(14, 18)
        side = round(1.6 * chart.size * per_mm) + 40
        tip = rng.uniform(-0.2, 0.2, 2)
        how |= {"shape": (side, side), "across": 50 * per_mm, "blur": rng.uniform(0.5, 1.0), "noise": 0.006}
        photographed(stamped, path, turn=rng.uniform(0, 360), tip=tip, **how)
        with Image.open(path) as image:
            about = image.getexif()
            about[0x010F] = "Mossgate"
            image.save(path, exif=about, quality=90)
    found = of(measure_prints([path]), "ink spread")
    assert found.value == pytest.approx(spread, abs=SCAN if case % 2 else PHOTO)


@pytest.mark.sweep(2)
@pytest.mark.parametrize("case", range(12))
def test_print_that_was_struck_twice_is_left_out_with_its_slide(case, tmp_path):
    rng = np.random.default_rng(3100 + case)
    chart, spread, way = draw_chart(30.0), rng.uniform(0.04, 0.1), rng.uniform(0.1, 0.2)
    turn = np.radians(rng.choice([0.0, 45.0, 90.0, 135.0, 20.0, 100.0]) + rng.uniform(-4, 4))
    shift = way * np.array([np.cos(turn), np.sin(turn)])
    twice = Stamped(chart.inked.buffer(spread).union(affinity.translate(chart.inked.buffer(spread), *shift)), 0.0)
    place = {"page": (44, 44), "places": ((22, 22),)}
    scanned([twice], tmp_path / "twice.png", turns=(rng.uniform(0, 360),), **place, seed=case)
    try:
        read = measure_prints([tmp_path / "twice.png"])
    except PrintError as error:
        assert float(re.search(r"struck twice, or slid, by ([\d.]+) mm", str(error))[1]) == pytest.approx(way, abs=0.02)  # noqa: PT017  # either will do
    else:
        # As far as it may have crept so, it is only said that directions differ.
        assert any("came down twice" in note for note in read.notes)
    scanned([Stamped(chart.inked, 0.09)], tmp_path / "once.png", **place)
    measured = measure_prints([tmp_path / "once.png", tmp_path / "twice.png"])
    if len(measured.readings) == 1:
        assert of(measured, "ink spread").value == pytest.approx(0.09, abs=SCAN)
        assert any("left out" in note and "twice.png" in note for note in measured.notes)


def test_resolution_that_no_scanner_recorded_is_not_taken(tmp_path):
    # A picture scaled after it was scanned, and a photograph saved by a program that writes 300 dpi into every file.
    chart = draw_chart(30.0)
    place = {"page": (44, 44), "places": ((22, 22),)}
    scanned([Stamped(chart.inked, 0.09)], tmp_path / "scan.png", **place)
    photographed(Stamped(chart.inked, 0.09), tmp_path / "photo.png", shape=(900, 900), across=850, tip=(0.3, 0.2))
    for name, dpi in (("scan.png", 300), ("scan.png", 1200), ("photo.png", 300), ("photo.png", 424)):
        Image.open(tmp_path / name).save(tmp_path / name, dpi=(dpi, dpi))
        measured = measure_prints([tmp_path / name])
        assert not any(figure.name.startswith("size") for figure in measured.figures)
        assert of(measured, "ink spread").value == pytest.approx(0.09, abs=SCAN if "scan" in name else PHOTO)
        assert any(f"records {dpi} dpi" in note for note in measured.notes)
        with pytest.raises(PrintError, match=f"records {dpi} dpi"):
            measure_prints([tmp_path / name], scale="dpi")


def test_several_prints_of_one_scan_are_all_read(tmp_path):
    chart = draw_chart(30.0)
    spreads = (0.06, 0.09, 0.12)
    prints = [Stamped(chart.inked, spread) for spread in spreads]
    scanned(prints, tmp_path / "three.png", page=(150, 60), places=((28, 30), (75, 29), (122, 31)), turns=(4, 187, -91))
    measured = measure_prints([tmp_path / "three.png"])
    assert sorted(each.mean_spread for each in measured.readings) == pytest.approx(spreads, abs=SCAN)
    figure = of(measured, "ink spread")
    assert (figure.prints, figure.value) == (3, pytest.approx(0.09, abs=SCAN))
    assert figure.deviation == pytest.approx(np.std(spreads), abs=0.004)


def test_spread_is_told_by_direction(tmp_path):
    # Ink that creeps farther along x than along y: art stretched about each edge is that of an ellipse, not a disc.
    chart = draw_chart(50.0)
    narrow = shapely.transform(chart.inked, lambda points: points * (1, 3.0)).buffer(0.15, quad_segs=16)
    stamped = Stamped(shapely.transform(narrow, lambda points: points / (1, 3.0)), 0.0)
    scanned([stamped], tmp_path / "scan.png")
    (reading,) = measure_prints([tmp_path / "scan.png"]).readings
    assert reading.spread[90.0].mean == pytest.approx(0.15, abs=SCAN)
    assert reading.spread[0.0].mean == pytest.approx(0.05, abs=SCAN)
    # Across a slanted edge an ellipse reaches by the root of the mean of squares.
    assert reading.spread[45.0].mean == pytest.approx(np.sqrt((0.15**2 + 0.05**2) / 2), abs=SCAN)


UNUSABLE = {
    "mirrored": ({"mirrored": True}, {}, "mirrored"),
    "blurred": ({}, {"blur": 9.0}, "blurred"),
    "small": ({}, {"dpi": 120.0, "blur": 0.4}, "small|blurred"),
    "coarse": (
        {},
        {"dpi": 150.0, "blur": 0.4},
        "too small in the picture: 150 pixels to the inch",
    ),
    "cut off": ({}, {"places": ((12.0, 40.0),)}, "cut off"),
    "empty": ({"spread": -3.0}, {"noise": 0.0, "texture": 0.0, "light": 0.0}, "nothing stands out|no corner mark"),
}


@pytest.mark.parametrize("name", UNUSABLE)
def test_unusable_print_is_refused_with_the_reason(name, tmp_path):
    how, scan, reason = UNUSABLE[name]
    chart = draw_chart(50.0)
    scanned(
        [Stamped(chart.inked.union(shapely.Point(0, 0).buffer(3.1)) if name == "empty" else chart.inked, **how)],
        tmp_path / "scan.png",
        **scan,
    )
    with pytest.raises(PrintError, match=reason) as caught:
        measure_prints([tmp_path / "scan.png"])
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(("dpi", "blur", "reason"), [(150.0, 0.4, "scanned at 150 dpi"), (220.0, 0.8, "even a sharp")])
def test_small_die_scanned_too_coarsely_is_refused_for_that(dpi, blur, reason, tmp_path):
    # Neither is cut off or blurred: there are too few pixels.
    path = tmp_path / "scan.png"
    scanned(
        [Stamped(draw_chart(30.0).inked)], path, dpi=dpi, blur=blur, page=(46, 46), places=((23, 23),), turns=(17.0,)
    )
    with pytest.raises(PrintError, match=f"too small in the picture: .*{reason}"):
        measure_prints([path])


@pytest.mark.sweep(1)
@pytest.mark.parametrize("case", range(24))
def test_whatever_spoils_a_print_it_is_refused_with_that_reason(case, tmp_path):
    rng = np.random.default_rng(8000 + case)
    spoilt, taken = ("mirrored", "blurred", "small", "cut off")[case % 4], ("scan", "photo")[case // 4 % 2]
    chart, path = draw_chart(rng.choice([30.0, 40.0])), tmp_path / "print.png"
    half = chart.size / 2
    stamped = Stamped(chart.inked, rng.uniform(0.03, 0.14), ink=rng.uniform(0.1, 0.4), mirrored=spoilt == "mirrored")
    if taken == "scan":
        off = rng.uniform(0.35, 0.7) * chart.size if spoilt == "cut off" else 0.0
        scanned(
            [stamped],
            path,
            dpi=rng.uniform(60, 110) if spoilt == "small" else 400.0,
            page=(chart.size + 16, chart.size + 16),
            places=((half + 8 - off, half + 8),),
            turns=(rng.uniform(0, 360) if spoilt != "cut off" else rng.uniform(-20, 20),),
            blur=rng.uniform(5, 12) if spoilt == "blurred" else 0.5,
            seed=case,
        )
    else:
        per_mm = rng.uniform(1.5, 4.0) if spoilt == "small" else rng.uniform(14, 17)
        side = round(1.6 * chart.size * per_mm) + 40
        off = rng.uniform(0.35, 0.7) * chart.size * per_mm if spoilt == "cut off" else 0.0
        photographed(
            stamped,
            path,
            shape=(side, side) if not off else (side, round(chart.size * per_mm)),
            across=50 * per_mm,
            turn=rng.uniform(0, 360) if not off else 0.0,
            tip=rng.uniform(-0.2, 0.2, 2),
            blur=rng.uniform(5, 10) if spoilt == "blurred" else 0.6,
            at=None if not off else (chart.size * per_mm / 2 - off, side / 2),
            seed=case,
        )
    reason = {"small": "too small", "blurred": "too blurred"}.get(spoilt, spoilt)
    with pytest.raises(PrintError, match=reason) as caught:
        measure_prints([path])
    assert "\n" not in str(caught.value)


def of_any_quality(case, path):
    """Save a print that is good to bad in every way at once, and return its chart and spread."""
    rng = np.random.default_rng(9000 + case)
    chart, _ = chart_and_lost_lines(*[(30.0, 0.4), (40.0, 0.35)][case % 2], 0.0)
    spread = rng.uniform(0.03, 0.16)
    stamped = Stamped(chart.inked, spread, ink=rng.uniform(0.08, 0.75), speckle=rng.uniform(0, 0.06), seed=case)
    how = {"noise": rng.uniform(0.003, 0.05), "light": rng.uniform(0, 0.5), "seed": case}
    if case % 4 > 1:
        per_mm, how["blur"] = rng.uniform(9, 20), rng.uniform(0.4, 2.5)
        side = round(1.6 * chart.size * per_mm) + 40
        how |= {"turn": rng.uniform(0, 360), "tip": rng.uniform(-0.3, 0.3, 2)}
        photographed(stamped, path, shape=(side, side), across=50 * per_mm, **how)
    else:
        middle, how["blur"] = chart.size / 2 + 8, rng.uniform(0.4, 3.0)
        scanned(
            [stamped],
            path,
            dpi=rng.uniform(200, 600),
            page=(2 * middle, 2 * middle),
            places=((middle, middle),),
            turns=(rng.uniform(0, 360),),
            **how,
        )
    return spread


@pytest.mark.sweep(1)
@pytest.mark.parametrize("case", range(40))
def test_a_print_of_any_quality_is_measured_rightly_or_refused(case, tmp_path):
    spread = of_any_quality(case, tmp_path / "print.png")
    try:
        found = of(measure_prints([tmp_path / "print.png"]), "ink spread")
    except PrintError as error:
        assert any(word in str(error) for word in ("blurred", "small", "mark"))  # noqa: PT017  # either will do
        return
    assert found.value == pytest.approx(spread, abs=PHOTO if case % 4 > 1 else SCAN)


def test_homography_is_that_of_scikit_image():
    rng = np.random.default_rng(5)
    for count in (4, 9):
        places = rng.uniform(-20, 20, (count, 2))
        matrix = np.array([[20, 3, 500], [-2, -22, 700], [1e-3, -2e-3, 1.0]])
        pixels = np.column_stack([places, np.ones(count)]) @ matrix.T
        pixels = pixels[:, :2] / pixels[:, 2:]
        assert np.allclose(homography(places, pixels), matrix, rtol=1e-6, atol=1e-8)
        pixels += rng.normal(0, 0.1, pixels.shape)
        other = transform.ProjectiveTransform.from_estimate(places, pixels)
        seen = np.column_stack([places, np.ones(count)]) @ homography(places, pixels).T
        assert np.allclose(seen[:, :2] / seen[:, 2:], other(places), atol=0.15)


def test_settings_are_written_and_taken_by_jobs(tmp_path, capsys):
    chart = draw_chart(50.0)
    scanned([Stamped(chart.inked, 0.14, (1.004, 0.997))], tmp_path / "scan.png")
    out = tmp_path / "my-printer.toml"
    assert main(["measure", str(tmp_path / "scan.png"), "-o", str(out), "--seat", "0.15"]) == 0
    job = take_measured(Job(), read_measured(out).settings)
    assert job.ink.spread == pytest.approx(0.14, abs=SCAN)
    assert job.backing.clearance == 0.15
    # What spreads by 0.14 mm from both sides closes gaps of 0.28 mm, and a hair's breadth more.
    assert job.preflight.least_gap == pytest.approx(0.31, abs=0.02)
    assert limits_of(job).gap == job.preflight.least_gap
    assert (job.printer.size_across, job.printer.size_up) == pytest.approx((100.4, 99.7), abs=0.1)
    assert {"ink.spread", "backing.clearance", "preflight.least_gap", "printer.size_up"} <= set(measured_in(job))
    assert "ink.spread" not in measured_in(job.with_value("ink.spread", 0.2))
    capsys.readouterr()
    assert main(["settings", "ink.spread", "--with", str(out)]) == 0
    told = capsys.readouterr().out
    assert "Measured: 0.1" in told
    assert "my-printer.toml" in told


def test_a_die_whose_file_makes_up_for_its_printer_tells_what_is_still_off(tmp_path):
    folder = tmp_path / "test"
    job = job_of_test_die(Job().with_value("printer.size_across", 101.0), 40.0)
    folder.mkdir()
    write_job(folder / "job.json", job)
    scanned([Stamped(chart_of(job).inked, 0.1, (1.002, 1.0))], tmp_path / "scan.png", page=(60, 60), places=((30, 30),))
    measured = measure_prints([tmp_path / "scan.png"], test=folder)
    assert of(measured, "size across").value == pytest.approx(100.2, abs=0.1)
    across = of(measured, "printer's size across")
    assert (across.setting, across.value) == ("printer.size_across", pytest.approx(101.2, abs=0.1))


def test_directions_are_told_by_the_beads():
    assert [relation(turn, 0.0) for turn in (0.0, 45.0, 90.0, 135.0)] == ["along", "diagonal", "across", "diagonal"]
    assert [relation(turn, -45.0) for turn in (0.0, 45.0, 90.0, 135.0)] == ["diagonal", "across", "diagonal", "along"]


def test_missing_library_is_told_in_one_line(tmp_path, monkeypatch, capsys):
    scanned([Stamped(draw_chart(30.0).inked)], tmp_path / "scan.png", dpi=300.0, page=(44, 44), places=((22, 22),))
    monkeypatch.setitem(sys.modules, "cv2", None)
    assert main(["measure", str(tmp_path / "scan.png")]) == 2
    said = capsys.readouterr().err
    assert "stampwright[prints]" in said
    assert said.count("\n") == 1


def test_coloured_ink_is_read_in_the_channel_that_shows_it(tmp_path):
    scanned(
        [Stamped(draw_chart(30.0).inked, 0.09)], tmp_path / "grey.png", dpi=400.0, page=(44, 44), places=((22, 22),)
    )
    light = np.asarray(Image.open(tmp_path / "grey.png"), dtype=np.float64)[..., None] / 255
    for colour in ((0.75, 0.12, 0.15), (0.15, 0.25, 0.5)):
        shown = np.clip(255 * (1 - (1 - light) * (1 - np.array(colour))), 0, 255).astype(np.uint8)
        Image.fromarray(shown).save(tmp_path / "ink.png", dpi=(400, 400))
        assert of(measure_prints([tmp_path / "ink.png"]), "ink spread").value == pytest.approx(0.09, abs=SCAN)

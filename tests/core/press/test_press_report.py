"""How a stamp wants to be pressed, before and after dressing, beside what hands can do."""

import pytest
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, box
from stampwright import Artwork
from stampwright.job import Job
from stampwright.press import find_face, press_figures, report_press
from stampwright.press.pushing.push_curve import WHOLE
from stampwright.workshop import make_die


@pytest.fixture(scope="module")
def bars():
    """Return bars over 36 mm, which a bow of 0.15 mm keeps off the paper at their ends."""
    return MultiPolygon([box(-18, y, 18, y + 1.2) for y in (-10, -6, -2, 2, 6, 10)])


def test_dressing_is_what_makes_the_difference(raise_die, bars):
    job = Job().with_values({"press.bow": 0.15, "press.turning": "none"})
    report = report_press(job, raise_die(bars), dpi=100)
    assert report.printed.whole_at > report.hand.newtons > report.finished.whole_at
    assert 0.05 < report.needed < 0.2
    assert report.finding is None
    assert report.advice == ()
    assert {effect.assumption.name for effect in report.sensitivities} >= {
        "stiffness of the die",
        "pressure that prints solid",
    }
    assert max(report.printed.shares[:4]) < WHOLE


def test_stamp_that_asks_too_much_says_so_with_what_would_do(raise_die, bars):
    job = Job().with_values({"press.bow": 0.15, "press.dressing_done": 0.0})
    report = report_press(job, raise_die(bars), dpi=100)
    finding = report.finding
    assert finding.kind == "hard to press"
    assert finding.measured == report.finished.whole_at > finding.limit == report.hand.newtons
    assert "a published push and pull table" in finding.message
    assert "Dress the face" in finding.remedy


def test_middle_of_the_die_is_pushed_wherever_its_file_has_it(raise_die, bars):
    moved = affinity.translate(bars, 120, -60)
    here, there = (report_press(Job(), raise_die(ink), dpi=100) for ink in (bars, moved))
    assert there.finished.whole_at == pytest.approx(here.finished.whole_at, rel=0.05)


def test_progress_runs_from_nothing_to_near_all(raise_die, bars):
    told = []
    report_press(Job(), raise_die(bars), dpi=80, progress=told.append)
    assert told == sorted(told)
    assert told[0] == 0.0
    assert 0.8 < told[-1] <= 1.0


@pytest.mark.sweep(1)
@pytest.mark.parametrize("centre", ["bounds", "circle"])
def test_art_that_another_centre_cures_is_told_which_with_both_forces(centre):
    """A disc and a far hair line: in the middle of their bounds the disc lies aside, and a push there tilts them."""
    ink = MultiPolygon([Point(0, 0).buffer(8), box(24, -0.4, 30, 0.4), box(29.2, -5, 30, 5)])
    artwork = Artwork(inked=ink, page_size=(60.0, 40.0))
    job = Job().with_values({"base.width": 80.0, "layout.size_by": "page", "layout.centre": centre})
    report = report_press(job, make_die(job, artwork))
    assert report.finished.whole_at is None or report.finished.whole_at > report.hand.newtons
    assert report.centre is not None
    assert f"Set layout.centre = {report.centre.name}" in report.finding.remedy
    # As told, so it comes.
    moved = job.with_value("layout.centre", report.centre.name)
    again = report_press(moved, make_die(moved, artwork))
    assert again.finding is None
    assert again.finished.whole_at == pytest.approx(report.centre.force, rel=0.02)
    figures = press_figures(job, find_face(make_die(job, artwork), depth=0.2), allowance=0.2)
    assert any(f"layout.centre = {report.centre.name}" in finding.remedy for finding in figures.findings)

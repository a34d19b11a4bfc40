"""How a stamp wants to be pressed, before and after dressing, beside what hands can do."""

import pytest
from shapely import affinity
from shapely.geometry import MultiPolygon, box
from stampwright.job import Job
from stampwright.press import report_press
from stampwright.press.pushing.push_curve import WHOLE


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

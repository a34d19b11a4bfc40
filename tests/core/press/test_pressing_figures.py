"""The few figures on pressing that go with every stamp."""

import pytest
from shapely.geometry import MultiPolygon, box
from stampwright import Artwork
from stampwright.errors import PressError
from stampwright.files import read_mesh
from stampwright.job import Job
from stampwright.press import find_face, press_figures, report_press
from stampwright.workshop import make_files, make_stamp

BARS = MultiPolygon([box(-18, y, 18, y + 1.2) for y in (-10, -6, -2, 2, 6, 10)])


def figures_of(job, die, allowance=0.2):
    return press_figures(job, find_face(die, depth=allowance), allowance=allowance)


def test_figures_are_those_of_the_full_report(raise_die):
    job = Job().with_values({"press.bow": 0.15, "press.turning": "none"})
    die = raise_die(BARS)
    quick, thorough = figures_of(job, die), report_press(job, die)
    assert quick.whole_at == pytest.approx(thorough.finished.whole_at, rel=0.05)
    assert quick.needed == pytest.approx(thorough.needed, abs=0.03)
    assert quick.hand == thorough.hand
    assert quick.force == pytest.approx(60.0)
    assert quick.printed_share > 0.98
    assert quick.findings == ()


def test_undressed_stamp_is_told_to_print_light_where_it_does(raise_die):
    job = Job().with_values({"press.bow": 0.3, "press.dressing_done": 0.0})
    figures = figures_of(job, raise_die(BARS))
    kinds = {finding.kind for finding in figures.findings}
    assert {"hard to press", "missing"} <= kinds
    assert figures.dressed == 0.0
    assert figures.printed_share < 0.9
    assert {finding.stage for finding in figures.findings} == {"impression"}
    missing = next(finding for finding in figures.findings if finding.kind == "missing")
    # A face bowed out stands farthest from the paper at its ends.
    assert abs(missing.place.centroid.x) > 9


def test_flared_shoulder_keeps_slim_lines_from_bending_over():
    lines = MultiPolygon([box(-12, y, 12, y + 0.45) for y in (-6, -3, 0, 3, 6)])
    artwork = Artwork(inked=lines, page_size=(30.0, 30.0), name="lines")
    pushed = Job().with_values({"press.force": 30.0, "layout.size_by": "page", "handle.form": "none"})
    straight, flared = (
        figures_of(job, make_stamp(job, artwork).die)
        for job in (pushed.with_value("die.shoulder", shoulder) for shoulder in (0.0, 25.0))
    )
    assert "relief bends over" in {finding.kind for finding in straight.findings}
    assert "relief bends over" not in {finding.kind for finding in flared.findings}


def test_push_that_would_tip_the_stamp_is_refused(raise_die):
    with pytest.raises(PressError, match="tip over"):
        figures_of(Job().with_value("press.off_centre_x", 40.0), raise_die(BARS))


@pytest.mark.parametrize("centre", ["level", "bounds"])
def test_a_stamp_and_the_report_on_its_die_tell_the_same_push(tmp_path, centre):
    # A heavy bar and light lines far from it: free to tilt, it is pressed unevenly.
    art = Artwork(
        inked=MultiPolygon([box(0, 0, 36, 9), *(box(0, 14 + 2 * i, 36, 15 + 2 * i) for i in range(5))]),
        page_size=(36.0, 24.0),
        true_size=True,
    )
    job = Job().with_values({"layout.centre": centre, "handle.form": "none"})
    _, written = make_files(job, art, tmp_path / "made")
    assert written is not None
    told = written.stamp.pressing.whole_at
    pushed = report_press(job, read_mesh(tmp_path / "made" / "die.stl")).finished.whole_at
    assert (told is None) == (pushed is None)
    if told is not None:
        assert told == pytest.approx(pushed, rel=0.02)

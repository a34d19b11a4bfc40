"""From the smallest stamp to the largest, no figure on ticket or report is one that its own words rule out."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, box
from stampwright.artwork import Artwork
from stampwright.job import Job
from stampwright.output import write_folder
from stampwright.stamp import Stamp
from stampwright.workshop import make_stamp

SIZES = (8.0, 10.0, 14.0, 20.0, 30.0, 50.0, 80.0, 120.0, 200.0)
FORMS = ("knob", "grip", "block", "none")


def artwork(size: float) -> Artwork:
    """A ring with a bar in it, its strokes a tenth of its size and never under a millimetre."""
    stroke, half = max(size / 10, 1.0), size / 2 - 1.0
    ring = Point(0, 0).buffer(half).difference(Point(0, 0).buffer(half - stroke))
    bar = box(-0.6 * (half - stroke), -stroke / 2, 0.6 * (half - stroke), stroke / 2)
    shape = affinity.translate(MultiPolygon([ring, bar]), size / 2, size / 2)
    return Artwork(inked=shape, page_size=(size, size), name="ring")


def sized(size: float, form: str) -> Job:
    return Job().with_values(
        {
            "name": f"Mossgate {size:g}",
            "base.width": size,
            "layout.size_by": "page",
            "handle.form": form,
            "backing.form": "none" if form == "none" else "plate",
            "printer.bed_width": 250.0,
            "printer.bed_depth": 250.0,
        }
    )


def words_of(page: Path) -> str:
    """Return what a page says, without its style and its drawings' points."""
    return re.sub(r"<style>.*?</style>|<[^>]+>", " ", page.read_text(encoding="utf-8"), flags=re.DOTALL)


def numbers(pattern: str, text: str) -> list[float]:
    return [float(found.replace(",", "")) for found in re.findall(pattern, text)]


@pytest.mark.sweep(9)
@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("size", SIZES)
def test_every_figure_is_possible(size: float, form: str, tmp_path: Path) -> None:
    job = sized(size, form)
    written = write_folder(tmp_path, make_stamp(job, artwork(size)))
    stamp, ticket = written.stamp, words_of(tmp_path / "ticket.html")
    figures = stamp.pressing
    report = json.loads((tmp_path / "report.json").read_text(encoding="utf-8"))["pressing"]
    assert figures is not None
    told = ticket + " ".join(f"{each.message} {each.remedy}" for each in stamp.findings)
    assert not re.search(r"(?<![\d.,])0 N\b|\bnan\b|\binf\b|-0\.\d(?! to )", told)
    # No more than the hand stops at, and than the job says.
    area = stamp.outlines.area
    assert 0 < report["force"] <= min(job.press.force, 1.03 * job.press.pressure * area)
    # A pad cannot sag by more than its own thickness, nor a relief be asked for that no job may have.
    for sag in numbers(r"pad sags ([\d.]+) mm", told):
        assert 0 < sag <= job.ink.pad_thickness / 2
    for relief in numbers(r"[Rr]aise (?:the relief|die\.relief) to ([\d.]+) mm", told):
        assert job.die.relief < relief <= 5.0
    # Pushes and their range hang together.
    soft, hard = figures.whole_between
    if figures.whole_at is not None:
        assert soft is not None
        assert soft <= 1.03 * figures.whole_at
        assert hard is None or hard >= 0.97 * figures.whole_at
        assert soft < 5.0 * area
    # Nobody pushes with more than the whole body: what takes more is told as that, or as too hard for a hand.
    assert all(force <= 225.0 for force in numbers(r" to ([\d,.]+) N, as die", told))
    # Off centre it cannot pass further than the base reaches.
    assert figures.off_centre is None or figures.off_centre.reach <= size / 2
    for reach in numbers(r"whole up to ([\d.]+) mm off centre", told):
        assert reach <= size / 2
    # A hand's push goes with what there is to hold.
    if form == "none":
        assert "handle" not in figures.hand.posture
    elif "palm" in figures.hand.posture:
        assert min(job.handle.grip_width, size + 4.4 if form == "block" else 99.0) >= 32.0
    for share in numbers(r"(-?[\d.]+)\s%", told):
        assert 0 <= share <= 250
    weight(stamp, report)


def weight(stamp: Stamp, report: dict[str, object]) -> None:
    for solid in stamp.parts.values():
        measured = stamp.measures[solid.name]
        assert 0 < measured.printed_volume <= 1.0001 * measured.volume
        assert 0.8 <= measured.mass * 1000 / measured.printed_volume <= 1.4


def test_a_handle_wider_than_its_foot_tips_and_is_told() -> None:
    job = Job().with_values({"base.width": 10.0, "layout.size_by": "page", "handle.index": "none"})
    (found,) = [each for each in make_stamp(job, artwork(10.0)).findings if each.kind == "stamp tips"]
    assert (found.severity, found.measured, found.limit) == ("warns", 38.0, pytest.approx(14.4, abs=0.05))
    assert "11.8 mm outside the foot" in found.message
    wide = Job().with_values({"layout.size_by": "page", "handle.index": "none"})
    assert "stamp tips" not in {each.kind for each in make_stamp(wide, artwork(50.0)).findings}


def test_a_bare_sheet_is_pressed_by_the_hand_alone(tmp_path: Path) -> None:
    written = write_folder(tmp_path, make_stamp(sized(50.0, "none"), artwork(50.0)))
    ticket = (tmp_path / "ticket.html").read_text(encoding="utf-8")
    assert written.stamp.pressing is not None
    assert written.stamp.pressing.hand.newtons == pytest.approx(37.5)
    assert "110 N" not in ticket
    assert "broad enough for the palm" not in ticket


def test_a_small_face_is_pushed_and_dabbed_more_lightly_and_that_is_said() -> None:
    job = sized(10.0, "knob")
    found = [each for each in make_stamp(job, artwork(10.0)).findings if each.kind == "floor takes ink"]
    assert found == []

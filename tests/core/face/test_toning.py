"""A picture's tones become dots or lines in the ink, none smaller and no gap narrower than prints and inks."""

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Point, box
from stampwright.errors import JobError
from stampwright.face import lay_picture
from stampwright.face.tones.screens import screen_tones, screened_finding
from stampwright.job import Job

from .. import stages

BASE = Point(0, 0).buffer(16)
DISC = Point(0, 0).buffer(13)
LINES = [box(-4.5, y, 4.5, y + 0.8) for y in (-15.4, 14.6)]


def grey_of(darkness: float) -> NDArray[np.float64]:
    return np.full((200, 200), 1.0 - darkness)


def toned(job: Job, grey: NDArray[np.float64], *, inked: MultiPolygon | None = None, plain: MultiPolygon | None = None):
    picture = lay_picture(grey, BASE.bounds, width=job.face.picture_width, turn=job.face.turn)
    return stages.toned(job, inked or MultiPolygon([DISC]), plain or MultiPolygon(), picture)


def scene() -> NDArray[np.float64]:
    """Light to dark, with a dark disc and a light one whose edges cut dots every way."""
    y, x = np.mgrid[0:300, 0:300] / 300
    grey = 1 - x
    grey[np.hypot(x - 0.35, y - 0.5) < 0.2] = 0.05
    grey[np.hypot(x - 0.75, y - 0.4) < 0.15] = 0.9
    return grey


@pytest.mark.parametrize("form", ["dots", "lines"])
@pytest.mark.parametrize(("angle", "nozzle"), [(0.0, 0.4), (45.0, 0.4), (17.0, 0.25), (45.0, 0.8)])
def test_screen_prints_within_the_smallest_dot_and_gap(form: str, angle: float, nozzle: float) -> None:
    job = Job().with_values({"face.tone": form, "face.screen_turn": angle, "printer.nozzle": nozzle})
    screen, inked = stages.screen(job), toned(job, scene())
    # Two passes of the nozzle, or an island that does not tear off; one pass and the ink's spread on both sides.
    assert screen.smallest_dot >= max(2 * nozzle, job.preflight.speck)
    assert screen.smallest_gap >= nozzle + 2 * job.ink.spread
    opened = shapely.buffer(shapely.buffer(inked, -0.45 * screen.smallest_dot), 0.45 * screen.smallest_dot)
    assert opened.area > 0.995 * inked.area
    closed = shapely.buffer(shapely.buffer(inked, 0.45 * screen.smallest_gap), -0.45 * screen.smallest_gap)
    assert closed.area < 1.005 * inked.area
    assert all(part.area > np.pi / 4 * (0.9 * screen.smallest_dot) ** 2 for part in inked.geoms)
    assert inked.is_valid


@pytest.mark.parametrize(("form", "turn"), [("dots", 17.0), ("lines", 45.0)])
def test_a_part_of_a_large_picture_is_screened_as_in_the_whole(form: str, turn: float) -> None:
    screen = stages.screen(Job().with_values({"face.tone": form, "face.screen_turn": turn}))
    window = (21.0, 30.0, 33.0, 38.0)
    whole = screen_tones(scene(), (0.2, 0.2), screen)
    part = screen_tones(scene(), (0.2, 0.2), screen, within=window)
    assert part.area < 0.5 * whole.area
    inside = [shapely.intersection(each, box(*window)) for each in (whole, part)]
    assert inside[0].area > 10
    assert shapely.symmetric_difference(*inside).area < 1e-6


def test_a_picture_far_larger_than_the_ink_costs_what_lies_on_it() -> None:
    # Whole, it would have a million dots; the ink sees a few hundred.
    inked = toned(Job().with_values({"face.tone": "dots", "face.picture_width": 1000.0}), grey_of(0.3))
    assert inked.area / DISC.area == pytest.approx(0.3, abs=0.05)


@pytest.mark.parametrize(("form", "darkness"), [("dots", 0.3), ("dots", 0.75), ("lines", 0.5)])
def test_screen_has_the_tone_of_the_picture(form: str, darkness: float) -> None:
    inked = toned(Job().with_value("face.tone", form), grey_of(darkness))
    middle = Point(0, 0).buffer(9)
    assert inked.intersection(middle).area / middle.area == pytest.approx(darkness, abs=0.03)


def test_black_stays_solid_and_lines_too_narrow_for_a_screen_do() -> None:
    ink = MultiPolygon([DISC, *LINES])
    job = Job().with_value("face.tone", "dots")
    assert toned(job, grey_of(1.0), inked=ink).symmetric_difference(ink).area < 0.01 * ink.area
    grey = toned(job, grey_of(0.3), inked=ink)
    assert all(grey.intersection(line).area > 0.99 * line.area for line in LINES)


def test_plain_ink_and_ink_beside_the_picture_stay_solid() -> None:
    plain = box(-13, -13, 0, 13).intersection(DISC)
    job = Job().with_values({"face.tone": "dots", "face.picture_width": 14.0})
    inked = toned(job, grey_of(0.3), plain=MultiPolygon([plain]))
    assert inked.intersection(plain).area > 0.999 * plain.area
    beside = DISC.difference(box(-7.5, -7.5, 7.5, 7.5))
    assert inked.intersection(beside).area > 0.999 * beside.area
    assert inked.intersection(box(2, -6, 6, 6)).area < 0.5 * 4 * 12


def test_picture_lies_on_paper_as_it_reads() -> None:
    grey = np.ones((100, 100))
    grey[:50, 50:] = 0.0  # the upper right quarter is black
    inked = toned(Job().with_value("face.tone", "dots"), grey)
    assert inked.intersection(box(4, 4, 8, 8)).area > 15.5
    assert inked.intersection(box(-9, -9, -4, 9)).area == 0


def test_spacing_without_room_is_refused_with_the_least() -> None:
    with pytest.raises(JobError, match=r"1\.40 mm or more"):
        stages.screen(Job().with_values({"face.tone": "dots", "face.screen_spacing": 1.0}))


def test_white_picture_is_refused() -> None:
    with pytest.raises(JobError, match="no ink is left"):
        toned(Job().with_value("face.tone", "dots"), grey_of(0.0))


def test_tones_that_the_screen_holds_are_told() -> None:
    finding = screened_finding(stages.screen(Job().with_value("face.tone", "dots")))
    # A disc of 0.8 mm in a cell of 2.1 mm by 2.1 mm.
    assert finding.kind == "screened tones"
    assert finding.measured == pytest.approx(np.pi * 0.4**2 / 2.1**2)

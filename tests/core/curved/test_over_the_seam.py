"""A roller's repeat is examined, repaired and judged as it prints: over and over, each repeat beside the next."""

import pytest
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, box
from stampwright.artwork import Artwork
from stampwright.examination import examine_job, lay_out_job
from stampwright.job import Job
from stampwright.memory import Memory

ROLLER = {
    "bend.form": "roller",
    "bend.repeat": 60.0,
    "bend.band": 26.0,
    "layout.size_by": "page",
    "layout.centre": "page",
    "layout.margin": 0.0,
}
BODY = box(8, 10, 52, 14)
BOTH_WAYS = pytest.mark.parametrize("upward", [False, True])


def _art(*parts, upward=False):
    inked = shapely.union_all([*parts])
    inked = inked if isinstance(inked, MultiPolygon) else MultiPolygon([inked])
    if upward:
        inked = shapely.transform(inked, lambda points: points[:, ::-1])
    return Artwork(inked=inked, page_size=(16.0, 60.0) if upward else (60.0, 16.0), name="border")


def _job(upward=False, **more):
    return Job().with_values({**ROLLER, "bend.rolls": "up" if upward else "across", **more})


def _found(art, upward=False, **more):
    return examine_job(_job(upward, **more), art).findings


@BOTH_WAYS
def test_a_gap_over_the_seam_is_as_narrow_as_one_within(upward):
    over = _found(_art(box(0.06, 2, 59.94, 7), BODY, upward=upward), upward)
    within = _found(_art(box(0, 2, 29.94, 7), box(30.06, 2, 60, 7), BODY, upward=upward), upward)
    for found in (over, within):
        assert {each.kind for each in found} & {"gap closed", "parts run together"}
        assert [round(each.measured, 2) for each in found if each.kind == "narrow gap"] == [0.12]


@BOTH_WAYS
def test_ink_that_goes_on_over_the_seam_is_as_wide_as_both_its_sides(upward):
    # 0.25 and 0.3 mm, either of which no nozzle of 0.4 mm lays: together 0.55 mm.
    found = _found(_art(box(0, 2, 0.25, 12), box(59.7, 2, 60, 12), BODY, upward=upward), upward)
    thin = [(each.severity, round(each.measured, 2)) for each in found if each.kind == "thin line"]
    assert thin == [("warns", 0.55)]


def test_halves_of_a_dot_on_the_seam_are_a_dot():
    dot = shapely.Point(0, 8).buffer(0.6, quad_segs=16)
    first, last = (shapely.intersection(dot, box(low, 0, low + 5, 16)) for low in (0, -5))
    found = _found(_art(first, affinity.translate(last, 60), BODY))
    assert "speck" not in {each.kind for each in found}
    assert [each.kind for each in found if each.severity == "blocks"] == []


def test_a_line_right_round_is_as_long_as_its_repeat():
    (thin,) = (each for each in _found(_art(box(0, 2, 60, 2.6), BODY)) if each.kind == "thin line")
    assert "over 60.0 mm" in thin.message


def test_what_lies_far_from_the_seam_is_found_once():
    found = _found(_art(box(0, 2, 60, 7), box(20, 12, 40, 12.3)))
    assert len([each for each in found if each.kind == "thin line"]) == 1


@BOTH_WAYS
def test_ends_that_do_not_meet_are_told(upward):
    meets = _found(_art(box(0, 2, 60, 5), upward=upward), upward)
    one_sided = _found(_art(box(0, 2, 50, 5), upward=upward), upward)
    assert "ends do not meet" not in {each.kind for each in (*meets, *one_sided)}
    stepped = _found(_art(box(0, 2, 31, 5), box(29, 3, 60, 6), upward=upward), upward)
    (step,) = (each for each in stepped if each.kind == "ends do not meet")
    assert (step.severity, step.measured) == ("warns", pytest.approx(1.0, abs=1e-3))
    assert step.message.startswith("Along 2.00 mm")


@BOTH_WAYS
def test_repair_leaves_both_ends_alike(upward):
    # A line that is too thin all round, and a slit over the seam.
    art = _art(box(0, 12, 60, 12.3), box(0.04, 2, 59.96, 7), upward=upward)
    job = _job(upward, **{"preflight.repair": True})
    laid = lay_out_job(job, art, Memory(), picture=None).layout
    first, last = laid.repeat.at_ends(laid.inked)
    assert len(first) == 1
    assert first == pytest.approx(last, abs=1e-3)
    assert first[0, 1] - first[0, 0] == pytest.approx(0.4, abs=0.01)
    axis = 1 if upward else 0
    assert (laid.inked.bounds[axis], laid.inked.bounds[axis + 2]) == (pytest.approx(-30.0), pytest.approx(30.0))
    assert not {each.kind for each in examine_job(job, art).findings} & {"narrow gap", "gap closed"}


def test_a_face_less_the_spread_of_its_ink_is_not_drawn_in_at_the_seam():
    job = _job(**{"die.compensate_spread": True})
    printed = examine_job(job, _art(box(0, 2, 60, 7))).printed
    # Drawn in by 0.1 mm at its edges and spread again: 5 mm wide, all round.
    assert printed.bounds[0] <= -30.0
    assert printed.bounds[2] >= 30.0
    assert printed.bounds[3] - printed.bounds[1] == pytest.approx(5.0, abs=2e-3)

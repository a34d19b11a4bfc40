"""Rollers taller than the printer builds: two halves of die and drum that go together as they were."""

import numpy as np
import pytest
import shapely
from shapely.geometry import MultiPolygon, box
from stampwright import make_files, make_stamp
from stampwright.artwork import Artwork
from stampwright.files import read_stl
from stampwright.job import Job
from stampwright.parts.rolling import flat_again
from stampwright.parts.rolling.joining import BESIDE, PLAY
from stampwright.press import compare, find_face, unbend
from stampwright.solids import section
from stampwright.solids.soundness import check_soundness

TALL = {"bend.form": "roller", "bend.repeat": 70.0, "bend.band": 60.0, "printer.bed_height": 50.0, "bend.turns": 2}
BARS = MultiPolygon([box(0, 0, 30, 8), box(0, 12, 12, 30)])


def artwork(inked):
    left, bottom, right, top = inked.bounds
    return Artwork(inked=inked, page_size=(right - left, top - bottom), name="bars")


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    job = Job().with_values({**TALL, "layout.size_by": "page", "layout.centre": "page"})
    return make_files(job, artwork(BARS), tmp_path_factory.mktemp("tall") / "out")


def test_the_joint_goes_through_a_gap_of_the_print_and_both_halves_fit_the_printer(made):
    stamp, written = made
    (told,) = [finding for finding in stamp.findings if finding.kind == "joined of two halves"]
    assert told.severity == "notes"
    # The gap between the bars is 4 mm wide, 5 mm under the middle of the page.
    assert stamp.bend.joint == pytest.approx(-5.0, abs=0.01)
    for name in ("die.stl", "backing.stl"):
        solid = read_stl(written.files[name])
        assert check_soundness(solid.vertices, solid.triangles).sound
        assert np.ptp(solid.vertices[:, 2]) < 50.0
    for name in ("ticket.html", "stamp.3mf"):
        assert name in written.files
    assert "two halves" in written.files["ticket.html"].read_text(encoding="utf-8")


def test_the_halves_together_print_the_artwork_and_are_known_in_their_file(made):
    stamp, written = made
    die = read_stl(written.files["die.stl"])
    for once in flat_again(die, stamp.bend, stamp.job.bend):
        assert check_soundness(once.vertices, once.triangles).sound
        assert compare(find_face(once, depth=0.2).outlines, stamp.outlines).worst > 0.999
    unbent = unbend(die, dressing=0.2)
    assert unbent.bend is not None
    assert unbent.bend.radius == pytest.approx(stamp.bend.radius, rel=1e-3)


def test_tongue_and_groove_go_together_in_one_way_with_their_play(made):
    stamp, written = made
    drum = read_stl(written.files["backing.stl"])
    joint = 30.0 + stamp.bend.joint
    beside = 2 * stamp.bend.outer + BESIDE
    # Just over the joint there is the tongue alone in the lower half, and the groove in the upper.
    parts = shapely.get_parts(section(drum, joint + 1.0))
    tongue = min(parts, key=lambda part: part.bounds[0])
    upper = max(shapely.get_parts(section(drum, 1.0)), key=lambda part: part.bounds[0])
    groove = shapely.affinity.translate(upper, -beside, 0.0)
    assert tongue.intersection(groove).area < 1e-6
    assert tongue.distance(groove) == pytest.approx(PLAY, abs=0.01)
    for turn in range(10, 360, 10):
        assert shapely.affinity.rotate(tongue, turn, origin=(0, 0)).intersection(groove).area > 0.5


def test_a_joint_through_ink_warns_and_a_roller_that_fits_has_none():
    job = Job().with_values({**TALL, "layout.size_by": "page", "layout.centre": "page"})
    tall = artwork(MultiPolygon([box(0, 0, 8, 45), box(12, 0, 20, 12)]))
    (told,) = [each for each in make_stamp(job, tall).findings if each.kind == "joined of two halves"]
    assert told.severity == "warns"
    whole = make_stamp(job.with_value("printer.bed_height", 60.0), tall)
    assert whole.bend.joint is None


@pytest.mark.parametrize("rolls", ["across", "up"])
def test_a_small_print_on_a_wide_roller_is_joined_beside_it(rolls):
    # One block over the middle, 20 mm of 60; halves of 50 mm reach 10 mm beyond it on either side.
    wide = Job().with_values({**TALL, "bend.rolls": rolls, "layout.size_by": "page", "layout.centre": "bounds"})
    stamp = make_stamp(wide, artwork(MultiPolygon([box(0, 0, 20, 20)])))
    (told,) = [finding for finding in stamp.findings if finding.kind == "joined of two halves"]
    assert told.severity == "notes"
    assert abs(stamp.bend.joint) == pytest.approx(12.0, abs=0.01)

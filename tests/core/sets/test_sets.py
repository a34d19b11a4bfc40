"""A set in several inks, from coloured art to proven files, by the command line as well."""

import json
import math
import re
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest
import shapely
from PIL import Image
from stampwright import make_stamp, read_artwork
from stampwright.artwork.coloured.reading import make_coloured
from stampwright.cli import main
from stampwright.errors import AlreadyThereError, JobError
from stampwright.job import Job
from stampwright.job.inks import Ink
from stampwright.job.pieces import Ring
from stampwright.job.written.files import read_job
from stampwright.looks.colours import rgb
from stampwright.looks.differences import colour_difference
from stampwright.parts.gauge import rest_of
from stampwright.sets import coloured_of, examine_set, make_set, make_set_files, proposed_job
from stampwright.sets.making import part_art
from stampwright.sets.pressing import impress_set

ART = """<svg xmlns="http://www.w3.org/2000/svg" width="24mm" height="20mm" viewBox="0 0 24 20">
<g id="sun"><circle cx="12" cy="10" r="9" fill="#f2c230"/></g>
<g id="hill"><path d="M2 19 L12 6 L22 19 Z" fill="#1f6b3a"/><rect x="10" y="13" width="4" height="4" fill="#fff"/></g>
</svg>"""

SMALL = {"base.width": 30.0, "base.height": 26.0, "base.outline": "rectangle", "handle.form": "none"}


@pytest.fixture
def art(tmp_path):
    path = tmp_path / "art.svg"
    path.write_text(ART)
    return path


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """Return the folder of a small set, made by the command line."""
    folder = tmp_path_factory.mktemp("set")
    (folder / "art.svg").write_text(ART)
    settings = [word for name, value in SMALL.items() for word in ("--set", f"{name}={value}")]
    assert main(["make", str(folder / "art.svg"), "-o", str(folder / "out"), "--inks", "auto", *settings]) == 0
    return folder / "out"


def test_each_ink_has_a_folder_and_the_set_its_own_files(made):
    names = {path.name for path in made.iterdir()}
    assert {
        "impression.png",
        "proof.svg",
        "ticket.html",
        "customer.svg",
        "gauge.stl",
        "job.json",
        "report.json",
    } <= names
    for ink in ("yellow", "green"):
        assert {"die.stl", "backing.stl", "job.json", f"{ink}.svg"} <= {path.name for path in (made / ink).iterdir()}
    assert not [name for name in names if name.startswith(".")]


def test_the_customers_page_of_a_set_is_one_of_a_printers_pages(made, tmp_path):
    """ISO 216: A5, or A4 where there is more to say; a page between the two is cut off or made smaller."""

    def size(folder):
        return re.search(r'width="([\d.]+)mm" height="([\d.]+)mm"', (folder / "customer.svg").read_text()).groups()

    assert tuple(map(float, size(made))) == (148.0, 210.0)
    named = ["--set", "name=" + "Mossgate Seed Library " * 22, "--inks", "auto"]
    settings = [word for name, value in SMALL.items() for word in ("--set", f"{name}={value}")]
    assert main(["make", str(made.parent / "art.svg"), "-o", str(tmp_path / "named"), *named, *settings]) == 0
    assert tuple(map(float, size(tmp_path / "named"))) == (210.0, 297.0)


def test_all_dies_of_a_set_have_one_outline_and_one_key(made):
    from stampwright.files import read_stl

    one, other = (read_stl(made / ink / "backing.stl") for ink in ("yellow", "green"))
    assert np.array_equal(one.vertices, other.vertices)
    bounds = [read_stl(made / ink / "die.stl").bounds for ink in ("yellow", "green")]
    assert np.array_equal(bounds[0], bounds[1])


def test_the_picture_has_the_colours_of_the_art(made):
    picture = np.asarray(Image.open(made / "impression.png").convert("RGB")) / 255
    colours = [np.array(rgb(colour)) for colour in ("#f2c230", "#1f6b3a", "#ffffff")]
    apart = np.min([colour_difference(picture, colour) for colour in colours], axis=0)
    # What is left are edges, and the trap where both inks lie.
    assert (apart < 2).mean() > 0.9
    for colour in colours:
        assert (colour_difference(picture, colour) < 2).mean() > 0.05


def test_the_set_is_pressed_again_from_its_files(made, tmp_path):
    impression = impress_set(made, spread=0.1, depth=0.2)
    report = json.loads((made / "report.json").read_text())
    assert list(impression.printed) == ["yellow", "green"]
    for ink in report["inks"]:
        assert impression.printed[ink["name"]].area == pytest.approx(ink["area"], rel=1e-3)
    assert main(["impress", str(made), "-o", str(tmp_path / "again.png"), "--spread", "0.1"]) == 0
    assert Image.open(tmp_path / "again.png").mode == "RGB"


def test_a_set_is_pushed_ink_by_ink_as_each_job_says(made, tmp_path, capsys):
    picture = tmp_path / "pushed.png"
    assert main(["impress", str(made), "-o", str(picture), "--push", "40", "--dpi", "150", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [each["name"] for each in told["inks"]] == ["yellow", "green"]
    assert all(each["printed_share"] > 0.95 for each in told["inks"])
    shown = np.asarray(Image.open(picture).convert("RGB")) / 255
    for colour in ("#f2c230", "#1f6b3a", "#ffffff"):
        # The film that is pushed aside prints a little lighter.
        assert (colour_difference(shown, np.array(rgb(colour))) < 20).mean() > 0.05
    assert main(["impress", str(made), "-o", str(picture), "--push", "40", "--job", str(made / "job.json")]) == 2
    assert "--job goes with a single die" in capsys.readouterr().err


def test_the_written_jobs_make_the_same_again(made, tmp_path):
    assert [ink.name for ink in read_job(made / "job.json").inks] == ["yellow", "green"]
    assert main(["make", "--job", str(made / "yellow" / "job.json"), "-o", str(tmp_path / "one")]) == 0
    assert (tmp_path / "one" / "die.stl").read_bytes() == (made / "yellow" / "die.stl").read_bytes()
    assert main(["make", "--job", str(made / "job.json"), "-o", str(tmp_path / "all")]) == 0
    for name in ("green/die.stl", "gauge.stl", "impression.png"):
        assert (tmp_path / "all" / name).read_bytes() == (made / name).read_bytes()


def test_traps_and_their_rule_are_told(made):
    report = json.loads((made / "report.json").read_text())
    (trap,) = report["traps"]
    assert (trap["lighter"], trap["darker"]) == ("yellow", "green")
    assert trap["densities"][0] < trap["densities"][1]
    assert trap["width"] == pytest.approx(report["play"]["likely"])
    for page in ("ticket.html", "proof.svg"):
        assert "density" in (made / page).read_text()


def test_nothing_is_overwritten_and_nothing_half_written(art, tmp_path):
    job = Job().with_values(SMALL)
    coloured = coloured_of(job, str(art))
    job = proposed_job(job, coloured)
    folder = tmp_path / "out"
    (folder / "green").mkdir(parents=True)
    (folder / "green" / "die.stl").write_text("mine")
    with pytest.raises(AlreadyThereError, match=r"green/die.stl"):
        make_set_files(job, coloured, folder)
    assert [path.name for path in folder.rglob("*")] == ["green", "die.stl"]
    assert (folder / "green" / "die.stl").read_text() == "mine"


def test_a_set_that_is_blocked_leaves_the_folder_as_it_was(tmp_path, capsys):
    art = tmp_path / "fine.svg"
    art.write_text(ART.replace("<rect", '<rect x="1" y="1" width="3" height="0.1" fill="#1f6b3a"/><rect'))
    settings = [word for name, value in SMALL.items() for word in ("--set", f"{name}={value}")]
    assert main(["make", str(art), "-o", str(tmp_path / "out"), "--inks", "auto", *settings]) == 1
    assert not (tmp_path / "out").exists()
    told = capsys.readouterr()
    assert "green: " in told.out
    assert told.err.startswith("stampwright: not made: ")


def test_inks_are_taken_by_layers_and_marks_stand_beside_the_art(art):
    inks = (Ink(name="sun", colour="#d05010", layers=("sun",)), Ink(name="hill", colour="#26407c", layers=("hill",)))
    job = Job(inks=inks).with_values({**SMALL, "register.marks": True, "base.width": 46.0, "register.gauge": False})
    made = make_set(job, coloured_of(job, str(art)))
    assert made.gauge is None
    assert made.play.worst == pytest.approx(job.register.by_hand)
    one, other = (stamp.inked for stamp in made.stamps)
    marks = one.intersection(other)
    left, _, right, _ = made.layout.inked.bounds
    outside = [part for part in marks.geoms if part.bounds[2] < left or part.bounds[0] > right]
    assert len(outside) == 2
    assert all(part.bounds[2] - part.bounds[0] == pytest.approx(3.0, abs=0.01) for part in outside)


def test_a_base_that_follows_the_art_is_one_for_all_inks(art):
    job = Job().with_values({**SMALL, "base.outline": "follow"})
    coloured = coloured_of(job, str(art))
    made = make_set(proposed_job(job, coloured), coloured)
    one, other = (stamp.layout.base for stamp in made.stamps)
    assert one.equals(other)
    assert made.layout.base.symmetric_difference(one).area < 1e-3
    whole = shapely.union_all([stamp.inked for stamp in made.stamps])
    assert whole.symmetric_difference(made.layout.inked).area < 0.05


def test_inks_are_proposed_as_tables_that_a_job_takes(art, tmp_path, capsys):
    assert main(["inks", str(art)]) == 0
    job = tmp_path / "job.toml"
    job.write_text(capsys.readouterr().out)
    assert [ink.colour for ink in read_job(job).inks] == ["#f2c230", "#1f6b3a"]
    # Not at a terminal, nobody can answer.
    assert main(["make", str(art), "-o", str(tmp_path / "out"), "--inks", "ask"]) == 2
    assert not (tmp_path / "out").exists()


def test_each_ink_is_examined_as_its_own_die_would_print_it(art, tmp_path, capsys):
    assert main(["preflight", str(art), "--inks", "auto"]) == 0
    assert "green (0.95)" in capsys.readouterr().out
    fine = tmp_path / "fine.svg"
    fine.write_text(ART.replace("<rect", '<rect x="1" y="1" width="3" height="0.1" fill="#1f6b3a"/><rect'))
    sheet = tmp_path / "sheet.svg"
    assert main(["preflight", str(fine), "--inks", "auto", "-o", str(sheet)]) == 1
    assert "green: " in capsys.readouterr().out
    said = "".join(ElementTree.fromstring(sheet.read_text()).itertext())
    assert "It is not made like this" in said
    assert "1. yellow" in said
    assert "#1f6b3a" in said


def test_a_job_with_inks_makes_no_single_stamp_and_no_bent_one(art):
    job = Job(inks=(Ink(name="a", colour="#f2c230"), Ink(name="b", colour="#1f6b3a"))).with_values(SMALL)
    with pytest.raises(JobError, match="make them as a set"):
        make_stamp(job, read_artwork(art))
    with pytest.raises(JobError, match="take flat faces"):
        make_set(job.with_value("bend.form", "rocker"), coloured_of(job, str(art)))


def test_colours_that_are_joined_are_told(tmp_path):
    path = tmp_path / "art.svg"
    path.write_text(ART.replace('<rect x="10"', '<rect x="4" y="17" width="3" height="1" fill="#30774a"/><rect x="10"'))
    job = Job().with_values(SMALL)
    coloured = coloured_of(job, str(path))
    job = proposed_job(job, coloured)
    assert len(job.inks) == 2
    (told,) = [finding for finding in examine_set(job, coloured).findings if finding.kind == "colours joined"]
    assert "#30774a prints in green" in told.message


def test_a_sculpt_goes_with_no_set(art, tmp_path, capsys):
    assert main(["make", str(art), "-o", str(tmp_path / "o"), "--inks", "auto", "--sculpt", "x.tif"]) == 2
    assert "sculpt" in capsys.readouterr().err


def test_a_mark_to_one_side_is_pushed_over_itself_and_the_gauge_holds_the_stamp():
    job = Job().with_values({**SMALL, "base.width": 40.0, "handle.form": "block"})
    pieces = (Ring(diameter=12, line=2), Ring(diameter=4, line=1, x=14, y=6, ink="dot"))
    coloured = make_coloured(pieces, first="art")
    inks = (Ink(name="art", colour="#f2c230"), Ink(name="dot", colour="#1f6b3a"))
    parted = part_art(replace(job, inks=inks), coloured)
    plate, _ = parted.plate(job, "dot")
    assert plate.press.off_centre_x == pytest.approx(parted.trapped.separations[1].region.centroid.x, abs=0.06)
    assert math.isfinite(rest_of(plate))
    assert math.isinf(rest_of(plate.with_value("register.gauge", False)))

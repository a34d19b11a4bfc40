"""Pressing a die from its file on the command line."""

import json

import numpy as np
import pytest
from PIL import Image
from stampwright.cli import main
from stampwright.job import Job

from .program import run

MARK = """<svg xmlns="http://www.w3.org/2000/svg" width="44mm" height="44mm" viewBox="0 0 44 44">
<path d="M2 20h26v-6l14 8-14 8v-6H2z"/><circle cx="12" cy="8" r="4"/><path d="M4 34h36v4H4z"/></svg>"""


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """Return a folder with a die made from a mark that spans its base."""
    folder = tmp_path_factory.mktemp("press")
    (folder / "mark.svg").write_text(MARK)
    made = folder / "made"
    assert main(["make", str(folder / "mark.svg"), "--out", str(made), "--set", "handle.form=none"]) == 0
    return made


def pressed(capsys, made, picture, *options):
    """Press the die of a folder and return what is told of it for machines."""
    code, out, err = run(capsys, "impress", made / "die.stl", "--out", picture, "--dpi", 200, "--json", *options)
    assert code == 0, err
    return json.loads(out)


def test_a_push_is_pictured_and_summed_up_in_one_line(tmp_path, capsys, made):
    picture = tmp_path / "print.png"
    code, out, _ = run(capsys, "impress", made / "die.stl", "--out", picture, "--push", 60, "--dress", 0.2)
    assert code == 0
    assert "60 N print" in out.splitlines()[-1]
    assert "printed light 0, missing 0" in out.splitlines()[-1]
    with Image.open(picture) as image:
        assert image.info["dpi"] == pytest.approx((600, 600), abs=0.1)
        assert image.mode == "L"


def test_dressing_turns_a_light_print_into_a_whole_one(tmp_path, capsys, made):
    before = pressed(capsys, made, tmp_path / "before.png", "--push", 60)
    after = pressed(capsys, made, tmp_path / "after.png", "--push", 60, "--dress", 0.2)
    assert before["printed_share"] < 0.9
    assert after["printed_share"] > 0.98
    assert before["faults"]["missing"]["area"] > 10 * after["faults"]["missing"]["area"]
    assert {"missing", "printed light"} <= {finding["kind"] for finding in before["findings"]}
    assert {"pressure that prints solid", "stiffness of the die"} <= {
        assumption["name"] for assumption in before["assumptions"]
    }
    darkness = [255.0 - np.asarray(Image.open(tmp_path / name)).mean() for name in ("before.png", "after.png")]
    assert darkness[0] < 0.9 * darkness[1]


def test_options_of_the_push_reach_the_press(tmp_path, capsys, made):
    as_it_is = pressed(capsys, made, tmp_path / "1.png", "--push", 40, "--as-it-is")
    assert as_it_is["printed_share"] > 0.98
    off = pressed(capsys, made, tmp_path / "2.png", "--push", 40, "--dress", 0.2, "--off-centre=-5,3")
    # The side that is pushed goes down towards the paper.
    assert off["slopes"][0] < 0 < off["slopes"][1]
    level = pressed(capsys, made, tmp_path / "3.png", "--push", 40, "--off-centre=-5,3", "--level")
    assert level["slopes"] == [0.0, 0.0]
    soft = pressed(capsys, made, tmp_path / "4.png", "--push", 40, "--material", "tpu-85a", "--dress", 0.2)
    hard = pressed(capsys, made, tmp_path / "5.png", "--push", 40, "--material", "tpu-95a", "--dress", 0.2)
    assert soft["strain"] > 1.2 * hard["strain"]
    full = pressed(capsys, made, tmp_path / "6.png", "--push", 40, "--solver", "full", "--dpi", 80)
    assert full["solver"] == "full"


def test_a_job_says_what_the_options_leave_out(tmp_path, capsys, made):
    job = ("--job", made / "job.json")
    dressed = pressed(capsys, made, tmp_path / "1.png", "--push", 40, *job)
    assert dressed["printed_share"] > 0.98
    undressed = pressed(capsys, made, tmp_path / "2.png", "--push", 40, *job, "--set", "press.dressing_done=0")
    assert undressed["printed_share"] < 0.9


def test_a_push_that_is_not_told_is_the_jobs(tmp_path, capsys, made):
    job = ("--job", made / "job.json")
    for options, force in (
        ((*job, "--set", "press.force=80"), 80.0),
        (job, Job().press.force),
        ((*job, "--set", "press.force=80", "--push", 30), 30.0),
        (("--material", "tpu-85a", "--dress", 0.2), Job().press.force),
    ):
        told = pressed(capsys, made, tmp_path / "1.png", "--overwrite", *options)
        assert told["force"] == pytest.approx(force)
    assert "force" not in pressed(capsys, made, tmp_path / "5.png")


def test_options_go_by_their_former_names_as_well(tmp_path, capsys, made):
    former = pressed(capsys, made, tmp_path / "1.png", "--force", 40, "--no-texture")
    now = pressed(capsys, made, tmp_path / "2.png", "--push", 40, "--as-it-is")
    del former["picture"], now["picture"]
    assert former == now
    assert json.loads(run(capsys, "press", made / "die.stl", "--no-texture", "--json")[1])["curves"]
    for command in ("impress", "push", "make"):
        assert not {"--force", "--no-texture"} & set(run(capsys, command, "--help")[1].split())


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--push", "0"], "press.force"),
        (["--push", "nan"], "press.force"),
        (["--push", "60", "--off-centre", "5"], "two numbers"),
        (["--push", "60", "--off-centre", "60,0"], "tip over"),
        (["--push", "60", "--material", "lead"], "tpu-95a"),
        (["--push", "60", "--dress", "-1"], "--dress"),
        (["--push", "60", "--dress", "9"], "all of the mesh"),
        (["--push", "60", "--solver", "best"], "quick"),
        (["--push", "60", "--set", "die.infill=0"], "infill"),
        (["--off-centre", "60,0"], "tip over"),
        (["--set", "press.force=9999"], "press.force"),
    ],
)
def test_a_push_that_cannot_be_exits_2_with_one_line_and_no_picture(tmp_path, capsys, made, options, said):
    code, out, err = run(capsys, "impress", made / "die.stl", "--out", tmp_path / "x.png", *options)
    assert code == 2
    assert out == ""
    assert len(err.splitlines()) == 1
    assert said in err
    assert not (tmp_path / "x.png").exists()


def test_a_picture_that_is_there_stays_unless_told(tmp_path, capsys, made):
    (tmp_path / "x.png").write_text("mine")
    for command in (("impress", "--push", 60), ("impress",), ("push",)):
        code, _, err = run(capsys, command[0], made / "die.stl", "--out", tmp_path / "x.png", *command[1:])
        assert code == 2
        assert "--overwrite" in err
    assert (tmp_path / "x.png").read_text() == "mine"


def test_the_report_says_what_it_takes_before_and_after_dressing(tmp_path, capsys, made):
    drawing = tmp_path / "curve.svg"
    code, out, err = run(capsys, "push", made / "die.stl", "--job", made / "job.json", "--out", drawing)
    assert code == 0, err
    for needed in (
        "undressed",
        "dressed by 0.2 mm",
        "a hand should push with 38 N at most",
        "Dressing: dress at least",
        "Off centre: Pushed with 60 N",
        "Assumptions: value, range, effect of either end",
        "pressure that prints solid",
    ):
        assert needed in out
    assert all(f"{name}: " in drawing.read_text(encoding="utf-8") for name in ("undressed", "dressed by 0.2 mm"))


def test_the_push_curve_is_drawn_as_its_name_asks(tmp_path, capsys, made):
    code, _, err = run(capsys, "push", made / "die.stl", "--job", made / "job.json", "--out", tmp_path / "curve.png")
    assert code == 0, err
    with Image.open(tmp_path / "curve.png") as picture:
        assert picture.size[0] == 1200
    code, _, err = run(capsys, "push", made / "die.stl", "--out", tmp_path / "curve.pdf")
    assert code == 2
    assert ".svg or .png" in err


def test_a_stamp_that_asks_too_much_is_advised_with_figures(capsys, made):
    code, out, _ = run(capsys, "push", made / "die.stl", "--dress", 0, "--set", "press.bow=0.3", "--json")
    assert code == 0
    told = json.loads(out)
    assert told["finding"]["kind"] == "hard to press"
    assert told["curves"][0]["whole_at"] is None or told["curves"][0]["whole_at"] > told["hand"]["newtons"]
    assert any(piece["enough"] and piece["force"] <= told["hand"]["newtons"] for piece in told["advice"])
    for assumption in told["assumptions"]:
        assert assumption["low"] <= assumption["value"] <= assumption["high"]
        assert len(assumption["whole_at"]) == 2

"""Bent dies on the command line: pressed and pushed from their files as they roll."""

import json

import pytest
from stampwright import make_files, read_artwork
from stampwright.cli import main
from stampwright.job import Job

MARK = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="14mm" viewBox="0 0 20 14">'
    '<path d="M1 1H5V13H1Z M8 1H19V5H12V13H8Z"/></svg>'
)


@pytest.fixture(scope="module")
def rocker(tmp_path_factory):
    folder = tmp_path_factory.mktemp("rocker")
    path = folder / "mark.svg"
    path.write_text(MARK, encoding="utf-8")
    job = Job().with_values({"bend.form": "rocker", "base.width": 30.0, "handle.index": "none"})
    make_files(job, read_artwork(path), folder / "made")
    return folder / "made"


@pytest.mark.parametrize("more", [(), ("--solver", "full")])
def test_a_rocker_is_pressed_as_it_rolls_with_or_without_its_job(rocker, tmp_path, capsys, more):
    shares = []
    for job in (("--job", str(rocker / "job.json")), ("--dress", "0.2")):
        out = str(tmp_path / f"{len(shares)}.png")
        given = ("impress", str(rocker / "die.stl"), *job, "--push", "3", "--dpi", "120", "--json", *more)
        assert main([*given, "--out", out]) == 0
        told = json.loads(capsys.readouterr().out)
        assert told["solver"] == ("rolled, full" if more else "rolled")
        shares.append(told["printed_share"])
    assert shares == [pytest.approx(1.0, abs=0.02)] * 2


def test_a_rocker_takes_a_fraction_of_the_push_that_its_area_would(rocker, capsys):
    assert main(["push", str(rocker / "die.stl"), "--job", str(rocker / "job.json"), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    # 120 mm² of face at 0.02 MPa would take 2.4 N all at once.
    assert told["curves"][1]["whole_at"] < 1.2


def test_a_rocker_is_rolled_with_a_push_that_goes_by_its_width(rocker, tmp_path, capsys):
    given = ("impress", str(rocker / "die.stl"), "--job", str(rocker / "job.json"), "--dpi", "120", "--json")
    assert main([*given, "--set", "press.line_force=0.2", "--out", str(tmp_path / "by-width.png")]) == 0
    told = json.loads(capsys.readouterr().out)
    # Ink creeps past both edges of the face.
    assert told["force"] == pytest.approx(0.2 * (told["bounds"][3] - told["bounds"][1]), rel=0.06)
    assert "relief bends over" not in {finding["kind"] for finding in told["findings"]}
    # What is asked for in newtons is the whole push.
    assert main([*given, "--push", "5", "--out", str(tmp_path / "asked.png")]) == 0
    assert json.loads(capsys.readouterr().out)["force"] == 5.0

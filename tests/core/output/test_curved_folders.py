"""Rockers and rollers as folders: proven from their files, told as what they are, and bad input in one line."""

from __future__ import annotations

import json

import numpy as np
import pytest
from stampwright import make_files, read_artwork
from stampwright.cli import main
from stampwright.errors import JobError
from stampwright.files import read_stl
from stampwright.job import Job
from stampwright.job.written.files import job_as_json, job_from_json

MARK = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="20mm" viewBox="0 0 30 20">'
    '<path d="M2 2H8V18H2Z M12 2H28V8H18V18H12Z"/></svg>'
)


@pytest.fixture
def artwork(tmp_path):
    path = tmp_path / "mark.svg"
    path.write_text(MARK, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    "way",
    [
        {"bend.form": "rocker", "base.width": 40.0},
        {"bend.form": "roller", "bend.repeat": 50.0, "bend.turns": 2, "bend.band": 26.0},
    ],
)
def test_a_bent_stamp_is_written_proven_and_told(artwork, tmp_path, way):
    job = Job().with_values({"handle.index": "none", **way})
    stamp, written = make_files(job, read_artwork(artwork), tmp_path / "made")
    assert written is not None
    assert written.comparison.worst > 0.999
    assert written.report["bend"]["form"] == way["bend.form"]
    assert written.report["pressing"]["rolled"]["width"] > 20
    assert stamp.pressed is not stamp.die
    # Filed as it is printed: standing on the end of its axis.
    die = read_stl(written.files["die.stl"])
    assert die.vertices[:, 2].min() == 0.0
    assert np.ptp(die.vertices[:, 2]) == pytest.approx(40.0 if way["bend.form"] == "rocker" else 26.0, abs=1e-3)
    ticket = written.files["ticket.html"].read_text(encoding="utf-8")
    assert way["bend.form"] in ticket
    assert "Press, do not rock" not in ticket
    assert ("Axle:" in ticket) is (way["bend.form"] == "roller")
    # A roller has no base: its artwork lies on a repeat.
    ground = "repeat" if way["bend.form"] == "roller" else "base"
    assert f"edge of the {ground}" in written.files["proof.svg"].read_text(encoding="utf-8")
    assert f"<dt>{ground.capitalize()}</dt>" in ticket
    # The folder makes the same stamp again.
    again = job_from_json(written.files["job.json"].read_text(encoding="utf-8"))
    assert again.bend == job.bend


def test_a_flat_job_is_written_as_it_was_before_there_were_others():
    assert "bend" not in json.loads(job_as_json(Job()))
    assert json.loads(job_as_json(Job().with_value("bend.form", "rocker")))["bend"]["radius"] == 60.0
    # What was set for later is kept.
    assert json.loads(job_as_json(Job().with_value("bend.radius", 80.0)))["bend"]["form"] == "flat"
    assert job_from_json('{"format": 2, "bend": {"form": "roller", "turns": 3}}').bend.turns == 3


@pytest.mark.parametrize(
    ("settings", "said"),
    [
        (["bend.form=rocker", "bend.radius=5mm", "die.relief=3"], "floor and relief take 5 mm of it"),
        (["bend.form=rocker", "bend.radius=3"], "it takes a number from 5 to 1,000 mm"),
        (["bend.form=roller", "bend.repeat=45"], "inside the die for a drum round an axle of 5 mm"),
        (["bend.form=roller", "bend.turns=0"], "it takes a whole number from 1 to 50"),
        (["bend.form=roller", "bend.size_by=radius", "bend.radius=200"], "make a repeat of 1256.6 mm"),
        (["bend.form=roller", "backing.form=one-piece"], "goes round a drum"),
        (["bend.form=rocker", "backing.form=none"], "nothing for a handle to stand on"),
        (["bend.form=roller", "cushion.thickness=2"], "cushion.thickness must be 0"),
        (["bend.form=rocker", "bend.radius=16", "base.width=60"], "too long to rock on a radius of 16 mm"),
        (["bend.form=roller", "bend.repeat=25", "bend.turns=4", "layout.size_by=page"], "so that it cannot close"),
        (["bend.form=round"], "one of flat, rocker, roller"),
    ],
)
def test_what_cannot_be_bent_is_refused_in_one_line(artwork, tmp_path, settings, said, capsys):
    given = [part for setting in settings for part in ("--set", setting)]
    code = main(["make", str(artwork), "--out", str(tmp_path / "made"), *given])
    told = capsys.readouterr().err.strip()
    assert code == 2
    assert said in told
    assert "\n" not in told
    assert not (tmp_path / "made").exists()


def test_several_inks_take_flat_faces():
    inks = [{"name": "one", "colour": "#000000"}, {"name": "two", "colour": "#ff0000"}]
    with pytest.raises(JobError, match="several inks take flat faces"):
        job_from_json(json.dumps({"format": 2, "bend": {"form": "rocker"}, "inks": inks}))

"""A stamp's folder holds what it was made from, and makes it again, byte for byte."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw
from stampwright.artwork import read_artwork
from stampwright.artwork.fonts.case import BUNDLED_FOLDER
from stampwright.cli import main
from stampwright.errors import AlreadyThereError, JobError
from stampwright.job import Job
from stampwright.job.written.files import job_as_toml, job_from_toml, read_job
from stampwright.workshop import artwork_of, make_files

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="24mm" height="24mm" viewBox="0 0 24 24">'
    '<path d="M2 2h20v20H2z M5 5v14h14V5z" fill-rule="evenodd"/><circle cx="{}" cy="12" r="3"/></svg>'
)
JOB = Job().with_values({"base.width": 32.0, "backing.form": "none", "handle.form": "none"})
SMALL = ["--set", "base.width=32", "--set", "backing.form=none", "--set", "handle.form=none"]


def drawn(path: Path, x: float = 12) -> Path:
    path.write_text(SVG.format(x))
    return path


def run(*arguments: object) -> int:
    return main([str(argument) for argument in arguments])


def made_again(folder: Path, other: Path) -> None:
    """Make a stamp again from nothing but its folder, moved elsewhere, and compare the dies."""
    moved = folder.with_name("moved")
    shutil.move(folder, moved)
    assert run("make", "--job", moved / "job.json", "-o", other) == 0
    assert (other / "die.stl").read_bytes() == (moved / "die.stl").read_bytes()
    assert "made_from" in json.loads((other / "job.json").read_text())
    assert json.loads((other / "job.json").read_text()) == json.loads((moved / "job.json").read_text())


def scan(path: Path) -> Path:
    image = Image.new("L", (300, 300), 255)
    ImageDraw.Draw(image).ellipse((30, 30, 270, 250), fill=0)
    image.save(path, dpi=(300, 300))
    return path


@pytest.mark.parametrize("make", [lambda at: drawn(at / "mark.svg"), lambda at: scan(at / "my scan.png")])
def test_folder_makes_its_stamp_again_from_its_own_copy(tmp_path, make):
    (tmp_path / "art").mkdir()
    art = make(tmp_path / "art")
    assert run("make", art, "-o", tmp_path / "one", *SMALL) == 0
    copy = tmp_path / "one" / art.name
    assert copy.read_bytes() == art.read_bytes()
    job = json.loads((tmp_path / "one" / "job.json").read_text())
    assert job["artwork"] == art.name
    assert job["made_from"] == {art.name: hashlib.sha256(art.read_bytes()).hexdigest()}
    shutil.rmtree(tmp_path / "art")
    made_again(tmp_path / "one", tmp_path / "two")


PIECES = """
[[pieces]]
kind = "mark"
file = "../art/leaf.svg"
width = 12.0

[[pieces]]
kind = "mark"
file = "die.svg"
y = -9.0
width = 5.0

[[pieces]]
kind = "round lettering"
text = "SEEDS"
cap_height = 4.0
font_file = "{}"
radius = 12.0
weight = 700
"""


def test_pieces_with_their_marks_and_fonts_travel(tmp_path):
    for name in ("art", "cards"):
        (tmp_path / name).mkdir()
    drawn(tmp_path / "art" / "leaf.svg")
    drawn(tmp_path / "cards" / "die.svg", 11)
    font = next(BUNDLED_FOLDER.glob("*.ttf"))
    card = tmp_path / "cards" / "Die.STL.toml"
    card.write_text(PIECES.format(font.as_posix()))
    assert run("make", card, "-o", tmp_path / "one", *SMALL) == 0
    names = {path.name for path in (tmp_path / "one").iterdir()}
    assert {"leaf.svg", "die.svg", font.name, card.name} <= names
    for name in ("art", "cards"):
        shutil.rmtree(tmp_path / name)
    made_again(tmp_path / "one", tmp_path / "two")


def test_pieces_of_the_job_itself_travel(tmp_path):
    drawn(tmp_path / "leaf.svg")
    (tmp_path / "job.toml").write_text('[[pieces]]\nkind = "mark"\nfile = "leaf.svg"\n')
    assert run("make", "--job", tmp_path / "job.toml", "-o", tmp_path / "one", *SMALL) == 0
    (tmp_path / "leaf.svg").unlink()
    assert json.loads((tmp_path / "one" / "job.json").read_text())["pieces"][0]["file"] == "leaf.svg"
    made_again(tmp_path / "one", tmp_path / "two")


def test_sculpts_and_pictures_travel_with_the_artwork(tmp_path):
    slope = np.tile(np.linspace(0, 255, 64).astype(np.uint8), (64, 1))
    Image.fromarray(slope).save(tmp_path / "grey.png")
    drawn(tmp_path / "mark.svg")
    face = ["--set", "face.texture=picture", "--set", f"face.picture={tmp_path / 'grey.png'}"]
    assert run("make", tmp_path / "mark.svg", "-o", tmp_path / "one", *SMALL, *face) == 0
    job = json.loads((tmp_path / "one" / "job.json").read_text())
    assert set(job["made_from"]) == {"mark.svg", "face.png"}
    (tmp_path / "grey.png").unlink()
    made_again(tmp_path / "one", tmp_path / "two")


@pytest.mark.parametrize("name", ["proof.svg", "Impression.PNG", "job.json"])
def test_artwork_called_as_a_stamps_file_is_gets_another_name(tmp_path, name):
    (tmp_path / "art").mkdir()
    art = tmp_path / "art" / name
    if name == "job.json":
        art.write_text('{"pieces": [{"kind": "ring", "diameter": 20.0, "line": 2.0}]}')
    else:
        (scan if name.endswith("PNG") else drawn)(art)
    assert run("make", art, "-o", tmp_path / "one", *SMALL) == 0
    copy = json.loads((tmp_path / "one" / "job.json").read_text())["artwork"]
    assert copy == f"{art.stem}-2{art.suffix}"
    assert (tmp_path / "one" / copy).read_bytes() == art.read_bytes()
    made_again(tmp_path / "one", tmp_path / "two")


def test_changed_artwork_is_named_in_one_line(tmp_path, capsys):
    assert run("make", drawn(tmp_path / "mark.svg"), "-o", tmp_path / "one", *SMALL) == 0
    drawn(tmp_path / "one" / "mark.svg", 13)
    capsys.readouterr()
    assert run("make", "--job", tmp_path / "one" / "job.json", "-o", tmp_path / "two") == 0
    told = [line for line in capsys.readouterr().out.splitlines() if "artwork changed" in line]
    assert len(told) == 1
    assert "mark.svg" in told[0]
    job = read_job(tmp_path / "two" / "job.json")
    assert [finding.kind for finding in artwork_of(job).findings] == []
    # Artwork that is given beside the job is another on purpose.
    assert run("preflight", tmp_path / "mark.svg", "--job", tmp_path / "one" / "job.json") == 0
    assert "artwork changed" not in capsys.readouterr().out


def test_artwork_in_the_folder_itself_stays_as_it_is(tmp_path):
    art = drawn(tmp_path / "mark.svg")
    before = art.stat()
    assert run("make", art, "-o", tmp_path, *SMALL) == 0
    assert run("make", "--job", tmp_path / "job.json", "-o", tmp_path, "--overwrite") == 0
    assert (art.stat().st_ino, art.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_other_artwork_of_the_same_name_is_never_written_over(tmp_path, capsys):
    """What stands there may be somebody's only copy; one that a stamp brought is replaced with that stamp."""
    (tmp_path / "out").mkdir()
    own = drawn(tmp_path / "out" / "mark.svg", 9)
    kept = own.read_bytes()
    art = drawn(tmp_path / "mark.svg")
    for overwrite in (["--overwrite"], []):
        assert run("make", art, "-o", tmp_path / "out", *SMALL, *overwrite) == 2
        assert "mark.svg" in capsys.readouterr().err
        assert own.read_bytes() == kept
        assert [path.name for path in (tmp_path / "out").iterdir()] == ["mark.svg"]
    own.unlink()
    assert run("make", art, "-o", tmp_path / "out", *SMALL) == 0
    drawn(art, 10)
    with pytest.raises(AlreadyThereError):
        make_files(JOB, read_artwork(art), tmp_path / "out")
    assert run("make", art, "-o", tmp_path / "out", "--overwrite", *SMALL) == 0
    assert own.read_bytes() == art.read_bytes()


def test_copies_of_a_former_stamp_are_said_to_be_left_over(tmp_path):
    make_files(JOB, read_artwork(drawn(tmp_path / "old.svg")), tmp_path / "out")
    _, written = make_files(JOB, read_artwork(drawn(tmp_path / "new.svg")), tmp_path / "out", overwrite=True)
    assert written.left_over == ("old.svg",)
    assert written.files["new.svg"] == tmp_path / "out" / "new.svg"


def test_ticket_and_proof_say_what_was_made_from_what_and_when(tmp_path, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")  # 14 November 2023, 22:13:20 UTC
    art = drawn(tmp_path / "mark & leaf.svg")
    for out in ("one", "two"):
        assert run("make", art, "-o", tmp_path / out, *SMALL) == 0
    version = hashlib.sha256(art.read_bytes()).hexdigest()[:8]
    for name in ("ticket.html", "proof.svg"):
        page = (tmp_path / "one" / name).read_text()
        words = " ".join(re.sub(r"<[^>]*>", " ", page).split())
        assert f"Artwork: mark &amp; leaf.svg, version {version}; made 2023-11-14 by Stampwright 0.1.0" in words
    for name in ("ticket.html", "proof.svg", "die.stl", "stamp.3mf", "job.json", "impression.png"):
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()


def test_job_keeps_what_it_was_made_from_in_toml():
    job = Job(artwork='odd "name".svg', made_from={'odd "name".svg': "0" * 64})
    assert job_from_toml(job_as_toml(job)) == job
    assert hash(job) == hash(job_from_toml(job_as_toml(job)))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("artwork = 3", "artwork = 3"),
        ('artwork = "a\\u0000"', "artwork ="),
        ("made_from = 3", "made_from"),
        ('made_from = ["mark.svg"]', "made_from"),
        ('[made_from]\n"mark.svg" = "abc"', "no SHA-256 of mark.svg"),
        ('artwork = "a.svg"\n[[pieces]]\nkind = "ring"', "leave one of them out"),
    ],
)
def test_what_a_job_cannot_be_made_from_is_refused(text, told):
    with pytest.raises(JobError, match=re.escape(told)) as refused:
        job_from_toml(text)
    assert "\n" not in str(refused.value)


def test_missing_artwork_of_a_job_is_named(tmp_path, capsys):
    (tmp_path / "job.toml").write_text('artwork = "gone.svg"')
    assert run("make", "--job", tmp_path / "job.toml", "-o", tmp_path / "out") == 2
    assert "gone.svg" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()

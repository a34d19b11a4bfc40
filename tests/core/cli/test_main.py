"""The command line as a person meets it: exit codes, one clear line, files whole or not at all."""

import argparse
import json
import os
import re
import subprocess
import sys
from dataclasses import fields

import numpy as np
import pytest
from PIL import Image
from shapely.geometry import Point
from stampwright import __version__, read_job
from stampwright.cli import main
from stampwright.cli.options import add_artwork, job_of
from stampwright.cli.terminal import print_findings
from stampwright.face import FaceMap, write_face_map
from stampwright.findings import Finding
from stampwright.job import Job, job_settings
from stampwright.job.measured import measured_in
from stampwright.job.pieces import PIECES
from stampwright.templates import fill_template, template_called

from .program import run

MARK = """<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="30mm" viewBox="0 0 30 30">
<path d="M2 10h14V4l12 11-12 11v-6H2z"/></svg>"""
HAIR = """<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="30mm" viewBox="0 0 30 30">
<path d="M0 10h30v.1H0zM0 14h30v10H0z"/></svg>"""


@pytest.fixture
def mark(tmp_path):
    path = tmp_path / "mark.svg"
    path.write_text(MARK)
    return path


@pytest.fixture
def hair(tmp_path):
    path = tmp_path / "hair.svg"
    path.write_text(HAIR)
    return path


def test_make_writes_every_file_and_says_what_it_made(tmp_path, capsys, mark):
    code, out, err = run(capsys, "make", mark, "--out", tmp_path / "made", "--set", "die.relief=1.6")
    assert code == 0
    assert err == ""
    plates = {"stamp.3mf", "tpu-95a.3mf", "pla.3mf"}
    names = plates | {"die.stl", "backing.stl", "handle.stl", "impression.png", "proof.svg", "ticket.html"}
    names |= {"customer.svg", "customer.png", "customer.pdf"}
    assert {path.name for path in (tmp_path / "made").iterdir()} == names | {"job.json", "report.json", mark.name}
    assert "die" in out
    assert " g " in out
    assert "\x1b" not in out
    job = json.loads((tmp_path / "made" / "job.json").read_text())
    assert job["die"]["relief"] == 1.6
    assert job["name"] == "mark"


def test_a_finding_that_blocks_exits_1_and_names_it(tmp_path, capsys, hair):
    code, out, err = run(capsys, "make", hair, "--out", tmp_path / "made")
    assert code == 1
    assert "blocks  thin line" in out
    assert "thin line" in err
    assert len(err.splitlines()) == 1
    assert not (tmp_path / "made").exists()


def test_repair_makes_what_blocked(tmp_path, capsys, hair):
    code, out, _ = run(capsys, "make", hair, "--out", tmp_path / "made", "--repair")
    assert code == 0
    assert "mended" in out


def test_existing_files_are_kept_unless_told(tmp_path, capsys, mark):
    folder = tmp_path / "made"
    assert run(capsys, "make", mark, "--out", folder)[0] == 0
    before = (folder / "die.stl").stat().st_mtime_ns
    code, _, err = run(capsys, "make", mark, "--out", folder)
    assert code == 2
    assert "--overwrite" in err
    assert (folder / "die.stl").stat().st_mtime_ns == before
    assert run(capsys, "make", mark, "--out", folder, "--overwrite")[0] == 0
    assert run(capsys, "make", mark, "-o", folder, "--force")[0] == 0


def test_all_findings_are_listed_when_asked_for(tmp_path, capsys):
    bars = "".join(f'<path d="M{x} 0h.1v20h-.1z"/>' for x in range(0, 30, 3))
    (tmp_path / "bars.svg").write_text(f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 30 20">{bars}</svg>')
    few = run(capsys, "preflight", tmp_path / "bars.svg", "--no-ways")[1]
    assert few.count("blocks  thin line") == 4
    assert "6 more of: thin line; --all lists them" in few
    every = run(capsys, "preflight", tmp_path / "bars.svg", "--all", "--no-ways")[1]
    assert every.count("blocks  thin line") == 10
    assert "findings block: 10 thin line" in every


def test_preflight_exit_code_and_json_tell_what_blocks(capsys, hair, mark):
    code, out, _ = run(capsys, "preflight", hair, "--json")
    told = json.loads(out)
    assert code == 1
    assert told["blocks"] == sum(finding["severity"] == "blocks" for finding in told["findings"]) > 0
    thinnest = min(finding["measured"] for finding in told["findings"] if finding["kind"] == "thin line")
    assert thinnest == pytest.approx(0.1, abs=0.005)
    _, out, _ = run(capsys, "preflight", hair, "--json", "--no-ways", "--set", "layout.size_by=fit")
    thinnest = min(found["measured"] for found in json.loads(out)["findings"] if found["kind"] == "thin line")
    # 0.1 mm drawn on art 30 mm wide, enlarged until it fits a round base of 50 mm with its margin of 2 mm.
    assert thinnest == pytest.approx(0.1 * 46.0 / 33.1, abs=0.02)
    assert run(capsys, "preflight", mark)[0] == 0


def test_impress_pictures_a_written_die(tmp_path, capsys, mark):
    assert run(capsys, "make", mark, "--out", tmp_path / "made")[0] == 0
    picture = tmp_path / "picture.png"
    code, out, _ = run(capsys, "impress", tmp_path / "made" / "die.stl", "--out", picture, "--dress", "0.2")
    assert code == 0
    assert picture.read_bytes().startswith(b"\x89PNG")
    assert "mm of print" in out
    code, _, err = run(capsys, "impress", tmp_path / "made" / "die.stl", "--out", picture)
    assert code == 2
    assert "already" in err


def test_the_job_that_is_written_makes_the_stamp_again(tmp_path, capsys, mark):
    # The job names its mark's file relative to itself; a copy of it comes with the stamp.
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    (jobs / "job.toml").write_text('[[pieces]]\nkind = "mark"\nfile = "../mark.svg"\n')
    assert run(capsys, "make", "--job", jobs / "job.toml", "--out", tmp_path / "out" / "made")[0] == 0
    written = tmp_path / "out" / "made" / "job.json"
    assert json.loads(written.read_text())["pieces"] == [{"kind": "mark", "file": "mark.svg"}]
    code, out, _ = run(capsys, "preflight", "--job", written)
    assert code == 0
    assert out.splitlines()[-1] == "Nothing found: this artwork prints."


def test_json_prints_the_report_only(tmp_path, capsys, mark):
    code, out, _ = run(capsys, "make", mark, "--out", tmp_path / "made", "--json")
    assert code == 0
    assert json.loads(out) == json.loads((tmp_path / "made" / "report.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["make"],
        ["make", "mark.svg"],
        ["mend", "mark.svg"],
        ["make", "missing.svg", "--out", "made"],
        ["make", ".", "--out", "made"],
        ["make", "empty.svg", "--out", "made"],
        ["make", "noise.svg", "--out", "made"],
        ["make", "mark.svg", "--out", "made", "--set", "die.relif=1"],
        ["make", "mark.svg", "--out", "made", "--set", "die.relief"],
        ["make", "mark.svg", "--out", "made", "--set", "die.relief=100"],
        ["make", "mark.svg", "--out", "made", "--job", "missing.toml"],
        ["make", "mark.svg", "--out", "mark.svg"],
        ["make", "mark.svg", "--out", "mark.svg/below"],
        ["make", "mark.svg", "--out", "\0"],
        ["preflight", "noise.svg", "--json"],
        ["impress", "mark.svg", "--out", "x.png"],
        ["impress", "missing.stl", "--out", "x.png"],
        ["impress", "noise.stl", "--out", "x.png"],
        ["impress", "noise.stl", "--out", "x.png", "--dpi", "many"],
    ],
)
def test_bad_usage_and_bad_input_exit_2_with_one_clear_line(tmp_path, mark, monkeypatch, arguments, capsys):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "empty.svg").write_bytes(b"")
    (tmp_path / "noise.svg").write_bytes(bytes(range(256)) * 20)
    (tmp_path / "noise.stl").write_bytes(bytes(range(256)) * 20)
    before = sorted(path.name for path in tmp_path.iterdir())
    try:
        code = main(arguments)
    except SystemExit as stop:
        code = stop.code
    captured = capsys.readouterr()
    assert code == 2
    assert captured.out == ""
    assert len(captured.err.splitlines()) == 1
    assert captured.err.startswith("stampwright: ")
    assert sorted(path.name for path in tmp_path.iterdir()) == before
    assert mark.read_text() == MARK


def test_help_and_figures_can_be_followed(capsys):
    with pytest.raises(SystemExit) as stop:
        main(["--help"])
    assert stop.value.code == 0
    assert "make" in capsys.readouterr().out
    code, out, _ = run(capsys, "settings")
    assert code == 0
    assert "die.relief = 2.0 mm" in out
    assert "common practice" in out
    assert "from 1,000 to 5,000,000" in out
    assert run(capsys, "figures") == (code, out, "")


def test_settings_can_be_asked_for_by_section_and_by_name(capsys, tmp_path):
    code, out, _ = run(capsys, "settings", "backing", "die.relief")
    assert code == 0
    listed = re.findall(r"^([a-z_.]+) = ", out, re.M)
    assert "die.relief" in listed
    assert {path for path in listed if path != "die.relief"} == {
        path for path, _, _ in job_settings(Job()) if path.startswith("backing.")
    }
    (tmp_path / "job.toml").write_text("[die]\nrelief = 1.6\n")
    assert "die.relief = 1.6 mm" in run(capsys, "settings", "die.relief", "--job", tmp_path / "job.toml")[1]
    assert run(capsys, "settings", "process")[1] == run(capsys, "settings", "printer")[1]
    code, out, err = run(capsys, "settings", "backin")
    assert (code, out) == (2, "")
    assert "backing" in err


def test_the_version_is_told(capsys):
    assert run(capsys, "--version")[:2] == (0, f"stampwright {__version__}\n")


def test_every_command_says_what_it_is_for(capsys):
    listed = run(capsys, "--help")[1]
    for command in ("make", "preflight", "impress", "push", "view", "settings", "pieces"):
        assert f"    {command} " in listed.replace("\n", " \n")
        code, told, _ = run(capsys, command, "--help")
        assert code == 0
        assert told.startswith(f"usage: stampwright {command}")
    assert not {"press", "figures"} & set(listed.replace(",", " ").split())


def test_help_takes_nothing_that_is_slow_to_load():
    code = "import sys, stampwright.cli as c\ntry: c.main(['make', '--help'])\nexcept SystemExit: pass\n"
    code += "print([each for each in ('numpy', 'shapely', 'manifold3d') if each in sys.modules], file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True)
    assert done.stderr == "[]\n"


def test_places_are_told_without_a_negative_nought(capsys):
    print_findings([Finding(kind="k", severity="notes", stage="preflight", message="m", place=Point(-0.04, 0.3))])
    assert "at 0.0, 0.3 mm" in capsys.readouterr().out


@pytest.mark.skipif(os.name != "posix", reason="signals and pipes as on POSIX")
def test_a_reader_that_goes_away_is_no_traceback():
    command = f"{sys.executable} -m stampwright settings | head -n 1"
    done = subprocess.run(["/bin/sh", "-c", command], capture_output=True, text=True, timeout=60, check=False)
    assert done.stderr == ""


def test_a_job_with_pieces_needs_no_artwork(tmp_path, capsys, mark):
    job = tmp_path / "mossgate.toml"
    job.write_text('[handle]\nform = "none"\n[[pieces]]\nkind = "lettering"\ntext = "SEEDS"\n')
    code, _, err = run(capsys, "make", "--job", job, "--out", tmp_path / "made")
    assert code == 0, err
    assert (tmp_path / "made" / "die.stl").exists()
    assert json.loads((tmp_path / "made" / "job.json").read_text())["pieces"][0]["text"] == "SEEDS"
    code, _, err = run(capsys, "make", mark, "--job", job, "--out", tmp_path / "both")
    assert code == 2
    assert "pieces of its own" in err
    code, _, err = run(capsys, "preflight")
    assert code == 2
    assert "no artwork" in err


def test_pieces_are_listed_with_their_figures(capsys):
    code, out, _ = run(capsys, "pieces")
    assert code == 0
    assert 'kind = "round lettering"' in out
    # As they are unless they are set, in the words of a pieces file.
    listed = out.split('kind = "round lettering"')[1].split("[[pieces]]")[0]
    assert "radius = 20.0 mm\n        Radius of the circle that the letters stand on. Takes" in listed
    for kind, piece in PIECES.items():
        listed = out.split(f'kind = "{kind}"')[1].split("[[pieces]]")[0]
        told = dict(line.strip().split(" = ", 1) for line in listed.splitlines() if " = " in line)
        assert {name: json.loads(value.removesuffix(" mm").removesuffix(" deg")) for name, value in told.items()} == {
            field.name: getattr(piece(), field.name) for field in fields(piece)
        }


@pytest.mark.parametrize(
    ("settings", "told"),
    [
        (["layout.width=30"], "layout.width is set and not used: it counts with layout.size_by=width, not drawn"),
        (["base.corner_radius=5"], "it counts with base.outline=rectangle, not round"),
        (["preflight.repair_by=middle-lines"], "it counts with preflight.repair=true, not false"),
        (["bend.repeat=90", "bend.form=rocker"], "it counts with bend.form=roller, not rocker"),
        (["layout.width=30", "layout.size_by=width"], ""),
        (["base.outline=rectangle", "base.corner_radius=5", "base.height=30", "die.relief=2"], ""),
    ],
)
def test_settings_that_are_typed_and_do_not_count_are_said(capsys, mark, settings, told):
    _, out, _ = run(capsys, "preflight", mark, "--no-ways", *[word for each in settings for word in ("--set", each)])
    lines = [line for line in out.splitlines() if "is set and not used" in line]
    assert len(lines) == bool(told)
    assert told in "".join(lines)


@pytest.mark.skipif(os.name != "posix", reason="Windows has no such names")
def test_a_file_of_any_name_gives_its_stamp_a_name_that_can_be_written(tmp_path, capsys):
    path = tmp_path / "Mossgate\N{NO-BREAK SPACE}ring\n\x7f.toml"
    path.write_bytes(b'\xef\xbb\xbf[[pieces]]\nkind = "ring"\ndiameter = "3 cm"\n')
    code, _, err = run(capsys, "make", path, "-o", tmp_path / "made", "--set", "handle.form=none")
    assert code == 0, err
    job = read_job(tmp_path / "made" / "job.json")
    assert job.name == "Mossgate\N{NO-BREAK SPACE}ring"
    assert "Mossgate\N{NO-BREAK SPACE}ring" in (tmp_path / "made" / "proof.svg").read_text(encoding="utf-8")


def test_a_scan_is_made_by_the_jobs_tracing(tmp_path, capsys):
    picture = Image.new("L", (300, 300), 30)
    picture.paste(230, (100, 100, 200, 200))
    picture.save(tmp_path / "scan.png", dpi=(300, 300))
    scan = ("make", tmp_path / "scan.png", "--set", "tracing.negative=true", "--set", "handle.form=none", "--out")
    code, _, err = run(capsys, *scan, tmp_path / "made")
    assert code == 0, err


def test_make_textures_the_face_with_a_grain_and_a_sculpt(tmp_path, capsys, mark):
    sculpt = FaceMap(np.full((60, 60), -0.15, dtype=np.float32), (-12.0, -12.0), 0.4)
    write_face_map(tmp_path / "hollow.png", sculpt)
    settings = ("--set", "face.texture=linen", "--set", "face.strength=0.5", "--sculpt", tmp_path / "hollow.png")
    # Every folder may have a long name; so long a path is the job's to name as well.
    made = tmp_path.joinpath(*("Mossgate-Seed-Library-" * 9 for _ in range(3)))
    code, out, _ = run(capsys, "make", mark, "--out", made, *settings)
    assert code == 0
    assert "dressing takes texture" in out
    # The folder makes the same die again, without the file that the sculpt came from.
    (tmp_path / "hollow.png").unlink()
    again = ("--job", made / "job.json", "--out", tmp_path / "again")
    assert run(capsys, "make", mark, *again)[0] == 0
    assert (tmp_path / "again" / "die.stl").read_bytes() == (made / "die.stl").read_bytes()
    told = json.loads((made / "report.json").read_text())["face"]
    assert told["texture"] == "linen"
    assert told["sculpted"]
    assert told["proof"]["worst"] < 0.005
    assert "linen and a sculpt" in (made / "ticket.html").read_text()


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("--sculpt", "missing.tif"), "cannot be read"),
        (("--set", "face.texture=picture"), "face.picture"),
        (("--set", "face.tone=dots"), "face.picture"),
        (("--set", "face.texture=velvet"), "wood-grain, linen"),
    ],
)
def test_a_texture_that_cannot_be_made_exits_2_and_says_what_to_do(tmp_path, capsys, mark, arguments, told):
    code, _, err = run(capsys, "make", mark, "--out", tmp_path / "made", *arguments)
    assert code == 2
    assert told in err
    assert len(err.splitlines()) == 1
    assert not (tmp_path / "made").exists()


def test_words_of_a_template_are_fitted_to_what_was_measured(tmp_path, capsys):
    measured = tmp_path / "my-printer.toml"
    measured.write_text(
        'format = 1\nkind = "measured printer"\n[[figures]]\nsetting = "ink.spread"\nvalue = 0.13\nlow = 0.12\n'
        "high = 0.14\nprints = 4\n"
    )
    parser = argparse.ArgumentParser()
    add_artwork(parser)
    words = ["--template", "round", "--say", "line1=LENT FREE"]
    plain, fitted = (job_of(parser.parse_args([*words, *more])) for more in ([], ["--with", str(measured)]))
    told = fill_template(template_called("round"), {"line1": "LENT FREE"}, {"ink.spread": 0.13})
    assert fitted.pieces == told.pieces != plain.pieces
    assert measured_in(fitted)["ink.spread"].prints == 4

"""Examination sheets from the command line: drawn where they were asked for, and beside a stamp that is not made."""

import pytest

from .program import run

HAIR = """<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="30mm" viewBox="0 0 30 30">
<path d="M0 10h30v.1H0zM0 14h30v10H0z"/></svg>"""


@pytest.fixture
def hair(tmp_path):
    path = tmp_path / "hair.svg"
    path.write_text(HAIR)
    return path


@pytest.mark.parametrize("ending", ["svg", "png", "html"])
def test_preflight_draws_what_it_found(tmp_path, capsys, hair, ending):
    sheet = tmp_path / f"sheet.{ending}"
    code, out, _ = run(capsys, "preflight", hair, "--no-ways", "-o", sheet)
    assert code == 1
    assert str(sheet) in out
    first = sheet.read_bytes()
    assert first.startswith({"svg": b"<?xml", "png": b"\x89PNG", "html": b"<!DOCTYPE html>"}[ending])
    code, _, err = run(capsys, "preflight", hair, "--no-ways", "-o", sheet)
    assert (code, sheet.read_bytes()) == (2, first)
    assert "--overwrite" in err
    assert run(capsys, "preflight", hair, "--no-ways", "-o", sheet, "--overwrite")[0] == 1


def test_a_sheet_of_no_known_form_is_refused_before_any_work(tmp_path, capsys, hair):
    code, _, err = run(capsys, "preflight", hair, "-o", tmp_path / "sheet.pdf")
    assert code == 2
    assert ".svg, .png, .html" in err


def test_a_blocked_stamp_leaves_its_folder_alone_and_its_picture_beside_it(tmp_path, capsys, hair):
    code, out, _ = run(capsys, "make", hair, "--no-ways", "-o", tmp_path / "my stamp")
    assert code == 1
    assert not (tmp_path / "my stamp").exists()
    sheet = tmp_path / "my stamp-examination.html"
    assert str(sheet) in out
    assert "thin line" in sheet.read_text(encoding="utf-8")
    # What was there stays, unless it may be written over.
    sheet.write_text("mine")
    code, _, err = run(capsys, "make", hair, "--no-ways", "-o", tmp_path / "my stamp")
    assert (code, sheet.read_text()) == (1, "mine")
    assert "no picture" in err

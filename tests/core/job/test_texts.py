"""Ordinary text is taken, and comes back from every file that holds it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stampwright.errors import JobError
from stampwright.job import Job
from stampwright.job.pieces import Lettering, Mark, QrCode, RoundLettering
from stampwright.job.written.files import job_as_json, job_as_toml, job_from_json, job_from_toml, read_job
from stampwright.job.written.texts import as_line, fits

VCARD = "BEGIN:VCARD\r\nVERSION:3.0\r\nFN:Mossgate\N{NO-BREAK SPACE}Seed Library\r\nEND:VCARD\r\n"
SPACED = "Mossgate\N{NO-BREAK SPACE}Seed\N{NARROW NO-BREAK SPACE}Library \N{SEEDLING}\N{VARIATION SELECTOR-16} \ue000"


def both_ways(job):
    """Return the job after a trip through JSON, having checked that a trip through TOML gives the same."""
    job_back = job_from_json(job_as_json(job))
    assert job_from_toml(job_as_toml(job)) == job_back
    return job_back


def test_a_code_holds_text_of_several_lines():
    job = Job(pieces=(QrCode(text=VCARD),))
    assert both_ways(job).pieces[0].text == VCARD
    with pytest.raises(JobError, match=r"qr\.text"):
        QrCode(text="x" * 3001)


def test_spaces_that_hold_together_and_signs_of_a_fonts_own_are_ordinary_text():
    job = Job(name=SPACED, pieces=(Lettering(text=SPACED, font=SPACED),))
    assert both_ways(job) == job


@pytest.mark.parametrize(
    "name", ["two\nlines.svg", "Mossgate\N{NO-BREAK SPACE}mark.svg", "\x7f.svg", "d/" * 1000 + "x"]
)
def test_a_file_may_have_any_name_that_a_system_gives(name):
    job = Job(pieces=(Mark(file=name), Lettering(text="SEEDS", font_file=name))).with_value("face.sculpt", name)
    assert both_ways(job) == job


@pytest.mark.parametrize("letter", ["\x7f", "\x00", "\x1b", "\x85", "\u2028", "\ud800", "\uffff", "\n"])
def test_what_no_line_can_hold_is_refused_by_name(letter):
    with pytest.raises(JobError, match=r"round lettering\.text"):
        RoundLettering(text=f"a{letter}b")
    with pytest.raises(JobError, match="name"):
        Job(name=f"a{letter}b")
    assert as_line(f"a{letter}b") == "a b"


def test_a_path_that_no_system_gives_is_refused():
    for name in ("a\0b", "\udcff", "x" * 4097):
        with pytest.raises(JobError, match=r"mark\.file"):
            Mark(file=name)


@given(st.text(max_size=40))
def test_any_line_that_is_taken_comes_back_from_json_and_toml(text):
    if not fits(text, "line"):
        with pytest.raises(JobError):
            RoundLettering(text=text)
        return
    job = Job(name=text, pieces=(RoundLettering(text=text),))
    assert both_ways(job) == job
    assert fits(as_line(text), "line")


def test_a_mark_of_the_encoding_at_the_start_of_a_file_is_passed_over(tmp_path):
    (tmp_path / "job.toml").write_bytes(b"\xef\xbb\xbf[die]\nrelief = 1.6\n")
    (tmp_path / "job.json").write_bytes(b'\xef\xbb\xbf{"die": {"relief": 1.6}}')
    for name in ("job.toml", "job.json"):
        assert read_job(tmp_path / name).die.relief == 1.6

"""The ticket says which figures are assumed and which were measured, and what was measured narrows their ranges."""

import pytest
import stampwright
from stampwright import Job
from stampwright.errors import JobError
from stampwright.job.made_from import Measured
from stampwright.job.materials import MATERIALS
from stampwright.job.measured import measured_in, read_measured, take_measured
from stampwright.job.written.files import job_as_json, job_as_toml, job_from_json, job_from_toml
from stampwright.output.ticket.known import figures_behind
from stampwright.output.ticket.page import ticket_html
from stampwright.press import assumptions, circumstances_of, stated_conditions, stiffness_of

SPREAD = Measured("ink.spread", 0.13, 0.12, 0.14, 4, "my-printer.toml")
SOLID = Measured("ink.solid_from", 0.03, 0.025, 0.035, 4, "my-printer.toml")


def small_stamp(job):
    art = stampwright.make_artwork(stampwright.Job(pieces=(stampwright.Ring(diameter=14.0),)).pieces)
    return stampwright.make_stamp(job.with_values({"base.width": 20.0, "handle.form": "none"}), art)


def test_ticket_marks_what_was_measured():
    assumed = ticket_html(small_stamp(Job()))
    assert "ink spread 0.1 mm (assumed, 0.05 to 0.2)" in assumed
    assert "The proof assumes 0.1 mm" in assumed
    measured = ticket_html(small_stamp(take_measured(Job(), [SPREAD])))
    assert "<b>ink spread 0.13 mm (measured on 4 prints, 0.12 to 0.14)</b>" in measured
    assert "measured on 4 prints (0.12 to 0.14 mm)" in measured
    assert "solid ink from 0.02 MPa (assumed, 0.005 to 0.1)" in measured


def test_setting_that_was_changed_since_is_assumed_again():
    job = take_measured(Job(), [SPREAD, SOLID]).with_value("ink.spread", 0.2)
    told = {figure.setting: figure.measured for figure in figures_behind(job)}
    assert (told["ink.spread"], told["ink.solid_from"]) == (False, True)


def test_measured_settings_narrow_what_the_press_assumes():
    def ends(job):
        circumstances = circumstances_of(stated_conditions(job), job.ink, measured_in(job))
        named = {about.name: about for about in assumptions(circumstances, stiffness_of(MATERIALS["tpu-95a"]))}
        return named["pressure that prints solid"]

    before, after = ends(Job()), ends(take_measured(Job(), [SOLID]))
    assert (before.low, before.high, before.basis) == (0.005, 0.1, "assumed")
    assert (after.low, after.high, after.basis) == (0.025, 0.035, "measured on 4 prints")
    soft, hard = (small_stamp(job) for job in (Job(), take_measured(Job(), [SOLID])))
    assert soft.job.measured == ()
    assert hard.job.measured == (SOLID,)


@pytest.mark.parametrize(("write", "read"), [(job_as_json, job_from_json), (job_as_toml, job_from_toml)])
def test_job_files_keep_what_was_measured(write, read):
    job = take_measured(Job(), [SPREAD, SOLID])
    assert read(write(job)) == job


def test_later_settings_file_wins(tmp_path):
    for name, spread in (("one", 0.08), ("two", 0.15)):
        (tmp_path / f"{name}.toml").write_text(
            f'format = 1\nkind = "measured printer"\n[[figures]]\nsetting = "ink.spread"\nvalue = {spread}\n'
        )
    files = [read_measured(tmp_path / f"{name}.toml").settings for name in ("one", "two")]
    job = take_measured(take_measured(Job(), files[0]), files[1])
    assert (job.ink.spread, len(job.measured), job.measured[0].source) == (0.15, 1, "two.toml")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "kind = 3",
        'kind = "measured printer"\nformat = 9',
        'kind = "measured printer"\nformat = 1\nfigures = 3',
        'kind = "measured printer"\nformat = 1\n[[figures]]\nsetting = "ink.spred"\nvalue = 0.1',
        'kind = "measured printer"\nformat = 1\n[[figures]]\nsetting = "ink.spread"\nvalue = 40',
        'kind = "measured printer"\nformat = 1\n[[figures]]\nsetting = "ink.spread"\nvalue = nan',
        'kind = "measured printer"\nformat = 1\n[[figures]]\nsetting = "ink.spread"\nvalue = "much"',
        'kind = "measured printer"\nformat = 1\n[[figures]]\nsetting = "die.material"\nvalue = 1',
        "\x00",
    ],
)
def test_file_that_is_no_measured_settings_is_refused_in_one_line(text, tmp_path):
    path = tmp_path / "no.toml"
    path.write_text(text)
    with pytest.raises(JobError, match=r"no\.toml") as caught:
        read_measured(path)
    assert "\n" not in str(caught.value)

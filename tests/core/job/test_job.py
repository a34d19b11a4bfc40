"""The job: defaults, limits, and files that give the same job back."""

import dataclasses
import json

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from stampwright.errors import JobError
from stampwright.job import Job, job_settings
from stampwright.job.settings import Setting
from stampwright.job.written.files import (
    JOB_FORMAT,
    job_as_data,
    job_as_json,
    job_as_toml,
    job_from_data,
    job_from_json,
    job_from_toml,
    parse_setting,
    read_job,
)

FIGURES = {path: (value, about) for path, value, about in job_settings(Job())}
TRIANGLE = [[0.0, 0.0], [10.0, 0.0], [0.0, 10.5]]


def allowed_values(about: Setting) -> st.SearchStrategy:
    low, high = max(about.low, -1e6), min(about.high, 1e6)
    return {
        "number": st.floats(low, high, allow_nan=False),
        "whole": st.integers(int(low), int(high)),
        "switch": st.booleans(),
        "choice": st.sampled_from(list(about.choices) or [""]),
        # Colours and layers have no names of ours.
        "names": st.lists(st.sampled_from(list(about.choices) or ["#a0282a", "Leaves, dark"]), max_size=3),
        "points": st.just(TRIANGLE),
        "text": st.text(st.characters(categories=("L", "N", "P", "Zs")), max_size=50).filter(str.isprintable),
    }[about.kind]


def test_every_figure_gives_unit_limits_and_a_reason():
    for path, (_, about) in FIGURES.items():
        assert about.reason, path
        if about.kind == "number":
            assert about.low < about.high, path
            if about.normal:
                assert about.low <= about.normal[0] < about.normal[1] <= about.high, path
        if path.rpartition(".")[2] in ("width", "height", "floor", "relief", "nozzle", "layer", "clearance"):
            assert about.unit == "mm", path


def test_defaults_are_the_trades():
    job = Job()
    # Common practice for a small printed hand stamp; no source.
    assert (job.base.outline, job.base.width) == ("round", 50.0)
    assert (job.die.floor, job.die.relief, job.die.dressing) == (2.0, 2.0, 0.2)
    assert (job.printer.layer, job.printer.nozzle, job.printer.line_width) == (0.2, 0.4, 0.4)
    assert (job.die.material, job.handle.material, job.backing.clearance) == ("tpu-95a", "pla", 0.2)


@settings(deadline=None)
@given(st.data())
def test_any_single_allowed_value_survives_json_and_toml(data):
    path = data.draw(st.sampled_from(sorted(FIGURES)))
    value = data.draw(allowed_values(FIGURES[path][1]))
    try:
        job = Job().with_value(path, value)
    except JobError:
        # Allowed by itself, but not together with the default of its neighbours.
        assume(False)
    assert job_from_json(job_as_json(job)) == job
    assert job_from_toml(job_as_toml(job)) == job
    assert json.loads(json.dumps(job_as_data(job))) == job_as_data(job)


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ("die.relief", 99, ("die.relief", "99", "0.4 to 20 mm")),
        ("die.relief", -1, ("die.relief", "-1", "0.4 to 20 mm")),
        ("die.relief", float("nan"), ("die.relief", "nan", "0.4 to 20 mm")),
        ("die.relief", float("inf"), ("die.relief", "inf")),
        ("die.relief", "high", ("die.relief", "'high'", "a number")),
        ("die.relief", True, ("die.relief", "True")),
        ("die.walls", 2.5, ("die.walls", "2.5", "whole number")),
        ("die.walls", 10**400, ("die.walls", "whole number from 1 to 50")),
        ("base.outline", "hexagon", ("base.outline", "'hexagon'", "ellipse")),
        ("base.points", [[1, 2], [3]], ("base.points", "[x, y] pairs")),
        ("base.points", [[0, 0], [1e300, 0], [0, 1]], ("base.points",)),
        ("handle.hollow", 1, ("handle.hollow", "true or false")),
        ("name", "two\nlines", ("name", "text")),
        ("preflight.accept", "thin line", ("preflight.accept", "list of names")),
    ],
)
def test_a_value_that_is_not_allowed_names_field_value_and_range(path, value, words):
    with pytest.raises(JobError) as caught:
        Job().with_value(path, value)
    message = str(caught.value)
    assert "\n" not in message
    for word in words:
        assert word in message


@pytest.mark.parametrize(
    ("values", "word"),
    [
        ({"base.outline": "rectangle", "base.corner_radius": 40.0}, "base.corner_radius"),
        ({"base.outline": "custom"}, "base.points"),
        ({"preflight.block_lines": 3.0}, "preflight.warn_lines"),
        ({"backing.seat_depth": 3.9}, "backing.seat_depth"),
        ({"backing.groove_width": 7.0}, "backing.groove_width"),
        ({"handle.form": "turned"}, "handle.profile"),
        ({"handle.form": "turned", "handle.profile": [[10.0, 0.0], [-1.0, 20.0]]}, "axis"),
        ({"handle.form": "straight"}, "handle.outline"),
        ({"handle.form": "turned", "handle.profile": [[250.0, 0.0], [120.0, 610.0]]}, "500 mm across"),
        ({"handle.form": "turned", "handle.profile": [[25.0, 0.0], [12.0, 610.0]]}, "610 mm high"),
        ({"handle.form": "turned", "handle.profile": [[0.025, 0.0], [0.012, 0.061]]}, "another unit"),
        ({"handle.form": "straight", "handle.outline": [[0, 0], [400, 0], [0, 400]]}, "400 mm across"),
        ({"base.outline": "custom", "base.points": [[0, 0], [4000, 0], [0, 400]]}, "4,000 mm across"),
    ],
)
def test_figures_that_contradict_each_other_are_told(values, word):
    with pytest.raises(JobError, match=word):
        Job().with_values(values)


def test_figures_that_depend_on_each_other_change_together():
    job = Job().with_values({"handle.form": "straight", "handle.outline": TRIANGLE})
    assert job.handle.outline == ((0.0, 0.0), (10.0, 0.0), (0.0, 10.5))


def test_an_unknown_setting_names_the_nearest():
    with pytest.raises(JobError, match=r"die\.relief"):
        Job().with_value("die.relif", 1)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({"format": JOB_FORMAT + 1}, "newer"),
        ({"format": "one"}, "format version"),
        ({"format": True}, "format version"),
        ({"dye": {}}, "'dye'"),
        ({"die": 3}, "section"),
        ({"die": {"hardness_of_heart": 1}}, "hardness_of_heart"),
        ([], "no job file"),
    ],
)
def test_job_data_that_no_job_has_is_refused(data, words):
    with pytest.raises(JobError, match=words):
        job_from_data(data)


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("a.json", b"{", "not valid JSON"),
        ("a.json", b"[" * 100_000, "JSON"),
        ("a.toml", b"die = = 3", "not valid TOML"),
        ("a.toml", b"\xff\xfe\x00", "not a text file"),
        ("a.json", b" " * 4_000_001, "larger"),
    ],
)
def test_a_broken_job_file_gets_one_line_with_its_name(tmp_path, name, content, words):
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(JobError, match=words) as caught:
        read_job(path)
    assert name in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_missing_job_file_says_so(tmp_path):
    with pytest.raises(JobError, match="cannot be read"):
        read_job(tmp_path / "nothing.toml")


def test_missing_fields_keep_their_defaults(tmp_path):
    path = tmp_path / "part.toml"
    path.write_text("[die]\nrelief = 1.6\n")
    assert read_job(path) == Job().with_value("die.relief", 1.6)


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("die.relief=1.6", ("die.relief", 1.6)),
        (" die.relief = 2 ", ("die.relief", 2)),
        ("base.outline=ellipse", ("base.outline", "ellipse")),
        ("name=12", ("name", "12")),
        ("handle.hollow=yes", ("handle.hollow", True)),
        ("preflight.accept=thin line, speck", ("preflight.accept", ["thin line", "speck"])),
        ("base.points=[[0,0],[1,0],[0,1]]", ("base.points", [[0, 0], [1, 0], [0, 1]])),
    ],
)
def test_settings_are_read_as_the_fields_kind(typed, expected):
    assert parse_setting(typed) == expected


@pytest.mark.parametrize("typed", ["die.relief", "=3", "die.relif=3", "die.relief:3"])
def test_a_setting_of_the_wrong_form_says_how_to_write_it(typed):
    with pytest.raises(JobError, match=r"section\.field=value|die\.relief"):
        parse_setting(typed)


def test_a_job_cannot_be_changed_in_place():
    with pytest.raises(dataclasses.FrozenInstanceError):
        Job().die.relief = 3.0

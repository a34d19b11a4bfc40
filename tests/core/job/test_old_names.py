"""Jobs of format 1: what they called sections, settings, choices and pieces is read, and written by its new name."""

import pytest
from stampwright.errors import JobError
from stampwright.job import Job, job_settings
from stampwright.job.pieces import RoundLettering, pieces_from_data
from stampwright.job.written.files import job_as_data, job_from_data, job_from_toml, parse_setting
from stampwright.job.written.old_names import OLD_CHOICES, OLD_SETTINGS, SECTIONS, current_path

OLD = """
format = 1
[layout]
rotation = 12.0
[process]
nozzle = 0.6
layer = 0.3
[ink]
threshold = 0.05
pad_young = 0.4
[press]
hold = "level"
dressed = 0.25
bead_angle = 30.0
bedding_young = 12.0
solver = "foundation"
[face]
direction = 82.0
ruling = 3.0
angle = 15.0
[cushion]
young = 0.9
[handle]
form = "prism"
outline = [[0.0, 0.0], [30.0, 0.0], [0.0, 30.0]]
wall = 4.0
[tracing]
threshold = "level"
level = 0.4
sensitivity = 0.3
speck = 0.2
ruling = 2.5
angle = 20.0
"""

NEW = {
    "layout.turn": 12.0,
    "printer.nozzle": 0.6,
    "printer.layer": 0.3,
    "ink.solid_from": 0.05,
    "ink.pad_stiffness": 0.4,
    "press.turning": "none",
    "press.dressing_done": 25.0,
    "press.bead_turn": 30.0,
    "press.bedding_stiffness": 12.0,
    "press.solver": "quick",
    "face.turn": 82.0,
    "face.screen_spacing": 3.0,
    "face.screen_turn": 15.0,
    "cushion.stiffness": 0.9,
    "handle.form": "straight",
    "handle.outline": ((0.0, 0.0), (30.0, 0.0), (0.0, 30.0)),
    "handle.hollow_wall": 4.0,
    "tracing.threshold": "fixed",
    "tracing.brightness": 0.4,
    "tracing.darker_by": 0.3,
    "tracing.dust": 0.2,
    "tracing.screen_spacing": 2.5,
    "tracing.screen_turn": 20.0,
}


def test_job_file_of_format_1_reads_and_is_written_by_new_names():
    job = job_from_toml(OLD)
    assert job == Job().with_values(NEW)
    assert "process" not in (data := job_as_data(job))
    assert data["format"] == 2
    assert data["printer"]["nozzle"] == 0.6
    assert "wall" not in data["handle"]
    assert job_from_data(data) == job


def test_every_old_name_leads_to_a_setting_and_is_none_itself():
    known = {path: about for path, _, about in job_settings(Job())}
    for old, new in OLD_SETTINGS.items():
        assert new in known
        assert old not in known
    assert not {path.partition(".")[0] for path in known} & set(SECTIONS)
    for path, choices in OLD_CHOICES.items():
        assert set(choices.values()) <= set(known[path].choices)
        assert not set(choices) & set(known[path].choices)


@pytest.mark.parametrize(
    ("typed", "setting"),
    [
        ("process.nozzle=0.25", ("printer.nozzle", 0.25)),
        ("handle.form=lathe", ("handle.form", "turned")),
        ("press.dressed=0.5", ("press.dressing_done", 50.0)),
        ("press.hold=free", ("press.turning", "free")),
    ],
)
def test_old_names_may_still_be_typed(typed, setting):
    assert parse_setting(typed) == setting


def test_a_setting_is_not_taken_twice_under_two_names():
    with pytest.raises(JobError, match=r"press\.dressed is the old name of press\.dressing_done"):
        job_from_data({"press": {"dressing_done": 10.0, "dressed": 0.5}})
    with pytest.raises(JobError, match=r"process\.nozzle is the old name"):
        job_from_data({"printer": {"nozzle": 0.4}, "process": {"nozzle": 0.6}})


def test_bad_values_under_old_names_are_refused_by_the_new_one():
    for data, message in (
        ({"process": 3}, "process is a section"),
        ({"process": {"nozle": 0.4}}, "printer.nozzle"),
        ({"press": {"dressed": True}}, "press.dressing_done = True"),
        ({"press": {"dressed": "all"}}, "press.dressing_done = 'all'"),
        ({"press": {"dressed": float("nan")}}, "press.dressing_done = nan"),
        ({"handle": {"form": ["lathe"]}}, "handle.form"),
    ):
        with pytest.raises(JobError, match=message):
            job_from_data(data)


@pytest.mark.parametrize(
    ("position", "turn", "turned"), [(180.0, 0.0, -180.0), (90, 30, -60.0), (-350.0, 20.0, 10.0), (360, -300, -300.0)]
)
def test_place_of_round_lettering_becomes_its_turn(position, turn, turned):
    (piece,) = pieces_from_data([{"kind": "round lettering", "text": "A", "position": position, "turn": turn}])
    assert piece == RoundLettering(text="A", turn=turned)


@pytest.mark.parametrize("position", ["top", True, float("nan"), float("inf"), 1e9])
def test_no_place_of_round_lettering_is_guessed(position):
    with pytest.raises(JobError, match="position"):
        pieces_from_data([{"kind": "round lettering", "text": "A", "position": position}])


def test_names_that_stayed_stay():
    assert all(current_path(path) == path for path, _, _ in job_settings(Job()))

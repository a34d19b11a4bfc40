"""Numbers are read and told as people write them."""

import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from stampwright.errors import JobError
from stampwright.job import Job, job_settings
from stampwright.job.written.files import job_from_data, parse_setting
from stampwright.job.written.numbers import read_number
from stampwright.looks.numbers import percent, spoken


@pytest.mark.parametrize(
    ("setting", "path", "expected"),
    [
        ("base.width=60mm", "base.width", 60.0),
        ("base.width=6 cm", "base.width", 60.0),
        # An inch is 25.4 mm exactly (international yard and pound agreement, 1959).
        ("base.width=2 in", "base.width", 50.8),
        ('base.width=2"', "base.width", 50.8),
        ("base.width=2 inches", "base.width", 50.8),
        ("die.relief=1500 µm", "die.relief", 1.5),
        ("die.relief=1.5MM", "die.relief", 1.5),
        ("layout.turn=-15deg", "layout.turn", -15.0),
        ("layout.turn=−15°", "layout.turn", -15.0),
        ("press.force=10N", "press.force", 10.0),
        ("press.force=0.1 kN", "press.force", 100.0),
        ("printer.line_ratio=110%", "printer.line_ratio", 1.1),
        ("printer.line_ratio=110 %", "printer.line_ratio", 1.1),
        ("press.dressing_done=50 %", "press.dressing_done", 50.0),
        ("press.dressed=0.5", "press.dressing_done", 50.0),
        ("press.dressed=50 %", "press.dressing_done", 50.0),
        ("preflight.most_points=1,000,000", "preflight.most_points", 1_000_000),
        ("preflight.most_points=200_000", "preflight.most_points", 200_000),
        ("die.walls=3", "die.walls", 3),
    ],
)
def test_a_unit_typed_after_a_value_is_taken(setting, path, expected):
    job = Job().with_values(dict([parse_setting(setting)]))
    assert {name: value for name, value, _ in job_settings(job)}[path] == pytest.approx(expected, rel=1e-12)


def test_a_unit_in_a_job_file_is_taken():
    job = job_from_data({"base": {"outline": "rectangle", "width": "6cm", "height": "1 in"}, "ink": {"spread": "0"}})
    assert (job.base.width, job.base.height, job.ink.spread) == (60.0, 25.4, 0.0)
    assert job_from_data({"pieces": [{"kind": "ring", "diameter": "4 cm"}]}).pieces[0].diameter == 40.0


@pytest.mark.parametrize(
    ("setting", "told"),
    [
        ("die.relief=2N", "'N'"),
        ("die.relief=2 furlongs", "furlongs"),
        ("die.relief=50%", "'%'"),
        ("press.force=10mm", "'mm'"),
        ("printer.line_ratio=1 mm", "'mm'"),
        ("layout.turn=15 mm", "'mm'"),
        ("die.walls=2.5", "whole number"),
        ("die.walls=3 mm", "'mm'"),
        ("base.width=2 m", "from 5 to 300 mm"),
        ("base.width=mm", "no number"),
        ("base.width=", "no number"),
        ("base.width=1,5", "no number"),
        ("base.width=1,60", "no number"),
        ("base.width=1e999", "from 5 to 300 mm"),
        ("base.width=nan", "no"),
        ("base.width=--5", "no number"),
        ("base.width=" + "9" * 5000, "300 mm"),
    ],
)
def test_a_wrong_unit_or_number_is_refused_in_one_line(setting, told):
    with pytest.raises(JobError) as caught:
        Job().with_values(dict([parse_setting(setting)]))
    message = str(caught.value)
    assert setting.partition("=")[0] in message
    assert told in message
    assert "\n" not in message
    assert len(message) < 300


@given(st.floats(-1e9, 1e9).map(lambda number: round(number, 6)))
def test_a_number_as_told_reads_back(number):
    told = spoken(number)
    assert "e" not in told
    assert told != "-0"
    assert read_number(told, "mm") == pytest.approx(number, abs=1e-9)


def test_numbers_are_told_as_people_write_them():
    assert [spoken(number) for number in (5e6, 1000, 0.0001, -0.0, 10**15, 0.30000000000000004)] == [
        "5,000,000",
        "1,000",
        "0.0001",
        "0",
        "1,000,000,000,000,000",
        "0.3",
    ]
    assert percent(0.5) == "50\N{NO-BREAK SPACE}%"
    assert not [about.allowed() for _, _, about in job_settings(Job()) if "e+" in about.allowed()]


@pytest.mark.parametrize("number", [np.float32(1.5), np.float64(1.5), np.array(1.5), np.float16(1.5)])
def test_numbers_of_numpy_are_numbers(number):
    job = Job().with_value("die.relief", number)
    assert type(job.die.relief) is float
    assert job.die.relief == 1.5
    json.dumps(job.die.relief)


@pytest.mark.parametrize("tiny", [1.5e-277, -1.5e-277, 5e-324, 1e-10, "1e-12 mm"])
def test_a_number_finer_than_any_hand_is_nothing(tiny):
    job = Job().with_value("face.picture_width", tiny if isinstance(tiny, str) else abs(tiny))
    assert job.face.picture_width == 0.0
    assert isinstance(tiny, str) or Job().with_value("face.turn", tiny).face.turn == 0.0
    with pytest.raises(JobError, match=r"tracing\.tolerance"):
        Job().with_value("tracing.tolerance", abs(float(str(tiny).split()[0])))


def test_whole_numbers_switches_and_points_of_numpy_are_taken():
    corners = np.array([[0, 0], [20, 0], [0, 20]])
    job = Job().with_values(
        {"die.walls": np.int64(3), "handle.hollow": np.bool_(True), "base.points": corners, "base.outline": "custom"}
    )
    assert (type(job.die.walls), job.handle.hollow) == (int, True)
    assert job.base.points == ((0.0, 0.0), (20.0, 0.0), (0.0, 20.0))
    with pytest.raises(JobError, match=r"die\.relief"):
        Job().with_value("die.relief", np.array([1.5, 2.0]))

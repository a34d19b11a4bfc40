"""Printing time against the laws of motion: single moves by hand, rows of moves by a planner that goes step by step."""

import math

import numpy as np
import pytest
from stampwright.toolpaths import read_gcode, time_of


@pytest.fixture
def seconds(tmp_path):
    """Return a function from G-code to how long it takes."""

    def seconds(text):
        path = tmp_path / "die.gcode"
        path.write_text(text)
        return time_of(read_gcode(path)).seconds

    return seconds


HEAD = "M204 S1000\nM205 X0.1\nM83\n"


def test_one_move_speeds_up_goes_on_and_slows_down(seconds):
    # 50 mm/s at 1000 mm/s²: 0.05 s and 1.25 mm on either end.
    assert seconds(HEAD + "G1 X100 E1 F3000\n") == pytest.approx(0.1 + 97.5 / 50, rel=1e-4)


def test_a_short_move_never_reaches_its_speed(seconds):
    assert seconds(HEAD + "G1 X1 E1 F30000\n") == pytest.approx(2 * math.sqrt(1 / 1000), rel=1e-4)


def test_moves_in_one_line_are_one(seconds):
    one = seconds(HEAD + "G1 X100 E1 F3000\n")
    assert seconds(HEAD + "G1 X30 E1 F3000\n" + "".join(f"G1 X{x} E1\n" for x in range(31, 101))) == pytest.approx(
        one, rel=1e-4
    )


def test_turning_back_costs_a_stop_and_pauses_what_they_say(seconds):
    one = seconds(HEAD + "G1 X100 E1 F3000\n")
    both = seconds(HEAD + "G1 X100 E1 F3000\nG4 P1500\nG1 X0 E1\n")
    assert both == pytest.approx(2 * one + 1.5, rel=1e-3)


def test_feeding_alone_takes_its_time(seconds):
    one = seconds(HEAD + "G1 X100 E1 F3000\n")
    assert seconds(HEAD + "G1 X100 E1 F3000\nG1 E-2 F600\nG1 E2\n") == pytest.approx(one + 0.4, rel=1e-3)


def test_a_junction_deviation_bounds_corners(seconds):
    # Common firmware, from memory: v² = a d s / (1 - s), s the sine of half the angle; at a square corner s = 1/sqrt 2.
    text = "M204 S1000\nM205 J0.05\nM83\nG1 X100 E1 F6000\nG1 Y100 E1\n"
    s = math.sqrt(0.5)
    corner = 1000 * 0.05 * s / (1 - s)
    side = (100 - 0) / 1000 + (100 - math.sqrt(corner)) / 1000
    way = 100 - (100**2 / 2000 + (100**2 - corner) / 2000)
    assert seconds(text) == pytest.approx(2 * (side + way / 100), rel=1e-3)


def step_by_step(points, speeds, acceleration, jerk):
    """Plan as a machine does: corners first, then backwards and forwards, move by move."""
    ways = np.diff(points, axis=0)
    lengths = np.hypot(*ways.T)
    ways /= lengths[:, None]
    bounds = [0.0]
    for k in range(1, len(ways)):
        jump = max(abs(ways[k] - ways[k - 1]))
        bounds.append(min(jerk / jump if jump else math.inf, speeds[k], speeds[k - 1]))
    bounds.append(0.0)
    for k in range(len(ways) - 1, -1, -1):
        bounds[k] = min(bounds[k], math.sqrt(bounds[k + 1] ** 2 + 2 * acceleration * lengths[k]))
    for k in range(len(ways)):
        bounds[k + 1] = min(bounds[k + 1], math.sqrt(bounds[k] ** 2 + 2 * acceleration * lengths[k]))
    total = 0.0
    for k, length in enumerate(lengths):
        begin, end = bounds[k], bounds[k + 1]
        peak = min(speeds[k], math.sqrt((2 * acceleration * length + begin**2 + end**2) / 2))
        level = length - (2 * peak**2 - begin**2 - end**2) / (2 * acceleration)
        total += (2 * peak - begin - end) / acceleration + max(level, 0) / peak
    return total


@pytest.mark.parametrize("seed", range(5))
def test_rows_of_moves_against_a_planner_that_goes_step_by_step(seconds, seed):
    random = np.random.default_rng(seed)
    points = np.vstack(([0, 0], np.cumsum(random.normal(0, [0.05, 2.0][seed % 2], (300, 2)), axis=0)))
    speeds = random.uniform(5, 150, 300)
    text = "M204 S800\nM205 X6\nM83\n" + "".join(
        f"G1 X{x:.6f} Y{y:.6f} E.1 F{60 * speed:.6f}\n" for (x, y), speed in zip(points[1:], speeds, strict=True)
    )
    assert seconds(text) == pytest.approx(step_by_step(points, speeds, 800, 6), rel=2e-3)


def test_speed_that_the_machine_is_told_as_a_share_counts(seconds):
    slow = seconds(HEAD + "M220 S50\nG1 X100 E1 F6000\nM220 S100\nG1 X0 E1 F3000\n")
    assert slow == pytest.approx(seconds(HEAD + "G1 X100 E1 F3000\nG1 X0 E1\n"), rel=1e-6)

"""A handle judged against printer and hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from stampwright.findings import Finding
from stampwright.job import Job
from stampwright.parts.handle import overhangs
from stampwright.solids import revolve

from ...stages import handle_of
from ..conftest import flag, outline_for

BARE = {"handle.index": "none", "handle.up_mark": False}


def found(**values: object) -> dict[str, Finding]:
    job = Job().with_values({f"handle.{name}": value for name, value in values.items()} | BARE)
    return {finding.kind: finding for finding in handle_of(job, outline_for(job), flag())[1]}


def test_overhanging_cone_is_measured_as_its_lateral_area() -> None:
    # A frustum from radius 5 to 15 over 5 mm leans atan(10 / 5); lateral area pi (r + R) slant.
    cone = revolve([(0, 0), (5, 0), (15, 5), (0, 5)], name="cone")
    area, steepest, region = overhangs(cone)
    assert area == pytest.approx(math.pi * 20 * math.hypot(10, 5), rel=2e-3)
    assert steepest == pytest.approx(math.degrees(math.atan2(10, 5)), abs=0.1)
    assert region.area == pytest.approx(math.pi * 15**2, rel=0.01)


def test_forty_five_degrees_print_and_the_bed_does_not_count() -> None:
    assert overhangs(revolve([(0, 0), (5, 0), (15, 10), (0, 10)], name="cone"))[0] == 0.0
    assert overhangs(revolve([(0, 0), (5, 0), (15, 9.6), (0, 9.6)], name="cone"))[0] > 0.0


def test_level_ceiling_is_an_overhang_of_ninety_degrees() -> None:
    mushroom = revolve([(0, 0), (5, 0), (5, 10), (10, 10), (10, 12), (0, 12)], name="mushroom")
    area, steepest, _ = overhangs(mushroom)
    assert area == pytest.approx(math.pi * (100 - 25), rel=2e-3)
    assert steepest == pytest.approx(90.0)


def test_overhang_is_reported_with_area_angle_and_place() -> None:
    finding = found(form="turned", profile=((10, 0), (10, 20), (19, 23), (19, 40)))["overhang"]
    assert finding.severity == "warns"
    assert finding.measured == pytest.approx(math.degrees(math.atan2(9, 3)), abs=0.1)
    assert finding.limit == 45.0
    assert finding.unit == "deg"
    assert finding.place is not None
    assert f"{math.pi * 29 * math.hypot(9, 3):.0f}"[:2] in finding.message


def test_low_wide_knob_cannot_but_overhang() -> None:
    assert "overhang" in found(height=16.0, grip_width=50.0, neck_width=10.0)
    assert "overhang" not in found(height=45.0)


@pytest.mark.parametrize(("width", "comfortable"), [(31.0, False), (32.5, True), (50.5, True), (52.0, False)])
def test_grip_is_held_against_published_power_grip(width: float, comfortable: bool) -> None:
    # 1.25 to 2 in: Ohio Bureau of Workers' Compensation, in the Portage County Safety Council's guide to hand tools.
    assert ("grip width" not in found(grip_width=width)) == comfortable


def test_bar_is_held_between_thumb_and_fingers() -> None:
    # 25 to 75 mm: MIL-STD-1472, figure 7, from memory.
    assert "grip width" not in found(form="block", grip_width=27.0)
    assert found(form="block", grip_width=20.0)["grip width"].limit == 25.0


def test_handle_too_low_for_a_palm_warns() -> None:
    # 15 mm: MIL-STD-1472, figure 7, from memory.
    assert found(form="block", height=12.0)["low handle"].severity == "warns"


def test_short_grip_is_noted_against_the_span_of_a_palm() -> None:
    # 5 in: Ohio Bureau of Workers' Compensation, as above.
    assert found(form="grip", height=80.0)["short grip"].severity == "notes"
    assert "short grip" not in found(form="grip", height=130.0)


def test_area_of_overhang_does_not_depend_on_how_finely_it_is_drawn() -> None:
    areas = []
    for steps in (12, 60):
        t = np.linspace(0, 1, steps)
        belly = [(5 + 15 * s, 4 * s * s + 2 * s) for s in t]
        areas.append(overhangs(revolve([(0, 0), *belly, (0, 6)], name="belly"))[0])
    assert areas[0] == pytest.approx(areas[1], rel=0.05)

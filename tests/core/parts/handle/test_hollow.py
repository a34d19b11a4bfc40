"""Handles hollowed from below."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from shapely.geometry import Polygon
from stampwright.job import Job
from stampwright.job.materials import MATERIALS
from stampwright.parts import measure
from stampwright.parts.handle import overhangs
from stampwright.solids import Solid, section

from ...stages import handle_of
from ..conftest import crescent, flag, judged, outline_for

JOBS: dict[str, dict[str, Any]] = {
    "knob": {},
    "grip": {"handle.form": "grip", "handle.height": 80.0},
    "block": {"handle.form": "block"},
    "bar": {"handle.form": "block", "base.outline": "rectangle", "base.width": 70.0, "base.height": 30.0},
    "oval knob": {"base.outline": "ellipse", "base.width": 60.0, "base.height": 40.0},
    "straight": {"handle.form": "straight", "handle.outline": ((-30, -18), (30, -18), (26, 18), (-26, 18))},
    "turned": {"handle.form": "turned", "handle.profile": ((27, 0), (27, 5), (14, 14), (19, 30), (19, 38), (12, 45))},
}


def both(kind: str, base: Polygon | None = None) -> tuple[Solid, Solid]:
    job = Job().with_values({**JOBS[kind], "handle.up_mark": False, "handle.index": "none", "backing.grooves": False})
    handles = []
    for hollow in (False, True):
        handle, _ = handle_of(job.with_value("handle.hollow", hollow), base or outline_for(job), flag())
        assert handle is not None
        handles.append(handle)
    return handles[0], handles[1]


@pytest.mark.parametrize("kind", JOBS)
def test_hollow_handle_is_lighter_open_below_and_roofed_without_support(kind: str) -> None:
    solid, hollow = both(kind)
    judged(hollow)
    assert hollow.volume < 0.85 * solid.volume
    assert section(hollow, 0.1).geoms[0].interiors, "open at the foot"
    assert overhangs(hollow)[0] <= overhangs(solid)[0] + 0.01


@pytest.mark.parametrize("kind", JOBS)
def test_wall_is_nowhere_thinner_than_asked(kind: str) -> None:
    _, hollow = both(kind)
    height = hollow.vertices[:, 2].max()
    tip = 0.0
    for level in np.arange(0.5, height, 4.3):
        for part in section(hollow, level).geoms:
            for ring in part.interiors:
                assert Polygon(ring).exterior.distance(part.exterior) > 2.95
                tip = level
    assert tip < height - 2.9


def test_lobed_base_is_hollowed_under_its_turning() -> None:
    solid, hollow = both("knob", crescent())
    judged(hollow)
    assert hollow.volume < solid.volume - 500


def test_handle_too_slim_to_hollow_stays_solid_and_says_so() -> None:
    job = Job().with_values(
        {"base.width": 8.0, "handle.hollow": True, "handle.hollow_wall": 6.0, "handle.index": "none"}
    )
    handle, findings = handle_of(job, outline_for(job), flag())
    assert handle is not None
    judged(handle)
    assert "no room to hollow" in {finding.kind for finding in findings}


@pytest.mark.parametrize("kind", ["knob", "grip", "block"])
def test_hollowing_saves_what_the_guide_says_it_does(kind: str) -> None:
    # In the guide: a third to nearly a half of a full handle, 2 to 11 % of one with the usual infill.
    job = Job()
    for infill, least, most in ((1.0, 0.3, 0.5), (job.handle.infill, 0.015, 0.115)):
        full, hollow = (
            measure(
                solid,
                material=MATERIALS["pla"],
                printer=job.printer,
                walls=job.handle.walls,
                infill=infill,
                price_per_kg=1.0,
            ).mass
            for solid in both(kind)
        )
        assert least <= 1.0 - hollow / full <= most

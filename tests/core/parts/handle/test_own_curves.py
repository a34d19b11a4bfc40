"""Handles from the user's own profile or outline."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from stampwright.errors import JobError
from stampwright.job import Job
from stampwright.solids import Solid, section

from ...stages import handle_of
from ..conftest import flag, judged, outline_for

BARE = {"handle.index": "none", "handle.up_mark": False}
SPINDLE = ((27.0, 0.0), (27.0, 4.0), (12.0, 12.0), (12.0, 30.0), (18.0, 40.0), (16.0, 48.0), (12.0, 50.0))


def built(**values: object) -> Solid:
    job = Job().with_values({f"handle.{name}": value for name, value in values.items()} | BARE)
    handle, _ = handle_of(job, outline_for(job), flag())
    assert handle is not None
    return handle


def frusta(profile: tuple[tuple[float, float], ...]) -> float:
    return sum(np.pi * (z1 - z0) / 3 * (r0 * r0 + r0 * r1 + r1 * r1) for (r0, z0), (r1, z1) in pairwise(profile))


def test_profile_turns_into_the_sum_of_its_frusta() -> None:
    handle = built(form="turned", profile=SPINDLE)
    judged(handle)
    assert handle.volume == pytest.approx(frusta(SPINDLE), rel=1e-6)


def test_profile_stands_on_its_foot_wherever_it_was_drawn() -> None:
    raised = tuple((radius, height + 17.0) for radius, height in SPINDLE)
    assert built(form="turned", profile=raised).volume == pytest.approx(frusta(SPINDLE), rel=1e-6)


def test_profile_may_undercut() -> None:
    mushroom = ((10.0, 0.0), (10.0, 20.0), (20.0, 15.0), (20.0, 30.0), (0.0, 35.0))
    judged(built(form="turned", profile=mushroom))


def test_very_fine_profile_is_thinned_without_showing() -> None:
    angles = np.linspace(0, np.pi / 2, 5000)
    dome = tuple(zip((20 * np.cos(angles)).round(6), (20 * np.sin(angles)).round(6), strict=True))
    handle = built(form="turned", profile=(*dome[:-1], (0.0, 20.0)))
    assert handle.volume == pytest.approx(2 / 3 * np.pi * 20**3, rel=1e-3)
    assert len(handle.triangles) < 20_000


@pytest.mark.parametrize(
    ("profile", "told"),
    [
        (((10, 0), (10, 20), (0, 25), (8, 30), (5, 40)), "meets the axis at height 25"),
        (((10, 0), (14, -5), (5, 20)), "below its foot"),
        (((10, 0), (4, 20), (12, 20), (4, 8), (3, 30)), "crosses or touches itself near radius"),
        (((10, 0), (10, 0)), "encloses nothing"),
        (((0, 0), (0, 10)), "encloses nothing"),
        (((10, 0), (5, 0)), "encloses nothing"),
        (((10, 5), (8, 5), (12, 5), (9, 20)), "crosses or touches itself"),
    ],
)
def test_profile_that_cannot_be_turned_says_what_to_do(profile: tuple[tuple[float, float], ...], told: str) -> None:
    with pytest.raises(JobError, match=told):
        built(form="turned", profile=profile)


def test_prism_is_its_outline_raised() -> None:
    arrow = ((-20, -15), (20, -15), (20, 5), (0, 18), (-20, 5))
    handle = built(form="straight", outline=arrow, edge_radius=0.0, height=30.0)
    judged(handle)
    # Shoelace: 40 x 20 and a roof of 40 x 13 / 2.
    assert handle.volume == pytest.approx((800 + 260) * 30, rel=1e-6)


def test_prism_stands_in_the_middle_wherever_its_outline_was_drawn() -> None:
    """The same as an outline of the base's own."""
    shape = ((-10.0, -8.0), (10.0, -8.0), (10.0, 8.0), (-10.0, 8.0))
    moved = tuple((x + 35.0, y - 12.0) for x, y in shape)
    here, there = (built(**{"form": "straight", "outline": outline}) for outline in (shape, moved))
    assert np.array(there.bounds) == pytest.approx(np.array(here.bounds))


def test_prism_edge_is_rounded_inwards_at_the_top_only() -> None:
    handle = built(form="straight", outline=((-20, -15), (20, -15), (20, 15), (-20, 15)), edge_radius=3.0, height=30.0)
    assert section(handle, 26.9).bounds == pytest.approx((-20, -15, 20, 15))
    assert section(handle, 29.9999).bounds == pytest.approx((-17, -12, 17, 12), abs=0.05)


def test_prism_may_be_hollow_in_the_middle_of_its_outline() -> None:
    horseshoe = ((-20, -20), (20, -20), (20, 20), (10, 20), (10, -8), (-10, -8), (-10, 20), (-20, 20))
    judged(built(form="straight", outline=horseshoe, height=30.0))


@pytest.mark.parametrize(
    "outline", [((0, 0), (20, 20), (20, 0), (0, 20)), ((0, 0), (10, 0), (20, 0)), ((0, 0), (0, 0), (0, 0))]
)
def test_outline_that_is_none_says_what_to_do(outline: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(JobError, match=r"handle\.outline is no outline of a solid"):
        built(form="straight", outline=outline)


def test_foot_that_leaves_backing_bare_is_found() -> None:
    job = Job().with_values(
        {"handle.form": "turned", "handle.profile": ((12, 0), (12, 10), (17, 25), (15, 40)), **BARE}
    )
    _, findings = handle_of(job, outline_for(job), flag())
    (bare,) = [finding for finding in findings if finding.kind == "foot short of backing"]
    assert bare.severity == "warns"
    assert bare.measured == pytest.approx(27.2 - 12.0, abs=0.1)

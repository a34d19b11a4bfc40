"""The three forms over every kind of base."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import Phase, example, given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon
from stampwright.findings import blocking
from stampwright.job import Job
from stampwright.parts.backing import backing_outline
from stampwright.parts.handle import overhangs
from stampwright.solids import Solid, section

from ...stages import handle_of
from ..conftest import crescent, flag, judged, leaning_drop, lobed, outline_for

BASES: dict[str, dict[str, Any]] = {
    "round": {},
    "bar": {"base.outline": "rectangle", "base.width": 60.0, "base.height": 22.0},
    "upright bar": {"base.outline": "rectangle", "base.width": 22.0, "base.height": 60.0},
    "ellipse": {"base.outline": "ellipse", "base.width": 60.0, "base.height": 38.0},
    "large": {"base.outline": "rectangle", "base.width": 150.0, "base.height": 90.0},
    "small": {"base.width": 15.0},
}
HEIGHTS = {"knob": 45.0, "grip": 80.0, "block": 40.0}


def built(job: Job, base: Polygon | None = None) -> Solid:
    handle, _ = handle_of(job, base or outline_for(job), flag())
    assert handle is not None
    return handle


@pytest.mark.parametrize("form", HEIGHTS)
@pytest.mark.parametrize("kind", BASES)
def test_form_is_sound_stands_on_the_whole_backing_and_prints_without_support(form: str, kind: str) -> None:
    job = Job().with_values({**BASES[kind], "handle.form": form, "handle.height": HEIGHTS[form]})
    base = outline_for(job)
    handle = built(job, base)
    mesh = judged(handle)
    assert mesh.body_count == 1
    assert handle.vertices[:, 2].max() == pytest.approx(HEIGHTS[form], abs=1e-5)
    foot = Polygon(max(section(handle, 0.9).geoms, key=lambda part: part.area).exterior)
    backing = backing_outline(base, job.backing)
    # All but the up mark's nick, about 1.4 mm², and the facets of the turned foot.
    assert backing.difference(foot.buffer(0.02)).area < 1.6
    assert foot.difference(backing.buffer(0.05)).is_empty
    assert overhangs(handle)[0] == 0.0


@pytest.mark.parametrize("form", HEIGHTS)
@pytest.mark.parametrize(
    "base", [leaning_drop(), lobed(), lobed(3, 5.0), crescent()], ids=["drop", "flower", "tri", "moon"]
)
def test_form_follows_any_base_soundly(form: str, base: Polygon) -> None:
    job = Job().with_values({"base.outline": "follow", "handle.form": form, "handle.height": HEIGHTS[form]})
    handle = built(job, base)
    assert judged(handle).body_count == 1
    backing = backing_outline(base, job.backing)
    foot = Polygon(max(section(handle, 0.9).geoms, key=lambda part: part.area).exterior)
    # The up mark's nick, and facets half a hundredth of a millimetre off.
    assert backing.symmetric_difference(foot).area < 1.6 + 0.005 * backing.length


def test_default_handle_is_comfortable_and_has_nothing_to_answer_for() -> None:
    _, findings = handle_of(Job(), outline_for(Job()), flag())
    assert [finding.message for finding in findings] == []


def test_grip_and_neck_are_as_wide_as_the_job_says() -> None:
    job = Job().with_values({"handle.grip_width": 40.0, "handle.neck_width": 24.0, "handle.height": 52.0})
    handle = built(job)
    radius, z = np.hypot(*handle.vertices[:, :2].T), handle.vertices[:, 2]
    outside = radius > 11.0
    assert 2 * radius[outside & (z > 20)].max() == pytest.approx(40.0, abs=0.05)
    assert 2 * radius[outside & (z > 8) & (z < 44)].min() == pytest.approx(24.0, abs=0.05)


def test_bar_is_gripped_across_its_narrow_way() -> None:
    upper = (handle := built(Job().with_values(BASES["bar"]))).vertices[handle.vertices[:, 2] > 20]
    along, across = np.ptp(upper[:, :2], axis=0)
    assert across == pytest.approx(38.0, abs=0.05)
    assert across < 0.75 * along < 0.75 * 64.4


def test_figure_without_room_is_fitted_and_noted() -> None:
    job = Job().with_values({"base.width": 15.0})
    _, findings = handle_of(job, outline_for(job), flag())
    (fitted,) = [finding for finding in findings if finding.kind == "handle fitted"]
    assert fitted.limit == 22.0
    assert fitted.measured is not None
    assert 10 < fitted.measured < 19.4
    again = job.with_value("handle.neck_width", fitted.measured)
    assert "handle fitted" not in {finding.kind for finding in handle_of(again, outline_for(job), flag())[1]}


def test_heights_come_in_whole_layers() -> None:
    assert built(Job().with_value("handle.height", 45.07)).vertices[:, 2].max() == pytest.approx(45.0, abs=1e-5)


def test_job_without_handle_builds_none() -> None:
    assert handle_of(Job().with_value("handle.form", "none"), outline_for(Job()), flag()) == (None, ())


def test_up_mark_is_on_the_side_that_is_up() -> None:
    base = leaning_drop()
    job = Job().with_value("base.outline", "follow")
    marked, plain = built(job, base), built(job.with_value("handle.up_mark", False), base)
    nick = section(plain, 1.0).difference(section(marked, 1.0))
    assert nick.area == pytest.approx(1.44, rel=0.3)
    assert nick.centroid.y > 0.9 * base.bounds[3]
    assert nick.centroid.x == pytest.approx(base.centroid.x, abs=0.3)


# Without shrinking, which would take minutes: a failing job is readable as it is.
@settings(max_examples=20, deadline=None, phases=(Phase.explicit, Phase.reuse, Phase.generate))
@example(
    form="block", height=48.41534583184274, grip=26.284016589186376, neck=46.7, edge=0.0, width=25.2, across=15.75,
    outline="round", hollow=True, index="sunk",
)  # fmt: skip
@given(
    form=st.sampled_from(list(HEIGHTS)),
    height=st.floats(5, 120),
    grip=st.floats(5, 80),
    neck=st.floats(4, 60),
    edge=st.floats(0, 30),
    width=st.floats(8, 120),
    across=st.floats(8, 120),
    outline=st.sampled_from(["round", "rectangle", "ellipse"]),
    hollow=st.booleans(),
    index=st.sampled_from(["sunk", "raised"]),
)
def test_any_figures_that_a_job_takes_make_a_sound_handle(
    *, form: str, height: float, grip: float, neck: float, edge: float, width: float, across: float, outline: str,
    hollow: bool, index: str,
) -> None:  # fmt: skip
    job = Job().with_values(
        {
            "base.outline": outline,
            "base.width": width,
            "base.height": across,
            "handle.form": form,
            "handle.height": height,
            "handle.grip_width": grip,
            "handle.neck_width": neck,
            "handle.edge_radius": edge,
            "handle.hollow": hollow,
            "handle.index": index,
        }
    )
    handle, findings = handle_of(job, outline_for(job), flag(5.0))
    assert handle is not None
    judged(handle)
    assert not blocking(findings)

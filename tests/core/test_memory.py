"""Making a stamp again with a memory: the same stamp, and only what changed made anew."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely.geometry import MultiPolygon, Point, box
from stampwright import Artwork, Job, JobError, make_stamp
from stampwright.job import job_settings
from stampwright.memory import Memory

JOB = Job().with_values({"layout.size_by": "width", "layout.width": 20.0, "handle.index": "none", "printer.layer": 0.1})


@pytest.fixture(scope="module")
def mark() -> Artwork:
    return Artwork(inked=MultiPolygon([Point(4, 4).buffer(4), box(9, 1, 14, 7)]), page_size=(14.0, 8.0))


def other_value(value, about):
    match about.kind:
        case "switch":
            return not value
        case "choice":
            return next(choice for choice in about.choices if choice != value)
        case "number":
            return value * 1.1 if about.low <= value * 1.1 <= about.high and value else (about.high + about.low) / 2
        case "whole":
            return value + 1
    return value


def same_solid(one, other) -> bool:
    if one is None or other is None:
        return one is other
    return np.array_equal(one.vertices, other.vertices) and np.array_equal(one.triangles, other.triangles)


@pytest.mark.parametrize("path", [path for path, _, _ in job_settings(JOB) if not path.startswith("tracing.")])
def test_no_change_of_a_figure_is_forgotten(mark, path):
    value, about = next((value, about) for name, value, about in job_settings(JOB) if name == path)
    try:
        changed = JOB.with_value(path, other_value(value, about))
    except JobError:
        pytest.skip("no other value by itself")
    memory = Memory()
    make_stamp(JOB, mark, memory=memory)
    try:
        anew = make_stamp(changed, mark)
    except JobError:
        pytest.skip("no stamp by itself")
    again = make_stamp(changed, mark, memory=memory)
    for part in ("die", "backing", "cushion", "handle"):
        assert same_solid(getattr(again, part), getattr(anew, part)), part
    assert shapely.equals_exact(again.impression.outlines, anew.impression.outlines)
    assert again.measures == anew.measures
    assert [(f.kind, f.message) for f in again.findings] == [(f.kind, f.message) for f in anew.findings]


def test_a_change_of_the_handle_leaves_the_die_alone(mark):
    memory = Memory()
    before = make_stamp(JOB, mark, memory=memory)
    after = make_stamp(JOB.with_value("handle.height", 60.0), mark, memory=memory)
    assert after.die is before.die
    assert after.backing is before.backing
    assert after.impression is before.impression
    assert after.handle is not before.handle


def test_other_artwork_leaves_the_backing_alone(mark):
    memory = Memory()
    before = make_stamp(JOB, mark, memory=memory)
    other = replace(mark, inked=MultiPolygon([*mark.inked.geoms, box(0, 9, 3, 12)]))
    after = make_stamp(JOB, other, memory=memory)
    assert after.backing is before.backing
    assert after.die is not before.die
    assert same_solid(after.die, make_stamp(JOB, other).die)


def test_another_limit_of_points_lays_the_artwork_out_anew():
    fine = Artwork(inked=MultiPolygon([Point(20, 20).buffer(20, quad_segs=3000)]), page_size=(40.0, 40.0))
    memory = Memory()
    whole = make_stamp(JOB, fine, memory=memory)
    thinned = make_stamp(JOB.with_value("preflight.most_points", 2000), fine, memory=memory)
    assert shapely.get_num_coordinates(thinned.inked) < 2000 < shapely.get_num_coordinates(whole.inked)

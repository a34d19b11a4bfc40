"""Making a stamp again with a memory: the same stamp, and only what changed made anew."""

import os
from dataclasses import replace
from functools import partial

import numpy as np
import pytest
import shapely
from shapely.geometry import MultiPolygon, Point, box
from stampwright import Artwork, Job, JobError, make_artwork, make_stamp
from stampwright.job import job_settings
from stampwright.job.pieces import QrCode
from stampwright.memory import Memory, fingerprint

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


def test_a_code_that_the_ink_would_close_is_found_with_a_memory_too():
    # The module of 1 mm is read up to a spread of 0.25 mm per edge; more of it blocks.
    job = Job().with_values({"layout.size_by": "page", "handle.form": "none", "backing.form": "none"})
    code = make_artwork([QrCode(text="HELLO WORLD 123", module=1.0)])
    memory = Memory()
    assert not make_stamp(job, code, memory=memory).blocked
    spread = job.with_value("ink.spread", 0.45)
    assert "code too fine" in {finding.kind for finding in make_stamp(spread, code).blocked}
    assert "code too fine" in {finding.kind for finding in make_stamp(spread, code, memory=memory).blocked}


def lengthened(items: list[float], by: float = 1.0) -> list[float]:
    return [*items, by]


def test_a_stage_is_known_again_by_all_that_it_is_given():
    memory, items = Memory(), [1.0]
    first = memory.recall(lengthened, items)
    assert memory.recall(lengthened, [1.0]) is first
    assert memory.recall(lengthened, [1]) == [1, 1.0]
    assert memory.recall(lengthened, [0.0]) is not memory.recall(lengthened, [-0.0])
    assert memory.recall(lengthened, [1.0], by=2.0) == [1.0, 2.0]
    first = memory.recall(lengthened, items)
    # The very list, but no longer the same.
    items.append(7.0)
    assert memory.recall(lengthened, items) == [1.0, 7.0, 1.0]
    assert memory.last(lengthened) == [1.0, 7.0, 1.0]


def total(numbers: np.ndarray) -> float:
    return float(numbers.sum())


def test_an_array_written_to_is_another():
    memory, numbers = Memory(), np.ones(5)
    assert memory.recall(total, numbers) == 5.0
    numbers[0] = 3.0
    assert memory.recall(total, numbers) == 7.0


def test_results_beside_each_other_do_not_push_each_other_out():
    memory = Memory()
    die, handle = (memory.beside(name).recall(lengthened, [size]) for name, size in (("die", 1.0), ("handle", 2.0)))
    assert memory.beside("die").recall(lengthened, [1.0]) is die
    assert memory.copy().beside("handle").recall(lengthened, [2.0]) is handle
    assert memory.last(lengthened) is None


def test_what_could_see_more_than_its_arguments_is_no_stage():
    memory, seen = Memory(), [1.0]

    def closing() -> list[float]:
        return seen

    for stage in (closing, lambda: seen, memory.copy, partial(lengthened, seen)):
        with pytest.raises(TypeError, match="no stage"):
            memory.recall(stage)


def test_a_file_is_known_by_its_contents(tmp_path):
    file = tmp_path / "grey.png"
    assert fingerprint(file) == fingerprint(file)
    file.write_bytes(b"one")
    first = fingerprint(file)
    assert fingerprint(file) == first
    state = file.stat()
    file.write_bytes(b"two")
    os.utime(file, ns=(state.st_atime_ns, state.st_mtime_ns))
    assert fingerprint(file) != first
    file.unlink()
    assert fingerprint(file) != first
    assert fingerprint("no\0file") == fingerprint("no\0file")

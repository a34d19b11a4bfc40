"""Making a stamp again with a memory: the same stamp, and only what changed made anew."""

import os
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache, partial
from pathlib import Path

import numpy as np
import pytest
import segno
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy
from PIL import Image
from shapely.geometry import MultiPolygon, Point, box
from stampwright import Artwork, Job, StampwrightError, make_artwork, make_stamp, read_artwork
from stampwright.face import FaceMap
from stampwright.job import job_settings
from stampwright.job.pieces import Frame, Lettering, QrCode
from stampwright.job.settings import Setting
from stampwright.memory import Memory, fingerprint
from stampwright.stamp import Stamp

JOB = Job().with_values({"layout.size_by": "width", "layout.width": 20.0, "handle.index": "none", "printer.layer": 0.1})


@pytest.fixture(scope="module")
def mark() -> Artwork:
    return drawn()


SMALL = {
    "layout.size_by": "width",
    "layout.width": 9.0,
    "base.width": 14.0,
    "base.height": 12.0,
    "backing.form": "none",
    "handle.form": "none",
    "printer.layer": 0.1,
}
"""A stamp so small that it is made in a moment."""

CODE_SVG = """<svg xmlns="http://www.w3.org/2000/svg" width="24mm" height="24mm" viewBox="-1 -1 23 23">{rows}</svg>"""

TONES_SVG = """<svg xmlns="http://www.w3.org/2000/svg" width="12mm" height="10mm" viewBox="0 0 12 10">
<linearGradient id="g"><stop stop-color="#000"/><stop offset="1" stop-color="#bbb"/></linearGradient>
<rect width="12" height="6" fill="url(#g)"/><rect y="7" width="12" height="2"/></svg>"""


@dataclass(frozen=True)
class Kind:
    """A kind of art: the job that it is made for, the art by that job, and what shapes its face."""

    job: Job
    art: Callable[[Job], Artwork]
    sculpt: FaceMap | None = None
    picture: np.ndarray | None = None

    def make(self, job: Job, memory: Memory | None = None) -> Stamp:
        return make_stamp(job, self.art(job), sculpt=self.sculpt, picture=self.picture, memory=memory)


def drawn(_job: Job | None = None) -> Artwork:
    return Artwork(inked=MultiPolygon([Point(4, 4).buffer(4), box(9, 1, 14, 7)]), page_size=(14.0, 8.0))


def coded(_job: Job) -> Artwork:
    return make_artwork([QrCode(text="HELLO WORLD 123", module=1.0)])


def pieced(job: Job) -> Artwork:
    return make_artwork([Lettering(text="MOSSGATE", cap_height=3.0), Frame(width=24.0, height=8.0)], name=job.name)


def kinds_of_art(folder: Path) -> dict[str, Kind]:
    matrix = segno.make("MOSSGATE", micro=False).matrix
    dark = [(x, y) for y, row in enumerate(matrix) for x, on in enumerate(row) if on]
    squares = (f'<rect x="{x}" y="{y}" width="1" height="1"/>' for x, y in dark)
    (folder / "code.svg").write_text(CODE_SVG.format(rows="".join(squares)))
    (folder / "tones.svg").write_text(TONES_SVG)
    grey = np.tile(np.linspace(0.0, 1.0, 40), (30, 1))
    Image.fromarray((grey * 255).astype(np.uint8)).save(folder / "grey.png")
    dents = (-0.3 * np.cos(np.arange(60) / 6.0) ** 2 * np.ones((50, 1))).astype(np.float32)
    small = Job().with_values(SMALL)
    backed = small.with_values({"backing.form": "plate", "handle.form": "knob", "cushion.thickness": 1.0})
    page = {"layout.size_by": "page", "base.width": 40.0, "base.height": 40.0}

    def seen(job: Job) -> Artwork:
        return read_artwork(folder / "code.svg", tracing=job.tracing)

    def toned(job: Job) -> Artwork:
        return read_artwork(folder / "tones.svg", tracing=job.tracing)

    face = {"face.fineness": 1.0, "printer.nozzle": 0.6, "backing.form": "one-piece"}
    return {
        "drawn": Kind(backed, drawn),
        "repaired": Kind(small.with_values({"preflight.repair": True, "layout.width": 3.0}), drawn),
        "codes": Kind(small.with_values(page), coded),
        "code seen in a drawing": Kind(small.with_values(page), seen),
        "pieces": Kind(small.with_value("layout.width", 12.0), pieced),
        "drawing with tones": Kind(small.with_value("tracing.tone", "dots"), toned),
        "grain": Kind(small.with_values({**face, "face.texture": "linen"}), drawn),
        "picture": Kind(
            small.with_values({**face, "face.texture": "picture", "face.picture": str(folder / "grey.png")}), drawn
        ),
        "tone": Kind(small.with_values({"face.tone": "lines", "layout.width": 12.0}), drawn, picture=grey),
        "sculpt": Kind(small.with_values(face), drawn, sculpt=FaceMap(dents, (-6.0, -5.0), 0.2)),
    }


KINDS = ("drawn", "repaired", "codes", "code seen in a drawing", "pieces", "drawing with tones")
KINDS += ("grain", "picture", "tone", "sculpt")


@pytest.fixture(scope="module")
def arts(tmp_path_factory) -> dict[str, Kind]:
    found = kinds_of_art(tmp_path_factory.mktemp("arts"))
    assert tuple(found) == KINDS
    return found


@pytest.fixture(scope="module")
def warm(arts) -> Callable[[str], Memory]:
    """Return a function from a kind of art to a memory of its stamp, made once and handed out in copies."""

    @cache
    def made(name: str) -> Memory:
        memory = Memory()
        arts[name].make(arts[name].job, memory)
        return memory

    return lambda name: made(name).copy()


def values_of(path: str, about: Setting) -> SearchStrategy:
    """Return what a setting may be set to: within its limits, mostly where they are normal."""
    low, high = about.normal or (about.low, about.high)
    if about.kind in ("choice", "names"):
        # Names without choices are free, such as those of colours and layers.
        chosen = st.sampled_from(list(about.choices) or ["#204060", "frame"])
        return chosen if about.kind == "choice" else st.lists(chosen, unique=True)
    if about.kind == "points":
        return st.sampled_from(POINTS[path])
    if about.kind in ("number", "whole"):
        return st.floats(low, high) if about.kind == "number" else st.integers(int(low), int(min(high, 1e6)))
    return st.booleans() if about.kind == "switch" else st.sampled_from(["", "Mossgate"])


POINTS = {
    "base.points": [((-7, -6), (7, -6), (7, 6), (-7, 6)), ((-8, -7), (8, -7), (0, 9))],
    "preflight.repair_at": [(), ((0.0, 0.0),), ((1.2, 0.3), (-1.0, 0.0))],
    "handle.profile": [((8, 0), (6, 10), (8, 20)), ((9, 0), (5, 12), (9, 25))],
    "handle.outline": [((-8, -6), (8, -6), (0, 9)), ((-9, -9), (9, -9), (9, 9), (-9, 9))],
}
"""Values for settings that hold points; any others would seldom make a stamp."""


def told(stamp: Stamp) -> list:
    """Return all that a stamp says and is, such that equal lists are equal stamps."""
    solids = [solid and (solid.name, solid.vertices.tolist(), solid.triangles.tolist()) for solid in parts_of(stamp)]
    findings = [
        (each.kind, each.severity, each.message, each.measured, each.limit, str(each.place)) for each in stamp.findings
    ]
    regions = (stamp.inked, stamp.outlines, stamp.layout.base, stamp.layout.plain, stamp.impression.outlines)
    printed = (stamp.impression.picture.tolist(), stamp.impression.corner, stamp.impression.dpi)
    repair = stamp.repair and (stamp.repair.added.wkb, stamp.repair.removed.wkb)
    figures = stamp.face and stamp.face.figures
    return [findings, solids, [region.wkb for region in regions], printed, repair, figures, stamp.measures]


def same_solid(one, other) -> bool:
    return np.array_equal(one.vertices, other.vertices) and np.array_equal(one.triangles, other.triangles)


def parts_of(stamp: Stamp) -> tuple:
    return stamp.die, stamp.backing, stamp.cushion, stamp.handle


@pytest.mark.sweep(30)
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("path", [path for path, _, _ in job_settings(JOB)])
def test_no_change_of_a_setting_is_forgotten(arts, warm, path, kind):
    art = arts[kind]
    value, about = next((value, about) for name, value, about in job_settings(art.job) if name == path)

    # A function of its own: Hypothesis lengthens a chain of settings with every case of a parametrized test of its
    # own, and thousands of cases are deeper than Python lets a chain be followed.
    @settings(max_examples=2)
    @given(values_of(path, about).filter(lambda drawn: drawn != value))
    def nothing_is_forgotten(other):
        try:
            changed = art.job.with_value(path, other)
        except StampwrightError:
            return
        try:
            anew = art.make(changed)
        except StampwrightError as refused:
            with pytest.raises(type(refused), match=re.escape(str(refused))):
                art.make(changed, warm(kind))
            return
        assert told(art.make(changed, warm(kind))) == told(anew)

    nothing_is_forgotten()


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

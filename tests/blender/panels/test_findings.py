"""What is found is repaired, all or one, shown apart, and forgotten again; the drawing itself stays."""

import importlib

import bpy
import numpy as np
import pytest
from drawing import choose, curve, letter_f, made

MODULE = "bl_ext.user_default.stampwright"

THIN_BARS = [[(x, 0), (x + 0.04, 0), (x + 0.04, 5), (x, 5)] for x in (6, 7)]
"""Two bars, each of about 0.2 mm on a stamp of 50 mm: half of what a nozzle of 0.4 mm lays."""


@pytest.fixture
def root(scene):
    return made(curve("thin", letter_f(), *THIN_BARS))


@pytest.fixture
def results(extension):
    return importlib.import_module(f"{MODULE}.press.verdict")


def thin_lines(results, root):
    return [
        number
        for number, each in enumerate(results.findings_of(root))
        if each.kind == "thin line" and each.severity == "blocks"
    ]


def test_one_finding_is_repaired_and_stays_so(root, results, live, tmp_path):
    assert len(thin_lines(results, root)) == 2
    assert bpy.ops.stampwright.repair_finding(number=thin_lines(results, root)[0]) == {"FINISHED"}
    assert len(thin_lines(results, root)) == 1
    root.stampwright.die.relief = 1.4
    live.catch_up()
    assert len(thin_lines(results, root)) == 1
    name = root.name
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "file.blend"))
    bpy.ops.wm.open_mainfile(filepath=str(tmp_path / "file.blend"))
    root = bpy.data.objects[name]
    choose(root)
    assert bpy.ops.stampwright.build() == {"FINISHED"}
    assert len(thin_lines(results, root)) == 1
    assert bpy.ops.stampwright.repair_finding(number=thin_lines(results, root)[0]) == {"FINISHED"}
    assert not thin_lines(results, root)
    assert bpy.ops.stampwright.leave_as_drawn() == {"FINISHED"}
    assert len(thin_lines(results, root)) == 2


def test_what_repair_does_not_take_on_is_said(root, results):
    count = len(results.findings_of(root))
    with pytest.raises(RuntimeError, match="no such finding"):
        bpy.ops.stampwright.repair_finding(number=count)
    root.stampwright.preflight.repair_lines = False
    bpy.ops.stampwright.build()
    with pytest.raises(RuntimeError, match="does not take this on"):
        bpy.ops.stampwright.repair_finding(number=thin_lines(results, root)[0])
    root.stampwright.preflight.repair_lines = True
    bpy.ops.stampwright.repair()
    with pytest.raises(RuntimeError, match="does not take this on"):
        bpy.ops.stampwright.repair_finding(number=0)


def test_what_repair_did_is_kept_apart_until_it_is_undone(root, results):
    assert importlib.import_module(f"{MODULE}.building.results").repair_of(root) is None
    bpy.ops.stampwright.repair()
    repaired = importlib.import_module(f"{MODULE}.building.results").repair_of(root)
    assert repaired.added.area > 1.0
    assert repaired.removed.is_empty
    bpy.ops.stampwright.leave_as_drawn()
    assert importlib.import_module(f"{MODULE}.building.results").repair_of(root) is None


def test_the_repaired_outline_is_written_as_a_curve_on_request(root, benches):
    drawn = bpy.data.objects["thin"]
    bpy.ops.stampwright.repair()
    before = set(bpy.data.objects)
    assert bpy.ops.stampwright.write_outline() == {"FINISHED"}
    (written,) = set(bpy.data.objects) - before
    bpy.context.view_layer.update()
    left, bottom, right, top = benches.bench_of(root).stamp.inked.bounds
    assert np.array(written.dimensions[:2]) * 1000 == pytest.approx((right - left, top - bottom), abs=1e-3)
    assert len(drawn.data.splines) == 3

"""Real prints in Blender: test die, measured presets, scans beside the stamp, comparisons, sliced dies."""

import importlib
import math
import sys

import bpy
import numpy as np
import pytest
import shapely
from drawing import curve, letter_f
from PIL import Image

MODULE = "bl_ext.user_default.stampwright"
MEASURED = (
    'format = 1\nkind = "measured printer"\n'
    '[[figures]]\nsetting = "ink.spread"\nvalue = 0.134\nlow = 0.12\nhigh = 0.15\nprints = 4\n'
    '[[figures]]\nsetting = "printer.size_across"\nvalue = 99.6\nlow = 99.5\nhigh = 99.7\nprints = 4\n'
)


@pytest.fixture
def root(scene):
    curve("F", letter_f())
    bpy.ops.stampwright.make_stamp()
    return bpy.context.active_object


def job_of(root):
    return importlib.import_module(f"{MODULE}.job.properties").job_of(root.stampwright)


def test_a_test_die_is_written_for_the_printer_of_the_stamp(root, tmp_path, core):
    root.stampwright.printer.layer = 0.25
    assert bpy.ops.stampwright.export_test_die(directory=str(tmp_path), size=30.0) == {"FINISHED"}
    made = core("job.written.files").read_job(tmp_path / "test-die" / "job.json")
    assert (made.base.width, made.printer.layer) == (30.0, 0.25)
    assert {"die.stl", "seat-gauge.stl", "ticket.html"} <= {each.name for each in (tmp_path / "test-die").iterdir()}
    with pytest.raises(RuntimeError, match="already"):
        bpy.ops.stampwright.export_test_die(directory=str(tmp_path), size=30.0)


def test_measured_settings_are_kept_and_used_on_other_stamps(root, tmp_path, core):
    path = tmp_path / "violet ink.toml"
    path.write_text(MEASURED)
    assert bpy.ops.stampwright.import_measured(filepath=str(path)) == {"FINISHED"}
    assert job_of(root).ink.spread == 0.134
    for each in (root.stampwright.ink, root.stampwright.printer):
        each.property_unset("spread" if "spread" in each.bl_rna.properties else "size_across")
    assert core("job.measured").measured_in(job_of(root)) == {}
    try:
        assert bpy.ops.stampwright.use_measured(label="violet ink") == {"FINISHED"}
        known = core("job.measured").measured_in(job_of(root))
        assert (known["ink.spread"].prints, known["printer.size_across"].high) == (4, 99.7)
    finally:
        assert bpy.ops.stampwright.remove_measured(label="violet ink") == {"FINISHED"}
    with pytest.raises(RuntimeError, match="violet ink"):
        bpy.ops.stampwright.use_measured(label="violet ink")
    path.write_text('format = 1\nkind = "measured printer"\n')
    with pytest.raises(RuntimeError, match="no figure"):
        bpy.ops.stampwright.import_measured(filepath=str(path))


@pytest.fixture
def scan(tmp_path):
    path = tmp_path / "scan.png"
    Image.fromarray(np.full((300, 600), 200, dtype=np.uint8)).save(path, dpi=(300, 300))
    return path


def test_a_scan_lies_beside_the_stamp_at_true_size(root, scan):
    assert bpy.ops.stampwright.scan_beside(filepath=str(scan)) == {"FINISHED"}
    sheet = next(each for each in root.children if "scan" in each.name)
    # 600 pixels at 300 dpi: two inches.
    assert sheet.dimensions.x == pytest.approx(50.8 / 1000 / bpy.context.scene.unit_settings.scale_length, rel=1e-3)
    others = [each for each in root.children if each is not sheet and each.type == "MESH"]
    assert sheet.location.x > max((each.matrix_local @ v.co).x for each in others for v in each.data.vertices)
    assert bpy.ops.stampwright.scan_beside(filepath=str(scan), width=40.0) == {"FINISHED"}
    assert bpy.ops.stampwright.build() == {"FINISHED"}


def test_a_photograph_wants_its_width(root, tmp_path):
    path = tmp_path / "photo.jpg"
    Image.fromarray(np.full((300, 600), 200, dtype=np.uint8)).save(path)
    with pytest.raises(RuntimeError, match="how large"):
        bpy.ops.stampwright.scan_beside(filepath=str(path))


def test_comparing_without_its_library_names_the_command(root, scan, monkeypatch):
    monkeypatch.setitem(sys.modules, "cv2", None)
    prints = importlib.import_module(f"{MODULE}.press.prints")
    monkeypatch.setattr(prints, "can_compare", lambda: False)
    with pytest.raises(RuntimeError, match=r"stampwright compare scan\.png") as refused:
        bpy.ops.stampwright.compare_prints(filepath=str(scan))
    assert str(refused.value).strip().count("\n") == 0


def scanned(outlines, path, *, spread=0.1, lost=None):
    """Save a scan at 300 dpi of a print of outlines, mm: grown by the spread, and drawn row by row."""
    inked = outlines.buffer(spread) if lost is None else outlines.difference(lost).buffer(spread)
    left, bottom, right, top = inked.buffer(6.0).bounds
    pixel = 25.4 / 300
    across, down = np.arange(left, right, pixel / 3), np.arange(top, bottom, -pixel / 3)
    shape = [3 * (len(each) // 3) for each in (down, across)]
    x, y = np.meshgrid(across[: shape[1]], down[: shape[0]])
    cover = shapely.contains_xy(inked, x, y).reshape(shape[0] // 3, 3, -1, 3).mean(axis=(1, 3))
    Image.fromarray((235 - 200 * cover).astype(np.uint8)).save(path, dpi=(300, 300))


def test_a_print_is_compared_with_the_stamp_where_its_library_is_there(root, tmp_path, core, benches):
    pytest.importorskip("cv2", reason="OpenCV is not in this host: only in that of pyproject's group with it")
    stamp = benches.bench_of(root).stamp
    left, bottom, right, top = stamp.outlines.bounds
    lost = shapely.box(left, bottom, right, bottom + 0.25 * (top - bottom))
    whole, part = tmp_path / "whole.png", tmp_path / "part.png"
    scanned(stamp.outlines, whole)
    scanned(stamp.outlines, part, lost=lost)
    found = {}
    for path in (whole, part):
        assert bpy.ops.stampwright.compare_prints(filepath=str(path)) == {"FINISHED"}
        image = bpy.data.images[f"{root.name} comparison"]
        assert image.size[0] == 1600
        found[path] = np.array(image.pixels[:]).reshape(-1, 4)[:, :3]
    # What is missing is drawn in a colour that a whole print does not have so much of.
    coloured = {path: float((np.ptp(pixels, axis=1) > 0.25).mean()) for path, pixels in found.items()}
    assert coloured[part] > 2 * coloured[whole]
    made = core("prints.comparing")
    folder = tmp_path / "out"
    assert bpy.ops.stampwright.export_files(directory=str(folder)) == {"FINISHED"}
    (exported,) = [each.parent for each in folder.rglob("die.stl")]
    assert bpy.ops.stampwright.compare_prints(filepath=str(part), folder=str(exported)) == {"FINISHED"}
    compared = made.compare_prints([part], exported)
    missing = stamp.outlines.buffer(-0.15).intersection(lost)
    assert compared.always.intersection(missing).area > 0.8 * missing.area
    Image.fromarray(np.full((300, 300), 200, np.uint8)).save(tmp_path / "bare.png")
    with pytest.raises(RuntimeError, match="nothing stands out"):
        bpy.ops.stampwright.compare_prints(filepath=str(tmp_path / "bare.png"))


def beads(job, outlines, base, core):
    """Return G-code of a die as a slicer would have it: line beside line, cut by each layer's outlines."""
    from shapely import affinity

    width, layer = job.printer.line_width, job.printer.layer
    spacing = width - layer * (1 - math.pi / 4)
    section = (width - layer) * layer + math.pi / 4 * layer**2
    feed = section / (math.pi / 4 * 1.75**2)
    heights = core("job.heights").snap_heights(job)
    lines = ["G90", "M83", "G21", "M104 S230"]
    for number in range(round((heights.floor + heights.relief + heights.dressing) / layer)):
        top = (number + 1) * layer
        region = base if top <= heights.floor + 1e-6 else core("plane.frames").paper_to_die(outlines)
        region = affinity.translate(region.buffer(-width / 2), 100, 100)
        left, bottom, right, over = region.bounds
        for at in np.arange(bottom, over + spacing / 2, spacing).tolist():
            cut = region.intersection(shapely.LineString([(left - 1, at), (right + 1, at)]))
            for part in shapely.get_parts(cut):
                if part.geom_type == "LineString" and part.length > 0.1:
                    (x, y), (end, _) = part.coords
                    lines += [f"G0 X{x:.3f} Y{y:.3f} Z{top:.3f} F6000", f"G1 X{end:.3f} E{feed * (end - x):.5f} F1200"]
    return "\n".join(lines) + "\n"


def test_a_sliced_die_is_drawn_as_it_will_print(root, tmp_path, core, benches):
    stamp = benches.bench_of(root).stamp
    path = tmp_path / "die.gcode"
    path.write_text(beads(stamp.job, stamp.outlines, stamp.layout.base, core))
    assert bpy.ops.stampwright.read_toolpath(filepath=str(path)) == {"FINISHED"}
    image = bpy.data.images[f"{root.name} beads"]
    assert image.size[0] == 1600
    dark = np.array(image.pixels[:]).reshape(-1, 4)[:, :3].mean(axis=1) < 0.5
    assert 0.01 < dark.mean() < 0.5
    path.write_text("G1 X1\n")
    with pytest.raises(RuntimeError, match=r"die\.gcode"):
        bpy.ops.stampwright.read_toolpath(filepath=str(path))

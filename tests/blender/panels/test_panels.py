"""The sidebar: labels that fit it, icons that this host has, only what applies; presets, also of one's own."""

import importlib
import inspect
import re
from pathlib import Path

import bpy
import numpy as np
import pytest
from drawing import curve, letter_f
from laid_out import MODULE, every_way, laid_out

blf = importlib.import_module("blf")
"""The host's, which is there once ``bpy`` is."""

ROOM = 16
"""Letters that a label has room for at the sidebar's usual width, as seen in a window of Blender 4.3."""


@pytest.fixture
def panels(extension):
    return importlib.import_module(f"{MODULE}.panels")


@pytest.fixture
def root(scene):
    curve("F", letter_f())
    bpy.ops.stampwright.make_stamp()
    return bpy.context.active_object


@pytest.mark.parametrize("units", ["METRIC", "IMPERIAL", "NONE"])
def test_labels_fit_the_sidebar(panels, root, units):
    bpy.context.scene.unit_settings.system = units
    names = [each.__name__.rpartition("_PT_")[2] for each in panels.CLASSES if hasattr(each, "show")]
    cut = set()
    for _ in every_way(root):
        for name in names:
            shown = laid_out(panels, root, name)
            # Switches have their label on the right, where there is more room.
            cut |= {
                (name, text)
                for _, text, kind in shown
                if kind not in ("BOOLEAN", "LABEL", "OPERATOR")
                if len(text) > ROOM
            }
            cut |= {(name, text) for _, text, kind in shown if kind == "LABEL" and len(text) > 43}
    assert cut == set()


def test_every_figure_of_the_job_has_its_place(panels, root, core):
    names = [each.__name__.rpartition("_PT_")[2] for each in panels.CLASSES if hasattr(each, "show")]
    shown = {path for _ in every_way(root) for name in names for path, _, _ in laid_out(panels, root, name)}
    laid = {path.removesuffix("_percent") for path in shown}
    # The name stands in the first panel, curves are picked for points, findings are accepted one kind at a time; the
    # switch of the grooves stands beside their panel's name, and repair and the full solver are buttons.
    elsewhere = {"name", "base.points", "handle.profile", "handle.outline", "preflight.accept", "backing.grooves"}
    # A sculpt is made by hand, or imported.
    elsewhere |= {"preflight.repair", "preflight.repair_at", "face.sculpt", "press.solver"}
    job = core("job")
    wanted = {path for path, _, _ in job.job_settings(job.Job())}
    assert wanted - laid - elsewhere == set()


def test_lengths_say_mm_where_the_scene_shows_no_units(panels, root):
    assert ("backing.thickness", "Thickness", "FLOAT") in laid_out(panels, root, "backing")
    bpy.context.scene.unit_settings.system = "NONE"
    assert ("backing.thickness", "Thickness mm", "FLOAT") in laid_out(panels, root, "backing")


def test_icons_are_there_in_this_host(panels):
    known = set(bpy.types.UILayout.bl_rna.functions["label"].parameters["icon"].enum_items.keys())
    folder = Path(inspect.getfile(panels)).parents[1]
    text = "".join(
        path.read_text(encoding="utf-8") for room in ("panels", "presets") for path in (folder / room).glob("*.py")
    )
    used = set(re.findall(r'icon="([A-Z_]+)"', text)) | {"OUTLINER_OB_" + each for each in ("CURVE", "FONT", "MESH")}
    used |= {"OUTLINER_OB_GREASEPENCIL"}
    assert len(used) > 10
    assert used - known == set()


def test_line_width_is_asked_only_for_lines_without_one(panels, root):
    held = root.stampwright

    def asked():
        return "source.line_width" in {name for name, _, _ in laid_out(panels, root, "artwork")}

    drawn = held.sources[0].object
    assert not asked()
    held.sources[0].drawn_as = "LINE"
    assert asked()
    drawn.data.bevel_depth = 0.5
    assert not asked()
    drawn.data.bevel_depth = 0.0
    held.sources[0].drawn_as = "AUTO"
    drawn.data.splines[0].use_cyclic_u = False
    assert asked()


def test_a_stamp_with_nothing_against_it_is_said_to_print(panels, root):
    said = {text for prop, text, kind in laid_out(panels, root, "findings") if kind == "LABEL"}
    assert "No problems found, not pressed yet" in said
    bpy.ops.stampwright.press(full=False)
    said = {text for prop, text, kind in laid_out(panels, root, "findings") if kind == "LABEL"}
    assert any("N" in text and text.startswith(("No problems found: prints", "Prints at")) for text in said)
    root.stampwright.preflight.warn_lines = 10.0
    root.stampwright.preflight.repair_to = "warns"
    root.stampwright.printer.nozzle = 2.0
    bpy.ops.stampwright.build()
    said = {text for prop, text, kind in laid_out(panels, root, "findings") if kind == "LABEL"}
    assert not any(text.startswith("No problems found") for text in said)
    assert ("stampwright.repair", "Repair All", "OPERATOR") in laid_out(panels, root, "findings")


def test_accepted_findings_can_be_refused_again(panels, root):
    bpy.ops.stampwright.accept(kind="thin line")
    assert ("stampwright.accept", "", "OPERATOR") in laid_out(panels, root, "repair")
    assert ("", "Thin line", "LABEL") in laid_out(panels, root, "repair")
    bpy.ops.stampwright.accept(kind="thin line", accepted=False)
    assert ("", "Thin line", "LABEL") not in laid_out(panels, root, "repair")


def test_messages_name_fields_and_buttons_as_the_panels_do(extension):
    in_labels = importlib.import_module(f"{MODULE}.stampwright.job.labels").in_labels
    assert in_labels("or let preflight.repair thicken it") == "or let Repair thicken it"
    assert in_labels("use printer.nozzle") == "use Printer: Nozzle"
    assert in_labels("raise die.relief, see mark.svg") == "raise Die: Relief, see mark.svg"


def test_a_preset_of_ones_own_is_kept_and_used(root, extension):
    presets = importlib.import_module(f"{MODULE}.job.presets")
    held = root.stampwright
    held.handle.height, held.handle.neck_width = 31.0, 19.0
    assert bpy.ops.stampwright.add_preset(sort="handle", label="Small Hand") == {"FINISHED"}
    held.handle.height = 60.0
    assert bpy.ops.stampwright.use_handle_preset(preset="Small Hand") == {"FINISHED"}
    assert (held.handle.height, held.handle.neck_width) == (31.0, 19.0)
    assert "Small Hand" not in presets.presets_of("printer")
    assert bpy.ops.stampwright.remove_preset(sort="handle", label="Small Hand") == {"FINISHED"}
    assert "Small Hand" not in presets.presets_of("handle")


@pytest.mark.parametrize(
    ("label", "form", "told"),
    [
        ("", "knob", "needs a name"),
        ("Knob", "knob", "comes with Stampwright"),
        ("Own", "turned", "cannot hold the curve"),
    ],
)
def test_a_preset_that_cannot_be_kept_is_refused(root, label, form, told):
    with importlib.import_module(f"{MODULE}.job.changes").quiet():
        root.stampwright.handle.form = form
    with pytest.raises(RuntimeError, match=told):
        bpy.ops.stampwright.add_preset(sort="handle", label=label)


def test_presets_that_an_older_version_kept_are_there_by_the_names_of_today(root, extension):
    folder = Path(bpy.utils.extension_path_user(MODULE, path="presets"))
    folder.mkdir(parents=True, exist_ok=True)
    old, new = folder / "process.json", folder / "printer.json"
    old.write_text('{"Mine": {"process.nozzle": 0.6, "process.layer": 0.3}}')
    try:
        assert bpy.ops.stampwright.use_printer_preset(preset="Mine") == {"FINISHED"}
        assert root.stampwright.printer.nozzle == pytest.approx(0.6)
        assert bpy.ops.stampwright.add_preset(sort="printer", label="Other") == {"FINISHED"}
        assert "process" not in new.read_text()
        presets = importlib.import_module(f"{MODULE}.job.presets")
        assert set(presets.own_presets("printer")) == {"Mine", "Other"}
    finally:
        old.unlink()
        new.unlink(missing_ok=True)


@pytest.mark.parametrize("severity", ["blocks", "warns", "notes"])
def test_icons_of_findings_have_the_shape_of_their_sign(extension, core, severity):
    signs = importlib.import_module(f"{MODULE}.panels.signs")
    pixels = np.array(signs.sign_pixels(severity)).reshape(signs.SIDE, signs.SIDE, 4)
    corners = np.array(core("looks.signs").sign_corners(severity))
    across, up = corners.T
    area = abs(np.dot(across, np.roll(up, -1)) - np.dot(up, np.roll(across, -1))) / 2
    assert pixels[..., 3].sum() * (2 * 1.3 / signs.SIDE) ** 2 == pytest.approx(area, rel=0.03)
    assert pixels.min() >= 0.0
    assert pixels.max() <= 1.0
    # The mark in it is white, and stands upright: its stroke is above its dot.
    white = (pixels[..., :3].min(axis=2) > 0.95) & (pixels[..., 3] == 1.0)
    rows = np.flatnonzero(white.any(axis=1))
    assert white[signs.SIDE // 2 :].sum() > white[: signs.SIDE // 2].sum() > 0
    assert np.diff(rows).max() > 1
    # The host gives icons no number without a window.
    assert signs.sign_icon(severity) >= 0


def test_a_spoilt_file_of_presets_is_left_alone(root, extension):
    shelf = importlib.import_module(f"{MODULE}.job.presets.shelf")
    path = Path(bpy.utils.extension_path_user(MODULE, path="presets")) / "printer.json"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("{ half of")
    try:
        assert shelf.own_presets("printer") == {}
        with pytest.raises(RuntimeError, match="correct it or move it away"):
            bpy.ops.stampwright.add_preset(sort="printer", label="Mine")
        assert path.read_text() == "{ half of"
    finally:
        path.unlink()


def test_a_first_stamp_takes_one_glance(panels):
    """At the start the sidebar shows few panels, and nothing within them is open but what has no header."""
    shown = [each for each in panels.CLASSES if hasattr(each, "show") and each.bl_region_type == "UI"]
    tops = [each for each in shown if not hasattr(each, "bl_parent_id")]
    assert len(tops) <= 6
    for each in panels.CLASSES:
        if hasattr(each, "bl_parent_id"):
            assert {"DEFAULT_CLOSED", "HIDE_HEADER"} & set(each.bl_options), each.__name__
    assert panels.results.press.STAMPWRIGHT_PT_press.bl_parent_id == "STAMPWRIGHT_PT_findings"


def test_the_print_size_stands_beside_the_artwork(panels, root):
    """The F is 4 by 5 m, drawn in the host's usual metres."""
    told = [
        text for _, text, kind in laid_out(panels, root, "artwork") if kind == "LABEL" and text.startswith("Prints")
    ]
    assert len(told) == 1
    width, height, scale = re.fullmatch(r"Prints ([\d.]+) x ([\d.]+) mm, 1 : (\d+)", told[0]).groups()
    assert float(width) / float(height) == pytest.approx(4 / 5, rel=0.01)
    assert 4000 / float(scale) == pytest.approx(float(width), rel=0.03)


def test_labels_beside_fields_are_uncut_at_the_usual_width(panels, root):
    """The host gives labels two fifths of the row, less its margins."""
    base = panels.base
    blf.size(0, 11.0)
    room = 0.4 * (base.USUAL - 42.0) - 7.0
    names = [each.__name__.rpartition("_PT_")[2] for each in panels.CLASSES if hasattr(each, "show")]
    shown = {entry for _ in every_way(root) for name in names for entry in laid_out(panels, root, name)}
    fields = {text for _, text, kind in shown if kind not in ("BOOLEAN", "LABEL", "OPERATOR")}
    assert {text for text in fields if blf.dimensions(0, text)[0] > room} == set()


def test_handles_in_the_view_that_a_bent_base_does_not_have_are_said_to_be_off(panels, root):
    for form, said in (("flat", 0), ("rocker", 1), ("roller", 1)):
        root.stampwright.bend.form = form
        shown = [text for _, text, _ in laid_out(panels, root, "base")]
        assert shown.count("Sized in this panel alone") == said, form

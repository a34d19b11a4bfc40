"""A stamp's properties are the core's job, one to one: every figure, its limits, its reason, there and back."""

import importlib
import json

import bpy
import pytest
from drawing import curve, letter_f

OPEN_ENDED = {"tracing.width", "face.picture_width", "face.seed"}
"""Figures of which none is more usual than another."""

MODULE = "bl_ext.user_default.stampwright"
ROOMS = {"figures": "job.settings", "properties": "job.properties", "panels": "panels"}


@pytest.fixture
def rooms(extension):
    return {name: importlib.import_module(f"{MODULE}.{path}") for name, path in ROOMS.items()}


@pytest.fixture
def held(scene):
    root = bpy.data.objects.new("root", None)
    scene.collection.objects.link(root)
    return root.stampwright


def property_of(held, path):
    section, _, name = path.partition(".")
    return (getattr(held, section), name) if name else (held, "job_name")


def settings_of(core):
    job = core("job")
    return list(job.job_settings(job.Job()))


def test_fresh_properties_are_the_default_job(held, rooms, core):
    assert rooms["properties"].job_of(held) == core("job").Job()


def test_every_figure_is_a_property_with_its_limits_unit_and_reason(held, core):
    for path, _, about in settings_of(core):
        group, name = property_of(held, path)
        shown = group.bl_rna.properties[name]
        if path == "name":
            continue
        assert shown.description.lower().startswith(about.reason.rstrip(".").lower()), path
        assert not shown.description.endswith("."), path
        assert shown.description[:1].isupper(), path
        assert shown.name.startswith(core("job.labels").label_of(path)), path
        if about.unit not in ("", "mm", "1/mm"):
            assert shown.name.endswith(")"), path
        if about.unit == "mm" and about.kind == "number":
            # The host writes mm beside the value, whatever the scale of the scene.
            assert shown.subtype == "DISTANCE_CAMERA", path
        if about.kind in ("number", "whole"):
            assert shown.hard_min == pytest.approx(about.low), path
            assert shown.hard_max == pytest.approx(about.high), path
            assert about.normal or path in OPEN_ENDED, path
            if about.normal:
                assert shown.soft_min <= about.normal[0] + 1e-6, path
                # Shares are shown as percent, and so is what is usual of them.
                whole = 100 if about.is_share else 1
                assert f"{whole * about.normal[0]:g} to {whole * about.normal[1]:g}" in shown.description, path
        if about.kind == "choice":
            told = {item.identifier: item.description for item in shown.enum_items}
            assert told == about.choices, path


def test_any_job_comes_back_as_it_was(held, rooms, core):
    job_room, jobfile = core("job"), core("job.written.files")
    for path, value, about in settings_of(core):
        match about.kind:
            case "switch":
                other = not value
            case "choice":
                other = list(about.choices)[-1]
            case "number":
                other = round(min(value * 1.013 + 0.0123, about.high), 4)
            case "whole":
                other = value + 1
            case "text":
                other = "Ärger, 'quoted' / 2"
            case "names":
                other = ("thin line", "speck")
            case "points":
                other = ((0.0, 0.5), (12.3456, -7.0), (3.0, 4.0))
        try:
            job = job_room.Job().with_value(path, other)
        except core("errors").JobError:
            continue
        rooms["properties"].set_job(held, job)
        back = rooms["properties"].job_of(held)
        assert back == job, path
        assert jobfile.job_as_json(back) == jobfile.job_as_json(job)


@pytest.mark.parametrize(
    ("names", "shown"), [((), ""), (("leaf", "3"), "leaf, 3"), (("3",), "3"), (("red, dark",), '["red, dark"]')]
)
def test_names_show_as_one_would_type_them(held, rooms, core, names, shown):
    job = core("job").Job().with_values({"tracing.ink_layers": names})
    rooms["properties"].set_job(held, job)
    assert held.tracing.ink_layers == shown
    assert rooms["properties"].job_of(held).tracing.ink_layers == names
    # Files of old hold them so.
    held.tracing.ink_layers = json.dumps(names)
    assert rooms["properties"].job_of(held).tracing.ink_layers == names


def test_pieces_are_kept(held, rooms, core):
    pieces = core("job.pieces")
    job = core("job").Job(pieces=(pieces.Ring(diameter=40.0), pieces.Lettering(text="Mossgate\nSeed Library")))
    rooms["properties"].set_job(held, job)
    assert rooms["properties"].job_of(held) == job


def test_artwork_that_a_job_names_becomes_the_stamps(held, rooms, core, tmp_path):
    job = core("job").Job(artwork=str(tmp_path / "mark.svg"), made_from={"mark.svg": "0" * 64})
    rooms["properties"].set_job(held, job)
    assert held.artwork_file == str(tmp_path / "mark.svg")
    rooms["properties"].set_job(held, core("job").Job())
    assert held.artwork_file == str(tmp_path / "mark.svg")


def test_a_job_of_pieces_makes_a_stamp(scene, core, benches):
    root = bpy.data.objects.new("root", None)
    scene.collection.objects.link(root)
    root.stampwright.role = "stamp"
    pieces = [{"kind": "ring"}, {"kind": "lettering", "lines": ["Seed"], "cap_height": 8.0}]
    root.stampwright.pieces = json.dumps(pieces)
    bpy.context.view_layer.objects.active = root
    assert bpy.ops.stampwright.build() == {"FINISHED"}
    assert benches.bench_of(root).stamp.die.volume > 1000


def test_a_job_file_goes_there_and_back(scene, tmp_path, core, benches):
    drawn = curve("F", letter_f())
    assert bpy.ops.stampwright.make_stamp() == {"FINISHED"}
    root = bpy.context.active_object
    root.stampwright.die.relief = 1.8
    root.stampwright.preflight.accept = json.dumps(["thin line"])
    for suffix in ("toml", "json"):
        path = tmp_path / f"job.{suffix}"
        assert bpy.ops.stampwright.write_job(filepath=str(path)) == {"FINISHED"}
        job = core("job.written.files").read_job(path)
        assert (job.die.relief, job.preflight.accept, job.name) == (1.8, ("thin line",), drawn.name)
        root.stampwright.die.relief = 3.0
        assert bpy.ops.stampwright.read_job(filepath=str(path)) == {"FINISHED"}
        assert benches.bench_of(root).stamp.job.die.relief == 1.8


def test_measured_settings_are_taken_and_stay_marked(scene, tmp_path, core, benches, rooms):
    curve("F", letter_f())
    assert bpy.ops.stampwright.make_stamp() == {"FINISHED"}
    root = bpy.context.active_object
    root.stampwright.die.relief = 1.8
    path = tmp_path / "my-printer.toml"
    path.write_text(
        'format = 1\nkind = "measured printer"\n[[figures]]\nsetting = "ink.spread"\nvalue = 0.134\nlow = 0.12\n'
        "high = 0.15\nprints = 4\n"
    )
    assert bpy.ops.stampwright.read_job(filepath=str(path)) == {"FINISHED"}
    job = benches.bench_of(root).stamp.job
    assert (job.die.relief, job.ink.spread) == (1.8, 0.134)
    assert core("job.measured").measured_in(job)["ink.spread"].prints == 4
    written = tmp_path / "job.toml"
    assert bpy.ops.stampwright.write_job(filepath=str(written)) == {"FINISHED"}
    assert "ink.spread" in core("job.measured").measured_in(core("job.written.files").read_job(written))
    root.stampwright.ink.spread = 0.2
    assert core("job.measured").measured_in(rooms["properties"].job_of(root.stampwright)) == {}


def test_presets_set_their_figures(scene, benches, extension):
    curve("F", letter_f())
    bpy.ops.stampwright.make_stamp()
    root = bpy.context.active_object
    presets = importlib.import_module(f"{MODULE}.job.presets")
    for sort in presets.SORTS:
        for label, figures in presets.presets_of(sort).items():
            assert getattr(bpy.ops.stampwright, f"use_{sort}_preset")(preset=label) == {"FINISHED"}
            job = benches.bench_of(root).stamp.job
            for path, value in figures.items():
                section, _, name = path.partition(".")
                assert getattr(getattr(job, section), name) == value


def test_new_stamps_start_from_the_preferences(scene, benches):
    wanted = bpy.context.preferences.addons[MODULE].preferences
    wanted.printer_nozzle, wanted.handle_material, wanted.price_currency = 0.25, "petg", "CHF"
    try:
        curve("F", letter_f())
        bpy.ops.stampwright.make_stamp()
        job = benches.bench_of(bpy.context.active_object).stamp.job
        assert (job.printer.nozzle, job.handle.material, job.price.currency) == (0.25, "petg", "CHF")
    finally:
        wanted.property_unset("printer_nozzle")
        wanted.property_unset("handle_material")
        wanted.property_unset("price_currency")


def test_files_that_pieces_name_are_written_relative_to_the_job_file(scene, tmp_path, core, artwork_folder):
    (tmp_path / "scene").mkdir()
    (tmp_path / "jobs").mkdir()
    (tmp_path / "scene" / "mark.svg").write_text((artwork_folder / "ownership-mark.svg").read_text())
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "scene" / "file.blend"))
    root = bpy.data.objects.new("root", None)
    bpy.context.scene.collection.objects.link(root)
    root.stampwright.role = "stamp"
    root.stampwright.pieces = json.dumps([{"kind": "mark", "file": "mark.svg"}])
    bpy.context.view_layer.objects.active = root
    path = tmp_path / "jobs" / "job.toml"
    assert bpy.ops.stampwright.write_job(filepath=str(path)) == {"FINISHED"}
    assert 'file = "../scene/mark.svg"' in path.read_text()
    assert core("job.written.files").read_job(path).pieces[0].file == str((tmp_path / "scene" / "mark.svg").resolve())


def test_shares_show_as_percent_and_stay_shares(scene):
    curve("F", letter_f())
    bpy.ops.stampwright.make_stamp()
    held = bpy.context.active_object.stampwright
    shown = held.handle.bl_rna.properties["infill_percent"]
    assert shown.subtype == "PERCENTAGE"
    assert held.handle.infill_percent == pytest.approx(15.0)
    held.handle.infill_percent = 40.0
    assert held.handle.infill == pytest.approx(0.4)
    held.handle.infill_percent = 400.0
    assert held.handle.infill == pytest.approx(1.0)


@pytest.mark.parametrize("form", ["rectangle", "ellipse"])
def test_free_forms_begin_in_the_proportions_of_the_art(scene, form):
    curve("F", [(3 * x, y) for x, y in letter_f()])
    bpy.ops.stampwright.make_stamp()
    base = bpy.context.active_object.stampwright.base
    base.outline = form
    wide = (base.width, base.height)
    assert wide[0] == pytest.approx(50.0)
    # 12 by 5 units of ink, with 2 mm clear all round.
    assert (wide[0] - 4.0) / (wide[1] - 4.0) == pytest.approx(12 / 5, rel=0.06)
    # Sides that were set by hand stay.
    base.height = 44.0
    base.outline = "round"
    base.outline = form
    assert base.height == pytest.approx(44.0)


def test_a_tall_drawing_gives_a_tall_base(scene):
    curve("F", [(x, 2 * y) for x, y in letter_f()])
    bpy.ops.stampwright.make_stamp()
    base = bpy.context.active_object.stampwright.base
    base.outline = "rectangle"
    assert base.height == pytest.approx(50.0)
    assert base.width < 30.0

"""Files saved before settings were renamed: what they hold of a stamp is there under the names of today."""

import importlib

import bpy
import pytest
from drawing import curve, letter_f

MODULE = "bl_ext.user_default.stampwright"


@pytest.fixture
def root(scene):
    curve("F", letter_f())
    bpy.ops.stampwright.make_stamp()
    return bpy.context.active_object


@pytest.fixture
def read_over(extension):
    return importlib.import_module(f"{MODULE}.job.old_files").read_over


def kept_of(held_by):
    system = getattr(held_by, "bl_system_properties_get", None)
    return (system(do_create=True) if system is not None else held_by).get("stampwright")


@pytest.fixture
def old(root):
    """A stamp as an older version saved it: custom properties under the names of that time, choices by number."""
    kept = kept_of(root)
    kept["process"] = {"nozzle": 0.6, "layer": 0.3}
    for section, name, value in (
        ("layout", "rotation", 12.0),
        ("press", "dressed", 0.25),
        ("press", "hold", 1),
        ("handle", "wall", 4.0),
        ("handle", "form", 3),
        ("cushion", "young", 0.9),
    ):
        if section not in kept:
            kept[section] = {}
        kept[section][name] = value
    return root


def test_old_names_are_read_over_once(old, read_over):
    held = old.stampwright
    assert read_over(old)
    assert held.printer.nozzle == pytest.approx(0.6)
    assert held.printer.layer == pytest.approx(0.3)
    assert held.layout.turn == pytest.approx(12.0)
    assert held.press.dressing_done == pytest.approx(25.0)
    assert held.press.turning == "none"
    assert held.handle.hollow_wall == pytest.approx(4.0)
    assert held.handle.form == "turned"
    assert held.cushion.stiffness == pytest.approx(0.9)
    held.layout.turn = 3.0
    assert not read_over(old)
    assert held.layout.turn == pytest.approx(3.0)
    assert "process" not in kept_of(old)


def test_what_was_never_renamed_stays(root, read_over):
    root.stampwright.die.relief = 1.4
    assert not read_over(root)
    assert root.stampwright.die.relief == pytest.approx(1.4)


def test_opening_a_file_reads_it_over(old, tmp_path):
    name, file = old.name, str(tmp_path / "old.blend")
    bpy.ops.wm.save_as_mainfile(filepath=file)
    bpy.ops.wm.open_mainfile(filepath=file)
    held = bpy.data.objects[name].stampwright
    assert held.printer.nozzle == pytest.approx(0.6)
    assert held.press.dressing_done == pytest.approx(25.0)

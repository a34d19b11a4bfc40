"""The extension behaves: it comes and goes without a trace, is quick to start, and follows the host's conventions."""

import importlib
import re
import subprocess
import sys
from pathlib import Path

import bpy
import pytest
from drawing import curve, letter_f
from timer import tick_until_done

MODULE = "bl_ext.user_default.stampwright"
ADDON = Path(__file__).resolve().parents[2] / "blender_addon"


def ours():
    return sorted(
        name
        for kind in (bpy.types.Operator, bpy.types.Panel, bpy.types.PropertyGroup, bpy.types.UIList, bpy.types.Menu)
        for name in (each.__name__ for each in kind.__subclasses__())
        if "STAMPWRIGHT" in name and hasattr(bpy.types, name)
    )


def handlers():
    """Return how many handlers the host has, and how many of them are ours."""
    held = (getattr(bpy.app.handlers, name) for name in dir(bpy.app.handlers) if not name.startswith("_"))
    found = [handler for each in held if isinstance(each, list) for handler in each]
    return len(found), sum(str(handler.__module__).startswith(MODULE) for handler in found)


def test_nothing_is_left_when_it_is_switched_off(scene):
    with_it = ours(), handlers()
    assert with_it[0]
    bpy.ops.preferences.addon_disable(module=MODULE)
    try:
        assert not ours()
        count, own = with_it[1]
        assert own > 10
        assert handlers() == (count - own, 0)
        assert not hasattr(bpy.types.Object, "stampwright")
        assert "stampwright" not in dir(bpy.ops) or not dir(bpy.ops.stampwright)
    finally:
        bpy.ops.preferences.addon_enable(module=MODULE)
    assert (ours(), handlers()) == with_it


def test_starting_loads_nothing_heavy(extension):
    script = (
        "import importlib.util, sys; import bpy; before = set(sys.modules);"
        f"spec = importlib.util.spec_from_file_location('ext', r'{ADDON / '__init__.py'}',"
        f" submodule_search_locations=[r'{ADDON}']);"
        "ext = importlib.util.module_from_spec(spec); sys.modules['ext'] = ext; spec.loader.exec_module(ext);"
        "ext.register(); ext.unregister();"
        "print([name for name in set(sys.modules) - before if name in ('numpy', 'shapely', 'manifold3d')],"
        # Python's own end is no safe place once Blender 4.2 has had a class registered.
        "flush=True); import os; os._exit(0)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, timeout=120)
    assert done.stdout.strip().splitlines()[-1] == "[]"


def test_operators_and_panels_follow_the_hosts_conventions(scene):
    for name in ours():
        kind = getattr(bpy.types, name)
        if "_OT_" in name:
            # Every word begins with a capital, but for short ones between others.
            titled = re.sub(r" (As|For|From|In|Into|Of|On|To|With) ", lambda at: at[0].lower(), kind.bl_label.title())
            assert kind.bl_label == titled, name
            told = getattr(bpy.ops.stampwright, name.partition("_OT_")[2]).get_rna_type().description
            assert told, name
            assert told[0].isupper(), name
            assert not told.endswith("."), name


def test_properties_have_tooltips(scene):
    kinds = [each for each in bpy.types.PropertyGroup.__subclasses__() if each.is_registered]
    # The host does not list them among its types.
    groups = [each for each in kinds if each.__name__.startswith("STAMPWRIGHT_PG_")]
    assert len(groups) > 8
    for kind in groups:
        for each in kind.bl_rna.properties:
            if each.identifier not in ("rna_type", "name", "bl_system_properties_get"):
                assert each.description, f"{kind.__name__}.{each.identifier}"
                assert not each.description.endswith("."), f"{kind.__name__}.{each.identifier}"


@pytest.fixture
def without_library(extension, monkeypatch):
    """A host in which a library of the package does not load."""
    loading = importlib.import_module(f"{MODULE}.loading")

    def broken(name, package=None):
        raise ImportError("DLL load failed while importing lib")

    monkeypatch.setattr(loading, "import_module", broken)
    yield
    monkeypatch.setitem(loading._state, "missing", "")


CANNOT_LOAD = "library that comes with Stampwright cannot load here"


def test_a_library_that_cannot_load_is_told_in_one_line(scene, without_library):
    curve("F", letter_f())
    with pytest.raises(RuntimeError, match=CANNOT_LOAD):
        bpy.ops.stampwright.make_stamp()


def test_a_stamp_that_is_opened_where_a_library_cannot_load_says_so(scene, live, noticing, tmp_path, request):
    curve("F", letter_f())
    bpy.ops.stampwright.make_stamp()
    name, file = bpy.context.active_object.name, str(tmp_path / "file.blend")
    bpy.ops.wm.save_as_mainfile(filepath=file)
    request.getfixturevalue("without_library")
    bpy.ops.wm.open_mainfile(filepath=file)
    root = bpy.data.objects[name]
    root.stampwright.die.floor = 3.0
    tick_until_done(live)
    results = importlib.import_module(f"{MODULE}.building.results")
    assert CANNOT_LOAD in results.message_of(root)
    assert results.stamp_made(root) is None
    noticing._undone()


def test_what_is_loaded_late_is_there(extension):
    sources = [path for path in ADDON.rglob("*.py") if ADDON / "stampwright" not in path.parents]
    loads = re.compile(r'loading\.load\(\s*"([a-z_.]+)"\s*\)(?:\.(\w+))?')
    named = {found for path in sources for found in loads.findall(path.read_text())}
    assert named
    for name, held in named:
        room = importlib.import_module(f"{MODULE}.{name}")
        assert not held or hasattr(room, held), f"{name} has no {held}"


def test_the_manifest_passes_the_hosts_own_check(extension):
    tool = next(Path(bpy.utils.resource_path("LOCAL")).glob("scripts/addons_core/bl_pkg/cli/blender_ext.py"))
    manifest = (ADDON / "blender_manifest.toml").read_text()
    assert "network" not in manifest
    done = subprocess.run(
        [sys.executable, tool, "validate", ADDON], capture_output=True, text=True, check=False, timeout=120
    )
    assert done.returncode == 0, done.stdout + done.stderr

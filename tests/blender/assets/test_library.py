"""The asset library: written where the user keeps it, entered when asked for, and its assets used for stamps."""

import importlib
import json
import shutil
from types import SimpleNamespace

import bpy
import numpy as np
import pytest
from drawing import choose, curve, letter_f, made, part
from names import MODULE

PROFILE = [(0.025, 0.0), (0.012, 0.02), (0.018, 0.05), (0.0, 0.06)]


@pytest.fixture
def root(scene):
    return made(curve("F", letter_f()))


@pytest.fixture(scope="module")
def kept(extension, tmp_path_factory):
    """Return the folder of a library that was set up once, from an empty scene."""
    folder = tmp_path_factory.mktemp("library") / "assets"
    with pytest.MonkeyPatch.context() as patch:
        lying_in(folder, patch)
        bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=False)
        assert bpy.ops.stampwright.set_up_library("EXEC_DEFAULT") == {"FINISHED"}
        assert bpy.ops.stampwright.leave_library() == {"FINISHED"}
    return folder


@pytest.fixture
def entry(extension, tmp_path, monkeypatch):
    """Return the room that knows where the library lies, here in a folder of the test's own that is not there yet."""
    room = lying_in(tmp_path / "assets", monkeypatch)
    yield room
    room.take_out(bpy.context)


@pytest.fixture
def library(kept, entry):
    """Return the file of a library, a copy of the test's own."""
    shutil.copytree(kept, entry.place())
    return entry.place() / "stampwright.blend"


def lying_in(folder, monkeypatch):
    """Have the library lie in a folder, and return the room that knows it."""
    for name in ("entry", "library"):
        monkeypatch.setattr(importlib.import_module(f"{MODULE}.assets.{name}"), "place", lambda: folder)
    return importlib.import_module(f"{MODULE}.assets.entry")


def named_in(path):
    with bpy.data.libraries.load(str(path), assets_only=True) as (there, _):
        return {kind: set(getattr(there, kind)) for kind in ("objects", "materials", "node_groups")}


def use(path, kind, name):
    return bpy.ops.stampwright.use_asset(library=str(path), kind=kind, asset=name)


def test_the_library_holds_handles_bases_finishes_and_nodes_with_pictures_in_catalogues(root, library):
    there = named_in(library)
    handles = {f"Handle, {name}" for name in ("Knob", "Tall Grip", "Low Block", "Rocking Grip")}
    assert there["objects"] == handles | {
        f"Base, {name}" for name in ("Round 50", "Rectangle 60 x 25", "Ellipse 50 x 30")
    }
    assert {name.partition(",")[0] for name in there["materials"]} == {"Flexible", "Plain", "Silk", "Matte", "Wood"}
    assert there["node_groups"] == {"Lift Stamp Face"}
    with bpy.data.libraries.load(str(library), link=True) as (_, wanted):
        wanted.objects, wanted.materials = list(there["objects"]), list(there["materials"])
        wanted.node_groups = list(there["node_groups"])
    # The host's list of catalogues: a line for each with its number, path and plain name.
    lines = (library.parent / "blender_assets.cats.txt").read_text(encoding="utf-8").splitlines()
    assert "VERSION 1" in lines
    catalogues = dict(line.split(":")[:2] for line in lines if line.count(":") == 2)
    kinds = {"Handle": "Handles", "Base": "Bases", "Lift Stamp Face": "Nodes"}
    for each in (*wanted.objects, *wanted.materials, *wanted.node_groups):
        kind = kinds.get(each.name.partition(",")[0], "Finishes")
        assert catalogues[each.asset_data.catalog_id] == kind
        picture = np.array(each.preview.image_pixels_float).reshape(*tuple(each.preview.image_size)[::-1], 4)
        assert 0.2 < (picture[..., 3] > 0.5).mean() < 0.95, each.name


def test_setting_it_up_leaves_the_file_as_it_was_and_enters_it_once(root, entry, library):
    def counts():
        return {
            kind: len(getattr(bpy.data, kind)) for kind in ("objects", "curves", "meshes", "materials", "node_groups")
        }

    before = counts()
    assert bpy.ops.stampwright.set_up_library("EXEC_DEFAULT") == {"FINISHED"}
    assert counts() == before
    libraries = bpy.context.preferences.filepaths.asset_libraries
    assert [each.name for each in libraries].count("Stampwright") == 1
    assert bpy.ops.stampwright.leave_library() == {"FINISHED"}
    assert entry.entry(bpy.context) is None
    assert library.is_file()


def test_nothing_is_entered_before_it_is_agreed_to(scene, entry):
    asked = []

    def ask(operator, width):
        asked.append(width)
        return {"RUNNING_MODAL"}

    operator = importlib.import_module(f"{MODULE}.operators.out.assets").STAMPWRIGHT_OT_set_up_library
    window = SimpleNamespace(window_manager=SimpleNamespace(invoke_props_dialog=ask))
    assert operator.invoke(SimpleNamespace(), window, None) == {"RUNNING_MODAL"}
    assert bpy.ops.stampwright.add_assets() == {"FINISHED"}
    assert len(asked) == 1
    assert entry.entry(bpy.context) is None
    assert not entry.place().exists()


def test_a_handle_and_a_base_of_the_library_give_a_stamp_their_settings(root, library):
    choose(root)
    assert use(library, "OBJECT", "Handle, Tall Grip") == {"FINISHED"}
    assert (root.stampwright.handle.form, root.stampwright.handle.height) == ("grip", 90.0)
    assert use(library, "OBJECT", "Base, Ellipse 50 x 30") == {"FINISHED"}
    assert (root.stampwright.base.outline, root.stampwright.base.height) == ("ellipse", 30.0)
    bpy.ops.stampwright.build()
    bpy.context.view_layer.update()
    assert tuple(part(root, "die").dimensions[:2]) == pytest.approx((0.050, 0.030), rel=1e-3)


def test_a_finish_goes_to_the_active_part(root, library):
    (silk,) = (name for name in named_in(library)["materials"] if name.startswith("Silk"))
    choose(part(root, "backing"))
    assert use(library, "MATERIAL", silk) == {"FINISHED"}
    pictures = root.stampwright.pictures
    assert (pictures.backing_finish, pictures.handle_finish) == ("SILK", "MATTE")
    choose(root)
    assert use(library, "MATERIAL", silk) == {"FINISHED"}
    assert pictures.handle_finish == "SILK"
    assert pictures.handle_colour == silk.partition(", ")[2].upper()


def keep_own_handle(root, live):
    """Have a stamp's handle turned from a drawn profile, and keep that in the library."""
    profile = curve("My Profile", PROFILE, closed=False, fill="NONE")
    choose(root)
    root.stampwright.handle.form, root.stampwright.profile_curve = "turned", profile
    live.catch_up()
    assert bpy.ops.stampwright.keep_handle(to_library=True) == {"FINISHED"}


def stamp_of_a_new_file(scale_length):
    """Return the stamp of a letter in a new file of this unit scale."""
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=False)
    bpy.context.scene.unit_settings.scale_length = scale_length
    return made(curve("F", letter_f()))


@pytest.mark.parametrize("scale_length", [1.0, 0.001])
def test_an_artists_own_handle_goes_into_the_library_and_onto_a_stamp_of_another_file(
    root, live, benches, library, scale_length
):
    keep_own_handle(root, live)
    with pytest.raises(RuntimeError, match="already"):
        bpy.ops.stampwright.keep_handle(to_library=True)
    assert bpy.ops.stampwright.keep_handle(to_library=True, overwrite=True) == {"FINISHED"}
    (own,) = (path for path in library.parent.glob("own *.blend"))
    volume = benches.bench_of(root).stamp.handle.volume
    other = stamp_of_a_new_file(scale_length)
    assert use(own, "OBJECT", "My Profile") == {"FINISHED"}
    bpy.ops.stampwright.build()
    assert other.stampwright.handle.form == "turned"
    assert other.stampwright.profile_curve.asset_data is None
    assert benches.bench_of(other).stamp.handle.volume == pytest.approx(volume, rel=0.02)


def dropped(path, name):
    """Bring an asset into the scene as the host does when it is dropped: appended, not marked, turned as it lay."""
    with bpy.data.libraries.load(str(path), link=False) as (_, wanted):
        wanted.objects = [name]
    (copy,) = wanted.objects
    copy.asset_clear()
    bpy.context.scene.collection.objects.link(copy)
    copy.location, copy.rotation_euler = (0.06, 0.0, 0.04), (-0.1, -1.5, 1.6)
    return copy


def test_a_copy_that_was_dropped_gives_the_stamp_its_settings_and_goes(root, library):
    choose(dropped(library, "Handle, Tall Grip"))
    assert bpy.ops.stampwright.use_asset() == {"FINISHED"}
    assert (root.stampwright.handle.form, root.stampwright.handle.height) == ("grip", 90.0)
    assert bpy.context.active_object == root
    other = made(curve("F", letter_f()))
    base = dropped(library, "Base, Ellipse 50 x 30")
    # Of two stamps it goes to the one that is active.
    choose(other, base)
    assert bpy.ops.stampwright.use_asset() == {"FINISHED"}
    assert (root.stampwright.base.outline, other.stampwright.base.outline) == ("round", "ellipse")
    left = [each.name for held in (bpy.data.objects, bpy.data.meshes, bpy.data.curves) for each in held]
    assert not [name for name in left if name.startswith(("Handle,", "Base,"))]


def test_a_finish_that_was_dropped_on_a_part_is_the_stamps_own_from_then_on(root, library):
    """The host puts a material that is dropped into the first slot, or links the library's."""
    dropping = importlib.import_module(f"{MODULE}.mockup.dropping")
    pictures = root.stampwright.pictures
    for link, finish, role in ((False, "Silk", "handle"), (True, "Wood", "backing")):
        with bpy.data.libraries.load(str(library), link=link) as (there, wanted):
            (name,) = wanted.materials = [each for each in there.materials if each.startswith(finish)]
        part(root, role).data.materials[0] = wanted.materials[0]
        bpy.context.view_layer.update()
        assert bpy.app.timers.is_registered(dropping.take_all)
        dropping.take_all()
        bpy.app.timers.unregister(dropping.take_all)
        assert getattr(pictures, f"{role}_finish") == finish.upper()
        assert getattr(pictures, f"{role}_colour") == name.partition(", ")[2].upper()
        shown = part(root, role).data.materials[0]
        assert "stampwright_colour" in shown
        assert tuple(shown.diffuse_color) == pytest.approx(tuple(wanted.materials[0].diffuse_color), abs=1e-3)


def test_handles_of_names_in_other_letters_have_files_of_their_own(root, library):
    own = importlib.import_module(f"{MODULE}.assets.library").own_file
    names = ("Ähre", "Öhre", "麦", "a/b", "..")
    assert len({own(name) for name in names}) == len(names)
    assert all(own(name).parent == library.parent for name in names)


@pytest.mark.sweep(1)
@pytest.mark.parametrize("scale_length", [1.0, 0.001])
def test_ones_own_handle_that_was_dropped_is_the_stamps_profile_from_then_on(
    root, live, benches, library, scale_length
):
    keep_own_handle(root, live)
    volume = benches.bench_of(root).stamp.handle.volume
    (own,) = (path for path in library.parent.glob("own *.blend"))
    other = stamp_of_a_new_file(scale_length)
    choose(dropped(own, "My Profile"))
    assert bpy.ops.stampwright.use_asset() == {"FINISHED"}
    bpy.ops.stampwright.build()
    assert other.stampwright.profile_curve.name == "My Profile"
    assert benches.bench_of(other).stamp.handle.volume == pytest.approx(volume, rel=0.02)


@pytest.mark.parametrize(
    ("kind", "name", "told"),
    [
        ("OBJECT", "none", "There is no asset none"),
        ("OBJECT", "F", "no handle, base or finish"),
        ("", "", "Choose an asset"),
    ],
)
def test_what_is_no_asset_of_ours_is_told_in_a_line(root, kind, name, told):
    choose(root)
    with pytest.raises(RuntimeError, match=told):
        bpy.ops.stampwright.use_asset(**({"kind": kind, "asset": name} if kind else {}))


def test_a_library_that_cannot_be_written_is_told_in_a_line(scene, entry):
    entry.place().parent.mkdir(exist_ok=True)
    entry.place().write_text("a file where the folder should be")
    with pytest.raises(RuntimeError, match=r"assets"):
        bpy.ops.stampwright.set_up_library("EXEC_DEFAULT")
    assert entry.entry(bpy.context) is None


def test_a_meaning_that_cannot_be_read_makes_no_asset_of_ours(root):
    drawn = curve("Odd", PROFILE, closed=False, fill="NONE")
    drawn["stampwright_asset"] = json.dumps({"settings": {}, "unknown": 1})
    choose(root)
    with pytest.raises(RuntimeError, match="no handle, base or finish"):
        bpy.ops.stampwright.use_asset(kind="OBJECT", asset="Odd")

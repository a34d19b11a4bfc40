"""Stamps in other scenes, copies of stamps, stamps from other files, and files that are left while stamps are built."""

import bpy
import numpy as np
import pytest
from drawing import choose, curve, letter_f, made, part, text
from timer import tick_until_done


@pytest.fixture
def root(scene):
    return made(curve("F", letter_f()))


def size_of(child):
    corners = np.array([vertex.co[:] for vertex in child.data.vertices]) * 1000
    return np.round(np.ptp(corners, axis=0), 2).tolist()


def picture_of(root):
    nodes = part(root, "paper").data.materials[0].node_tree.nodes
    return next(node.image for node in nodes if node.type == "TEX_IMAGE")


def look_at(scene):
    bpy.context.window.scene = scene
    bpy.context.view_layer.update()


def test_a_stamp_of_another_scene_is_built_when_one_comes_back_to_it(root, live):
    here, other = bpy.context.scene, bpy.data.scenes.new("other")
    look_at(other)
    root.stampwright.die.floor = 3.0
    tick_until_done(live)
    assert size_of(part(root, "die"))[2] == 4.2
    look_at(here)
    assert live.is_busy()
    tick_until_done(live)
    assert size_of(part(root, "die"))[2] == 5.2


def test_a_build_that_is_under_way_when_the_scene_is_left_is_taken_up_again(root, live, scheduler):
    here, other = bpy.context.scene, bpy.data.scenes.new("other")
    root.stampwright.die.floor = 3.0
    scheduler.tick()
    assert live.work_of(root) is not None
    look_at(other)
    scheduler.tick()
    assert live.work_of(root) is None
    look_at(here)
    tick_until_done(live)
    assert size_of(part(root, "die"))[2] == 5.2


def test_stamps_of_a_scene_that_is_removed_are_forgotten(root, live, scheduler):
    other = bpy.data.scenes.new("other")
    root.stampwright.die.floor = 3.0
    old = bpy.context.scene
    look_at(other)
    bpy.data.scenes.remove(old)
    bpy.data.orphans_purge(do_recursive=True)
    scheduler.tick()
    assert scheduler.tick() is None


@pytest.mark.parametrize("linked", [False, True])
def test_a_copy_has_parts_and_a_picture_of_its_own(root, live, linked):
    before = {child.stampwright.role: size_of(child) for child in root.children}
    picture = tuple(picture_of(root).size)
    choose(root, *root.children)
    bpy.ops.object.duplicate(linked=linked)
    twin = next(each for each in bpy.context.selected_objects if each.type == "EMPTY")
    twin.stampwright.base.width = 30.0
    twin.stampwright.handle.height = 60.0
    live.catch_up()
    assert {child.stampwright.role: size_of(child) for child in root.children} == before
    assert tuple(picture_of(root).size) == picture
    assert size_of(part(twin, "die"))[:2] == [30.0, 30.0]
    assert picture_of(twin) != picture_of(root)
    assert picture_of(twin).size[0] < picture[0]
    # What the user has painted it with stays, in both.
    assert part(twin, "die").data.materials[0] == part(root, "die").data.materials[0]


def test_a_copy_is_examined_by_itself_and_not_written_anew(root, live, benches):
    choose(root, *root.children)
    bpy.ops.object.duplicate()
    twin = next(each for each in bpy.context.selected_objects if each.type == "EMPTY")
    bpy.context.view_layer.update()
    assert live.is_busy()
    tick_until_done(live)
    assert benches.bench_of(twin).stamp.die.volume == benches.bench_of(root).stamp.die.volume
    assert part(twin, "paper").data.materials[0] == part(root, "paper").data.materials[0]


def saved_and_forgotten(root, tmp_path):
    collection = root.users_collection[0].name
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "file.blend"))
    bpy.ops.wm.read_homefile(use_empty=True)
    return str(tmp_path / "file.blend"), collection


def test_an_appended_stamp_follows_its_artwork(root, live, tmp_path):
    file, name = saved_and_forgotten(root, tmp_path)
    with bpy.data.libraries.load(file) as (_, here):
        here.collections = [name]
    bpy.context.scene.collection.children.link(here.collections[0])
    (root,) = [each for each in bpy.data.objects if each.stampwright.role == "stamp"]
    drawn = root.stampwright.sources[0].object
    assert drawn.library is None
    bpy.context.scene.collection.objects.link(drawn)
    bpy.context.view_layer.update()
    vertices = len(part(root, "die").data.vertices)
    drawn.data.splines[0].points.add(1)
    drawn.data.splines[0].points[-1].co = (-1.0, 2.0, 0.0, 1.0)
    bpy.context.view_layer.update()
    tick_until_done(live)
    assert len(part(root, "die").data.vertices) != vertices


def test_artwork_linked_from_another_file_is_printed(scene, live, benches, tmp_path):
    curve("F", letter_f())
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "art.blend"))
    bpy.ops.wm.read_homefile(use_empty=True)
    with bpy.data.libraries.load(str(tmp_path / "art.blend"), link=True) as (_, here):
        here.objects = ["F"]
    bpy.context.scene.collection.objects.link(here.objects[0])
    choose(here.objects[0])
    assert bpy.ops.stampwright.make_stamp() == {"FINISHED"}
    assert benches.bench_of(bpy.context.active_object).stamp.inked.area > 100


def test_a_linked_stamp_made_local_by_overriding_is_followed_or_left_alone(root, live, tmp_path):
    file, name = saved_and_forgotten(root, tmp_path)
    with bpy.data.libraries.load(file, link=True) as (_, here):
        here.collections = [name]
    scene, layer = bpy.context.scene, bpy.context.view_layer
    scene.collection.children.link(here.collections[0])
    overridden = here.collections[0].override_hierarchy_create(scene, layer, do_fully_editable=True)
    assert overridden is not None
    (root,) = [each for each in overridden.all_objects if each.type == "EMPTY"]
    live.mark(root)
    tick_until_done(live)
    assert {child.stampwright.role for child in root.children} == {"die", "backing", "handle", "paper"}


@pytest.mark.parametrize("way", ["new file", "factory settings", "opened"])
def test_leaving_the_file_ends_what_is_under_way(root, live, tmp_path, way, extension):
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "file.blend"))
    root.stampwright.die.floor = 3.0
    work = live.start(root)
    match way:
        case "new file":
            bpy.ops.wm.read_homefile(use_empty=True)
        case "factory settings":
            bpy.ops.wm.read_factory_settings(use_empty=True)
        case "opened":
            bpy.ops.wm.open_mainfile(filepath=str(tmp_path / "file.blend"))
    if way == "factory settings":
        # The host switches every add-on off for these, and this one goes without a trace.
        bpy.ops.preferences.addon_enable(module=extension.__name__)
    work.wait()
    tick_until_done(live)
    (root, *_) = [each for each in bpy.data.objects if each.stampwright.role == "stamp"] or [None]
    assert (root is None) == (way != "opened")
    if root is not None:
        assert size_of(part(root, "die"))[2] == 4.2


def test_artwork_deleted_while_it_is_built_ends_well(scene, live, benches, scheduler):
    drawn = text("Mossgate Seed Library")
    bpy.ops.stampwright.make_stamp()
    root = bpy.context.active_object
    root.stampwright.die.floor = 3.0
    scheduler.tick()
    assert live.work_of(root) is not None
    bpy.data.objects.remove(drawn)
    tick_until_done(live)
    assert size_of(part(root, "die"))[2] == 5.2
    live.mark(root)
    tick_until_done(live)
    assert "no artwork" in benches.bench_of(root).message.lower()

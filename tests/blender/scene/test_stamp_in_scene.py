"""One button makes a stamp of what is drawn; its parts live in the scene, and its job in the file."""

import importlib

import bpy
import numpy as np
import pytest
from drawing import choose, circle, curve, letter_f, made, part, plane, text
from mathutils import Vector
from names import MODULE

PARTS = {"die", "backing", "handle", "paper"}


def size_in_mm(child):
    bpy.context.view_layer.update()
    return np.array(child.dimensions) * bpy.context.scene.unit_settings.scale_length * 1000


def test_the_operator_asks_for_something_to_print(scene):
    assert not bpy.ops.stampwright.make_stamp.poll()
    curve("F", letter_f())
    assert bpy.ops.stampwright.make_stamp.poll()


def test_a_stamp_is_a_collection_with_a_root_and_its_parts(scene):
    root = made(curve("F", letter_f()))
    assert root.type == "EMPTY"
    assert {child.stampwright.role for child in root.children} == PARTS
    (collection,) = root.users_collection
    assert set(collection.objects) == {root, *root.children}
    assert size_in_mm(part(root, "die")) == pytest.approx((50.0, 50.0, 4.2), abs=0.02)
    assert size_in_mm(part(root, "handle"))[2] == pytest.approx(45.0, abs=0.02)


def test_the_parts_stand_in_each_other_face_down_on_the_paper(scene):
    root = made(curve("F", letter_f()))
    bpy.context.view_layer.update()

    def span(role):
        child = part(root, role)
        heights = [(child.matrix_world @ vertex.co).z * 1000 for vertex in child.data.vertices]
        return min(heights), max(heights)

    assert span("die") == pytest.approx((0.0, 4.2), abs=1e-3)
    assert span("backing") == pytest.approx((4.2 - 1.0, 4.2 + 3.0), abs=1e-3)
    assert span("handle")[0] == pytest.approx(4.2 + 3.0, abs=1e-3)


def test_in_use_the_face_lies_where_the_drawing_reads_right(scene, benches):
    drawn = curve("F", letter_f())
    root = made(drawn)
    bpy.context.view_layer.update()
    die = part(root, "die")
    face = np.array([die.matrix_world @ v.co - root.location for v in die.data.vertices]) * 1000
    face = face[face[:, 2] < 0.01][:, :2]
    inked = np.array(benches.bench_of(root).stamp.inked.bounds)
    assert np.array([*face.min(axis=0), *face.max(axis=0)]) == pytest.approx(inked, abs=1e-3)
    # The stem of an F is on the left: more of its outline lies there.
    assert face[:, 0].mean() < (face[:, 0].min() + face[:, 0].max()) / 2


def test_meshes_are_brought_up_to_date_in_place(scene, live):
    drawn = curve("F", letter_f())
    root = made(drawn)
    die = part(root, "die")
    mesh, paint = die.data, bpy.data.materials.new("paint")
    mesh.materials[0] = paint
    mesh["kept"] = die["kept"] = 7
    before = len(mesh.vertices)
    drawn.data.splines[0].points.add(1)
    drawn.data.splines[0].points[-1].co = (-1.0, 2.0, 0.0, 1.0)
    bpy.context.view_layer.update()
    live.catch_up()
    assert part(root, "die") == die
    assert die.data == mesh
    assert len(mesh.vertices) != before
    assert mesh.materials[0] == paint
    assert mesh["kept"] == die["kept"] == 7


def test_a_height_keeps_what_hangs_on_the_mesh(scene, live):
    root = made(curve("F", letter_f()))
    mesh = part(root, "die").data
    mesh.attributes.new("mine", "FLOAT", "POINT").data[3].value = 5.0
    root.stampwright.die.floor = 2.4
    live.catch_up()
    assert max(vertex.co.z for vertex in mesh.vertices) * 1000 == pytest.approx(4.6, abs=1e-3)
    assert mesh.attributes["mine"].data[3].value == 5.0


def test_many_stamps_stand_clear_of_each_other(scene):
    roots = [made(curve(f"F{number}", letter_f())) for number in range(3)]
    places = [root.location.x for root in roots]
    assert np.diff(sorted(places)).min() * 1000 > 100.0


def test_a_part_that_the_job_does_without_goes_and_comes_back(scene, live):
    root = made(curve("F", letter_f()))
    root.stampwright.handle.form = "none"
    root.stampwright.cushion.thickness = 2.0
    live.catch_up()
    assert part(root, "handle") is None
    assert size_in_mm(part(root, "cushion"))[2] == pytest.approx(2.0, abs=1e-3)
    root.stampwright.handle.form = "block"
    live.catch_up()
    assert part(root, "handle") is not None


def test_the_panel_finds_the_stamp_from_root_part_and_artwork(scene, extension):
    drawn = curve("F", letter_f())
    root = made(drawn)
    made(curve("other", circle(1.0)))
    stamps = __import__("sys").modules[extension.__name__ + ".scene.stamps"]
    for chosen in (root, part(root, "handle"), drawn):
        choose(chosen)
        assert stamps.stamp_of(bpy.context) == root


def test_nothing_is_left_of_a_stamp_that_cannot_be_made(scene):
    nothing = plane("edge on", [(0, 0), (1, 0), (2, 0)])
    choose(nothing)
    with pytest.raises(RuntimeError, match=r"no ink|no size|from its edge"):
        bpy.ops.stampwright.make_stamp()
    assert set(bpy.data.objects) == {nothing}
    assert not bpy.data.collections


def test_a_stamp_is_saved_and_opened_with_all_of_its_job(scene, tmp_path, live, benches):
    root = made(text("Seed"))
    root.stampwright.base.outline = "rectangle"
    root.stampwright.die.relief = 1.8
    live.catch_up()
    counts = {child.name: len(child.data.vertices) for child in root.children}
    name, built = root.name, root.stampwright.built
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "file.blend"))
    bpy.ops.wm.read_homefile(use_empty=True)
    bpy.ops.wm.open_mainfile(filepath=str(tmp_path / "file.blend"))
    root = bpy.data.objects[name]
    assert root.stampwright.base.outline == "rectangle"
    assert root.stampwright.die.relief == pytest.approx(1.8)
    assert {child.name: len(child.data.vertices) for child in root.children} == counts
    order = importlib.import_module(f"{MODULE}.building.orders").read_order(root, bpy.context.evaluated_depsgraph_get())
    assert order.shows == built, "opening a file must not build the stamp anew"
    image = next(each for each in bpy.data.images if "impression" in each.name)
    assert image.packed_file is not None
    assert image.size[0] > 1000


def test_a_stamp_is_appended_with_its_job(scene, tmp_path):
    made(text("Seed")).stampwright.die.relief = 1.6
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "file.blend"))
    bpy.ops.wm.read_homefile(use_empty=True)
    with bpy.data.libraries.load(str(tmp_path / "file.blend")) as (there, here):
        here.collections = [each for each in there.collections if each.startswith("Stamp")]
    bpy.context.scene.collection.children.link(here.collections[0])
    (root,) = [each for each in bpy.data.objects if each.stampwright.role == "stamp"]
    assert root.stampwright.die.relief == pytest.approx(1.6)
    assert {child.stampwright.role for child in root.children} == PARTS


def test_a_linked_stamp_is_left_alone(scene, tmp_path, live):
    made(text("Seed"))
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "file.blend"))
    bpy.ops.wm.read_homefile(use_empty=True)
    with bpy.data.libraries.load(str(tmp_path / "file.blend"), link=True) as (there, here):
        here.collections = [each for each in there.collections if each.startswith("Stamp")]
    bpy.context.scene.collection.children.link(here.collections[0])
    (root,) = [each for each in bpy.data.objects if each.stampwright.role == "stamp"]
    choose(root)
    live.mark(root)
    assert not live.is_busy()
    assert not bpy.ops.stampwright.repair.poll()


def test_what_is_done_in_object_mode_alone_says_so_in_others(scene):
    drawn = curve("F", letter_f())
    made(drawn)
    choose(drawn)
    bpy.ops.object.mode_set(mode="EDIT")
    for name in ("select_stamp", "duplicate_stamp", "delete_stamp", "export_finished", "show_ink"):
        with pytest.raises(RuntimeError, match="works in object mode: leave the other mode first"):
            getattr(bpy.ops.stampwright, name)()


def test_a_duplicate_is_a_stamp_of_its_own(scene, live):
    root = made(curve("F", letter_f()))
    choose(root, *root.children)
    bpy.ops.object.duplicate(linked=True)
    twin = next(each for each in bpy.context.selected_objects if each.type == "EMPTY")
    assert {child.stampwright.role for child in twin.children} == PARTS
    twin.stampwright.base.width = 30.0
    live.catch_up()
    assert size_in_mm(part(twin, "die"))[0] == pytest.approx(30.0, abs=0.02)
    assert size_in_mm(part(root, "die"))[0] == pytest.approx(50.0, abs=0.02)


def lies_on(drawn):
    """Return left, bottom, right and top of an object from above, in the scene's units."""
    corners = [drawn.matrix_world @ Vector(corner) for corner in drawn.bound_box]
    x, y = [corner.x for corner in corners], [corner.y for corner in corners]
    return min(x), min(y), max(x), max(y)


def are_clear(one, other):
    (left, bottom, right, top), (other_left, other_bottom, other_right, other_top) = lies_on(one), lies_on(other)
    return right <= other_left or other_right <= left or top <= other_bottom or other_top <= bottom


@pytest.mark.parametrize("standing", ["USE", "APART", "PRINT"])
def test_no_part_stands_on_the_sheet_however_they_stand_and_however_large_the_base_becomes(scene, standing):
    root = made(curve("F", letter_f()))
    root.stampwright.standing = standing
    for width in (50.0, 120.0, 30.0):
        root.stampwright.base.width = width
        bpy.ops.stampwright.build()
        bpy.context.view_layer.update()
        for role in ("die", "backing", "handle"):
            assert are_clear(part(root, role), part(root, "paper")), (role, width)


def test_a_sheet_that_was_put_elsewhere_stays_there(scene):
    root = made(curve("F", letter_f()))
    part(root, "paper").location = (0.3, -0.2, 0.0)
    root.stampwright.base.width = 80.0
    root.stampwright.standing = "PRINT"
    bpy.ops.stampwright.build()
    assert tuple(part(root, "paper").location) == pytest.approx((0.3, -0.2, 0.0))

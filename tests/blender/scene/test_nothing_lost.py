"""A stamp that is deleted takes along what was made for it, and nothing else."""

import bpy
import pytest
from drawing import choose, curve, letter_f, made, part

KINDS = ("objects", "meshes", "materials", "images", "collections", "node_groups")


@pytest.fixture
def drawn(scene):
    return curve("F", letter_f())


def held():
    return {kind: sorted(each.name for each in getattr(bpy.data, kind)) for kind in KINDS}


def hang(child, on):
    choose(on, child)
    assert bpy.ops.object.parent_set(type="OBJECT") == {"FINISHED"}


def place_of(each):
    bpy.context.view_layer.update()
    return each.matrix_world.copy()


def test_nothing_made_for_a_stamp_is_left_when_it_is_deleted(drawn, small_stamps):
    before = held()
    root = made(drawn)
    assert held() != before
    choose(root)
    assert bpy.ops.stampwright.delete_stamp() == {"FINISHED"}
    assert held() == before


def test_materials_and_objects_of_the_artist_stay_when_a_stamp_is_deleted(drawn, small_stamps):
    root = made(drawn)
    root.location.z = 0.5
    paint = bpy.data.materials.new("paint")
    part(root, "die").data.materials[0] = paint
    bpy.ops.mesh.primitive_cube_add(size=0.01, location=(0.3, 0.0, 0.0))
    cube = bpy.context.active_object
    hang(cube, part(root, "die"))
    hang(drawn, root)
    places = [place_of(each) for each in (cube, drawn)]
    choose(root)
    assert bpy.ops.stampwright.delete_stamp() == {"FINISHED"}
    assert bpy.data.objects["F"] == drawn
    assert bpy.data.objects["Cube"] == cube
    assert bpy.data.materials["paint"] == paint
    for each, place in zip((cube, drawn), places, strict=True):
        assert place_of(each) == place


def test_a_stamp_that_hangs_on_another_stays_when_that_is_deleted(drawn, small_stamps):
    first, second = made(drawn), made(drawn)
    hang(second, first)
    choose(first)
    assert bpy.ops.stampwright.delete_stamp() == {"FINISHED"}
    assert [each.stampwright.role for each in bpy.data.objects if each.type == "EMPTY"] == ["stamp"]
    assert part(second, "die") is not None


def test_artwork_that_hangs_on_its_stamp_is_not_duplicated_with_it(drawn, small_stamps):
    root = made(drawn)
    hang(drawn, root)
    choose(root)
    assert bpy.ops.stampwright.duplicate_stamp() == {"FINISHED"}
    assert [each.name for each in bpy.data.objects if each.type == "CURVE"] == ["F"]


def test_a_sheet_that_is_done_without_leaves_no_picture(drawn, small_stamps, live):
    root = made(drawn)
    root.stampwright.paper = False
    live.catch_up()
    assert not bpy.data.images
    assert not [each for each in bpy.data.materials if not each.users]


def test_what_a_copy_shares_stays_when_the_first_is_deleted(drawn, small_stamps, live):
    root = made(drawn)
    choose(root, *root.children)
    bpy.ops.object.duplicate(linked=True)
    twin = next(each for each in bpy.context.selected_objects if each.type == "EMPTY")
    choose(root)
    assert bpy.ops.stampwright.delete_stamp() == {"FINISHED"}
    assert all(len(child.data.vertices) and child.data.materials[0] is not None for child in twin.children)


def test_a_stamp_that_is_excluded_is_not_selected_and_said_so(drawn, small_stamps):
    root = made(drawn)
    bpy.context.view_layer.layer_collection.children[root.users_collection[0].name].exclude = True
    choose(drawn)
    with pytest.raises(RuntimeError, match="Stamp F is excluded from the view layer"):
        bpy.ops.stampwright.select_stamp()

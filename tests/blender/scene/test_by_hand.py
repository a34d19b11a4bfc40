"""What is done to a stamp by the host's own means, past its settings, is followed, told or brought back."""

import bpy
import pytest
from drawing import choose, circle, curve, letter_f, made, part, plane


def across(drawn):
    places = [vertex.co.x for vertex in drawn.data.vertices]
    return (max(places) - min(places)) * drawn.matrix_world.to_scale().x


def test_artwork_that_is_deleted_in_the_viewport_is_told_at_once(scene, small_stamps, told):
    letter, ring = curve("F", letter_f()), curve("Ring", circle(1.0, middle=(9.0, 2.0)))
    root = made(letter, ring)
    assert "artwork left out" not in told(root)
    choose(ring)
    bpy.ops.object.delete()
    assert "Ring does not print: it is in no collection" in told(root)["artwork left out"]


def test_an_outline_that_is_deleted_in_the_viewport_is_the_bases_no_more(scene, small_stamps, told, benches):
    root, ring = made(curve("F", letter_f())), curve("Ring", circle(0.012))
    root.stampwright.base.outline, root.stampwright.base_curve = "custom", ring
    told(root)
    assert benches.bench_of(root).message == ""
    choose(ring)
    bpy.ops.object.delete()
    told(root)
    assert benches.bench_of(root).message == "Pick a curve for the base"


def test_artwork_that_the_host_shows_no_more_prints_or_not_as_it_says(scene, small_stamps, told, benches):
    """The eye is for the viewport alone; what is disabled in viewports is not evaluated, without its modifiers."""
    letter, disc = curve("F", letter_f()), plane("Disc", circle(1.0, middle=(9.0, 2.0)))
    disc.modifiers.new("Array", "ARRAY")
    root = made(letter, disc)
    assert {"artwork left out", "hidden artwork"}.isdisjoint(told(root))
    whole = benches.bench_of(root).stamp.inked.area
    disc.hide_set(True)
    assert "Disc is hidden" in told(root)["hidden artwork"]
    assert benches.bench_of(root).stamp.inked.area == pytest.approx(whole)
    disc.hide_set(False)
    disc.hide_viewport = True
    found = told(root)
    assert "Disc does not print: it, or its collection, is disabled" in found["artwork left out"]
    assert "hidden artwork" not in found
    disc.hide_viewport = False
    (held,) = disc.users_collection
    away = bpy.data.collections.new("Away")
    scene.collection.children.link(away)
    away.objects.link(disc)
    held.objects.unlink(disc)
    away.hide_viewport = True
    assert "Disc does not print" in told(root)["artwork left out"]
    away.hide_viewport = False
    assert {"artwork left out", "hidden artwork"}.isdisjoint(told(root))
    assert benches.bench_of(root).stamp.inked.area == pytest.approx(whole)


def test_what_is_disabled_or_put_into_a_collection_that_an_instance_shows_is_followed(
    scene, small_stamps, told, benches
):
    held = bpy.data.collections.new("Held")
    scene.collection.children.link(held)
    letter, ring = curve("F", letter_f()), curve("Ring", circle(1.0, middle=(9.0, 2.0)))
    for each in (letter, ring):
        scene.collection.objects.unlink(each)
    held.objects.link(letter)
    bpy.ops.object.collection_instance_add(collection="Held", location=(0.0, 20.0, 0.0))
    root = made(bpy.context.active_object)

    def pieces():
        told(root)
        return len(benches.bench_of(root).stamp.inked.geoms)

    assert pieces() == 1
    held.objects.link(ring)
    assert pieces() == 2
    ring.hide_viewport = True
    assert pieces() == 1
    ring.hide_viewport = False
    assert pieces() == 2


def test_artwork_whose_collection_is_excluded_is_told_at_once(scene, small_stamps, told):
    letter, ring = curve("F", letter_f()), curve("Ring", circle(1.0, middle=(9.0, 2.0)))
    away = bpy.data.collections.new("Away")
    scene.collection.children.link(away)
    away.objects.link(ring)
    scene.collection.objects.unlink(ring)
    root = made(letter, ring)
    assert "artwork left out" not in told(root)
    bpy.context.view_layer.layer_collection.children["Away"].exclude = True
    assert "Ring" in told(root)["artwork left out"]
    bpy.context.view_layer.layer_collection.children["Away"].exclude = False
    assert "artwork left out" not in told(root)


def test_a_part_that_was_scaled_is_told_and_build_brings_it_back(scene, small_stamps, told):
    root = made(curve("F", letter_f()))
    handle = part(root, "handle")
    before = across(handle)
    handle.scale = (2.0, 2.0, 1.0)
    assert "handle" in told(root)["part changed by hand"]
    choose(root)
    bpy.ops.stampwright.build()
    assert "part changed by hand" not in told(root)
    assert across(handle) == pytest.approx(before)


def test_a_scale_that_was_applied_to_the_parts_is_told_and_build_brings_them_back(scene, small_stamps, told):
    root = made(curve("F", letter_f()))
    before = across(part(root, "die"))
    root.scale = (2.0, 2.0, 2.0)
    assert "scaled in the scene" in told(root)
    choose(root, *root.children)
    bpy.ops.object.transform_apply(location=False, rotation=False)
    found = told(root)
    assert "scaled in the scene" not in found
    assert "die" in found["part changed by hand"]
    choose(root)
    bpy.ops.stampwright.build()
    assert "part changed by hand" not in told(root)
    assert across(part(root, "die")) == pytest.approx(before)


def test_points_moved_on_a_part_are_told(scene, small_stamps, told):
    root = made(curve("F", letter_f()))
    handle = part(root, "handle")
    choose(handle)
    bpy.ops.object.mode_set(mode="EDIT")
    bpy.ops.transform.resize(value=(1.2, 1.2, 1.0))
    bpy.ops.object.mode_set(mode="OBJECT")
    assert "handle" in told(root)["part changed by hand"]


def test_a_stamp_that_is_renamed_in_the_outliner_is_called_so_in_files(scene, small_stamps, told, tmp_path):
    root = made(curve("F", letter_f()))
    told(root)
    root.name = "Owl"
    told(root)
    assert root.stampwright.job_name == "Owl"
    choose(root)
    bpy.ops.stampwright.export_files(directory=str(tmp_path))
    assert [each.name for each in tmp_path.iterdir()] == ["Owl"]


def test_a_stamp_that_is_renamed_in_its_panel_is_called_so_in_the_outliner(scene, small_stamps, told):
    root = made(curve("F", letter_f()))
    collection = root.users_collection[0]
    told(root)
    root.stampwright.job_name = "Owl"
    told(root)
    assert root.name == "Stamp Owl"
    assert collection.name == "Stamp Owl"
    assert root.stampwright.job_name == "Owl"


def test_a_duplicate_keeps_the_name_of_its_stamp(scene, small_stamps, told):
    root = made(curve("F", letter_f()))
    choose(root, *root.children)
    bpy.ops.object.duplicate()
    twin = next(each for each in bpy.data.objects if each.stampwright.role == "stamp" and each is not root)
    told(root)
    assert (root.stampwright.job_name, twin.stampwright.job_name) == ("F", "F")
    assert twin.name == "Stamp F.001"


def names_of(root):
    sheet = part(root, "paper")
    image = next(node.image for node in sheet.data.materials[0].node_tree.nodes if node.type == "TEX_IMAGE")
    parts = [name for child in root.children for name in (child.name, child.data.name)]
    return {*parts, sheet.data.materials[0].name, image.name, *(each.name for each in root.users_collection)}


@pytest.mark.parametrize("where", ["outliner", "panel"])
def test_parts_collection_and_pictures_are_renamed_along_with_their_stamp(scene, small_stamps, told, where):
    root = made(curve("F", letter_f()))
    told(root)
    before = names_of(root)
    assert all("Stamp F" in name for name in before)
    if where == "outliner":
        root.name = "Stamp Owl"
    else:
        root.stampwright.job_name = "Owl"
    told(root)
    assert names_of(root) == {name.replace("Stamp F", "Stamp Owl") for name in before}
    root.name = "Wren"
    told(root)
    assert names_of(root) == {name.replace("Stamp F", "Wren") for name in before}


def test_names_that_the_artist_gave_stay_when_a_stamp_is_renamed(scene, small_stamps, told):
    root = made(curve("F", letter_f()))
    told(root)
    part(root, "die").name = "Stamp F rubber"
    part(root, "handle").data.name = "Oak"
    root.users_collection[0].name = "Spring"
    paint = bpy.data.materials.new("Stamp F paint")
    part(root, "backing").data.materials[0] = paint
    root.name = "Owl"
    told(root)
    assert part(root, "die").name == "Stamp F rubber"
    assert (part(root, "handle").name, part(root, "handle").data.name) == ("Owl handle", "Oak")
    assert root.users_collection[0].name == "Spring"
    assert paint.name == "Stamp F paint"


def test_parts_of_a_copy_are_renamed_and_those_of_the_first_stay(scene, small_stamps, told):
    root = made(curve("F", letter_f()))
    choose(root, *root.children)
    bpy.ops.object.duplicate()
    twin = next(each for each in bpy.data.objects if each.stampwright.role == "stamp" and each is not root)
    told(root)
    twin.name = "Owl"
    told(twin)
    assert part(twin, "die").name == "Owl die"
    assert part(root, "die").name == "Stamp F die"
    assert root.name == "Stamp F"


def test_a_part_that_was_copied_alone_is_told_until_it_stands_by_itself(scene, small_stamps, told):
    root = made(curve("F", letter_f()))
    choose(part(root, "die"))
    bpy.ops.object.duplicate()
    copy = bpy.context.active_object
    assert "the die is in the scene more than once" in told(root)["part doubled"]
    choose(copy)
    bpy.ops.object.parent_clear(type="CLEAR_KEEP_TRANSFORM")
    assert "part doubled" not in told(root)

"""Which art is ink is chosen by material, layer and collection, and what is left out is told with its place."""

import bpy
import pytest
from drawing import choose, circle, curve, link, made, text

OLDER = bpy.app.version < (4, 3)


def material(name, drawn):
    made_of = bpy.data.materials.new(name)
    drawn.data.materials.append(made_of)
    return made_of


@pytest.fixture
def stamp_of(benches):
    return lambda root: benches.bench_of(root).stamp


def left_out(stamp):
    return [each for each in stamp.findings if each.kind == "artwork left out"]


def two_discs():
    """A curve with a disc in each of two materials, the second half as large and to the right."""
    drawn = curve("discs", circle(2.0), circle(1.0, middle=(6.0, 0.0)))
    material("black", drawn)
    material("red", drawn)
    drawn.data.splines[1].material_index = 1
    return drawn


def leave_out(sort, name, *, prints=False):
    assert bpy.ops.stampwright.choose_ink(sort=sort, name=name, prints=prints) == {"FINISHED"}


def test_a_material_of_a_curve_is_left_out_and_told_where(scene, stamp_of):
    root = made(two_discs())
    whole = stamp_of(root)
    assert len(whole.inked.geoms) == 2
    assert left_out(whole) == []
    leave_out("material", "red")
    stamp = stamp_of(root)
    assert len(stamp.inked.geoms) == 1
    (said,) = left_out(stamp)
    assert "material red" in said.message
    assert said.measured == pytest.approx(1 / 5, abs=0.01)  # a disc of half the width beside the other
    # It lies where it would print: to the right of what does, and a quarter of that in area.
    assert said.place.bounds[0] > stamp.inked.bounds[2]
    assert said.place.area == pytest.approx(stamp.inked.area / 4, rel=0.02)
    leave_out("material", "red", prints=True)
    assert stamp_of(root).inked.equals(whole.inked)


def test_faces_of_a_mesh_are_chosen_by_their_material(scene, stamp_of):
    mesh = bpy.data.meshes.new("net")
    mesh.from_pydata(
        [(0, 0, 0), (4, 0, 0), (4, 4, 0), (0, 4, 0), (6, 0, 0), (8, 0, 0), (8, 4, 0), (6, 4, 0)],
        [],
        [(0, 1, 2, 3), (4, 5, 6, 7)],
    )
    drawn = link("net", mesh)
    material("black", drawn)
    material("red", drawn)
    mesh.polygons[1].material_index = 1
    root = made(drawn)
    leave_out("material", "black")
    stamp = stamp_of(root)
    assert len(stamp.inked.geoms) == 1
    left, bottom, right, top = stamp.inked.bounds
    assert (top - bottom) / (right - left) == pytest.approx(2.0, rel=0.01)
    (said,) = left_out(stamp)
    assert said.place.area == pytest.approx(2 * stamp.inked.area, rel=0.01)


def test_letters_are_chosen_by_their_material(scene, stamp_of):
    drawn = text("IH")
    material("black", drawn)
    material("red", drawn)
    drawn.data.body_format[1].material_index = 1
    root = made(drawn)
    leave_out("material", "red")
    assert len(stamp_of(root).inked.geoms) == 1
    assert [each.place.bounds[0] > stamp_of(root).inked.bounds[2] for each in left_out(stamp_of(root))] == [True]


def test_what_has_no_material_can_be_left_out_too(scene, stamp_of):
    drawn = two_discs()
    plain = curve("plain", circle(1.0, middle=(0.0, 6.0)))
    root = made(drawn, plain)
    leave_out("material", "")
    (said,) = left_out(stamp_of(root))
    assert "part without a material" in said.message


def test_a_collection_is_left_out_unless_another_one_holds_its_objects(scene, stamp_of):
    notes, kept = bpy.data.collections.new("notes"), bpy.data.collections.new("kept")
    for each in (notes, kept):
        scene.collection.children.link(each)
    first, second = curve("first", circle(2.0)), curve("second", circle(1.0, middle=(6.0, 0.0)))
    for drawn in (first, second):
        for held in list(drawn.users_collection):
            held.objects.unlink(drawn)
    kept.objects.link(first)
    notes.objects.link(second)
    root = made(first, second)
    leave_out("collection", "notes")
    assert len(stamp_of(root).inked.geoms) == 1
    assert "collection notes" in left_out(stamp_of(root))[0].message
    kept.objects.link(second)
    bpy.context.view_layer.update()
    assert bpy.ops.stampwright.build() == {"FINISHED"}
    assert len(stamp_of(root).inked.geoms) == 2


def pencil():
    """Two strokes on two layers of Grease Pencil."""
    newer = "grease_pencils" if OLDER or bpy.app.version >= (5, 0) else "grease_pencils_v3"
    data = getattr(bpy.data, newer).new("drawn")
    for name, high in (("ink", 0.0), ("sketch", 3.0)):
        layer = data.layers.new(name)
        frame = layer.frames.new(bpy.context.scene.frame_current)
        if OLDER:
            stroke = frame.strokes.new()
            stroke.display_mode, stroke.line_width = "3DSPACE", 1000
            stroke.points.add(2)
        else:
            frame.drawing.add_strokes([2])
            stroke = frame.drawing.strokes[-1]
        for point, x in zip(stroke.points, (0.0, 4.0), strict=True):
            if OLDER:
                point.co, point.pressure = (x, high, 0.0), 1.0
            else:
                point.position, point.radius = (x, high, 0.0), 0.5
    return link("drawn", data)


def test_a_layer_of_grease_pencil_is_left_out_and_a_hidden_one_is_told(scene, stamp_of):
    drawn = pencil()
    root = made(drawn)
    assert len(stamp_of(root).inked.geoms) == 2
    leave_out("layer", "sketch")
    assert len(stamp_of(root).inked.geoms) == 1
    assert "layer sketch" in left_out(stamp_of(root))[0].message
    leave_out("layer", "sketch", prints=True)
    drawn.data.layers[1].hide = True
    assert bpy.ops.stampwright.build() == {"FINISHED"}
    (said,) = left_out(stamp_of(root))
    assert "hidden layer sketch" in said.message
    assert said.place.bounds[1] > stamp_of(root).inked.bounds[3]


def test_all_that_is_drawn_left_out_is_one_clear_line(scene):
    drawn = two_discs()
    root = made(drawn)
    leave_out("material", "red")
    with pytest.raises(RuntimeError, match="left out"):
        leave_out("material", "black")
    choose(root)
    leave_out("material", "black", prints=True)


def test_the_choice_is_kept_in_the_file(scene, stamp_of, tmp_path):
    root = made(two_discs())
    leave_out("material", "red")
    name = root.name
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "file.blend"))
    bpy.ops.wm.open_mainfile(filepath=str(tmp_path / "file.blend"))
    root = bpy.data.objects[name]
    choose(root)
    assert bpy.ops.stampwright.build() == {"FINISHED"}
    assert len(stamp_of(root).inked.geoms) == 1

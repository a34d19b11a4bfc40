"""What the host's own Add menu makes, at its defaults, prints as the host shows it, or is refused in a line."""

import bpy
import pytest
from drawing import choose
from test_artwork_from_scene import agreement

OLDER = bpy.app.version < (4, 3)
ops = bpy.ops


def filled(done):
    """Have the curve that was just added filled, as in its Shape panel."""
    bpy.context.active_object.data.dimensions = "2D"
    bpy.context.active_object.data.fill_mode = "BOTH"
    return done


SOLID = {
    "surface": ops.surface.primitive_nurbs_surface_surface_add,
    "surface sphere": ops.surface.primitive_nurbs_surface_sphere_add,
    "surface torus": ops.surface.primitive_nurbs_surface_torus_add,
    "metaball": lambda: ops.object.metaball_add(type="BALL"),
    "metaball capsule": lambda: ops.object.metaball_add(type="CAPSULE"),
    "monkey": ops.mesh.primitive_monkey_add,
    "torus": ops.mesh.primitive_torus_add,
    "grid": ops.mesh.primitive_grid_add,
    "text": ops.object.text_add,
    "nurbs circle": lambda: filled(ops.curve.primitive_nurbs_circle_add()),
    "bezier circle": lambda: filled(ops.curve.primitive_bezier_circle_add()),
}
"""What has faces, all of which print, as seen from above."""

LINES = {
    "bezier": ops.curve.primitive_bezier_curve_add,
    "nurbs path": ops.curve.primitive_nurbs_path_add,
    "mesh circle": ops.mesh.primitive_circle_add,
    "nurbs curve surface": ops.surface.primitive_nurbs_surface_curve_add,
}
"""What has no faces and prints as lines."""

NOTHING = {
    "lattice": lambda: ops.object.add(type="LATTICE"),
    "armature": ops.object.armature_add,
    "light": lambda: ops.object.light_add(type="SUN"),
    "empty": ops.object.empty_add,
    "mesh of nothing": lambda: ops.object.add(type="MESH"),
}
"""What nothing can be printed of."""


@pytest.fixture
def stamp_of(benches):
    """Return a function from objects to the stamp that is made of them."""

    def made(*drawn):
        choose(*drawn)
        assert ops.stampwright.make_stamp() == {"FINISHED"}
        return benches.bench_of(bpy.context.active_object).stamp

    return made


@pytest.mark.sweep(4)
@pytest.mark.parametrize("kind", SOLID)
def test_what_has_faces_prints_as_it_looks_from_above(scene, stamp_of, kind):
    assert SOLID[kind]() == {"FINISHED"}
    drawn = bpy.context.active_object
    assert agreement([drawn], stamp_of(drawn).inked) > 0.97


@pytest.mark.sweep(2)
@pytest.mark.parametrize("kind", LINES)
def test_what_has_no_faces_prints_as_lines_of_the_usual_width(scene, stamp_of, kind):
    assert LINES[kind]() == {"FINISHED"}
    drawn = bpy.context.active_object
    inked = stamp_of(drawn).inked
    # A line of 1 mm: its area is its length times that, and half of its outline is its length.
    assert inked.area == pytest.approx(inked.length / 2.0, rel=0.12)


@pytest.mark.sweep(2)
@pytest.mark.parametrize("kind", NOTHING)
def test_what_nothing_can_be_printed_of_is_refused_in_a_line_and_leaves_nothing(scene, kind):
    assert NOTHING[kind]() == {"FINISHED"}
    choose(bpy.context.active_object)
    before = set(bpy.data.objects)
    with pytest.raises(RuntimeError) as told:
        ops.stampwright.make_stamp()
    assert "Traceback" not in str(told.value)
    assert len(str(told.value).strip().splitlines()) == 1
    assert set(bpy.data.objects) == before


def test_hair_that_the_host_adds_to_be_combed_is_refused_in_a_line_until_there_is_any(scene):
    assert ops.mesh.primitive_plane_add() == {"FINISHED"}
    assert ops.object.curves_empty_hair_add() == {"FINISHED"}
    hair = bpy.context.active_object
    assert hair.type == "CURVES"
    choose(hair)
    before = set(bpy.data.objects)
    with pytest.raises(RuntimeError, match="nothing is drawn in it"):
        ops.stampwright.make_stamp()
    assert set(bpy.data.objects) == before


def test_an_empty_layer_that_comes_while_a_stamp_follows_its_pencil_stops_nothing(scene, stamp_of, live):
    add = ops.object.gpencil_add if OLDER else ops.object.grease_pencil_add
    assert add(type="STROKE") == {"FINISHED"}
    drawn = bpy.context.active_object
    before = stamp_of(drawn)
    layer = drawn.data.layers.new("empty", set_active=True)
    layer.frames.new(scene.frame_current)
    bpy.context.view_layer.update()
    live.look_again()
    live.catch_up()
    ops.stampwright.build()
    after = stamp_of(drawn)
    assert after.inked.equals(before.inked)


def test_text_that_the_host_lays_out_nowhere_is_named_in_a_line(scene):
    """A box with text justified and shrunk to fit it: the host gives its letters infinite places."""
    ops.object.text_add()
    data = bpy.context.active_object.data
    data.body, data.align_x, data.overflow = "Mossgate seed library of the vale", "JUSTIFY", "SCALE"
    data.text_boxes[0].width, data.text_boxes[0].height = 3.0, 2.0
    bpy.context.view_layer.update()
    with pytest.raises(RuntimeError, match="Text has points that are nowhere"):
        ops.stampwright.make_stamp()

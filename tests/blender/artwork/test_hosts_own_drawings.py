"""What an artist draws with the host's own operators at their defaults prints as the host shows it."""

import math

import bpy
import numpy as np
import pytest
from drawing import choose
from mathutils import Matrix

OLDER = bpy.app.version < (4, 3)
BY_STROKE = bpy.app.version >= (5, 2)


def add_pencil(kind, **given):
    add = bpy.ops.object.gpencil_add if OLDER else bpy.ops.object.grease_pencil_add
    assert add(type=kind, **given) == {"FINISHED"}
    return bpy.context.active_object


@pytest.fixture
def stamp_of(benches):
    """Return a function from objects to the stamp that is made of them."""

    def made(*drawn):
        choose(*drawn)
        assert bpy.ops.stampwright.make_stamp() == {"FINISHED"}
        return benches.bench_of(bpy.context.active_object).stamp

    return made


def size_of(stamp):
    left, bottom, right, top = stamp.inked.bounds
    return right - left, top - bottom


def kinds_in(stamp):
    return {finding.kind for finding in stamp.findings}


def test_an_added_stroke_prints_though_it_stands_upright_beside_an_empty_layer(scene, stamp_of):
    drawn = add_pencil("STROKE")
    stamp = stamp_of(drawn)
    width, height = size_of(stamp)
    # The host draws it in front view; its bounding box there is the drawing's.
    (left, front, low), (right, back, high) = np.min(drawn.bound_box, axis=0), np.max(drawn.bound_box, axis=0)
    assert back - front < 0.2 * (high - low)
    assert width / height == pytest.approx((right - left) / (high - low), rel=0.15)
    assert "turned artwork" in kinds_in(stamp)
    assert "artwork left out" not in kinds_in(stamp)


def test_an_added_monkey_prints_its_fills_and_lines(scene, stamp_of):
    stamp = stamp_of(add_pencil("MONKEY"))
    width, height = size_of(stamp)
    # Its fills make most of it one area; lines alone would cover a fraction of that.
    assert stamp.inked.area > 0.4 * width * height


def test_a_layer_that_the_host_masks_is_told(scene, stamp_of):
    drawn = add_pencil("MONKEY")
    layers = drawn.data.layers
    fills, lines = (layer.info if OLDER else layer.name for layer in layers)
    layers.active = layers[0]
    room = bpy.ops.gpencil if OLDER else bpy.ops.grease_pencil
    assert room.layer_mask_add(name=lines) == {"FINISHED"}
    assert "masked layer" not in kinds_in(stamp_of(drawn))
    setattr(layers[0], "use_mask_layer" if OLDER else "use_masks", True)
    (told,) = [each for each in stamp_of(drawn).findings if each.kind == "masked layer"]
    assert f"the layer {fills} of {drawn.name} is masked" in told.message


def test_an_empty_drawing_is_refused_in_one_line_and_leaves_nothing(scene):
    choose(add_pencil("EMPTY"))
    before = set(bpy.data.objects)
    with pytest.raises(RuntimeError, match="nothing is drawn in it"):
        bpy.ops.stampwright.make_stamp()
    assert set(bpy.data.objects) == before


def test_an_empty_drawing_beside_another_is_told(scene, stamp_of):
    bpy.ops.curve.primitive_bezier_circle_add()
    ring = bpy.context.active_object
    ring.data.dimensions = "2D"
    empty = add_pencil("EMPTY")
    stamp = stamp_of(ring, empty)
    (told,) = [each for each in stamp.findings if each.kind == "artwork left out"]
    assert empty.name in told.message


def stroke_of(drawn, places, radius, kind):
    """Draw one stroke with the host's own values, and turn it into another kind of curve by its operator."""
    drawing = drawn.data.layers[0].frames[0].drawing
    drawing.add_strokes([len(places)])
    for point, place in zip(drawing.strokes[-1].points, places, strict=True):
        point.position, point.radius = (*place, 0.0), radius
    choose(drawn)
    bpy.ops.object.mode_set(mode="EDIT")
    bpy.ops.grease_pencil.select_all(action="SELECT")
    bpy.ops.grease_pencil.cyclical_set(type="CLOSE", subdivide_cyclic_segment=False)
    bpy.ops.grease_pencil.set_curve_type(type=kind, use_handles=kind == "BEZIER")
    if kind == "BEZIER":
        bpy.ops.grease_pencil.set_handle_type(type="AUTO")
    bpy.ops.object.mode_set(mode="OBJECT")
    return drawing


@pytest.mark.skipif(OLDER, reason="strokes are curves from 4.3 on")
@pytest.mark.parametrize("kind", ["POLY", "CATMULL_ROM", "BEZIER", "NURBS"])
def test_strokes_of_each_kind_run_as_the_host_draws_them(scene, stamp_of, kind):
    drawn = add_pencil("EMPTY")
    if not drawn.data.layers:
        drawn.data.layers.new("ink").frames.new(scene.frame_current)
    square = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)]
    stroke_of(drawn, square, 0.1, kind)
    stamp = stamp_of(drawn)
    # The host's own conversion to a mesh of points along the stroke, which it evaluates itself.
    choose(drawn)
    assert bpy.ops.object.convert(target="CURVES" if BY_STROKE else "CURVE", keep_original=True) == {"FINISHED"}
    assert bpy.ops.object.convert(target="MESH") == {"FINISHED"}
    points = np.array([vertex.co for vertex in bpy.context.active_object.data.vertices])
    reach = np.hypot(points[:, 0], points[:, 1])
    width, _ = size_of(stamp)
    scale = width / (2 * (np.abs(points[:, 0]).max() + 0.1))
    (hole,) = getattr(stamp.inked, "geoms", [stamp.inked])[0].interiors
    ring = np.array(hole.coords) / scale
    middle = (np.min(ring, axis=0) + np.max(ring, axis=0)) / 2
    inner = np.hypot(*(ring - middle).T)
    # Inside a corner of straight lines the edges meet further in.
    inset = 0.1 * math.sqrt(2) if kind == "POLY" else 0.1
    assert inner.max() == pytest.approx(reach.max() - inset, abs=0.02)
    assert inner.min() == pytest.approx(reach.min() - inset, abs=0.02)


def test_a_bevelled_ring_drawn_in_front_view_and_turned_flat_keeps_its_breadth(scene, stamp_of):
    bpy.ops.curve.primitive_bezier_circle_add(radius=1.0, rotation=(math.pi / 2, 0.0, 0.0))
    ring = bpy.context.active_object
    bpy.ops.object.transform_apply(rotation=True)
    ring.data.bevel_depth = 0.1
    ring.rotation_euler.x = -math.pi / 2
    bpy.context.view_layer.update()
    stamp = stamp_of(ring)
    width, _ = size_of(stamp)
    scale = width / 2.2
    assert stamp.inked.area / scale**2 == pytest.approx(math.pi * (1.1**2 - 0.9**2), rel=0.01)


@pytest.mark.sweep(2)
@pytest.mark.parametrize("turn", ["flat", "upright", "askew"])
def test_a_pencil_line_is_as_broad_however_it_lies(scene, stamp_of, turn):
    drawn = add_pencil("STROKE")
    flat = stamp_of(drawn)
    share = flat.inked.area / (size_of(flat)[0] * size_of(flat)[1])
    drawn.matrix_world = {
        "flat": Matrix.Rotation(-math.pi / 2, 4, "X"),
        "upright": Matrix.Rotation(math.pi / 2, 4, "Z"),
        "askew": Matrix.Rotation(0.7, 4, "X"),
    }[turn]
    bpy.context.view_layer.update()
    choose(drawn)
    assert bpy.ops.stampwright.make_stamp() == {"FINISHED"}
    root = bpy.context.active_object
    root.stampwright.sources[0].plane = "FITTED"
    bpy.ops.stampwright.build()
    stamp = stamp_again(root)
    assert stamp.inked.area / (size_of(stamp)[0] * size_of(stamp)[1]) == pytest.approx(share, rel=0.02)


def stamp_again(root):
    import importlib

    from names import MODULE

    return importlib.import_module(f"{MODULE}.building.benches").bench_of(root).stamp


def test_a_ring_scaled_unevenly_is_as_broad_as_the_hosts_tube(scene, stamp_of):
    bpy.ops.curve.primitive_bezier_circle_add(radius=1.0)
    ring = bpy.context.active_object
    ring.data.bevel_depth, ring.data.bevel_resolution = 0.1, 12
    ring.scale = (3.0, 1.0, 1.0)
    bpy.context.view_layer.update()
    width, height = size_of(stamp_of(ring))
    assert width / height == pytest.approx(3.0, rel=0.01)


def test_art_askew_is_told_and_its_own_face_mends_it(scene, stamp_of):
    bpy.ops.object.text_add(rotation=(math.radians(50), 0.0, 0.0))
    drawn = bpy.context.active_object
    stamp = stamp_of(drawn)
    (told,) = [each for each in stamp.findings if each.kind == "tilted artwork"]
    assert "64%" in told.message.replace("\N{NO-BREAK SPACE}%", "%")
    root = bpy.context.active_object
    root.stampwright.sources[0].plane = "FITTED"
    bpy.ops.stampwright.build()
    assert "tilted artwork" not in kinds_in(stamp_again(root))


def test_a_text_that_stands_upright_reads_from_its_front(scene, stamp_of):
    bpy.ops.object.text_add()
    drawn = bpy.context.active_object
    lying = stamp_of(drawn)
    drawn.rotation_euler = (math.pi / 2, 0.0, 0.0)
    bpy.context.view_layer.update()
    standing = stamp_of(drawn)
    assert standing.inked.symmetric_difference(lying.inked).area < 1e-3 * lying.inked.area


def test_art_in_an_excluded_collection_is_told(scene, stamp_of, benches):
    bpy.ops.object.text_add()
    kept = bpy.context.active_object
    away = bpy.data.collections.new("away")
    scene.collection.children.link(away)
    bpy.ops.curve.primitive_bezier_circle_add()
    ring = bpy.context.active_object
    ring.data.dimensions = "2D"
    for held in list(ring.users_collection):
        held.objects.unlink(ring)
    away.objects.link(ring)
    stamp_of(kept, ring)
    root = bpy.context.active_object
    bpy.context.view_layer.layer_collection.children["away"].exclude = True
    bpy.ops.stampwright.build()
    (told,) = [each for each in benches.bench_of(root).stamp.findings if each.kind == "artwork left out"]
    assert ring.name in told.message


@pytest.mark.parametrize("kind", ["grid", "cylinder", "text"])
def test_what_is_seen_from_its_edge_says_so_and_what_to_do(scene, stamp_of, benches, kind):
    """A sheet on edge and a tube without ends cover nothing from above; a cube's sides do no harm."""
    upright = (math.pi / 2, 0.0, 0.0)
    if kind == "grid":
        bpy.ops.mesh.primitive_grid_add(rotation=upright)
    elif kind == "text":
        bpy.ops.object.text_add(rotation=upright)
    else:
        bpy.ops.surface.primitive_nurbs_surface_cylinder_add()
    edgewise = bpy.context.active_object
    bpy.ops.mesh.primitive_cube_add(location=(5.0, 0.0, 0.0))
    block = bpy.context.active_object
    assert "artwork left out" not in kinds_in(stamp_of(block))
    choose(edgewise, block)
    bpy.ops.stampwright.make_stamp()
    root = bpy.context.active_object
    for source in root.stampwright.sources:
        source.plane = "ABOVE"
    bpy.ops.stampwright.build()
    told = [each for each in benches.bench_of(root).stamp.findings if each.kind == "artwork left out"]
    assert len(told) == 1
    assert "edge" in told[0].message
    for source in root.stampwright.sources:
        source.plane = "FRONT"
    bpy.ops.stampwright.build()
    assert not [each for each in benches.bench_of(root).stamp.findings if each.kind == "artwork left out"]

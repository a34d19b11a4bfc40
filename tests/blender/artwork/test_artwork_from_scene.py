"""What prints is what is seen from above, whatever it is drawn with and however it is turned, scaled and parented."""

import math

import bpy
import numpy as np
import pytest
from drawing import circle, curve, letter_f, link, made, part, plane, seen_from_above, text
from mathutils import Matrix, Vector


def ink_of(root, benches):
    return benches.bench_of(root).stamp.inked


def agreement(drawn, inked):
    """Return intersection over union of what the host shows from above and the ink, both scaled to their bounds."""
    import shapely

    picture, (left, bottom, right, top) = seen_from_above(drawn)
    rows, columns = picture.shape
    low_x, low_y, high_x, high_y = inked.bounds
    x = low_x + (np.arange(columns) + 0.5) * (high_x - low_x) / columns
    y = low_y + (np.arange(rows) + 0.5) * (high_y - low_y) / rows
    shapely.prepare(inked)
    inside = shapely.contains_xy(inked, *np.meshgrid(x, y))
    assert (high_x - low_x) / (high_y - low_y) == pytest.approx((right - left) / (top - bottom), rel=0.01)
    return (picture & inside).sum() / (picture | inside).sum()


def nurbs_ring():
    data = bpy.data.curves.new("nurbs", "CURVE")
    data.dimensions, data.fill_mode, data.resolution_u = "2D", "BOTH", 64
    spline = data.splines.new("NURBS")
    spline.points.add(7)
    for point, (x, y) in zip(spline.points, circle(2.0, 8), strict=True):
        point.co = (x, 0.7 * y + 0.3 * x, 0.0, 1.0 if x > 0 else 2.0)
    spline.order_u, spline.use_cyclic_u = 4, True
    return link("nurbs", data)


def open_nurbs(**flags):
    data = bpy.data.curves.new("nurbs", "CURVE")
    data.dimensions, data.resolution_u, data.bevel_depth, data.bevel_resolution = "3D", 64, 0.1, 8
    spline = data.splines.new("NURBS")
    points = [(0, 0), (1, 3), (3, -1), (5, 2), (6, 0)]
    spline.points.add(len(points) - 1)
    for point, (x, y) in zip(spline.points, points, strict=True):
        point.co = (x, y, 0.0, 1.0)
    spline.order_u = 4
    for name, value in flags.items():
        setattr(spline, name, value)
    return link("nurbs", data)


def bezier_line():
    drawn = curve("line", [(0, 0), (2, 1.5), (4, 0), (6, 1)], closed=False, kind="BEZIER", dimensions="3D")
    drawn.data.bevel_depth, drawn.data.bevel_resolution, drawn.data.resolution_u = 0.15, 8, 64
    return drawn


def bezier_ring():
    drawn = curve("ring", circle(3.0, 5), circle(1.5, 5), kind="BEZIER")
    drawn.data.resolution_u = 64
    return drawn


def tapering():
    drawn = bezier_line()
    for point, radius in zip(drawn.data.splines[0].bezier_points, (0.3, 1.5, 0.8, 2.0), strict=True):
        point.radius = radius
    return drawn


def with_modifier():
    drawn = plane("F", letter_f())
    modifier = drawn.modifiers.new("twice", "ARRAY")
    modifier.count, modifier.relative_offset_displace = 2, (1.2, 0.3, 0.0)
    return drawn


DRAWINGS = {
    "poly": lambda: curve("F", letter_f()),
    "poly with a hole": lambda: curve("O", circle(2.0), circle(1.0)),
    "bezier": bezier_ring,
    "nurbs loop with weights": nurbs_ring,
    "nurbs clamped": lambda: open_nurbs(use_endpoint_u=True),
    "line with a bevel": bezier_line,
    "line with radii": tapering,
    "text": lambda: text("Rag"),
    "mesh": lambda: plane("F", letter_f()),
    "mesh with modifier": with_modifier,
}


@pytest.mark.sweep(5)
@pytest.mark.parametrize("kind", DRAWINGS)
def test_ink_is_what_the_host_shows_from_above(scene, benches, kind):
    drawn = DRAWINGS[kind]()
    root = made(drawn)
    assert agreement([drawn], ink_of(root, benches)) > 0.985


@pytest.mark.sweep(4)
@pytest.mark.parametrize(
    "turned",
    [
        Matrix.Scale(-1, 4, (1, 0, 0)),
        Matrix.Rotation(math.radians(33), 4, "Z"),
        Matrix.Rotation(math.radians(40), 4, "X") @ Matrix.Scale(2.5, 4),
        Matrix.Rotation(math.radians(180), 4, "Y"),
    ],
    ids=["negative scale", "turned", "tilted and scaled", "seen from behind"],
)
@pytest.mark.parametrize("kind", ["poly", "text", "mesh"])
def test_ink_follows_the_transform(scene, benches, kind, turned):
    drawn = DRAWINGS[kind]()
    drawn.matrix_world = turned
    bpy.context.view_layer.update()
    root = made(drawn)
    assert agreement([drawn], ink_of(root, benches)) > 0.985


def test_an_unclamped_spline_ends_where_the_host_ends_it(scene, benches, core):
    drawn = open_nurbs(use_endpoint_u=False)
    drawn.data.bevel_depth = 0.0
    bpy.context.view_layer.update()
    depsgraph = bpy.context.evaluated_depsgraph_get()
    mesh = drawn.evaluated_get(depsgraph).to_mesh()
    host = np.array([vertex.co[:2] for vertex in mesh.vertices])
    root = made(drawn)
    inked = ink_of(root, benches)
    scale = (inked.bounds[2] - inked.bounds[0] - 1.0) / np.ptp(host[:, 0])
    assert scale == pytest.approx((inked.bounds[3] - inked.bounds[1] - 1.0) / np.ptp(host[:, 1]), rel=2e-3)


def test_ink_follows_parents(scene, benches):
    drawn = curve("F", letter_f())
    outer, inner = (bpy.data.objects.new(name, None) for name in ("outer", "inner"))
    for each in (outer, inner):
        scene.collection.objects.link(each)
    inner.parent, drawn.parent = outer, inner
    outer.scale, inner.rotation_euler.z = (-2.0, 1.0, 1.0), 0.6
    bpy.context.view_layer.update()
    root = made(drawn)
    assert agreement([drawn], ink_of(root, benches)) > 0.985


def test_several_objects_print_together(scene, benches):
    drawn = [curve("F", letter_f()), text("ab", 2.0), plane("dot", circle(0.8, 24))]
    drawn[1].location, drawn[2].location = (5, 0, 0.2), (7, 4, 0)
    bpy.context.view_layer.update()
    root = made(*drawn)
    assert len(root.stampwright.sources) == 3
    assert agreement(drawn, ink_of(root, benches)) > 0.985


@pytest.mark.parametrize("scale", [1.0, 0.001, 0.01])
def test_true_size_is_true_at_every_unit_scale(scene, benches, scale):
    scene.unit_settings.scale_length = scale
    unit = 0.001 / scale
    root = made(curve("F", letter_f(6 * unit)))
    root.stampwright.layout.size_by = "page"
    bpy.ops.stampwright.build()
    left, bottom, right, top = ink_of(root, benches).bounds
    assert (right - left, top - bottom) == pytest.approx((24.0, 30.0), abs=1e-3)
    bpy.context.view_layer.update()
    die = part(root, "die")
    assert np.array(die.dimensions) * scale * 1000 == pytest.approx((50.0, 50.0, 4.2), abs=0.02)
    assert die.matrix_world.translation.z * scale * 1000 == pytest.approx(4.2, abs=1e-3)


def test_parts_follow_the_unit_scale(scene, live):
    root = made(curve("F", letter_f()))
    die = part(root, "die")
    scene.unit_settings.scale_length = 0.01
    live.look_again()
    live.catch_up()
    bpy.context.view_layer.update()
    assert die.dimensions.x == pytest.approx(5.0, abs=0.002)


def test_a_closed_curve_in_space_is_filled_and_an_open_one_a_line(scene, benches):
    bpy.ops.curve.primitive_bezier_circle_add(radius=1.0)
    root = made(bpy.context.active_object)
    left, _, right, _ = ink_of(root, benches).bounds
    assert ink_of(root, benches).area == pytest.approx(math.pi * ((right - left) / 2) ** 2, rel=2e-3)
    root = made(curve("open", [(0, 0), (3, 0)], closed=False, dimensions="3D"))
    left, bottom, right, top = ink_of(root, benches).bounds
    assert top - bottom == pytest.approx(1.0, abs=0.02), "the line's width is that on paper"


def test_a_closed_curve_can_be_drawn_as_a_line(scene, benches):
    root = made(curve("O", circle(1.0)))
    root.stampwright.sources[0].drawn_as = "LINE"
    root.stampwright.sources[0].line_width = 2.0
    bpy.ops.stampwright.build()
    inked = ink_of(root, benches)
    outer = (inked.bounds[2] - inked.bounds[0]) / 2
    assert inked.area == pytest.approx(math.pi * (outer**2 - (outer - 2.0) ** 2), rel=0.01)


def test_a_stamp_of_a_file_stands_beside_the_curves_of_the_file(scene, artwork_folder):
    bpy.ops.stampwright.import_artwork(filepath=str(artwork_folder / "ownership-mark.svg"))
    bpy.context.view_layer.update()
    root = bpy.context.active_object
    curves = root.stampwright.sources[0].object
    right_edge = max((curves.matrix_world @ Vector(corner)).x for corner in curves.bound_box)
    # Metres: half the base, and the room between.
    assert 0.025 < root.location.x - right_edge < 0.1


def test_an_svg_becomes_curves_and_a_stamp(scene, benches, artwork_folder, core):
    path = artwork_folder / "ownership-mark.svg"
    read = core("artwork").read_artwork(path).inked
    assert bpy.ops.stampwright.import_artwork(filepath=str(path), become="CURVES") == {"FINISHED"}
    drawn = next(each for each in bpy.data.objects if each.type == "CURVE")
    bpy.context.view_layer.update()
    left, bottom, right, top = read.bounds
    assert np.array(drawn.dimensions[:2]) * 1000 == pytest.approx((right - left, top - bottom), rel=1e-4)
    assert agreement([drawn], read) > 0.985
    assert bpy.ops.stampwright.import_artwork(filepath=str(path), become="STAMP") == {"FINISHED"}
    root = bpy.context.active_object
    assert root.stampwright.artwork_file == str(path)
    assert not root.stampwright.sources
    inked = ink_of(root, benches)
    scale = (inked.bounds[2] - inked.bounds[0]) / (right - left)
    assert inked.area / scale**2 == pytest.approx(read.area, rel=1e-3)


@pytest.mark.parametrize(
    ("name", "content"), [("none.svg", None), ("bad.svg", "<svg"), ("bad.png", "no picture"), ("bad.toml", "= 3")]
)
def test_a_bad_file_is_refused_in_one_line(scene, tmp_path, name, content):
    path = tmp_path / name
    if content is not None:
        path.write_text(content)
    with pytest.raises(RuntimeError) as told:
        bpy.ops.stampwright.import_artwork(filepath=str(path), become="STAMP")
    assert name in str(told.value)
    assert "Traceback" not in str(told.value)
    assert not bpy.data.objects


def test_the_drawing_itself_is_never_touched(scene):
    drawn = curve("F", letter_f())
    before = [tuple(point.co) for point in drawn.data.splines[0].points]
    matrix = drawn.matrix_world.copy()
    made(drawn)
    bpy.ops.stampwright.repair()
    assert [tuple(point.co) for point in drawn.data.splines[0].points] == before
    assert drawn.matrix_world == matrix
    assert set(drawn.keys()) <= {"stampwright"}

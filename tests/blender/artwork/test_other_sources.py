"""Hair curves, reference images and a view that was chosen print as the host shows them."""

import bpy
import numpy as np
import pytest
from drawing import choose, curve, letter_f, link
from mathutils import Euler
from names import ROOT
from PIL import Image, ImageDraw


@pytest.fixture
def made(benches):
    """Return a function from objects to the root of the stamp that is made of them, and the stamp."""

    def make(*drawn):
        choose(*drawn)
        assert bpy.ops.stampwright.make_stamp() == {"FINISHED"}
        root = bpy.context.active_object
        return root, benches.bench_of(root)

    return make


def size_of(stamp):
    left, bottom, right, top = stamp.inked.bounds
    return right - left, top - bottom


def hair(*courses, radius=0.05):
    """Return hair curves through these points, of the host's default kind, which is straight between two."""
    data = bpy.data.hair_curves.new("Hair")
    data.add_curves([len(course) for course in courses])
    data.attributes["position"].data.foreach_set("vector", np.array(courses, dtype=np.float32).ravel())
    radii = data.attributes.get("radius") or data.attributes.new("radius", "FLOAT", "POINT")
    radii.data.foreach_set("value", np.full(sum(map(len, courses)), radius, dtype=np.float32))
    return link("Hair", data)


def test_hair_curves_print_as_lines_of_their_radius(scene, made):
    _, bench = made(hair([(0, 0, 0), (2, 0, 0)], [(0, 1, 0), (2, 1, 0)]))
    stamp = bench.stamp
    width, height = size_of(stamp)
    # Two lines 0.1 broad with round ends, 1 apart from middle to middle and 2 long.
    assert width / height == pytest.approx(2.1 / 1.1, rel=1e-3)
    wanted = 2 * (2 * 0.1 + np.pi * 0.05**2) * (width / 2.1) ** 2
    assert stamp.inked.area == pytest.approx(wanted, rel=2e-3)


@pytest.fixture
def picture(tmp_path):
    """A black F on white, 500 by 600 pixels, as an image of the host's."""
    drawn = Image.new("L", (500, 600), 255)
    corners = [(100 * x + 50, 550 - 100 * y) for x, y in letter_f()]
    ImageDraw.Draw(drawn).polygon(corners, fill=0)
    drawn.save(tmp_path / "letter.png")
    return bpy.data.images.load(str(tmp_path / "letter.png"))


def reference(image, **about):
    empty = link("Reference", None)
    empty.empty_display_type, empty.data = "IMAGE", image
    for name, value in about.items():
        setattr(empty, name, value)
    bpy.context.view_layer.update()
    return empty


def test_a_reference_image_is_traced_where_it_stands(scene, made, picture):
    root, bench = made(reference(picture, empty_display_size=3.0))
    width, height = size_of(bench.stamp)
    assert width / height == pytest.approx(4 / 5, rel=0.01)
    # The longer side, 600 pixels, is 3 m: the letter's 500 are 2.5 m.
    assert bench.stamp.layout.scale == pytest.approx(height / 2500.0, rel=0.01)
    assert bench.stamp.inked.area / (width * height) == pytest.approx(10 / 20, rel=0.03)
    letter = curve("F", letter_f())
    _, other = made(letter)
    assert len(other.stamp.inked.geoms) == len(bench.stamp.inked.geoms)
    root.stampwright.tracing.negative = True
    choose(root)
    bpy.ops.stampwright.build()
    assert size_of(bench.stamp)[0] / size_of(bench.stamp)[1] == pytest.approx(5 / 6, rel=0.01)


def test_a_reference_stands_with_its_offset_and_may_be_turned(scene, made, picture):
    upright = reference(picture, rotation_euler=Euler((np.pi / 2, 0, 0)), empty_image_offset=(0.0, 0.0))
    _, bench = made(upright)
    assert {finding.kind for finding in bench.stamp.findings} >= {"turned artwork"}
    width, height = size_of(bench.stamp)
    assert width / height == pytest.approx(4 / 5, rel=0.01)


@pytest.fixture
def as_plane(picture, tmp_path):
    """The picture as the host's own importer makes a plane of it, upright as it comes or lying."""

    def load(**about):
        bpy.ops.image.import_as_mesh_planes(
            directory=str(tmp_path), files=[{"name": "letter.png"}], relative=False, height=3.0, **about
        )
        return bpy.context.active_object

    return load


@pytest.mark.parametrize("shader", ["PRINCIPLED", "EMISSION", "SHADELESS"])
def test_a_picture_imported_as_a_plane_is_traced_where_it_stands(scene, made, as_plane, shader):
    plane = as_plane(shader=shader, align_axis="+Z")
    root, bench = made(plane)
    width, height = size_of(bench.stamp)
    assert width / height == pytest.approx(4 / 5, rel=0.01)
    # The plane is 3 m high, and its letter 500 of 600 pixels.
    assert bench.stamp.layout.scale == pytest.approx(height / 2500.0, rel=0.01)
    assert bench.stamp.inked.area / (width * height) == pytest.approx(10 / 20, rel=0.03)
    assert any("bears a picture" in finding.message for finding in bench.stamp.findings)
    # Its long bar is on the left, as in the picture.
    middle = (bench.stamp.inked.bounds[0] + bench.stamp.inked.bounds[2]) / 2
    assert bench.stamp.inked.centroid.x < middle
    plane.material_slots[0].material.node_tree.nodes.remove(
        next(node for node in plane.material_slots[0].material.node_tree.nodes if node.type == "TEX_IMAGE")
    )
    choose(root)
    bpy.ops.stampwright.build()
    assert size_of(bench.stamp)[0] / size_of(bench.stamp)[1] == pytest.approx(5 / 6, rel=0.01)


def test_a_plane_that_bears_a_part_of_a_picture_prints_whole(scene, made, as_plane):
    plane = as_plane(align_axis="+Z")
    for corner in plane.data.uv_layers.active.data:
        corner.uv *= 0.5
    _, bench = made(plane)
    assert size_of(bench.stamp)[0] / size_of(bench.stamp)[1] == pytest.approx(5 / 6, rel=0.01)


def test_what_is_traced_is_told_and_an_image_without_ink_is_refused_in_a_line(scene, made):
    blank = bpy.data.images.new("Blank", 32, 32)
    blank.pixels.foreach_set(np.ones(4 * 32 * 32, dtype=np.float32))
    choose(reference(blank))
    with pytest.raises(RuntimeError, match="no ink was found"):
        bpy.ops.stampwright.make_stamp()


def test_artwork_is_seen_as_the_viewport_was_when_that_was_chosen(scene, made):
    turn = Euler((0.7, 0.0, 0.4))
    letter = curve("F", letter_f())
    letter.rotation_euler = turn
    bpy.context.view_layer.update()
    root, bench = made(letter)
    source = root.stampwright.sources[0]
    spaces = [area.spaces.active for area in bpy.context.screen.areas if area.type == "VIEW_3D"]
    spaces[0].region_3d.view_rotation = turn.to_quaternion()
    source.plane = "VIEW"
    bpy.ops.stampwright.build()
    width, height = size_of(bench.stamp)
    assert width / height == pytest.approx(4 / 5, rel=1e-3)
    # The view may turn on: what was chosen stays.
    spaces[0].region_3d.view_rotation = Euler((0.0, 0.0, 0.0)).to_quaternion()
    bpy.ops.stampwright.build()
    assert size_of(bench.stamp) == pytest.approx((width, height))


def test_the_guide_names_all_that_prints():
    text = (ROOT / "shared" / "guide" / "blender.md").read_text(encoding="utf-8")
    assert all(word in text for word in ("hair curves", "reference image", "*The View*"))

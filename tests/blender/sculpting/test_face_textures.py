"""Texture and tone of a face come from grains, from Blender's images and from its textures, object by object."""

import bpy
import numpy as np
import pytest
from brushing import MM, disc, made, part, points
from drawing import choose, circle, curve

DEPTH = 0.6


def face_of(benches, root):
    """Return the places of the face's points on paper, mm, and how far each lies under the untouched face."""
    dense = benches.bench_of(root).stamp.face.dense
    return dense.places, dense.solid.vertices[dense.movable, 2] - dense.top


def ramp(name="ramp", *, is_float=True, size=64):
    """Return an image that is black on the left and white on the right."""
    image = bpy.data.images.new(name, size, size, float_buffer=is_float)
    grey = np.tile((np.arange(size) + 0.5) / size, (size, 1))
    paint(image, grey)
    return image


def paint(image, grey):
    image.pixels.foreach_set(np.dstack([grey] * 3 + [np.ones_like(grey)]).astype(np.float32).ravel())
    image.update()


def follow(live):
    bpy.context.view_layer.update()
    live.catch_up()


@pytest.mark.parametrize("grain", ["wood-grain", "linen", "stipple", "hatching", "ripple"])
def test_every_grain_goes_down_and_never_up(scene, live, benches, grain):
    root = disc(face_texture=grain)
    live.catch_up()
    _, heights = face_of(benches, root)
    assert -DEPTH - 1e-6 <= heights.min() < -0.3
    assert -0.01 < heights.max() <= 0.0
    die = part(root, "die")
    assert len(die.data.vertices) == len(benches.bench_of(root).stamp.die.vertices)
    assert ".sculpt_mask" not in die.data.attributes
    root.stampwright.face.texture = "none"
    live.catch_up()
    assert len(points(die)) < 2000


@pytest.mark.parametrize("is_float", [True, False])
def test_an_image_shapes_the_face_as_it_reads_on_paper(scene, live, benches, is_float):
    root = disc(face_texture="picture")
    root.stampwright.face_image = ramp(is_float=is_float)
    live.catch_up()
    assert benches.bench_of(root).message == ""
    places, heights = face_of(benches, root)
    # The picture covers the base, 30 mm wide: black on the left goes deep.
    wanted = -DEPTH * (0.5 - places[:, 0] / 30)
    assert np.abs(heights - wanted).max() < 0.02


def test_painting_the_image_is_followed(scene, live, benches):
    root = disc(face_texture="picture")
    image = root.stampwright.face_image = ramp()
    follow(live)
    paint(image, np.full((64, 64), 0.25))
    image.update_tag()
    follow(live)
    _, heights = face_of(benches, root)
    assert np.abs(heights + 0.75 * DEPTH).max() < 1e-3


def test_a_texture_shapes_the_face_as_its_preview_shows_it(scene, live, benches):
    root = disc(face_texture="picture")
    blend = bpy.data.textures.new("blend", "BLEND")
    root.stampwright.picture_from = "TEXTURE"
    root.stampwright.face_texture = blend
    follow(live)
    places, heights = face_of(benches, root)
    wanted = -DEPTH * (0.5 - places[:, 0] / 30)
    assert np.abs(heights - wanted).max() < 0.02
    blend.use_flip_axis = "VERTICAL"
    blend.update_tag()
    follow(live)
    places, heights = face_of(benches, root)
    wanted = -DEPTH * (0.5 - places[:, 1] / 30)
    assert np.abs(heights - wanted).max() < 0.02


def test_colours_of_a_texture_count_as_how_light_they_are(scene, live, benches):
    root = disc(face_texture="picture")
    blend = root.stampwright.face_texture = bpy.data.textures.new("green", "BLEND")
    root.stampwright.picture_from = "TEXTURE"
    blend.use_color_ramp = True
    for element in blend.color_ramp.elements:
        element.color = (0.0, 1.0, 0.0, 1.0)
    follow(live)
    _, heights = face_of(benches, root)
    # Green is 0.7152 of white (ITU-R BT.709).
    assert np.abs(heights + DEPTH * (1 - 0.7152)).max() < 2e-3


def test_one_object_is_textured_and_another_left_plain(scene, live, benches):
    left = curve("left", circle(6 * MM, middle=(-8 * MM, 0.0)))
    right = curve("right", circle(6 * MM, middle=(8 * MM, 0.0)))
    root = made(left, right, layout_size_by="page", face_texture="hatching")
    choose(root)
    index = next(number for number, each in enumerate(root.stampwright.sources) if each.object == right)
    root.stampwright.sources[index].textured = False
    live.catch_up()
    places, heights = face_of(benches, root)
    assert heights[places[:, 0] < 0].min() < -0.3
    # Plain up to its edge.
    assert np.abs(heights[places[:, 0] > 0]).max() < 1e-6


def test_a_grey_image_becomes_a_screen_in_the_ink(scene, live, benches):
    root = disc()
    whole = benches.bench_of(root).stamp.inked.area
    image = root.stampwright.face_image = bpy.data.images.new("grey", 32, 32, float_buffer=True)
    shares = []
    for grey in (0.2, 0.6):
        paint(image, np.full((32, 32), grey))
        image.update_tag()
        root.stampwright.face.tone = "dots"
        follow(live)
        inked = benches.bench_of(root).stamp.inked
        assert len(inked.geoms) + sum(len(each.interiors) for each in inked.geoms) > 20
        shares.append(inked.area / whole)
    assert shares[0] > 1.5 * shares[1] > 0


def test_pictures_that_cannot_be_read_are_told_of(scene, live, benches):
    root = disc(face_texture="picture")
    live.catch_up()
    assert "Pick an image" in benches.bench_of(root).message
    root.stampwright.face_image = bpy.data.images.new("gone", 8, 8)
    root.stampwright.face_image.source = "FILE"
    root.stampwright.face_image.filepath = "/nowhere/gone.png"
    live.catch_up()
    assert "no pixels" in benches.bench_of(root).message

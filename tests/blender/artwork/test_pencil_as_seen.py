"""What of a pencil line shows in the host, and how broad, prints: its ends, its dots, its parts, its layer's ways.

Each was compared with the host's own picture of it: its Workbench engine, seen from above, on white.
"""

import math

import bpy
import numpy as np
import pytest
import shapely
from drawing import choose, circle
from test_grease_pencil import BY_STROKE, OLDER, Pencil

BLACK, WHITE = (0.0, 0.0, 0.0, 1.0), (1.0, 1.0, 1.0, 1.0)


@pytest.fixture
def pencil(scene):
    return Pencil()


@pytest.fixture
def ink_of(benches):
    """Return a function from a drawn object to the ink of a stamp of it, in the drawing's own units."""

    def ink(drawn, told=None):
        choose(drawn)
        assert bpy.ops.stampwright.make_stamp() == {"FINISHED"}
        stamp = benches.bench_of(bpy.context.active_object).stamp
        if told is not None:
            told += [finding.message for finding in stamp.findings]
        return shapely.affinity.scale(stamp.inked, *[0.001 / stamp.layout.scale] * 2, origin=(0, 0))

    return ink


def paint(pencil, name="Pen", **about):
    material = bpy.data.materials.new(name)
    if material.grease_pencil is None:
        bpy.data.materials.create_gpencil_data(material)
    for key, value in about.items():
        setattr(material.grease_pencil, key, value)
    pencil.data.materials.append(material)


def filled_stroke(pencil, places, material=0, number=1):
    """Draw a closed stroke that is filled, and has no line."""
    pencil.stroke(places, [0.001] * len(places), closed=True, material=material)
    if BY_STROKE:
        stroke = pencil.frame.drawing.strokes[-1]
        stroke.hide_stroke, stroke.fill_id = True, number


def last_stroke(pencil):
    return (pencil.frame if OLDER else pencil.frame.drawing).strokes[-1]


def size_of(ink):
    left, bottom, right, top = ink.bounds
    return right - left, top - bottom


def line_with(radius, length=4.0):
    return 2.0 * radius * length + math.pi * radius**2


def test_a_layer_makes_its_lines_broader_by_what_it_says_once(pencil, ink_of):
    pencil.stroke([(0, 0), (4, 0)], [0.2, 0.2])
    if OLDER:
        # In pixels, of which a thousand are a unit: of the breadth, not of the radius.
        pencil.layer.line_change = 200
    else:
        pencil.layer.radius_offset = 0.1
    assert ink_of(pencil.linked()).area == pytest.approx(line_with(0.3), rel=0.01)


def test_a_layer_that_hangs_on_a_bone_prints_where_that_brings_it(pencil, ink_of):
    pencil.stroke([(0, 0), (4, 0)], [0.2, 0.2])
    other = pencil.data.layers.new("hung")
    pencil.layer, pencil.frame = other, other.frames.new(bpy.context.scene.frame_current)
    pencil.stroke([(0, 0), (4, 0)], [0.2, 0.2])
    bpy.ops.object.armature_add(rotation=(-math.pi / 2, 0.0, 0.0))
    rig = bpy.context.active_object
    # The bone lies along y of the world, and pulls by three along itself.
    rig.pose.bones[0].location.y = 3.0
    other.parent = rig
    if OLDER:
        other.parent_type = "BONE"
    other.parent_bone = rig.pose.bones[0].name
    drawn = pencil.linked()
    bone = np.array(rig.matrix_world @ rig.pose.bones[0].matrix)
    end = bone @ (4.0, 0.0, 0.0, 1.0)
    ink = ink_of(drawn)
    assert len(ink.geoms) == 2
    assert size_of(ink) == pytest.approx((max(end[0], 4.0) + 0.4, abs(end[1]) + 0.4), rel=0.01)


@pytest.mark.parametrize("scale", [(1.0, 1.0, 5.0), (1.0, 3.0, 1.0)])
def test_lines_of_an_unevenly_scaled_drawing_are_as_broad_as_the_host_draws_them(pencil, ink_of, scale):
    pencil.stroke([(0, 0), (4, 0)], [0.1, 0.1])
    drawn = pencil.linked()
    drawn.scale = scale
    bpy.context.view_layer.update()
    radius = 0.1 * math.sqrt(sum(each**2 for each in scale) / 3)
    assert ink_of(drawn).area == pytest.approx(line_with(radius), rel=0.01)


@pytest.mark.parametrize("points", [2, 81])
def test_flat_ends_end_where_the_stroke_does(pencil, ink_of, points):
    places = [(4 * at / (points - 1), 0.0) for at in range(points)]
    pencil.stroke(places, [0.5] * points)
    stroke = last_stroke(pencil)
    if OLDER:
        stroke.start_cap_mode = "FLAT"
    else:
        stroke.start_cap = 1
    ink = ink_of(pencil.linked())
    assert size_of(ink) == pytest.approx((4.5, 1.0), rel=0.01)
    assert ink.area == pytest.approx(4.0 + math.pi * 0.25 / 2, rel=0.01)


@pytest.mark.parametrize(("mode", "area"), [("DOTS", math.pi * 0.04), ("BOX", 0.16)])
def test_dots_and_squares_stand_where_the_host_sets_them(pencil, ink_of, mode, area):
    drawn = pencil.linked()
    paint(pencil, mode=mode)
    pencil.stroke([(0, 0), (2, 2)], [0.2, 0.2])
    ink = ink_of(drawn)
    # One at each point; from 5.2 on they touch, all along.
    count = 1 + math.floor(math.hypot(2, 2) / 0.4) if BY_STROKE else 2
    assert ink.area == pytest.approx(count * area, rel=0.02)


def test_where_a_filled_stroke_goes_over_itself_it_is_filled(pencil, ink_of):
    drawn = pencil.linked()
    paint(pencil, show_stroke=False, show_fill=True, fill_color=BLACK)
    # Round once and a third: what is gone round twice is a part of the disc.
    filled_stroke(pencil, [(math.cos(turn), math.sin(turn)) for turn in np.linspace(0, 8 * math.pi / 3, 90)])
    assert ink_of(drawn).area == pytest.approx(math.pi, rel=0.02)


@pytest.mark.parametrize("way", ["clear", "white"])
def test_a_line_prints_as_far_as_it_is_seen(pencil, ink_of, way):
    drawn = pencil.linked()
    paint(pencil, color=BLACK)
    pencil.stroke([(x / 2, 0.0) for x in range(9)], [0.1] * 9)
    for at, point in enumerate(last_stroke(pencil).points):
        # All of them: where none has a value yet, older hosts give the others nothing.
        if way == "white":
            point.vertex_color = WHITE if at > 4 else (0.0, 0.0, 0.0, 0.0)
        else:
            setattr(point, "strength" if OLDER else "opacity", 0.0 if at > 4 else 1.0)
    told = []
    ink = ink_of(drawn, told)
    assert size_of(ink)[0] == pytest.approx(2.35, abs=0.02)
    assert any(("transparent" if way == "clear" else "white as paper") in each for each in told)


@pytest.mark.parametrize(
    ("mode", "colour", "covered"),
    [
        ("REGULAR", WHITE, 0.75),
        ("MULTIPLY", WHITE, 1.0),
        ("DIVIDE", WHITE, 1.0),
        ("HARDLIGHT", WHITE, 1.0),
        ("ADD", WHITE, 0.75),
        ("SUBTRACT", WHITE, 1.0),
        ("ADD", BLACK, 1.0),
    ],
)
def test_a_layer_covers_what_lies_under_it_as_it_is_blended(pencil, ink_of, mode, colour, covered):
    drawn = pencil.linked()
    paint(pencil, "ink", show_stroke=False, show_fill=True, fill_color=BLACK)
    paint(pencil, "over", show_stroke=False, show_fill=True, fill_color=colour)
    filled_stroke(pencil, circle(2.0, 96))
    over = pencil.data.layers.new("over")
    pencil.layer, pencil.frame = over, over.frames.new(bpy.context.scene.frame_current)
    filled_stroke(pencil, circle(1.0, 96), material=1)
    over.blend_mode = mode
    assert ink_of(drawn).area == pytest.approx(covered * math.pi * 4.0, rel=0.01)

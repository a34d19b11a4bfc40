"""Grease Pencil prints its strokes with their radius, and its fills, in the hosts' newer kind and in the older one."""

import math

import bpy
import pytest
from drawing import link

OLDER = bpy.app.version < (4, 3)
BY_STROKE = bpy.app.version >= (5, 2)


class Pencil:
    """A Grease Pencil object of this host's kind; strokes are (x, y) and a radius for each point, Blender units."""

    def __init__(self):
        newer = "grease_pencils" if OLDER or bpy.app.version >= (5, 0) else "grease_pencils_v3"
        self.data = getattr(bpy.data, newer).new("drawn")
        self.layer = self.data.layers.new("ink")
        self.frame = self.layer.frames.new(bpy.context.scene.frame_current)

    def stroke(self, places, radii, *, closed=False, material=0):
        if OLDER:
            stroke = self.frame.strokes.new()
            stroke.display_mode, stroke.line_width = "3DSPACE", 1000
            stroke.points.add(len(places))
            stroke.use_cyclic = closed
        else:
            self.frame.drawing.add_strokes([len(places)])
            stroke = self.frame.drawing.strokes[-1]
            stroke.cyclic = closed
        stroke.material_index = material
        for point, (x, y), radius in zip(stroke.points, places, radii, strict=True):
            if OLDER:
                # A line of 1000 pixels is as wide as a unit.
                point.co, point.pressure = (x, y, 0.0), 2 * radius
            else:
                point.position, point.radius = (x, y, 0.0), radius

    def linked(self):
        return link("drawn", self.data)


@pytest.fixture
def pencil(scene):
    return Pencil()


@pytest.fixture
def ink_of(benches):
    """Return a function from a drawn object to the ink of a stamp of it, in the drawing's own size."""

    def ink(drawn):
        assert bpy.ops.stampwright.make_stamp() == {"FINISHED"}
        stamp = benches.bench_of(bpy.context.active_object).stamp
        return stamp.inked, stamp.layout.scale * 1000.0

    return ink


def line_with(radius):
    """Area of a line of four units between two round ends."""
    return 8.0 * radius + math.pi * radius**2


def test_a_stroke_is_as_broad_as_it_is_drawn(pencil, ink_of):
    pencil.stroke([(0, 0), (4, 0)], [0.5, 0.5])
    inked, scale = ink_of(pencil.linked())
    left, bottom, right, top = inked.bounds
    assert (right - left, top - bottom) == pytest.approx((5.0 * scale, scale), rel=0.01)
    assert inked.area / scale**2 == pytest.approx(line_with(0.5), rel=0.01)


def test_a_stroke_narrows_as_it_is_drawn(pencil, ink_of):
    pencil.stroke([(0, 0), (4, 0)], [0.5, 0.1])
    inked, scale = ink_of(pencil.linked())
    left, bottom, right, top = inked.bounds
    assert (right - left, top - bottom) == pytest.approx((4.6 * scale, scale), rel=0.01)
    assert line_with(0.1) < inked.area / scale**2 < line_with(0.5)


def test_a_closed_stroke_of_a_filled_material_is_filled(pencil, ink_of):
    drawn = pencil.linked()
    for name, stroke, fill in (("line", True, False), ("area", False, True)):
        material = bpy.data.materials.new(name)
        bpy.data.materials.create_gpencil_data(material)
        material.grease_pencil.show_stroke, material.grease_pencil.show_fill = stroke, fill
        pencil.data.materials.append(material)
    square = [(0, 0), (3, 0), (3, 3), (0, 3)]
    pencil.stroke(square, [0.05] * 4, closed=True, material=1)
    pencil.stroke([(x + 5, y) for x, y in square], [0.25] * 4, closed=True, material=0)
    if BY_STROKE:
        # From 5.2 on strokes themselves say how they are shown.
        filled = pencil.frame.drawing.strokes[0]
        filled.hide_stroke, filled.fill_id = True, 1
    inked, scale = ink_of(drawn)
    # A square without its outline, and the outline of another: a frame with rounded corners outside.
    frame = 3.5**2 - 2.5**2 - 0.25**2 * (4 - math.pi)
    assert inked.area / scale**2 == pytest.approx(9.0 + frame, rel=0.01)


def test_hidden_layers_print_nothing_and_moved_ones_print_where_they_are(pencil, ink_of):
    pencil.stroke([(0, 0), (4, 0)], [0.5, 0.5])
    ink = pencil.layer
    hidden = pencil.data.layers.new("hidden")
    pencil.layer, pencil.frame = hidden, hidden.frames.new(bpy.context.scene.frame_current)
    pencil.stroke([(0, 5), (4, 5)], [0.5, 0.5])
    hidden.hide = True
    moved = pencil.data.layers.new("moved")
    pencil.layer, pencil.frame = moved, moved.frames.new(bpy.context.scene.frame_current)
    pencil.stroke([(0, 0), (4, 0)], [0.5, 0.5])
    setattr(moved, "location" if OLDER else "translation", (0.0, 2.0, 0.0))
    assert not ink.hide
    inked, scale = ink_of(pencil.linked())
    left, bottom, right, top = inked.bounds
    assert (right - left, top - bottom) == pytest.approx((5.0 * scale, 3.0 * scale), rel=0.01)
    assert len(inked.geoms) == 2


def test_a_scaled_object_scales_its_strokes(pencil, ink_of):
    pencil.stroke([(0, 0), (4, 0)], [0.5, 0.5])
    drawn = pencil.linked()
    drawn.scale = (-3.0, 3.0, 3.0)
    bpy.context.view_layer.update()
    inked, scale = ink_of(drawn)
    assert inked.area / (3 * scale) ** 2 == pytest.approx(line_with(0.5), rel=0.01)


def test_a_layer_that_hangs_on_an_object_prints_where_that_is(pencil, ink_of, scene):
    pencil.stroke([(0, 0), (4, 0)], [0.5, 0.5])
    hung = pencil.data.layers.new("hung")
    pencil.layer, pencil.frame = hung, hung.frames.new(scene.frame_current)
    pencil.stroke([(0, 0), (4, 0)], [0.5, 0.5])
    holder = bpy.data.objects.new("holder", None)
    scene.collection.objects.link(holder)
    holder.location.y = 3.0
    hung.parent = holder
    drawn = pencil.linked()
    drawn.location = (7.0, 0.0, 0.0)
    bpy.context.view_layer.update()
    inked, scale = ink_of(drawn)
    left, bottom, right, top = inked.bounds
    # Hung on the holder at three units up, it is not moved by the drawing's own seven to the right; the older host adds
    # that all the same.
    assert (right - left, top - bottom) == pytest.approx(((5.0 if OLDER else 12.0) * scale, 4.0 * scale), rel=0.01)


def test_strokes_are_followed_live(pencil, ink_of, live, benches):
    pencil.stroke([(0, 0), (4, 0)], [0.5, 0.5])
    drawn = pencil.linked()
    ink_of(drawn)
    root = bpy.context.active_object
    before = benches.bench_of(root).stamp.inked.area
    pencil.stroke([(0, 2), (4, 2)], [0.5, 0.5])
    pencil.data.update_tag()
    bpy.context.view_layer.update()
    assert live.is_busy()
    live.catch_up()
    assert benches.bench_of(root).stamp.inked.area != pytest.approx(before)

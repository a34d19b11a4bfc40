"""What the host shows white, clear or cut out of what lies under it is so in print, however the art came to be."""

import math

import bpy
import pytest
from drawing import choose, circle, curve, made
from timer import tick_until_done

OLDER = bpy.app.version < (4, 3)
BADGE = """<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">
<circle cx="50" cy="50" r="40" fill="#000"/><rect x="30" y="30" width="40" height="40" fill="#fff"/>
<rect x="45" y="45" width="10" height="10" fill="#222"/></svg>"""


@pytest.fixture
def ink_of(benches):
    """Return a function from a stamp to its ink and what was found of it, by kind."""

    def found(root):
        stamp = benches.bench_of(root).stamp
        return stamp.inked, {each.kind: each.message for each in stamp.findings}

    return found


def share_of_disc(inked):
    """Return the area of ink as a share of the disc round its bounds."""
    left, _, right, _ = inked.bounds
    return inked.area / (math.pi * ((right - left) / 2) ** 2)


@pytest.mark.parametrize("way", ["curves", "pencil"])
def test_a_drawing_that_the_host_imports_keeps_its_white(scene, ink_of, tmp_path, way):
    (tmp_path / "badge.svg").write_text(BADGE)
    if way == "curves":
        bpy.ops.preferences.addon_enable(module="io_curve_svg")
        bpy.ops.import_curve.svg(filepath=str(tmp_path / "badge.svg"))
    elif OLDER or not hasattr(bpy.ops.wm, "grease_pencil_import_svg"):
        pytest.skip("this host imports no drawing as strokes of the newer kind")
    else:
        bpy.ops.wm.grease_pencil_import_svg(filepath=str(tmp_path / "badge.svg"))
    inked, found = ink_of(made(*bpy.context.scene.objects))
    # Of the disc, less the white square, with the dark one in it.
    assert share_of_disc(inked) == pytest.approx(1 - (40**2 - 10**2) / (math.pi * 40**2), abs=0.005)
    assert "shows paper" in found["white is paper"]


def pencil():
    add = bpy.ops.object.gpencil_add if OLDER else bpy.ops.object.grease_pencil_add
    assert add(type="EMPTY") == {"FINISHED"}
    drawn = bpy.context.active_object
    drawn.data.materials.clear()
    layers = drawn.data.layers
    layer = layers[0] if len(layers) else layers.new("ink")
    return drawn, layer, layer.frames[0] if len(layer.frames) else layer.frames.new(1)


def draw_ring(frame, radius, material=0, middle=(0.0, 0.0)):
    places = [(x, y, 0.0) for x, y in circle(radius, 48, middle)]
    if OLDER:
        stroke = frame.strokes.new()
        stroke.points.add(len(places))
        stroke.line_width = 40
    else:
        frame.drawing.add_strokes([len(places)])
        stroke = frame.drawing.strokes[-1]
    for point, place in zip(stroke.points, places, strict=True):
        if OLDER:
            point.co, point.pressure = place, 1.0
        else:
            point.position, point.radius = place, 0.02
    if OLDER:
        stroke.use_cyclic = True
    else:
        stroke.cyclic = True
        if hasattr(stroke, "fill_id"):
            stroke.fill_id = len(frame.drawing.strokes)
    stroke.material_index = material
    return stroke


def pen(drawn, line=(0.0, 0.0, 0.0, 1.0), fill=(0.0, 0.0, 0.0, 1.0)):
    material = bpy.data.materials.new("Pen")
    if material.grease_pencil is None:
        bpy.data.materials.create_gpencil_data(material)
    style = material.grease_pencil
    style.show_stroke = style.show_fill = True
    style.color, style.fill_color = line, fill
    drawn.data.materials.append(material)
    return style


WHITE, CLEAR = (1.0, 1.0, 1.0, 1.0), (0.0, 0.0, 0.0, 0.0)


def test_a_shape_with_a_dark_line_and_a_white_fill_prints_its_line(scene, ink_of):
    drawn, _, frame = pencil()
    pen(drawn, fill=WHITE)
    draw_ring(frame, 1.0)
    inked, _ = ink_of(made(drawn))
    assert share_of_disc(inked) == pytest.approx(1 - (0.98 / 1.02) ** 2, abs=0.01)


@pytest.mark.parametrize("way", ["holdout", "white over", "clear over", "clear layer"])
def test_a_fill_over_another_cuts_it_where_it_hides_it(scene, ink_of, way):
    drawn, layer, frame = pencil()
    pen(drawn)
    draw_ring(frame, 1.0)
    over = pen(drawn, *{"white over": (WHITE, WHITE), "clear over": (CLEAR, CLEAR)}.get(way, ()))
    if way == "holdout":
        over.use_stroke_holdout = over.use_fill_holdout = True
    draw_ring(frame, 0.5, material=1)
    if way == "clear layer":
        layer.opacity = 0.0
        choose(drawn)
        with pytest.raises(RuntimeError, match="no artwork: The transparent material Pen is left out"):
            bpy.ops.stampwright.make_stamp()
        return
    inked, _ = ink_of(made(drawn))
    cut = 0.0 if way == "clear over" else (0.52 / 1.02) ** 2
    assert share_of_disc(inked) == pytest.approx(1 - cut, abs=0.01)


def test_a_colour_that_becomes_white_is_followed(scene, small_stamps, live, ink_of):
    disc, over = curve("Disc", circle(1.0)), curve("Over", circle(0.5))
    over.location.z = 0.01
    paint = bpy.data.materials.new("Paint")
    over.data.materials.append(paint)
    root = made(disc, over)
    assert share_of_disc(ink_of(root)[0]) == pytest.approx(1.0, abs=0.01)
    paint.diffuse_color = WHITE
    bpy.context.view_layer.update()
    tick_until_done(live)
    inked, found = ink_of(root)
    assert share_of_disc(inked) == pytest.approx(0.75, abs=0.01)
    assert "material Paint" in found["white is paper"]

"""What is drawn beside what prints: prints too, or is told; nothing that shows is passed over in silence."""

import math

import bpy
import pytest
from drawing import choose, circle
from PIL import Image, ImageDraw
from test_artwork_from_scene import agreement
from test_grease_pencil import BY_STROKE, OLDER, Pencil

ops = bpy.ops


@pytest.fixture
def made(benches):
    """Return a function from objects to the stamp that is made of them, and what is said of it."""

    def make(*drawn):
        choose(*drawn)
        assert ops.stampwright.make_stamp() == {"FINISHED"}
        stamp = benches.bench_of(bpy.context.active_object).stamp
        return stamp, [finding.message for finding in stamp.findings]

    return make


def band(**about):
    ops.curve.primitive_bezier_curve_add()
    drawn = bpy.context.active_object
    for key, value in about.items():
        setattr(drawn.data, key, value)
    return drawn


def tilted(drawn):
    for point in drawn.data.splines[0].bezier_points:
        point.tilt = math.pi / 2
    return drawn


BANDS = {
    "a pen's nib": lambda: tilted(band(extrude=0.2)),
    "a nib with round edges": lambda: tilted(band(extrude=0.2, bevel_depth=0.05)),
    "half a tube": lambda: band(bevel_depth=0.15, fill_mode="HALF"),
    "its front": lambda: band(bevel_depth=0.15, fill_mode="FRONT"),
}


@pytest.mark.parametrize("kind", BANDS)
def test_a_curve_that_is_drawn_up_to_a_band_prints_as_broad_as_it_is_seen(scene, made, kind):
    drawn = BANDS[kind]()
    assert agreement([drawn], made(drawn)[0].inked) > 0.97


def test_a_curve_drawn_up_on_edge_stays_a_line(scene, made):
    inked = made(band(extrude=0.3))[0].inked
    assert inked.area == pytest.approx(inked.length / 2.0, rel=0.12)


@pytest.mark.parametrize("chosen", [[0], [1], [0, 1]])
def test_metaballs_that_flow_together_print_as_one_whichever_is_chosen(scene, made, chosen):
    balls = []
    for x in (0.0, 1.5):
        ops.object.metaball_add(type="BALL", location=(x, 0.0, 0.0))
        balls.append(bpy.context.active_object)
    stamp, said = made(*[balls[at] for at in chosen])
    assert agreement(balls[:1], stamp.inked) > 0.97
    assert not any("does not print" in each for each in said)


def test_a_metaball_is_followed_when_another_of_its_family_moves(scene, made, live, benches):
    balls = []
    for x in (0.0, 1.5, 3.0):
        ops.object.metaball_add(type="BALL", location=(x, 0.0, 0.0))
        balls.append(bpy.context.active_object)
    before, _ = made(balls[1])
    root = bpy.context.active_object
    balls[2].location.x = 2.0
    bpy.context.view_layer.update()
    live.catch_up()
    assert not benches.bench_of(root).stamp.inked.equals(before.inked)


def with_nodes(drawn, *kinds):
    """Give an object nodes, one after the other, whose result is joined to what it is itself."""
    tree = bpy.data.node_groups.new("nodes", "GeometryNodeTree")
    for side in ("INPUT", "OUTPUT"):
        tree.interface.new_socket("Geometry", in_out=side, socket_type="NodeSocketGeometry")
    given, wanted = tree.nodes.new("NodeGroupInput"), tree.nodes.new("NodeGroupOutput")
    both, last = tree.nodes.new("GeometryNodeJoinGeometry"), given.outputs[0]
    tree.links.new(given.outputs[0], both.inputs[0])
    for kind in kinds:
        node = tree.nodes.new(kind)
        if kind != "GeometryNodeVolumeCube":
            tree.links.new(last, node.inputs[0])
        last = node.outputs[0]
        if "Radius" in node.inputs:
            node.inputs["Radius"].default_value = 0.5
    tree.links.new(last, both.inputs[0])
    tree.links.new(both.outputs[0], wanted.inputs[0])
    drawn.modifiers.new("nodes", "NODES").node_group = tree
    bpy.context.view_layer.update()
    return drawn


def test_points_that_nodes_make_print_as_discs(scene, made):
    ops.mesh.primitive_plane_add(size=4.0)
    stamp, _ = made(with_nodes(bpy.context.active_object, "GeometryNodeMeshToPoints"))
    left, _, right, _ = stamp.inked.bounds
    scale = (right - left) / 5.0
    # A square, and of a disc on each of its corners the three quarters outside.
    assert stamp.inked.area / scale**2 == pytest.approx(16.0 + 3 * math.pi * 0.25, rel=0.01)


def particles():
    ops.mesh.primitive_plane_add()
    ops.object.particle_system_add()
    drawn = bpy.context.active_object
    drawn.particle_systems[0].settings.type = "HAIR"
    return drawn


def loose():
    ops.mesh.primitive_plane_add()
    drawn = bpy.context.active_object
    ops.object.mode_set(mode="EDIT")
    ops.mesh.primitive_circle_add(location=(4.0, 0.0, 0.0))
    ops.object.mode_set(mode="OBJECT")
    return drawn


def volume():
    ops.mesh.primitive_plane_add()
    return with_nodes(bpy.context.active_object, "GeometryNodeVolumeCube")


@pytest.mark.parametrize(
    ("drawn", "said"),
    [(particles, "particles or hair of"), (loose, "bound no face"), (volume, "a volume that the geometry nodes")],
)
def test_what_does_not_print_beside_faces_is_told(scene, made, drawn, said):
    assert any(said in each for each in made(drawn())[1])


def test_a_plane_alone_has_nothing_told_of_it(scene, made):
    ops.mesh.primitive_plane_add()
    assert not any("do not print" in each or "does not print" in each for each in made(bpy.context.active_object)[1])


@pytest.mark.parametrize("kind", ["reference", "plane"])
def test_a_picture_in_a_collection_is_traced_where_that_stands(scene, made, tmp_path, kind):
    picture = Image.new("L", (300, 300), 255)
    ImageDraw.Draw(picture).rectangle((50, 50, 249, 149), fill=0)
    picture.save(tmp_path / "bar.png")
    if kind == "plane":
        ops.image.import_as_mesh_planes(
            directory=str(tmp_path), files=[{"name": "bar.png"}], relative=False, height=3.0, align_axis="+Z"
        )
        drawn = bpy.context.active_object
    else:
        drawn = bpy.data.objects.new("Reference", None)
        drawn.empty_display_type, drawn.data = "IMAGE", bpy.data.images.load(str(tmp_path / "bar.png"))
        scene.collection.objects.link(drawn)
    held = bpy.data.collections.new("held")
    held.objects.link(drawn)
    for each in list(drawn.users_collection):
        if each != held:
            each.objects.unlink(drawn)
    ops.object.collection_instance_add(collection="held", location=(3.0, 0.0, 0.0))
    left, bottom, right, top = made(bpy.context.active_object)[0].inked.bounds
    assert (right - left) / (top - bottom) == pytest.approx(2.0, rel=0.02)


def disc(**style):
    """Draw a filled disc with a line, in a pen of this style."""
    pencil = Pencil()
    drawn = pencil.linked()
    material = bpy.data.materials.new("Pen")
    if material.grease_pencil is None:
        bpy.data.materials.create_gpencil_data(material)
    for key, value in {"show_stroke": True, "show_fill": True, **style}.items():
        setattr(material.grease_pencil, key, value)
    pencil.data.materials.append(material)
    pencil.stroke(circle(1.0), [0.05] * 64, closed=True)
    stroke = (pencil.frame if OLDER else pencil.frame.drawing).strokes[-1]
    if BY_STROKE:
        stroke.fill_id = 1
    return drawn, stroke


def test_an_effect_that_does_not_print_is_told(scene, made):
    drawn, _ = disc()
    choose(drawn)
    assert ops.object.shaderfx_add(type="FX_SHADOW") == {"FINISHED"}
    assert ops.object.shaderfx_add(type="FX_COLORIZE") == {"FINISHED"}
    told = [each for each in made(drawn)[1] if "the effect" in each]
    assert len(told) == 1
    assert "Shadow" in told[0]
    drawn.shader_effects[0].show_viewport = False
    assert not any("the effect" in each for each in made(drawn)[1])


@pytest.mark.parametrize("style", [{"fill_style": "GRADIENT"}, {"stroke_style": "TEXTURE"}])
def test_a_style_that_prints_solid_is_told(scene, made, style):
    assert not any("prints solid" in each for each in made(disc()[0])[1])
    assert any("the material Pen" in each and "prints solid" in each for each in made(disc(**style)[0])[1])


def test_lines_with_soft_edges_are_told(scene, made):
    drawn, stroke = disc()
    if OLDER:
        stroke.hardness = 0.5
    else:
        stroke.softness = 0.5
    assert any("soft edges" in each for each in made(drawn)[1])


@pytest.mark.skipif(not OLDER, reason="lines of newer hosts are all as broad in the world")
def test_lines_that_are_as_broad_on_every_screen_are_told(scene, made):
    drawn, _ = disc()
    drawn.data.stroke_thickness_space = "SCREENSPACE"
    assert any("as broad on every screen" in each for each in made(drawn)[1])

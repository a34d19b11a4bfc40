"""What other tools are given: attributes of the die, nodes that shape its face, assets, an artist's own handle."""

import bpy
import numpy as np
import pytest
from drawing import curve, letter_f, made, part

FACE, SHOULDER, FLOOR, SIDE = range(4)


@pytest.fixture
def root(scene):
    return made(curve("F", letter_f()))


def read(mesh, name, kind=np.float32):
    attribute = mesh.attributes[name]
    values = np.empty(len(attribute.data), dtype=kind)
    attribute.data.foreach_get("value", values)
    return values


def lifted(die, lift):
    """Give a die the nodes that lift its face by so much."""
    group = bpy.data.node_groups["Lift Stamp Face"]
    next(item for item in group.interface.items_tree if item.name == "Lift").default_value = lift
    die.modifiers.new("Lift", "NODES").node_group = group


def test_the_die_says_what_its_faces_are_and_how_high_its_points_lie(root, benches):
    mesh = part(root, "die").data
    regions, heights = read(mesh, "region", np.int32), read(mesh, "height")
    assert (mesh.attributes["region"].domain, mesh.attributes["height"].domain) == ("FACE", "POINT")
    areas = np.array([polygon.area for polygon in mesh.polygons]) * 1e6
    stamp = benches.bench_of(root).stamp
    assert areas[regions == FACE].sum() == pytest.approx(stamp.outlines.area, rel=1e-3)
    assert set(regions) == {FACE, SHOULDER, FLOOR, SIDE}
    # A relief of 2.0 mm with 0.2 mm to be dressed off, over a floor of 2.0 mm.
    assert heights.max() == pytest.approx(2.2, abs=1e-3)
    assert heights.min() == pytest.approx(-2.0, abs=1e-3)


def test_they_follow_every_edit(root, live):
    root.stampwright.die.relief = 1.6
    live.catch_up()
    assert read(part(root, "die").data, "height").max() == pytest.approx(1.8, abs=1e-3)
    root.stampwright.face.texture = "stipple"
    live.catch_up()
    mesh = part(root, "die").data
    assert len(read(mesh, "region", np.int32)) == len(mesh.polygons)
    assert len(read(mesh, "height")) == len(mesh.vertices)


def test_the_pressure_is_on_the_face_and_nowhere_else(root):
    assert bpy.ops.stampwright.press(full=False) == {"FINISHED"}
    mesh = part(root, "die").data
    pressure, heights = read(mesh, "pressure"), read(mesh, "height")
    assert pressure.max() > 0.01
    assert pressure[heights < 1.0].max() == 0.0


@pytest.mark.sweep(2)
@pytest.mark.parametrize("texture", ["none", "hatching", "stipple"])
def test_the_pressure_adds_up_to_the_push_over_what_of_the_face_lies_level(root, texture):
    root.stampwright.face.texture = texture
    root.stampwright.press.force = 60.0
    assert bpy.ops.stampwright.press(full=False) == {"FINISHED"}
    mesh = part(root, "die").data
    places = np.array([vertex.co for vertex in mesh.vertices]) * 1000.0
    triangles = np.array([polygon.vertices for polygon in mesh.polygons])[read(mesh, "region", np.int32) == FACE]
    corners = places[triangles]
    level = np.abs(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])[:, 2]) / 2.0
    assert (read(mesh, "pressure")[triangles].mean(axis=1) * level).sum() == pytest.approx(60.0, rel=0.1)


def test_nodes_lift_the_face_and_nothing_else(root):
    bpy.ops.stampwright.add_assets()
    die = part(root, "die")
    lifted(die, 0.0005)
    bpy.context.view_layer.update()
    before = np.array([vertex.co for vertex in die.data.vertices])
    seen = die.evaluated_get(bpy.context.evaluated_depsgraph_get())
    after = np.array([vertex.co for vertex in seen.data.vertices])
    heights = read(die.data, "height")
    moved = (after - before)[:, 2]
    assert moved[heights > 2.1] == pytest.approx(0.0005, abs=1e-6)
    assert np.abs(moved[heights < 1.9]).max() == 0.0


@pytest.mark.sweep(1)
@pytest.mark.parametrize("rolls", ["across", "up"])
@pytest.mark.parametrize("form", ["rocker", "roller"])
def test_nodes_lift_the_face_of_a_bent_die_away_from_its_axis(root, benches, form, rolls):
    root.stampwright.bend.form, root.stampwright.bend.rolls = form, rolls
    bpy.ops.stampwright.build()
    bpy.ops.stampwright.add_assets()
    die = part(root, "die")
    heights, regions = read(die.data, "height"), read(die.data, "region", np.int32)
    assert set(regions) == {FACE, SHOULDER, FLOOR, SIDE}
    assert (heights.min(), heights.max()) == pytest.approx((-2.0, 2.2), abs=0.01)
    lifted(die, 0.0005)
    bpy.context.view_layer.update()
    seen = die.evaluated_get(bpy.context.evaluated_depsgraph_get())
    bend = benches.bench_of(root).stamp.bend
    before, after = (
        np.linalg.norm(
            (np.array([vertex.co for vertex in mesh.vertices]) * 1000.0 - (0.0, 0.0, bend.lift))
            * ((0.0, 1.0, 1.0) if rolls == "up" else (1.0, 0.0, 1.0)),
            axis=1,
        )
        for mesh in (die.data, seen.data)
    )
    assert (after - before)[heights > 2.199] == pytest.approx(0.5, abs=1e-3)
    assert np.abs(after - before)[heights < 1.9].max() < 1e-4
    assert bpy.ops.stampwright.press(full=False) == {"FINISHED"}
    pressure = read(die.data, "pressure")
    assert pressure.max() > 0.01
    assert pressure[heights < 1.0].max() == 0.0


def test_what_nodes_lift_on_a_sculpted_die_is_read_back_as_sculpt(root, live, benches):
    root.stampwright.face.texture = "none"
    assert bpy.ops.stampwright.sculpt_face() == {"FINISHED"}
    assert bpy.ops.stampwright.end_sculpting() == {"FINISHED"}
    die = part(root, "die")
    bpy.ops.stampwright.add_assets()
    lifted(die, -0.0003)
    bpy.context.view_layer.objects.active = die
    assert bpy.ops.object.modifier_apply(modifier="Lift") == {"FINISHED"}
    bpy.context.view_layer.objects.active = root
    bpy.ops.stampwright.build()
    dense = benches.bench_of(root).stamp.face.dense
    assert dense.solid.vertices[dense.movable, 2].mean() == pytest.approx(dense.top - 0.3, abs=0.02)


def marked():
    kinds = ("materials", "objects", "node_groups")
    return [each for kind in kinds for each in getattr(bpy.data, kind) if each.asset_data and not each.library]


def test_assets_are_marked_once_and_stay_out_of_the_scene(root):
    seen = len(bpy.context.scene.objects)
    assert bpy.ops.stampwright.add_assets() == {"FINISHED"}
    assert bpy.ops.stampwright.add_assets() == {"FINISHED"}
    assert len(bpy.context.scene.objects) == seen
    # Nodes, finishes, bases, and the presets of handles but for the one without any.
    assert len(marked()) == len({each.name for each in marked()}) == 1 + 5 + 3 + 4
    assert all([tag.name for tag in each.asset_data.tags] == ["Stampwright"] for each in marked())


def test_something_else_of_the_name_of_an_asset_is_left_alone(root):
    mine = bpy.data.objects.new("Base, Round 50", None)
    bpy.ops.stampwright.add_assets()
    assert mine.asset_data is None
    assert sum(each.name.startswith("Base, Round 50") and bool(each.asset_data) for each in bpy.data.objects) == 1


def test_a_base_from_the_assets_serves_as_a_base(root, live):
    bpy.ops.stampwright.add_assets()
    outline = bpy.data.objects["Base, Ellipse 50 x 30"]
    bpy.context.scene.collection.objects.link(outline)
    root.stampwright.base.outline, root.stampwright.base_curve = "custom", outline
    live.catch_up()
    bpy.ops.stampwright.build()
    bpy.context.view_layer.update()
    assert tuple(part(root, "die").dimensions[:2]) == pytest.approx((0.050, 0.030), rel=1e-3)


def test_a_handle_of_ones_own_is_kept_as_an_asset(root, live):
    bpy.context.view_layer.objects.active = root
    with pytest.raises(RuntimeError, match="not made from a curve"):
        bpy.ops.stampwright.keep_handle()
    profile = curve("Profile", [(0.025, 0.0), (0.012, 0.02), (0.018, 0.05), (0.0, 0.06)], closed=False, fill="NONE")
    bpy.context.view_layer.objects.active = root
    root.stampwright.handle.form, root.stampwright.profile_curve = "turned", profile
    live.catch_up()
    assert bpy.ops.stampwright.keep_handle() == {"FINISHED"}
    assert profile.asset_data.description == "Profile of a turned handle"

"""What is to be seen is in view, drawn where it is told apart, and there is a way back."""

import importlib
from types import SimpleNamespace

import bpy
import pytest
from drawing import choose, curve, letter_f, made, part
from mathutils import Matrix, Vector
from names import MODULE


@pytest.fixture
def root(scene):
    return made(curve("F", letter_f()))


@pytest.fixture
def overlay(extension):
    return importlib.import_module(f"{MODULE}.overlay")


@pytest.fixture
def views(extension):
    return importlib.import_module(f"{MODULE}.scene.views")


def viewport(*, perspective=False, clip_end=1000.0, clip_start=0.01, away=2.0):
    """Stand in for a 3D viewport with the host's own clipping, looking down from so far away."""
    region = SimpleNamespace(is_perspective=perspective, view_matrix=Matrix.Translation((0.0, 0.0, -away)))
    shading = SimpleNamespace(type="SOLID", color_type="MATERIAL")
    return SimpleNamespace(region_3d=region, clip_end=clip_end, clip_start=clip_start, shading=shading)


def test_pressure_lies_far_enough_over_the_die_to_be_seen_from_above(root, views, scene):
    root.stampwright.show_pressure = True
    assert bpy.ops.stampwright.press(full=False) == {"FINISHED"}
    die = part(root, "die")
    (sheet,) = [each for each in die.children if each.stampwright.role == "pressure"]
    top = max(vertex.co.z for vertex in die.data.vertices)
    lift = max(vertex.co.z for vertex in sheet.data.vertices) - top
    for view in (viewport(), viewport(perspective=True, away=1.0)):
        assert lift > 2 * views.depth_step(view, Vector())


@pytest.mark.parametrize("away", [0.2, 1.0, 5.0])
def test_depths_are_told_apart_as_a_24_bit_buffer_does(views, away):
    """The depth of a perspective view is f/(f-n) - fn/(f-n)/z, as in OpenGL's projection (Shreiner et al.)."""
    near, far = 0.01, 1000.0
    step = views.depth_step(viewport(perspective=True, away=away), Vector())
    depth = lambda z: far / (far - near) - far * near / ((far - near) * z)  # noqa: E731
    assert (depth(away) - depth(away - step)) * 2**24 == pytest.approx(1.0, rel=0.1)


def test_prints_of_all_stamps_are_drawn_in_plain_shading(root, overlay, scene):
    other = made(curve("other", letter_f(2.0)))
    hidden = made(curve("third", letter_f(1.5)))
    part(hidden, "paper").hide_set(True)
    context = SimpleNamespace(space_data=viewport(), scene=scene)
    assert set(overlay.bare_sheets(context)) == {part(root, "paper"), part(other, "paper")}
    context.space_data.shading.type = "MATERIAL"
    assert not overlay.bare_sheets(context)


def regions():
    return [area.spaces.active.region_3d for area in bpy.context.screen.areas if area.type == "VIEW_3D"]


def test_a_stamp_from_a_file_comes_into_view(scene, artwork_folder):
    if not bpy.context.screen or not regions():
        pytest.skip("no viewport without a window here")
    scene.cursor.location = (3.0, 4.0, 0.0)
    (region,) = regions()[:1]
    region.view_location = (100.0, 100.0, 0.0)
    file = next(artwork_folder.glob("*.svg"))
    assert bpy.ops.stampwright.import_artwork(filepath=str(file), become="STAMP") == {"FINISHED"}
    root = bpy.context.active_object
    assert (Vector(region.view_location) - root.matrix_world.translation).length < 0.3
    assert region.view_distance < 1.0


def test_there_is_a_way_back_from_a_picture(root, scene):
    choose(root)
    assert not bpy.ops.stampwright.leave_picture.poll()
    assert bpy.ops.stampwright.picture_beside() == {"FINISHED"}
    picture = next(each for each in bpy.data.scenes if each is not scene)
    if bpy.context.window is None:
        pytest.skip("no window shows a scene here")
    assert bpy.context.scene == picture
    assert bpy.ops.stampwright.leave_picture() == {"FINISHED"}
    assert bpy.context.scene == scene
    assert bpy.context.view_layer.objects.active == root
    assert picture.name in bpy.data.scenes


def test_on_the_way_back_the_view_and_what_is_active_are_as_before(root, scene):
    if bpy.context.window is None or not regions():
        pytest.skip("no viewport without a window here")
    art = next(each for each in scene.objects if each.type == "CURVE")
    choose(art)
    (view,) = regions()[:1]
    view.view_perspective, view.view_distance, view.view_location = "ORTHO", 0.4, (0.1, 0.2, 0.3)
    turned = view.view_rotation.copy()
    for operator in (bpy.ops.stampwright.leave_picture, bpy.ops.stampwright.remove_pictures):
        bpy.ops.stampwright.picture_beside()
        bpy.ops.stampwright.picture_held()
        view.view_distance, view.view_rotation = 2.0, (0.0, 1.0, 0.0, 0.0)
        assert view.view_perspective == "CAMERA"
        operator()
        assert bpy.context.scene == scene
        assert view.view_perspective == "ORTHO"
        assert view.view_distance == pytest.approx(0.4)
        assert view.view_location == Vector((0.1, 0.2, 0.3))
        assert view.view_rotation == turned
        assert bpy.context.view_layer.objects.active == art
        assert [each.name for each in bpy.context.selected_objects] == [art.name]


def test_what_is_wrong_with_an_outline_is_said_in_words(root):
    bow = curve("bow", [(0.0, 0.0), (0.04, 0.04), (0.04, 0.0), (0.0, 0.04)])
    choose(root)
    root.stampwright.base.outline, root.stampwright.base_curve = "custom", bow
    with pytest.raises(RuntimeError, match=r"crosses or touches itself at") as told:
        bpy.ops.stampwright.build()
    assert "[" not in str(told.value)


def test_findings_name_settings_as_the_panels_do(root, extension):
    base = importlib.import_module(f"{MODULE}.panels.base")
    labels = importlib.import_module(f"{MODULE}.stampwright.job.labels")
    assert base.sentence(labels.in_labels("die.relief = 2.5 mm becomes 2.6 mm")).startswith("Die: Relief = 2.5")


def test_a_picture_shows_print_ink_and_ground_in_plain_shading_too(root, overlay, scene, extension):
    stage = importlib.import_module(f"{MODULE}.mockup.stage")
    choose(root)
    root.stampwright.pictures.ink = "MADDER_RED"
    assert bpy.ops.stampwright.picture_beside() == {"FINISHED"}
    picture = next(stage.pictures())
    context = SimpleNamespace(space_data=viewport(), scene=picture)
    (sheet,) = overlay.bare_sheets(context)
    corners = overlay._corners(sheet)
    own = part(root, "paper").data.vertices
    width = max(corner.x for corner in corners) - min(corner.x for corner in corners)
    assert width == pytest.approx(max(vertex.co.x for vertex in own) - min(vertex.co.x for vertex in own), rel=1e-3)
    seen = {
        each[stage.MARK]: each.data.materials[0].diffuse_color[:3] for each in picture.objects if each.type == "MESH"
    }
    assert min(seen["sheet"]) > 0.8
    assert seen["felt"][0] > 2 * seen["felt"][2]
    root.stampwright.pictures.ink = "INK_BLUE"
    felt = next(each for each in picture.objects if each.get(stage.MARK) == "felt")
    assert felt.data.materials[0].diffuse_color[2] > 2 * felt.data.materials[0].diffuse_color[0]

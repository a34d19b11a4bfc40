"""What is animated, driven or scaled is followed, or said."""

import bpy
import numpy as np
import pytest
from drawing import choose, curve, letter_f, made, part, text


def height_of(root, role):
    bpy.context.view_layer.update()
    return part(root, role).dimensions.z * 1000


@pytest.fixture
def root(scene):
    return made(curve("F", letter_f()))


def keyed(root, name, values):
    """Animate a setting of the handle: a value for each frame."""
    for frame, value in values.items():
        setattr(root.stampwright.handle, name, value)
        assert root.keyframe_insert(f"stampwright.handle.{name}", frame=frame)


def test_an_animated_setting_is_followed_from_frame_to_frame(root, live, scene):
    keyed(root, "height", {1: 40.0, 10: 60.0})
    for frame, height in ((1, 40.0), (10, 60.0), (1, 40.0)):
        scene.frame_set(frame)
        live.catch_up()
        assert height_of(root, "handle") == pytest.approx(height, abs=0.5)


def test_a_driven_setting_is_followed_when_what_drives_it_moves(root, live, scene):
    bpy.ops.object.empty_add()
    wheel = bpy.context.active_object
    driver = root.driver_add("stampwright.handle.height").driver
    variable = driver.variables.new()
    variable.name, variable.targets[0].id, variable.targets[0].data_path = "x", wheel, "location.x"
    driver.type, driver.expression = "SCRIPTED", "40 + x"
    for x in (0.0, 20.0, 5.0):
        wheel.location.x = x
        bpy.context.view_layer.update()
        live.catch_up()
        assert height_of(root, "handle") == pytest.approx(40.0 + x, abs=0.5)


def test_animated_artwork_is_followed_from_frame_to_frame(root, live, scene, benches):
    drawn = root.stampwright.sources[0].object
    for frame, turn in ((1, 0.0), (10, 1.0)):
        drawn.rotation_euler.z = turn
        drawn.keyframe_insert("rotation_euler", frame=frame)
    areas = []
    for frame in (1, 10):
        scene.frame_set(frame)
        live.catch_up()
        areas.append(benches.bench_of(root).stamp.inked)
    assert areas[0].symmetric_difference(areas[1]).area > 0.1 * areas[0].area


def test_frames_change_nothing_of_a_stamp_that_stands_still(root, live, scene):
    scene.frame_set(5)
    assert not live.is_busy()


def test_a_rendered_film_shows_each_frames_own_stamp(root, scene, noticing, monkeypatch):
    keyed(root, "height", {1: 40.0, 2: 60.0})
    seen = []
    noticing._render_begins()
    try:
        for frame in (1, 2):
            scene.frame_set(frame)
            seen.append(round(height_of(root, "handle")))
    finally:
        noticing._render_ends()
    assert seen == [40, 60]


def render_film(scene, folder):
    """Render frames 1 to 3 as a command line does, and return in which frames what was seen of handle and die."""
    (root,) = [each for each in scene.objects if each.stampwright.role == "stamp"]
    bpy.ops.object.camera_add(location=(1.0, -0.4, 0.02))
    scene.camera = bpy.context.active_object
    scene.render.engine, scene.cycles.samples = "CYCLES", 1
    scene.render.resolution_x = scene.render.resolution_y = 16
    scene.frame_start, scene.frame_end, scene.render.filepath = 1, 3, str(folder / "film")
    seen = []

    def look(*_about):
        points = [vertex.co for vertex in part(root, "handle").data.vertices]
        height = round(1000 * (max(each.z for each in points) - min(each.z for each in points)))
        seen.append((scene.frame_current, height, len(part(root, "die").data.vertices)))

    bpy.app.handlers.render_post.append(look)
    try:
        bpy.ops.render.render(animation=True)
    finally:
        bpy.app.handlers.render_post.remove(look)
    return seen


def test_settings_are_animated_in_a_film_that_the_host_renders(root, live, scene, tmp_path):
    keyed(root, "height", {1: 40.0, 3: 60.0})
    live.catch_up()
    assert [(frame, height) for frame, height, _ in render_film(scene, tmp_path)] == [(1, 40), (2, 50), (3, 60)]
    live.catch_up()
    assert root.stampwright.handle.height == pytest.approx(40.0)
    assert height_of(root, "handle") == pytest.approx(40.0, abs=0.5)


def test_artwork_is_animated_in_a_film_that_the_host_renders(scene, live, tmp_path):
    drawn = text("I")
    root = made(drawn)
    drawn.modifiers.new("Array", "ARRAY").relative_offset_displace = (2.0, 0.0, 0.0)
    for frame, count in ((1, 1), (2, 1), (3, 4)):
        drawn.modifiers[0].count = count
        drawn.modifiers[0].keyframe_insert("count", frame=frame)
    scene.frame_set(1)
    live.catch_up()
    points = [count for _, _, count in render_film(scene, tmp_path)]
    assert points[0] == points[1] < points[2]
    live.catch_up()
    assert len(part(root, "die").data.vertices) == points[0]


def test_a_scaled_empty_is_told_and_can_become_the_size(root, live, benches):
    root.scale = (2.0, 2.0, 2.0)
    bpy.context.view_layer.update()
    live.catch_up()
    kinds = {finding.kind for finding in benches.bench_of(root).stamp.findings}
    assert "scaled in the scene" in kinds
    shown = np.array(part(root, "die").matrix_world.to_scale()) * part(root, "die").data.vertices[0].co.length
    assert shown.any()
    choose(root)
    before = root.stampwright.base.width
    assert bpy.ops.stampwright.apply_scale() == {"FINISHED"}
    assert root.stampwright.base.width == pytest.approx(2 * before)
    assert root.scale[:] == (1.0, 1.0, 1.0)
    stamp = benches.bench_of(root).stamp
    assert "scaled in the scene" not in {finding.kind for finding in stamp.findings}
    assert stamp.layout.base.bounds[2] == pytest.approx(before, rel=0.01)


def test_a_stretched_empty_is_told_and_not_taken(root, live, benches):
    root.scale = (2.0, 1.0, 1.0)
    bpy.context.view_layer.update()
    live.catch_up()
    (told,) = [each for each in benches.bench_of(root).stamp.findings if each.kind == "scaled in the scene"]
    assert "stretched" in told.message
    with pytest.raises(RuntimeError, match=r"Alt\+S"):
        bpy.ops.stampwright.apply_scale()
    assert root.scale[:] == (2.0, 1.0, 1.0)


def test_a_size_that_no_stamp_has_is_refused_and_the_scale_kept(root, live):
    root.scale = (50.0, 50.0, 50.0)
    bpy.context.view_layer.update()
    with pytest.raises(RuntimeError, match=r"300"):
        bpy.ops.stampwright.apply_scale()
    assert root.scale[:] == (50.0, 50.0, 50.0)


def test_a_profile_drawn_in_another_unit_is_refused_in_one_line(root):
    # As the host adds a curve: a unit is a metre there, and half of one a handle of half a metre.
    profile = curve("spindle", [(0.25, 0.0), (0.12, 0.2), (0.0, 0.61)], closed=False, dimensions="3D")
    choose(root)
    root.stampwright.handle.form = "turned"
    root.stampwright.profile_curve = profile
    with pytest.raises(RuntimeError, match=r"500 mm across.*another unit"):
        bpy.ops.stampwright.build()

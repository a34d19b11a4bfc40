"""Pressing a stamp in Blender: the sheet as pressed, pressure on the die, the push curve, and live work in between."""

import importlib

import bpy
import numpy as np
import pytest
from drawing import choose, curve, letter_f
from mathutils import Vector
from names import MODULE
from timer import Windowed, tick_until_done


def part(root, role):
    return next((child for child in root.children_recursive if child.stampwright.role == role), None)


@pytest.fixture
def pressing(extension):
    """Return the room that presses stamps."""
    return importlib.import_module(f"{MODULE}.press.pressing")


@pytest.fixture
def root(scene):
    """Return a small stamp of an F on a bowed face that is not dressed, so that it prints light in places."""
    choose(curve("F", letter_f()))
    assert bpy.ops.stampwright.make_stamp() == {"FINISHED"}
    root = bpy.context.active_object
    root.stampwright.base.width = 28.0
    root.stampwright.press.bow = 0.3
    root.stampwright.press.dressing_done = 0.0
    assert bpy.ops.stampwright.build() == {"FINISHED"}
    return root


def pixels_of(image):
    pixels = np.empty(len(image.pixels), dtype=np.float32)
    image.pixels.foreach_get(pixels)
    return pixels.reshape(image.size[1], image.size[0], 4)


def on_sheet(root):
    """Return the grey picture on the sheet, top row first, 0 black to 255 white."""
    material = part(root, "paper").data.materials[0]
    image = next(node.image for node in material.node_tree.nodes if node.type == "TEX_IMAGE")
    return np.rint(pixels_of(image)[::-1, :, 0] * 255).astype(np.uint8)


def test_sheet_shows_what_the_push_prints_at_true_size(root, pressing, benches):
    assert bpy.ops.stampwright.press(full=False) == {"FINISHED"}
    trial = pressing.known_of(root).trial
    impression = trial.prediction.impression
    np.testing.assert_array_equal(on_sheet(root), impression.picture)
    mm = bpy.context.scene.unit_settings.scale_length * 1000
    bpy.context.view_layer.update()
    rows, columns = impression.picture.shape
    expected = np.array((columns, rows)) * 25.4 / impression.dpi
    assert np.array(part(root, "paper").dimensions[:2]) * mm == pytest.approx(expected, rel=1e-4)
    # Less of it is dark than of the whole face.
    whole = benches.bench_of(root).stamp.impression
    dark = [(picture.picture < 128).sum() / picture.dpi**2 for picture in (impression, whole)]
    assert dark[0] < 0.8 * dark[1]


def test_sheet_shows_the_whole_face_again_when_that_is_chosen(root, benches):
    bpy.ops.stampwright.press(full=False)
    root.stampwright.sheet = "FACE"
    np.testing.assert_array_equal(on_sheet(root), benches.bench_of(root).stamp.impression.picture)
    root.stampwright.sheet = "PRESSED"
    assert on_sheet(root).shape != benches.bench_of(root).stamp.impression.picture.shape


def test_pressure_lies_on_the_face_of_the_die_as_colours_and_in_mpa(root, pressing):
    bpy.ops.stampwright.press(full=False)
    assert part(root, "pressure") is None
    root.stampwright.show_pressure = True
    sheet, die = part(root, "pressure"), part(root, "die")
    assert sheet.parent == die
    mesh = sheet.data
    layer = mesh.color_attributes.active_color
    assert (layer.name, layer.domain) == ("Pressure", "POINT")
    pressure, colours = np.empty(len(mesh.vertices)), np.empty(4 * len(mesh.vertices))
    mesh.attributes["pressure"].data.foreach_get("value", pressure)
    layer.data.foreach_get("color_srgb", colours)
    lightness = colours.reshape(-1, 4)[:, :3] @ (0.2126, 0.7152, 0.0722)
    trial = pressing.known_of(root).trial
    assert 0.0 <= pressure.min() < pressure.max() <= trial.scale_top
    assert np.corrcoef(pressure, lightness)[0, 1] > 0.95
    # On the die's face, within its outline.
    heights = np.array([vertex.co.z for vertex in mesh.vertices])
    top = max(vertex.co.z for vertex in die.data.vertices)
    mm = bpy.context.scene.unit_settings.scale_length * 1000
    assert np.abs(heights - top).max() * mm < 0.5
    assert all(own <= whole + 1e-6 for own, whole in zip(sheet.dimensions, die.dimensions, strict=True))
    root.stampwright.show_pressure = False
    assert part(root, "pressure") is None


def test_push_curve_is_drawn_for_the_panel_and_as_an_image(root, pressing):
    assert pressing.known_of(root).curve == 0
    assert bpy.ops.stampwright.draw_push_curve() == {"FINISHED"}
    image = bpy.data.images[f"{root.name} push curve"]
    assert image.size[0] == 1600
    shown = pixels_of(image)
    assert len(np.unique(shown[..., 0])) > 50
    # The title stands at the top: the picture is the right way up.
    assert (shown[-150:, :, 0] < 0.5).sum() > 500
    # Without a window the host numbers no icons, but it holds the picture.
    assert tuple(pressing._curves[root.session_uid]["curve"].image_size) == (480, 480)
    before = len(bpy.data.images)
    bpy.ops.stampwright.draw_push_curve()
    assert len(bpy.data.images) == before


def test_textured_face_is_pressed_where_it_stands(root, pressing):
    bpy.ops.stampwright.press(full=False)
    plain = pressing.known_of(root).trial
    root.stampwright.face.texture = "ripple"
    bpy.ops.stampwright.build()
    bpy.ops.stampwright.press(full=False)
    trial = pressing.known_of(root).trial
    # What lies low is not expected to print, and does not.
    assert trial.prediction.face.face_area < 0.8 * plain.prediction.face.face_area
    dark = [(each.prediction.impression.picture < 128).mean() for each in (trial, plain)]
    assert 0.0 < dark[0] < dark[1]


def test_full_pressing_advises_and_names_assumptions(root, pressing):
    assert bpy.ops.stampwright.press() == {"FINISHED"}
    trial = pressing.known_of(root).trial
    assert trial.full
    assert trial.prediction.pressing.solver == "full"
    assert trial.report.sensitivities
    assert any("Dress the face" in piece.message for piece in trial.report.advice)


def test_trial_of_what_has_not_changed_is_kept_and_other_edits_take_it_off(root, pressing, benches):
    root.stampwright.show_pressure = True
    bpy.ops.stampwright.press(full=False)
    known = pressing.known_of(root)
    trial = known.trial
    root.stampwright.price.die_per_kg += 1.0
    bpy.ops.stampwright.build()
    assert known.trial is trial
    assert part(root, "pressure") is not None
    root.stampwright.die.relief += 0.4
    bpy.ops.stampwright.build()
    assert part(root, "pressure") is None
    np.testing.assert_array_equal(on_sheet(root), benches.bench_of(root).stamp.impression.picture)


@pytest.mark.sweep(2)
@pytest.mark.parametrize(
    ("figures", "said"),
    [
        (
            {"layout.size_by": "height", "layout.height": 5.0, "press.force": 5000.0, "press.pressure": 100.0},
            "takes up to",
        ),
        ({"press.off_centre_x": 140.0}, "tip over"),
        ({"die.infill": 0.0}, "infill 0"),
    ],
)
def test_push_that_cannot_be_is_told_in_one_line(root, pressing, figures, said):
    bpy.ops.stampwright.press(full=False)
    for path, value in figures.items():
        section, name = path.split(".")
        setattr(getattr(root.stampwright, section), name, value)
    bpy.ops.stampwright.build()
    with pytest.raises(RuntimeError, match=said) as caught:
        bpy.ops.stampwright.press(full=False)
    assert len(str(caught.value).strip().splitlines()) == 1
    assert said in pressing.known_of(root).message
    assert pressing.known_of(root).trial is None


class TestAnyMesh:
    """A die that is a mesh like any other in the scene, such as one that was imported or sculpted."""

    @pytest.fixture
    def die(self, root):
        """Return a copy of the stamp's die as a mesh of its own, face up, somewhere in the scene and turned."""
        twin = bpy.data.objects.new("loose die", part(root, "die").data.copy())
        bpy.context.scene.collection.objects.link(twin)
        twin.location = (0.2, -0.1, 0.05)
        twin.rotation_euler.z = 0.5
        bpy.context.view_layer.update()
        choose(twin)
        return twin

    def test_it_is_pressed_and_its_print_lies_beside_it_at_true_size(self, die, root):
        assert bpy.ops.stampwright.press_mesh() == {"FINISHED"}
        bpy.context.view_layer.update()
        sheet = part(die, "paper")
        box = [sheet.matrix_world @ Vector(corner) for corner in sheet.bound_box]
        edge = max((die.matrix_world @ vertex.co).x for vertex in die.data.vertices)
        mm = bpy.context.scene.unit_settings.scale_length * 1000
        assert (min(corner.x for corner in box) - edge) * mm == pytest.approx(12.0, abs=0.01)
        assert {round(corner.z - 0.05, 6) for corner in box} == {0.0}
        image = sheet.data.materials[0].node_tree.nodes["Image Texture"].image
        assert (max(corner.x for corner in box) - min(corner.x for corner in box)) * mm == pytest.approx(
            image.size[0] * 25.4 / 200, rel=1e-3
        )
        dark = (pixels_of(image)[..., 0] < 0.5).mean()
        assert 0.02 < dark < 0.5
        # Pressed once more, as it is without beads and bow: the same sheet, more of it printed.
        assert bpy.ops.stampwright.press_mesh(printed=False) == {"FINISHED"}
        assert [child.stampwright.role for child in die.children] == ["paper"]
        assert (pixels_of(image)[..., 0] < 0.5).mean() > dark

    @pytest.mark.parametrize(
        ("spoil", "said"),
        [
            (lambda die: setattr(die, "scale", (1000.0, 1000.0, 1000.0)), "no size of a stamp"),
            (lambda die: setattr(die, "rotation_euler", (np.pi, 0.0, 0.0)), "face down"),
            (lambda die: die.data.clear_geometry(), "empty"),
            (lambda die: setattr(die, "scale", (1.0, 1.0, 1e-9)), "no face to press"),
        ],
    )
    def test_mesh_that_is_no_die_is_told_in_one_line(self, die, spoil, said):
        spoil(die)
        bpy.context.view_layer.update()
        with pytest.raises(RuntimeError, match=said) as caught:
            bpy.ops.stampwright.press_mesh()
        assert len(str(caught.value).strip().splitlines()) == 1

    def test_open_mesh_is_pressed_and_said_to_be_open(self, die, capfd):
        # Four faces of the flank less.
        steep = [face.index for face in die.data.polygons if abs(face.normal.z) < 0.5 and face.center.z > 0.003]
        corners = [vertex.co[:] for vertex in die.data.vertices]
        kept = [face.vertices[:] for face in die.data.polygons if face.index not in steep[:4]]
        die.data.clear_geometry()
        die.data.from_pydata(corners, [], kept)
        assert bpy.ops.stampwright.press_mesh() == {"FINISHED"}
        assert "the mesh is open" in capfd.readouterr().out

    def test_parts_of_a_stamp_are_left_to_the_stamp(self, root):
        choose(part(root, "die"))
        assert not bpy.ops.stampwright.press_mesh.poll()


def test_force_is_held_above_nothing(root):
    root.stampwright.press.force = -5.0
    assert root.stampwright.press.force > 0.0


class TestBesideBlender:
    """What the host's timers do in a window, done by hand."""

    @pytest.fixture(autouse=True)
    def in_a_window(self, live, pressing, scheduler, monkeypatch):
        """Let stamps be pressed as if there were a window."""
        monkeypatch.setattr(scheduler, "_wake", lambda _: None)
        monkeypatch.setattr(pressing.bpy, "app", Windowed(bpy.app))

    def test_stamp_at_rest_is_pressed_by_itself(self, root, live, pressing):
        tick_until_done(live, pressing)
        trial = pressing.known_of(root).trial
        assert trial is not None
        assert not trial.full
        root.stampwright.press.force = 20.0
        tick_until_done(live, pressing)
        assert pressing.known_of(root).trial.job.press.force == pytest.approx(20.0)
        assert on_sheet(root).shape == pressing.known_of(root).trial.prediction.impression.picture.shape

    def test_pressing_waits_until_the_stamp_has_come_to_rest_and_gives_way_to_edits(
        self, root, live, pressing, scheduler
    ):
        tick_until_done(live, pressing)
        work = pressing.start(root, full=False)
        root.stampwright.die.relief += 0.4
        scheduler.tick()
        assert pressing.work_of(root) is not work
        tick_until_done(live, pressing)
        assert pressing.known_of(root).trial.job.die.relief == pytest.approx(root.stampwright.die.relief, abs=1e-6)

    def test_full_pressing_runs_beside_and_can_be_stopped(self, root, live, pressing):
        tick_until_done(live, pressing)
        before = pressing.known_of(root).trial
        work = pressing.start(root, full=True)
        assert not work.is_done
        pressing.stop_at(root.session_uid)
        work.wait()
        tick_until_done(live, pressing)
        assert pressing.known_of(root).trial is before
        pressing.start(root, full=True)
        tick_until_done(live, pressing)
        assert pressing.known_of(root).trial.full

    def test_switched_off_it_leaves_stamps_alone(self, root, live, pressing):
        root.stampwright.press_live = False
        tick_until_done(live, pressing)
        known = pressing.known_of(root).trial
        root.stampwright.press.force = 33.0
        tick_until_done(live, pressing)
        assert pressing.known_of(root).trial is known

    def test_stamp_that_is_deleted_meanwhile_does_no_harm(self, root, live, pressing):
        pressing.start(root, full=True)
        bpy.data.batch_remove([root, *root.children_recursive])
        tick_until_done(live, pressing)
        assert not pressing.is_busy()


def test_nothing_is_left_when_the_extension_goes(root, pressing):
    bpy.ops.stampwright.press(full=False)
    assert pressing._curves
    pressing.unregister()
    assert not pressing._curves
    assert not pressing._known
    pressing.register()

"""Stamps follow every edit, rebuild only what changed, and stay in step through undo and redo."""

import importlib
import time
from types import SimpleNamespace

import bpy
import pytest
from drawing import choose, circle, curve, letter_f, made, part, text
from names import MODULE
from timer import Windowed, tick_until_done


def drag(drawn):
    point = drawn.data.splines[0].points[0]
    point.co = (point.co[0] - 0.3, point.co[1], 0.0, 1.0)
    bpy.context.view_layer.update()


@pytest.fixture
def written(extension, monkeypatch):
    """Which parts have been written to meshes since."""
    showing = importlib.import_module(f"{MODULE}.building.showing")
    names = []
    real = showing.show_part

    def show_part(root, name, solid, scene):
        names.append(name)
        real(root, name, solid, scene)

    monkeypatch.setattr(showing, "show_part", show_part)
    return names


def test_an_edit_of_the_artwork_rebuilds_the_die_in_the_background(scene, live, written):
    drawn = curve("F", letter_f())
    root = made(drawn)
    root.stampwright.handle.index = "none"
    tick_until_done(live)
    written.clear()
    drag(drawn)
    assert live.is_busy()
    tick_until_done(live)
    assert written == ["die"]


def test_a_slider_of_the_handle_rebuilds_the_handle(scene, live, written):
    root = made(curve("F", letter_f()))
    written.clear()
    root.stampwright.handle.height = 60.0
    tick_until_done(live)
    assert written == ["handle"]


def test_moving_a_source_a_curve_of_the_base_or_a_parent_is_followed(scene, live, benches):
    drawn = [curve("F", letter_f()), curve("O", circle(1.0, middle=(8.0, 0.0)))]
    outline = curve("outline", circle(0.03, 12))
    root = made(*drawn)
    root.stampwright.base.outline = "custom"
    root.stampwright.base_curve = outline
    tick_until_done(live)
    assert benches.bench_of(root).message == ""
    for each in (drawn[1], outline):
        before = root.stampwright.built
        each.location.x += 1.0
        each.scale.x = 1.3
        bpy.context.view_layer.update()
        tick_until_done(live)
        assert root.stampwright.built != before
        assert benches.bench_of(root).message == ""


def test_edits_that_concern_no_stamp_build_nothing(scene, live):
    made(curve("F", letter_f()))
    other = curve("other", circle(1.0))
    tick_until_done(live)
    other.location.x = 3.0
    bpy.context.view_layer.update()
    assert not live.is_busy()


def test_live_can_be_switched_off_and_on_again(scene, live):
    drawn = curve("F", letter_f())
    root = made(drawn)
    root.stampwright.live = False
    built = root.stampwright.built
    drag(drawn)
    root.stampwright.die.relief = 1.4
    assert not live.is_busy()
    assert root.stampwright.built == built
    root.stampwright.live = True
    tick_until_done(live)
    assert root.stampwright.built != built


def test_a_build_leaves_selection_and_active_object_alone(scene, live):
    drawn = curve("F", letter_f())
    root = made(drawn)
    choose(drawn)
    root.stampwright.die.relief = 1.4
    drag(drawn)
    tick_until_done(live)
    assert bpy.context.active_object == drawn
    assert bpy.context.selected_objects == [drawn]


def test_editing_points_in_edit_mode_is_followed(scene, live):
    drawn = curve("F", letter_f())
    root = made(drawn)
    choose(drawn)
    bpy.ops.object.mode_set(mode="EDIT")
    before = root.stampwright.built
    drag(drawn)
    drawn.data.update_tag()
    bpy.context.view_layer.update()
    tick_until_done(live)
    assert root.stampwright.built != before
    assert bpy.context.mode == "EDIT_CURVE"
    bpy.ops.object.mode_set(mode="OBJECT")


def test_a_new_edit_takes_the_place_of_a_build_under_way(scene, live, benches, scheduler):
    root = made(text("Mossgate Seed Library"))
    for height in (50.0, 60.0, 70.0):
        root.stampwright.handle.height = height
        scheduler.tick()
        time.sleep(0.05)
        scheduler.tick()
    tick_until_done(live)
    assert benches.bench_of(root).stamp.job.handle.height == 70.0


def test_parts_are_shown_as_they_are_made(scene, live, scheduler, monkeypatch):
    monkeypatch.setattr(live, "QUICK", 0.0)
    drawn = text("Mossgate Seed Library")
    root = made(drawn)
    for edit, role in ((lambda: setattr(drawn.data, "body", "Mossgate"), "die"), (raise_handle(root, 66.0), "handle")):
        before = part(root, role).dimensions[:]
        vertices = len(part(root, role).data.vertices)
        edit()
        bpy.context.view_layer.update()
        scheduler.tick()
        work = live.work_of(root)
        end = time.monotonic() + 60.0
        while not work.has_shown:
            assert time.monotonic() < end
            scheduler.tick()
            time.sleep(0.001)
        bpy.context.view_layer.update()
        assert (len(part(root, role).data.vertices), part(root, role).dimensions[:]) != (vertices, before)
        assert live.work_of(root) is work, "the rest of the stamp is still being made"
        tick_until_done(live)


def test_dragging_a_slider_shows_the_handle_on_the_way(scene, live, scheduler, monkeypatch):
    monkeypatch.setattr(live, "QUICK", 0.0)
    root = made(text("Mossgate Seed Library"))
    shown = set()
    for height in (50.0, 55.0, 60.0, 65.0, 70.0):
        root.stampwright.handle.height = height
        for _ in range(40):
            scheduler.tick()
            time.sleep(0.005)
        bpy.context.view_layer.update()
        shown.add(round(part(root, "handle").dimensions.z * 1000))
    assert len(shown) > 2
    tick_until_done(live)
    assert round(part(root, "handle").dimensions.z * 1000) == 70


@pytest.mark.parametrize("textured", [False, True])
def test_what_was_drawn_is_not_drawn_again_for_edits_that_leave_it(scene, live, monkeypatch, textured):
    making = importlib.import_module(f"{MODULE}.building.making")
    root = made(curve("F", letter_f()))
    if textured:
        image = bpy.data.images.new("grey", 8, 8)
        root.stampwright.face_image, root.stampwright.face.texture = image, "picture"
        tick_until_done(live)
    drawn, faces = [], []
    real, real_stamp = making.draw_for, making.make_stamp
    monkeypatch.setattr(making, "draw_for", lambda *given, **named: drawn.append(1) or real(*given, **named))

    def make_stamp(*given, **named):
        faces.append(named["picture"])
        return real_stamp(*given, **named)

    monkeypatch.setattr(making, "make_stamp", make_stamp)
    for height in (50.0, 60.0):
        root.stampwright.handle.height = height
        tick_until_done(live)
    assert not drawn
    assert faces[0] is faces[1]
    root.stampwright.sources[0].object.location.x = 0.5
    root.stampwright.sources[0].object.scale.x = 2.0
    bpy.context.view_layer.update()
    tick_until_done(live)
    assert drawn


def test_a_build_can_be_stopped(scene, live, benches):
    root = made(text("Mossgate Seed Library"))
    before = root.stampwright.built
    root.stampwright.handle.height = 70.0
    work = live.start(root)
    live.stop(root)
    work.wait()
    assert not live.is_busy()
    assert root.stampwright.built == before
    assert benches.bench_of(root).message == live.STOPPED
    live.build_now(root)
    assert benches.bench_of(root).message == ""


def test_what_stands_against_building_is_told_and_goes_when_mended(scene, live, benches):
    root = made(curve("F", letter_f()))
    root.stampwright.handle.form = "turned"
    tick_until_done(live)
    assert benches.bench_of(root).message == "Pick a curve for the handle's profile"
    root.stampwright.handle.form = "knob"
    tick_until_done(live)
    assert benches.bench_of(root).message == ""
    root.stampwright.backing.seat_depth = 3.9
    tick_until_done(live)
    assert "backing.seat_depth" in benches.bench_of(root).message


def test_deleting_the_artwork_keeps_the_stamp_and_says_what_is_missing(scene, live, benches):
    drawn = curve("F", letter_f())
    root = made(drawn)
    bpy.data.objects.remove(drawn)
    root.stampwright.die.relief = 1.6
    tick_until_done(live)
    assert "no artwork" in benches.bench_of(root).message.lower()
    assert part(root, "die") is not None


def test_deleting_the_stamp_leaves_nothing_under_way(scene, live):
    root = made(curve("F", letter_f()))
    root.stampwright.die.relief = 1.6
    for child in root.children:
        bpy.data.objects.remove(child)
    bpy.data.objects.remove(root)
    tick_until_done(live)
    assert not live.is_busy()


def test_nothing_is_built_while_rendering(scene, live, noticing, scheduler):
    root = made(curve("F", letter_f()))
    noticing._render_begins()
    root.stampwright.die.relief = 1.6
    built = root.stampwright.built
    for _ in range(20):
        scheduler.tick()
    assert root.stampwright.built == built
    noticing._render_ends()
    tick_until_done(live)
    assert root.stampwright.built != built


def raise_handle(root, height):
    return lambda: setattr(root.stampwright.handle, "height", height)


@pytest.mark.parametrize("took", [0.01, 9.0])
def test_a_stamp_that_is_quick_to_build_is_drawn_once_an_edit(scene, live, benches, monkeypatch, took):
    """One that takes long shows its new part before the rest is there, and is drawn once more when it is."""
    root = made(curve("F", letter_f()))
    tick_until_done(live)
    drawn = []
    monkeypatch.setattr(live, "redraw", lambda: drawn.append(root))
    # However slow the machine is, new parts wait to be shown, and nothing is told of, nor taken for dragging.
    monkeypatch.setattr(live, "SLOW", 60.0)
    monkeypatch.setattr(live, "DRAGGING", -1.0)
    monkeypatch.setattr(importlib.import_module(f"{MODULE}.live.tasks"), "PATIENCE", 60.0)
    benches.bench_of(root).took[frozenset({"handle"})] = benches.Took(took / 2, took)
    root.stampwright.handle.height = 60.0
    tick_until_done(live)
    assert len(drawn) == (1 if took < 1.0 else 2)


def test_a_trial_under_way_is_not_drawn_before_it_is_worth_telling_of(scene, live, extension, monkeypatch):
    pressing = importlib.import_module(f"{MODULE}.press.pressing")
    drawn = []
    monkeypatch.setattr(pressing, "redraw_sidebars", lambda: drawn.append(True))
    root = made(curve("F", letter_f()))
    work = type("Work", (), {"full": False, "seconds": 0.2, "has_news": lambda self: True})()
    pressing._attend(root, work)
    assert drawn == []
    work.seconds = 2.0
    pressing._attend(root, work)
    assert drawn == [True]


def test_a_sheet_is_small_while_somebody_drags_and_whole_when_they_rest(scene, live, benches, scheduler, monkeypatch):
    drawn = curve("F", letter_f())
    root = made(drawn)
    image = importlib.import_module(f"{MODULE}.scene.images").image_of(root)
    bench, whole, widths = benches.bench_of(root), tuple(image.size), []
    monkeypatch.setattr(live, "DRAGGING", 3600.0)
    for _ in range(3):
        drag(drawn)
        before, end = bench.shown_at, time.monotonic() + 60.0
        while bench.shown_at == before:
            assert time.monotonic() < end
            scheduler.tick()
            time.sleep(0.005)
        widths.append(image.size[0])
    # The first edit is none of a drag; what follows at once is, and its sheet is as large as the paper all the same.
    assert widths[0] > 0.9 * whole[0]
    assert widths[1] < 0.3 * whole[0]
    assert widths[2] < 0.3 * whole[0]
    assert root.stampwright.built == ""
    monkeypatch.setattr(live, "DRAGGING", 0.05)
    live.mark(root)
    time.sleep(0.1)
    tick_until_done(live)
    assert image.size[0] > 0.9 * whole[0]
    assert root.stampwright.built == bench.shows


def test_a_sheet_is_laid_once_for_a_build_and_its_trial(scene, live, extension, benches, monkeypatch):
    pressing = importlib.import_module(f"{MODULE}.press.pressing")
    drawn = curve("F", letter_f())
    root = made(drawn)
    laid = []
    for room in ("building.showing", "press.trials"):
        module = importlib.import_module(f"{MODULE}.{room}")
        lay = module.show_impression
        monkeypatch.setattr(module, "show_impression", lambda *given, lay=lay: laid.append(given) or lay(*given))
    drag(drawn)
    bpy.context.view_layer.update()
    tick_until_done(live)
    assert len(laid) == 1
    root.stampwright.sheet = "FACE"
    laid.clear()
    pressing.press_now(root, full=False)
    assert laid == []


def test_progress_draws_the_sidebar_alone_and_only_when_it_says_something_else(scene, live, monkeypatch):
    following = importlib.import_module(f"{MODULE}.live.following")
    drawn = {"views": 0, "sidebars": 0}
    monkeypatch.setattr(following, "redraw", lambda: drawn.update(views=drawn["views"] + 1))
    monkeypatch.setattr(following, "redraw_sidebars", lambda: drawn.update(sidebars=drawn["sidebars"] + 1))
    monkeypatch.setattr(following, "SLOW", -1.0)
    task = importlib.import_module(f"{MODULE}.live.tasks").LiveTask(lambda tell: None)
    task.has_parts = False
    for step, share in (("lay out", 0.0), ("lay out", 0.0), ("press", 0.5), ("press", 0.501), ("press", 0.52)):
        task._tell(step, share)
        following._show_progress(bpy.context.scene, task)
    assert drawn == {"views": 0, "sidebars": 3}


def test_a_stamp_follows_that_another_window_shows_in_its_own_scene(scene, live):
    drawn = curve("F", letter_f())
    root = made(drawn)
    tick_until_done(live)
    before = len(part(root, "die").data.vertices)
    drawn.data.splines[0].points[0].co = (-0.5, -1.5, 0.0, 1.0)
    drawn.data.splines[0].use_cyclic_u = False
    bpy.context.view_layer.update()
    other = bpy.data.scenes.new("Other")
    with bpy.context.temp_override(scene=other, view_layer=other.view_layers[0]):
        assert bpy.context.scene == other
        assert live.is_busy()
        tick_until_done(live)
    assert len(part(root, "die").data.vertices) != before
    assert root.users_scene == (scene,)
    assert not other.objects[:]


def test_stamps_that_were_edited_while_it_was_disabled_are_followed_once_it_is_back(scene, live, noticing, monkeypatch):
    drawn = curve("F", letter_f())
    root = made(drawn)
    tick_until_done(live)
    before = len(part(root, "die").data.vertices)
    noticing.unregister()
    drawn.data.splines[0].use_cyclic_u = False
    bpy.context.view_layer.update()
    with monkeypatch.context() as patched:
        patched.setattr(noticing, "bpy", SimpleNamespace(app=Windowed(bpy.app)))
        noticing.register()
    assert bpy.app.timers.is_registered(noticing._opened)
    noticing._opened()
    tick_until_done(live)
    assert len(part(root, "die").data.vertices) != before
    noticing.unregister()
    assert not bpy.app.timers.is_registered(noticing._opened)
    noticing.register()

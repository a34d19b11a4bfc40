"""An edit is drawn once, with all that follows it, where drawing takes longer than that."""

import importlib
import time
from types import SimpleNamespace

import bpy
import pytest
from drawing import curve, letter_f, made
from names import MODULE
from timer import Windowed, tick_until_done


@pytest.fixture
def slow(scene, live, scheduler, benches, monkeypatch):
    """A stamp in a window that draws slowly, of which it is known how long it takes: what it is made and told by.

    The host has drawn nothing since the last edit. However slow the machine is, nothing is taken for dragging.
    """
    monkeypatch.setattr(live, "DRAGGING", -3600.0)
    monkeypatch.setattr(live, "SLOW", 60.0)
    art = curve("F", letter_f())
    root = made(art)
    pacing = importlib.import_module(f"{MODULE}.live.pacing")
    held = SimpleNamespace(art=art, root=root, live=live, tick=scheduler.tick, benches=benches, pacing=pacing, drawn=[])
    for edit in (lambda: setattr(root.stampwright.handle, "height", 50.0), lambda: move(art)):
        edit()
        bpy.context.view_layer.update()
        tick_until_done(live)
    monkeypatch.setattr(live, "redraw", lambda: held.drawn.append(True))
    monkeypatch.setattr(pacing, "is_drawn_since", lambda moment: False)
    for name in ("worth_waiting", "turn"):
        monkeypatch.setattr(pacing, name, lambda: 60.0)
    # From here on edits are awaited.
    assert scheduler.tick() == 0.0
    return held


@pytest.fixture
def pressed(slow, monkeypatch):
    """The same stamp, pressed by itself after edits as in a window, of which it is known how long that takes."""
    pressing = importlib.import_module(f"{MODULE}.press.pressing")
    scheduler = importlib.import_module(f"{MODULE}.live.scheduler")
    monkeypatch.setattr(scheduler, "_wake", lambda _: None)
    monkeypatch.setattr(pressing.bpy, "app", Windowed(bpy.app))
    monkeypatch.setattr(pressing, "REST", 0.0)
    pressing.follow(slow.root)
    tick_until_done(slow.live, pressing)
    # An edit that nothing is known of comes in a day.
    monkeypatch.setattr(pressing, "REST", 86400.0)
    monkeypatch.setattr(pressing, "redraw", lambda: slow.drawn.append(True))
    slow.pressing = pressing
    return slow


def move(art):
    art.data.splines[0].points[0].co.x -= 0.3
    art.data.update_tag()


def test_all_that_follows_an_edit_is_there_before_it_is_drawn(slow):
    for edit in (lambda: move(slow.art), lambda: setattr(slow.root.stampwright.die, "relief", 1.4)):
        before = slow.root.stampwright.built
        slow.drawn.clear()
        edit()
        assert slow.tick() == 0.0, "the next edit is noticed as soon"
        assert not slow.live.is_busy()
        assert slow.root.stampwright.built == slow.benches.bench_of(slow.root).shows != before
        assert len(slow.drawn) == 1


@pytest.mark.parametrize("why", ["drawn already", "takes long", "drawing is quick"])
def test_the_window_is_not_held_up_for_what_is(slow, monkeypatch, why):
    if why == "drawing is quick":
        monkeypatch.setattr(slow.pacing, "worth_waiting", lambda: 0.0)
    if why == "drawn already":
        monkeypatch.setattr(slow.pacing, "is_drawn_since", lambda moment: True)
    if why == "takes long":
        slow.benches.bench_of(slow.root).took_last = slow.benches.Took(90.0, 99.0)
    slow.root.stampwright.die.relief = 1.4
    slow.tick()
    assert slow.live.work_of(slow.root) is not None, "it is built beside Blender"
    tick_until_done(slow.live)


def test_the_press_is_there_too_before_an_edit_is_drawn(pressed):
    for edit in (lambda: move(pressed.art), lambda: setattr(pressed.root.stampwright.die, "relief", 1.4)):
        edit()
        pressed.tick()
        assert not pressed.live.is_busy()
        assert not pressed.pressing.is_busy()
        stamp = pressed.benches.bench_of(pressed.root).stamp
        assert pressed.pressing.known_of(pressed.root).trial.job.die == stamp.job.die
        assert pressed.pressing.known_of(pressed.root).pressed_by[0] is stamp.pressed


def test_another_push_is_drawn_with_what_it_prints(pressed):
    pressed.root.stampwright.press.force = 20.0
    pressed.tick()
    assert pressed.pressing.known_of(pressed.root).trial.job.press.force == pytest.approx(20.0)


@pytest.mark.parametrize("why", ["takes long", "dragged"])
def test_an_edit_is_not_kept_waiting_for_a_press_that(pressed, monkeypatch, why):
    bench = pressed.benches.bench_of(pressed.root)
    if why == "takes long":
        bench.took_press = 90.0
    else:
        monkeypatch.setattr(pressed.live, "DRAGGING", 3600.0)
    before = pressed.pressing.known_of(pressed.root).trial
    move(pressed.art)
    pressed.tick()
    assert bench.stamp is not None
    assert pressed.pressing.known_of(pressed.root).trial is before
    assert len(pressed.drawn) == 1


def test_a_press_that_is_switched_off_is_not_reckoned_with(pressed, monkeypatch):
    """All of the stamp takes longer than two drawings, and no third is saved: its parts come with the edit."""
    monkeypatch.setattr(pressed.pacing, "worth_waiting", lambda: 20.0)
    pressed.benches.bench_of(pressed.root).took_press = 1.0
    pressed.benches.bench_of(pressed.root).took_last = pressed.benches.Took(30.0, 50.0)
    monkeypatch.setattr(pressed.pacing, "LONGEST", 3600.0)
    assert pressed.live._is_quick(pressed.root, 20.0)
    pressed.root.stampwright.press_live = False
    assert not pressed.live._is_quick(pressed.root, 20.0)


def test_a_slow_stamp_shows_its_die_with_the_edit_and_the_rest_later(slow, monkeypatch):
    """The first part is worth waiting for, all of it is not: two drawings in place of three."""
    monkeypatch.setattr(importlib.import_module(f"{MODULE}.live.tasks"), "PATIENCE", 60.0)
    monkeypatch.setattr(slow.live, "QUICK", 0.0)
    slow.benches.bench_of(slow.root).took.clear()
    move(slow.art)
    slow.tick()
    assert len(slow.drawn) == 1
    assert slow.live.work_of(slow.root).has_shown
    assert slow.root.stampwright.built == ""
    tick_until_done(slow.live)
    assert len(slow.drawn) == 2
    assert slow.root.stampwright.built == slow.benches.bench_of(slow.root).shows


def test_what_was_waited_for_in_vain_shows_the_parts_that_are_there(slow, monkeypatch):
    """Expected to come all at once, its rest takes longer than an edit may be kept waiting."""
    making = importlib.import_module(f"{MODULE}.building.making")
    real, patience = making.picture_of, 1.0

    def slowly(*given):
        time.sleep(3 * patience)
        return real(*given)

    monkeypatch.setattr(making, "picture_of", slowly)
    monkeypatch.setattr(slow.pacing, "worth_waiting", lambda: patience)
    move(slow.art)
    slow.tick()
    work = slow.live.work_of(slow.root)
    assert work.has_shown
    assert len(slow.drawn) == 1
    assert slow.root.stampwright.built == ""
    slow.live.stop(slow.root)
    work.wait()


def test_a_turn_of_the_host_counts_once_it_has_drawn(extension, monkeypatch):
    pacing = importlib.import_module(f"{MODULE}.live.pacing")
    monkeypatch.setattr(pacing, "_state", {**pacing.FORGOTTEN})
    monkeypatch.setattr(pacing, "_handles", ["a viewport's"])
    for seconds in (0.02, 0.02, 0.02, 5.0):
        pacing.drawing_begins()
        pacing.host_calls()
        assert pacing.is_drawing(), "it came round without having drawn"
        pacing._state["begun"] = time.monotonic() - seconds
        pacing._drawn()
        pacing.host_calls()
        assert not pacing.is_drawing()
    # What held it up just once says nothing of how long drawing takes.
    assert 0.02 <= pacing.turn() < 1.0


def test_how_long_a_drawing_was_put_off_says_nothing_of_how_long_it_takes(extension, monkeypatch):
    pacing = importlib.import_module(f"{MODULE}.live.pacing")
    monkeypatch.setattr(pacing, "_state", {**pacing.FORGOTTEN, "turns": (0.0, 0.0, 0.0)})
    monkeypatch.setattr(pacing, "_handles", ["a viewport's"])
    pacing.drawing_begins()
    pacing._state["begun"] -= 0.9
    pacing.host_goes_on()
    pacing._drawn()
    pacing.host_calls()
    assert pacing._state["turns"][-1] < 0.5


def test_the_host_that_comes_round_all_the_time_leaves_tasks_their_turn(slow, monkeypatch):
    """Edits are awaited, and a host that does not rest calls without end: tasks in Python would hardly go on."""
    slow.pacing.host_calls()
    assert not slow.pacing.is_drawing()
    rests = []
    scheduler = importlib.import_module(f"{MODULE}.live.scheduler")
    monkeypatch.setattr(scheduler.time, "sleep", rests.append)
    assert slow.tick() == 0.0
    assert rests == [scheduler.GLANCE]


def test_a_window_without_a_viewport_is_not_waited_for(extension, monkeypatch):
    pacing = importlib.import_module(f"{MODULE}.live.pacing")
    monkeypatch.setattr(pacing, "_state", {**pacing.FORGOTTEN})
    monkeypatch.setattr(pacing, "_handles", ["a viewport's"])
    pacing.drawing_begins()
    pacing._state["begun"] -= 2 * pacing.HIDDEN
    pacing.host_calls()
    assert not pacing.is_drawing()
    assert pacing.turn() == 0.0

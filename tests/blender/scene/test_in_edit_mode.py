"""A stamp with a part in Edit Mode follows when that is over, and what went wrong meanwhile stops nothing."""

import importlib

import bpy
import pytest
from drawing import choose, circle, curve, letter_f, made, part
from names import MODULE
from timer import tick_until_done


@pytest.fixture
def root(scene, small_stamps, live):
    root = made(curve("F", letter_f()))
    bpy.context.view_layer.update()
    tick_until_done(live)
    return root


@pytest.fixture
def verdict(extension):
    return importlib.import_module(f"{MODULE}.press.verdict")


def enter(drawn):
    choose(drawn)
    assert bpy.ops.object.mode_set(mode="EDIT") == {"FINISHED"}


def leave(live):
    assert bpy.ops.object.mode_set(mode="OBJECT") == {"FINISHED"}
    bpy.context.view_layer.update()
    tick_until_done(live)
    bpy.context.view_layer.update()
    tick_until_done(live)


def height_of(drawn):
    places = [vertex.co.z for vertex in drawn.data.vertices]
    return (max(places) - min(places)) * 1000


def test_the_sheet_follows_when_edit_mode_is_left(root, live, verdict):
    enter(part(root, "paper"))
    root.stampwright.base.width = 31.0
    tick_until_done(live)
    assert not verdict.verdict_of(root).is_current
    leave(live)
    assert verdict.verdict_of(root).is_current
    assert part(root, "paper").dimensions.x * 1000 > 31.0


def test_what_is_edited_by_hand_is_told_when_edit_mode_is_left(root, live, verdict):
    enter(part(root, "handle"))
    bpy.ops.transform.resize(value=(1.0, 1.0, 2.0))
    root.stampwright.die.floor = 3.0
    tick_until_done(live)
    leave(live)
    assert height_of(part(root, "die")) == pytest.approx(5.2, abs=0.01)
    assert height_of(part(root, "handle")) == pytest.approx(90.0, abs=0.01)
    assert "part changed by hand" in {each.kind for each in verdict.findings_of(root)}


def test_a_stamp_is_pressed_while_its_die_and_its_sheet_are_edited(root, live):
    root.stampwright.show_pressure = True
    for role in ("die", "paper"):
        enter(part(root, role))
        assert bpy.ops.stampwright.press() == {"FINISHED"}
        root.stampwright.sheet = "PRESSED"
        leave(live)
    assert part(root, "die").data.attributes.get("pressure") is not None


def test_a_linked_copy_in_edit_mode_lets_the_first_follow_after(root, live, verdict):
    choose(root, *root.children)
    bpy.ops.object.duplicate(linked=True)
    twin = next(each for each in bpy.context.selected_objects if each.type == "EMPTY")
    bpy.context.view_layer.update()
    tick_until_done(live)
    enter(part(twin, "handle"))
    root.stampwright.handle.height = 60.0
    bpy.context.view_layer.update()
    tick_until_done(live)
    leave(live)
    assert verdict.verdict_of(root).is_current
    assert height_of(part(root, "handle")) == pytest.approx(60.0, abs=0.01)
    assert height_of(part(twin, "handle")) == pytest.approx(45.0, abs=0.01)


def test_what_goes_wrong_as_a_stamp_is_shown_is_told_and_the_next_edit_is_followed(root, live, benches, monkeypatch):
    def fails(*_about):
        raise RuntimeError("no room")

    parts = importlib.import_module(f"{MODULE}.building.showing")
    with monkeypatch.context() as patched:
        patched.setattr(parts, "show_part", fails)
        root.stampwright.handle.height = 60.0
        tick_until_done(live)
    assert benches.bench_of(root).message == "The stamp could not be shown (RuntimeError: no room)"
    root.stampwright.handle.height = 62.0
    tick_until_done(live)
    assert benches.bench_of(root).message == ""
    assert height_of(part(root, "handle")) == pytest.approx(62.0, abs=0.01)


def test_artwork_is_followed_while_it_is_edited_beside_a_stamp_of_its_own(root, live, benches):
    ring = curve("Ring", circle(1.0))
    other = made(ring)
    before = benches.bench_of(other).stamp.inked.area
    enter(ring)
    bpy.ops.curve.select_all(action="SELECT")
    bpy.ops.transform.resize(value=(2.0, 1.0, 1.0))
    bpy.context.view_layer.update()
    tick_until_done(live)
    assert benches.bench_of(other).stamp.inked.area != pytest.approx(before, rel=0.01)
    leave(live)

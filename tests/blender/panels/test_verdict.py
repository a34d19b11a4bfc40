"""One verdict, which tells the truth: art, parts and press together, and nothing about what is no more."""

import importlib

import bpy
import pytest
from drawing import choose, curve, letter_f, made
from names import MODULE


@pytest.fixture
def verdicts(extension):
    return importlib.import_module(f"{MODULE}.press.verdict")


def two_lines():
    """Add the host's own text at its defaults, with two lines of it typed in."""
    bpy.ops.object.text_add()
    drawn = bpy.context.active_object
    drawn.data.body = "Honey\nMossgate"
    return made(drawn)


def test_what_the_press_finds_stands_with_the_other_findings(scene, verdicts):
    root = two_lines()
    # Held free and pressed hard off its middle, half of it does not reach the paper.
    root.stampwright.press.off_centre_y = 5.0
    bpy.ops.stampwright.build()
    before = verdicts.findings_of(root)
    assert "missing" not in {each.kind for each in before}
    bpy.ops.stampwright.press(full=False)
    found = verdicts.findings_of(root)
    assert {"missing"} <= {each.kind for each in found}
    assert set(map(id, before)) <= set(map(id, found))
    verdict = verdicts.verdict_of(root)
    assert verdict.severity == "warns"
    assert verdict.text.startswith("Prints in part (")
    number = next(number for number, each in enumerate(found) if each.kind == "missing")
    assert bpy.ops.stampwright.view_finding(number=number) == {"FINISHED"}


def test_two_lines_as_the_host_adds_them_pass_and_are_said_to_print(scene, verdicts):
    """Thin strokes warn, and print all the same: the press prints the whole face."""
    bpy.ops.object.text_add()
    drawn = bpy.context.active_object
    drawn.data.body = "Honig\nvom Hang"
    root = made(drawn)
    assert not any(each.severity == "blocks" for each in verdicts.findings_of(root))
    assert verdicts.verdict_of(root).text.startswith("Not pressed yet: ")
    bpy.ops.stampwright.press(full=False)
    verdict = verdicts.verdict_of(root)
    assert verdicts.trial_of(root).printed_share > 0.98
    assert verdict.severity == "warns"
    assert verdict.text.startswith("Prints at ")


def test_nothing_is_said_to_print_that_was_not_pressed(scene, verdicts):
    root = made(curve("F", letter_f()))
    assert verdicts.verdict_of(root).text == "No problems found, not pressed yet"
    bpy.ops.stampwright.press(full=False)
    root.stampwright.die.relief = 2.4
    bpy.ops.stampwright.build()
    # The trial was of another stamp.
    assert verdicts.trial_of(root) is None
    assert verdicts.verdict_of(root).text == "No problems found, not pressed yet"


@pytest.mark.parametrize("way", ["failed", "failed by hand", "stopped", "not followed"])
def test_a_verdict_on_what_is_no_more_is_grey(scene, verdicts, live, way):
    root = made(curve("F", letter_f()))
    assert verdicts.verdict_of(root).is_current
    match way:
        case "failed":
            root.stampwright.handle.form = "turned"
            live.catch_up()
        case "failed by hand":
            root.stampwright.handle.form = "turned"
            with pytest.raises(RuntimeError, match="Pick a curve"):
                bpy.ops.stampwright.build()
        case "stopped":
            live.start(root)
            live.stop(root)
        case "not followed":
            root.stampwright.live = False
            root.stampwright.die.relief = 2.2
    verdict = verdicts.verdict_of(root)
    assert not verdict.is_current
    assert not verdict.severity
    root.stampwright.handle.form, root.stampwright.live = "knob", True
    bpy.ops.stampwright.build()
    assert verdicts.verdict_of(root).is_current


@pytest.mark.parametrize("role", ["die", "handle", "backing", "paper"])
def test_a_deleted_part_comes_back_with_build(scene, role):
    root = made(curve("F", letter_f()))
    lost = next(child for child in root.children if child.stampwright.role == role)
    shape = len(lost.data.vertices)
    choose(lost)
    bpy.ops.object.delete()
    choose(root)
    assert bpy.ops.stampwright.build() == {"FINISHED"}
    (back,) = [child for child in root.children if child.stampwright.role == role]
    assert len(back.data.vertices) == shape
    assert back.users_collection


@pytest.mark.parametrize("role", ["die", "handle", "backing"])
def test_a_deleted_part_is_told_until_it_is_back(scene, verdicts, role):
    root = made(curve("F", letter_f()))
    before = verdicts.findings_of(root)
    bpy.data.objects.remove(next(child for child in root.children if child.stampwright.role == role))
    told = [each for each in verdicts.findings_of(root) if each not in before]
    assert [role in each.message for each in told] == [True]
    assert verdicts.verdict_of(root).severity == "warns"
    bpy.ops.stampwright.press(full=False)
    assert told[0] in verdicts.findings_of(root)
    assert bpy.ops.stampwright.build() == {"FINISHED"}
    assert told[0] not in verdicts.findings_of(root)


def test_a_part_that_was_unlinked_comes_back_with_build(scene):
    root = made(curve("F", letter_f()))
    handle = next(child for child in root.children if child.stampwright.role == "handle")
    handle.use_fake_user = True
    for held in handle.users_collection:
        held.objects.unlink(handle)
    assert bpy.ops.stampwright.build() == {"FINISHED"}
    assert handle.users_collection


def test_a_duplicate_of_the_empty_alone_gets_parts_of_its_own(scene, live):
    root = made(curve("F", letter_f()))
    choose(root)
    bpy.ops.object.duplicate()
    twin = bpy.context.active_object
    assert twin is not root
    bpy.context.view_layer.update()
    live.mark(twin)
    live.catch_up()
    assert {child.stampwright.role for child in twin.children} == {child.stampwright.role for child in root.children}

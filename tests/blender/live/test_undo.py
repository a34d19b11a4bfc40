"""Undo and redo, of every operator and of every sort of property, leave stamp and job in step."""

import hashlib
import importlib
import json

import bpy
import numpy as np
import pytest
from drawing import choose, circle, curve, letter_f, made, part
from timer import tick_until_done

MODULE = "bl_ext.user_default.stampwright"

THIN_BAR = [(6, 0), (6.04, 0), (6.04, 5), (6, 5)]
"""About 0.2 mm on a stamp of 50 mm: half of what a nozzle of 0.4 mm lays."""


@pytest.fixture
def name(scene):
    """The name of a stamp of two curves, in a file whose last step is that it was made."""
    drawn = [curve("F", letter_f(), THIN_BAR), curve("O", circle(1.0, middle=(8.0, 0.0)))]
    made(*drawn)
    bpy.ops.ed.undo_push(message="made")
    return bpy.context.active_object.name


def state():
    """Return all that there is: objects, and of every stamp its job, its artwork, and what its parts show."""
    bpy.context.view_layer.update()
    roots = [each for each in bpy.data.objects if each.stampwright.role == "stamp"]
    return {
        "objects": sorted(each.name for each in bpy.data.objects),
        "stamps": {root.name: shown_by(root) for root in roots},
    }


def shown_by(root):
    held = root.stampwright
    figures = importlib.import_module(f"{MODULE}.job.settings").read_settings(held)
    sources = [(each.object.name if each.object else None, each.drawn_as, each.line_width) for each in held.sources]
    parts = {child.stampwright.role: (shape_of(child), tuple(child.location)) for child in root.children}
    return figures, sources, held.standing, held.paper, held.job_name, parts, picture_of(root)


def shape_of(child):
    points = np.empty(3 * len(child.data.vertices), dtype=np.float32)
    child.data.vertices.foreach_get("co", points)
    return hashlib.blake2b(points.tobytes(), digest_size=8).hexdigest()


def picture_of(root):
    """Return the image on a stamp's sheet, the top row first, as the core keeps pictures, as a fingerprint."""
    sheet = part(root, "paper")
    return None if sheet is None else hashlib.blake2b(pixels_of(sheet).tobytes(), digest_size=8).hexdigest()


def pixels_of(sheet):
    image = next(node.image for node in sheet.data.materials[0].node_tree.nodes if node.type == "TEX_IMAGE")
    values = np.empty(4 * image.size[0] * image.size[1], dtype=np.float32)
    image.pixels.foreach_get(values)
    return np.rint(255 * values.reshape(image.size[1], image.size[0], 4)[::-1, :, 0]).astype(np.uint8)


def is_undone_and_done_again(live):
    """Undo the last step and do it again, twice, looking at all there is each time."""
    tick_until_done(live)
    after = state()
    bpy.ops.ed.undo()
    tick_until_done(live)
    before = state()
    assert before != after
    bpy.ops.ed.redo()
    tick_until_done(live)
    assert state() == after
    bpy.ops.ed.undo()
    tick_until_done(live)
    assert state() == before
    return before


EDITS = {
    "a length": lambda held: setattr(held.base, "width", 40.0),
    "a choice": lambda held: setattr(held.handle, "form", "block"),
    "a part that goes": lambda held: setattr(held.backing, "form", "one-piece"),
    "a switch": lambda held: setattr(held.preflight, "repair", True),
    "a material": lambda held: setattr(held.die, "material", "tpu-85a"),
    "the name": lambda held: setattr(held, "job_name", "another"),
    "how parts stand": lambda held: setattr(held, "standing", "PRINT"),
    "the sheet": lambda held: setattr(held, "paper", False),
    "how a source is drawn": lambda held: setattr(held.sources[1], "drawn_as", "LINE"),
    "what a source is": lambda held: setattr(held.sources[0], "object", None),
}


@pytest.mark.sweep(4)
@pytest.mark.parametrize("edit", EDITS)
def test_an_edit_of_a_property_is_undone_and_done_again(name, live, edit):
    before = state()
    EDITS[edit](bpy.data.objects[name].stampwright)
    # The host takes its step right after the edit, before anything is built.
    bpy.ops.ed.undo_push(message=edit)
    assert is_undone_and_done_again(live) == before


def test_several_edits_are_undone_one_by_one(name, live):
    states = [state()]
    for floor in (2.4, 2.8, 3.2):
        bpy.data.objects[name].stampwright.die.floor = floor
        bpy.ops.ed.undo_push(message="floor")
        tick_until_done(live)
        states.append(state())
    for expected in reversed(states[:-1]):
        bpy.ops.ed.undo()
        tick_until_done(live)
        assert state() == expected
    for expected in states[1:]:
        bpy.ops.ed.redo()
        tick_until_done(live)
        assert state() == expected


def test_the_picture_that_undoing_brings_back_is_that_of_the_stamp(name, live, benches):
    for width in (40.0, 30.0):
        bpy.data.objects[name].stampwright.base.width = width
        bpy.ops.ed.undo_push(message="width")
        tick_until_done(live)
    bpy.ops.ed.undo()
    tick_until_done(live)
    root = bpy.data.objects[name]
    sheet = part(root, "paper")
    assert np.array_equal(pixels_of(sheet), benches.bench_of(root).stamp.impression.picture)


def test_building_by_itself_adds_no_step(name, live):
    root = bpy.data.objects[name]
    root.stampwright.die.floor = 3.0
    bpy.ops.ed.undo_push(message="floor")
    tick_until_done(live)
    bpy.ops.ed.undo()
    assert bpy.data.objects[name].stampwright.die.floor == 2.0


OPERATORS = {
    "repair": {},
    "repair_finding": {"number": 0},
    "accept": {"kind": "thin line"},
    "use_handle_preset": {"preset": "Low Block"},
    "use_material_preset": {},
    "use_printer_preset": {},
    "write_outline": {},
    "add_artwork": {},
    "remove_artwork": {},
    "make_stamp": {"job_name": "second"},
    "import_artwork": {},
    "stamp_from_template": {"template": "address", "words_1": "Mossgate"},
    "read_job": {},
    "leave_as_drawn": {},
}


@pytest.mark.sweep(5)
@pytest.mark.parametrize("operator", OPERATORS)
def test_an_operator_is_undone_and_done_again(name, live, operator, tmp_path, artwork_folder):
    arguments = dict(OPERATORS[operator])
    more = curve("more", circle(0.5, middle=(3.0, 8.0)))
    choose(bpy.data.objects[name])
    match operator:
        case "add_artwork":
            choose(bpy.data.objects["F"], more)
        case "make_stamp":
            choose(more)
        case "import_artwork":
            arguments["filepath"] = str(artwork_folder / "ownership-mark.svg")
        case "read_job":
            arguments["filepath"] = str(tmp_path / "job.json")
            (tmp_path / "job.json").write_text(json.dumps({"format": 1, "die": {"floor": 3.0}}))
        case "leave_as_drawn":
            bpy.ops.stampwright.repair()
        case "use_material_preset" | "use_printer_preset":
            arguments["preset"] = last_preset(operator)
    bpy.ops.ed.undo_push(message="before")
    before = state()
    done = getattr(bpy.ops.stampwright, operator)("EXEC_DEFAULT", True, **arguments)
    assert done == {"FINISHED"}
    assert is_undone_and_done_again(live) == before


def last_preset(operator):
    sort = operator.removeprefix("use_").removesuffix("_preset")
    return list(importlib.import_module(f"{MODULE}.job.presets").presets_of(sort))[-1]

"""What an artist looks at in Blender's window: prints, the face while sculpting, a picture's styles; run in Blender.

``blender --factory-startup --enable-event-simulate --python looking.py -- PACKAGE ARTWORK FOLDER`` takes a picture at
each stop, and writes what it saw as ``looking.json`` into the folder.
"""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import bpy
from bpy_extras.view3d_utils import location_3d_to_region_2d
from mathutils import Euler

sys.path.insert(0, str(Path(__file__).resolve().parent))

from drawn import draw_art
from window import (
    MODULE,
    SETTLE,
    below,
    click,
    close_all,
    find,
    go_through,
    key,
    open_all,
    open_sidebar,
    picture,
    run,
    settle,
    view,
)

PACKAGE, _, FOLDER = sys.argv[sys.argv.index("--") + 1 :]

SIDES = {
    "above": (0.0, 0.0, 0.3),
    "slanting": (1.0, 0.4, 0.3),
    "flat": (1.35, -0.5, 0.3),
    "far": (0.7, 0.2, 1.5),
}
"""How far the view is turned about x and z, and how far away it is, m: a stamp of 50 mm in a scene of metres."""

told: dict[str, Any] = {"host": bpy.app.version_string, "errors": []}


def looking() -> Iterator[float]:
    """Go through the stops; each yields the seconds to wait before the next."""
    run(bpy.ops.extensions.package_install_files, filepath=PACKAGE, repo="user_default")
    bpy.data.batch_remove(list(bpy.data.objects))
    yield from open_sidebar()
    sprout = draw_art()
    sprout.scale = (0.001,) * 3
    sprout.select_set(True)
    bpy.context.view_layer.objects.active = sprout
    run(bpy.ops.stampwright.make_stamp)
    yield from settle()
    yield from look_at_prints()
    yield from sculpt()
    yield from choose_style()
    yield from trace_reference()


def look_at_prints() -> Iterator[float]:
    """Look at the sheet from several sides, and note where its corners are in the picture."""
    sheet = next(each for each in stamp().children if each.stampwright.role == "paper")
    with view("WINDOW"):
        overlay = bpy.context.space_data.overlay
        overlay.show_floor = overlay.show_axis_x = overlay.show_axis_y = overlay.show_relationship_lines = False
        bpy.ops.object.select_all(action="DESELECT")
        bpy.context.view_layer.objects.active = None
    inked = sys.modules[f"{MODULE}.building.results"].stamp_made(stamp()).inked
    told["ink"], told["sheet"] = inked.area / (sheet.dimensions.x * sheet.dimensions.y * 1e6), {}
    for name, (tilt, turn, away) in SIDES.items():
        with view("WINDOW"):
            here, region = bpy.context.region, bpy.context.space_data.region_3d
            region.view_perspective = "PERSP"
            region.view_location = sheet.matrix_world.translation
            region.view_rotation = Euler((tilt, 0.0, turn)).to_quaternion()
            region.view_distance = away
            yield SETTLE
            yield from picture(f"looking-{name}")
            corners = [sheet.matrix_world @ vertex.co for vertex in sheet.data.vertices]
            seen = [location_3d_to_region_2d(here, region, corner) for corner in corners]
            told["sheet"][name] = [(here.x + each.x, here.y + each.y) for each in seen]
    bpy.context.view_layer.objects.active = stamp()


def sculpt() -> Iterator[float]:
    """Turn the face up to be sculpted, as the button does, and end: the view is as it was before."""
    with view("WINDOW"):
        region = bpy.context.space_data.region_3d
        region.view_rotation = Euler((1.0, 0.0, 0.4)).to_quaternion()
        region.view_distance, region.view_location = 0.35, stamp().matrix_world.translation
    yield SETTLE
    told["before sculpting"] = looks_now()
    run(bpy.ops.stampwright.sculpt_face, "INVOKE_DEFAULT")
    yield from settle()
    yield from picture("looking-sculpting")
    told["while sculpting"] = looks_now()
    run(bpy.ops.stampwright.end_sculpting)
    yield from settle()
    yield from picture("looking-sculpted")
    told["after sculpting"] = looks_now()


def choose_style() -> Iterator[float]:
    """Arrange a picture, and choose a style of those that its panel shows by their thumbnails."""
    twins = open_all("pictures")
    yield SETTLE
    run(bpy.ops.stampwright.picture_beside)
    yield SETTLE
    yield from picture("looking-arranged")
    # The host tells of a thumbnail no path that it could be found by: it is under this button.
    yield from find("leave_picture")
    yield from below(80)
    yield from click()
    yield 2 * SETTLE
    yield from picture("looking-styles")
    yield from key("ESC")
    yield SETTLE
    stamp().stampwright.pictures.look = "BEETROOT"
    yield SETTLE
    yield from picture("looking-beetroot")
    run(bpy.ops.stampwright.leave_picture)
    close_all(twins)
    yield SETTLE


def trace_reference() -> Iterator[float]:
    """Add a picture as a reference, as the Add menu does, and make a stamp of it: its dark parts print."""
    drawn = bpy.data.images.new("Reference", 120, 80)
    dark = [30 <= x < 90 and 20 <= y < 60 for y in range(80) for x in range(120)]
    drawn.pixels.foreach_set([value for each in dark for value in ((0.0,) * 3 if each else (1.0,) * 3) + (1.0,)])
    drawn.filepath_raw, drawn.file_format = str(Path(FOLDER) / "reference.png"), "PNG"
    drawn.save()
    before = set(bpy.data.objects)
    run(bpy.ops.object.select_all, action="DESELECT")
    run(bpy.ops.object.empty_image_add, filepath=drawn.filepath_raw, background=False)
    told["reference"] = bpy.context.view_layer.objects.active.empty_display_type
    run(bpy.ops.stampwright.make_stamp)
    yield from settle()
    root = next(each for each in set(bpy.data.objects) - before if each.stampwright.role == "stamp")
    inked = sys.modules[f"{MODULE}.building.results"].stamp_made(root).inked
    left, bottom, right, top = inked.bounds
    told["reference prints"] = [right - left, top - bottom, inked.area]
    yield from picture("looking-reference")


def looks_now() -> list[float]:
    """Return where the viewport looks, from which side, and from how far."""
    with view("WINDOW"):
        region = bpy.context.space_data.region_3d
        return [*region.view_location, *region.view_rotation, region.view_distance]


def stamp() -> Any:
    """Return the stamp's root."""
    return next(each for each in bpy.data.objects if each.stampwright.role == "stamp")


go_through(looking(), told, "looking.json")

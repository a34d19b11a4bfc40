"""Assets given to a stamp as artists give them: dragged from the asset browser; run inside Blender.

``blender --factory-startup --enable-event-simulate --python shelf.py -- PACKAGE ARTWORK FOLDER`` takes a picture at
each stop, and writes what it saw as ``shelf.json`` into the folder.
"""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import bpy
from bpy_extras.view3d_utils import location_3d_to_region_2d
from mathutils import Vector

sys.path.insert(0, str(Path(__file__).resolve().parent))

from drawn import draw_art, draw_profile
from window import (
    SETTLE,
    click,
    drag,
    go_through,
    key,
    look_at,
    look_up,
    move,
    picture,
    run,
    settle,
    view,
)

PACKAGE = sys.argv[sys.argv.index("--") + 1]

WIDE, HIGH, FIRST = 112, 123, (60, 60)
"""Pixels between the middles of two assets in a row, of two rows, and from the browser's corner to the first."""

told: dict[str, Any] = {"host": bpy.app.version_string, "errors": []}


def shelf() -> Iterator[float]:
    """Go through the stops; each yields the seconds to wait before the next."""
    run(bpy.ops.extensions.package_install_files, filepath=PACKAGE, repo="user_default")
    bpy.data.batch_remove(list(bpy.data.objects))
    run(bpy.ops.stampwright.set_up_library)
    sprout = draw_art()
    sprout.scale = (0.001,) * 3
    yield from make(sprout)
    yield from open_browser()
    yield from drop("Silk", part("handle").matrix_world @ Vector((0.0, 0.0, 0.03)))
    yield from picture("shelf-finish")
    pictures = stamp().stampwright.pictures
    told["dropped on the handle"] = [pictures.handle_finish, pictures.handle_colour]
    yield from drop("Handle, Tall Grip", stamp().matrix_world.translation + Vector((-0.09, 0.0, 0.0)))
    told["dropped beside"] = bpy.context.view_layer.objects.active.name
    yield from picture("shelf-handle")
    yield from search("use for stamp")
    told["used"] = [stamp().stampwright.handle.form, sorted(each.name for each in bpy.context.scene.objects)]
    yield from picture("shelf-used")
    yield from keep_own()


def keep_own() -> Iterator[float]:
    """Keep a handle of one's own, and find it in a new file."""
    profile = draw_profile()
    profile.name, profile.scale = "Ähre", (0.001,) * 3
    bpy.context.view_layer.objects.active = stamp()
    stamp().stampwright.handle.form, stamp().stampwright.profile_curve = "turned", profile
    yield from settle()
    run(bpy.ops.stampwright.keep_handle, to_library=True)
    bpy.ops.wm.read_homefile()
    yield 2 * SETTLE
    bpy.data.batch_remove(list(bpy.data.objects))
    sprout = draw_art()
    sprout.scale = (0.001,) * 3
    yield from make(sprout)
    yield from open_browser()
    yield from drop("Ähre", stamp().matrix_world.translation + Vector((-0.09, 0.0, 0.0)))
    yield from search("use for stamp")
    held = stamp().stampwright
    told["own"] = [held.handle.form, held.profile_curve.name if held.profile_curve else ""]
    yield from picture("shelf-own")


def make(drawn: Any) -> Iterator[float]:
    """Make a stamp of what was drawn."""
    drawn.select_set(True)
    bpy.context.view_layer.objects.active = drawn
    run(bpy.ops.stampwright.make_stamp)
    yield from settle()


def open_browser() -> Iterator[float]:
    """Have the asset browser below the viewport show the library, and note what it shows, and where."""
    with view("WINDOW"):
        bpy.ops.screen.area_split(direction="HORIZONTAL", factor=0.42)
    yield SETTLE
    views = [each for each in bpy.context.window_manager.windows[0].screen.areas if each.type == "VIEW_3D"]
    lower = min(views, key=lambda each: each.y)
    lower.ui_type = "ASSETS"
    yield SETTLE
    lower.spaces.active.params.asset_library_reference = "Stampwright"
    # The host reads a library beside what it draws.
    yield 8 * SETTLE
    yield from look_at("Stamp*", "FRONT", tilt=0.6)
    region = next(each for each in lower.regions if each.type == "WINDOW")
    found: dict[str, tuple[float, float]] = {}
    for row in range(2):
        for column in range(int((region.width - FIRST[0]) // WIDE) + 1):
            place = region.x + FIRST[0] + column * WIDE, region.y + region.height - FIRST[1] - row * HIGH
            yield from move(*place)
            yield from click()
            with bpy.context.temp_override(window=bpy.context.window_manager.windows[0], area=lower, region=region):
                chosen = getattr(bpy.context, "asset", None)
            if chosen is not None:
                found.setdefault(chosen.name, place)
    _places.clear()
    _places.update(found)
    told["shown"] = sorted(found)


def drop(name: str, place: Vector) -> Iterator[float]:
    """Drag the asset whose name begins so to a place in the viewport."""
    start = next(at for known, at in _places.items() if known.startswith(name))
    with view("WINDOW"):
        region = bpy.context.region
        x, y = location_3d_to_region_2d(region, bpy.context.space_data.region_3d, place)
    yield from move(*start)
    yield from drag(round(region.x + x - start[0]), round(region.y + y - start[1]))
    yield from settle()


def search(words: str) -> Iterator[float]:
    """Find an entry of the menus by words, and run it."""
    yield from look_up(words)
    yield from key("RET")
    yield from settle()


def stamp() -> Any:
    """Return the stamp's root."""
    return next(each for each in bpy.data.objects if each.stampwright.role == "stamp")


def part(role: str) -> Any:
    """Return the part of the stamp with this role."""
    return next(each for each in stamp().children if each.stampwright.role == role)


_places: dict[str, tuple[float, float]] = {}
"""Where in the window each asset lies, by its name, pixels from below left."""

go_through(shelf(), told, "shelf.json")

"""A walk from an empty scene to files and a picture and back, as an artist's first hour goes; run inside Blender.

``blender --factory-startup --enable-event-simulate --python walk.py -- PACKAGE ARTWORK FOLDER`` takes a picture at each
stop, and writes what it saw as ``walk.json`` into the folder. Where people look for things it goes by mouse and keys.
"""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import bpy
from bpy_extras.view3d_utils import location_3d_to_region_2d
from mathutils import Euler, Vector

sys.path.insert(0, str(Path(__file__).resolve().parent))

from drawn import draw_upright
from window import (
    BLINK,
    FOLDER,
    MODULE,
    SETTLE,
    drag,
    go_through,
    key,
    look_at,
    look_up,
    move,
    move_into_viewport,
    open_sidebar,
    picture,
    pictures,
    run,
    selection_kept,
    settle,
    typed,
    view,
)

PACKAGE = sys.argv[sys.argv.index("--") + 1]

told: dict[str, object] = {"host": bpy.app.version_string, "errors": []}


def walk() -> Iterator[float]:
    """Go through the stops; each yields the seconds to wait before the next."""
    run(bpy.ops.extensions.package_install_files, filepath=PACKAGE, repo="user_default")
    bpy.data.batch_remove(list(bpy.data.objects))
    yield from open_sidebar()
    yield from from_template()
    yield from size_by_hand()
    yield from from_pencil()
    yield from duplicate()
    yield from animate()
    yield from export()
    yield from make_picture()


def from_template() -> Iterator[float]:
    """Take a template from the menu that adds things, as it comes, and confirm."""
    yield from picture("walk-empty")
    yield from move_into_viewport()
    yield from key("A", shift=True)
    yield SETTLE
    yield from typed("template")
    yield SETTLE
    yield from picture("walk-add")
    yield from key("RET")
    yield SETTLE
    yield from picture("walk-words")
    yield from key("RET")
    yield from settle()
    (root,) = stamps()
    yield from look_from_corner(root)
    yield from picture("walk-template")
    told["template"] = sorted(child.stampwright.role for child in root.children)


def size_by_hand() -> Iterator[float]:
    """Drag the handles in the viewport that set the base's width and the handle's height, by the mouse."""
    (root,) = stamps()
    gizmos, moved = sys.modules[f"{MODULE}.gizmos"], {}
    yield from look_at("Stamp*", "FRONT", tilt=0.5)
    with view("WINDOW"):
        root.select_set(True)
        bpy.context.view_layer.objects.active = root
    yield SETTLE
    for setting, pixels in (("base.width", (30, 0)), ("handle.height", (0, 40))):
        name = f"STAMPWRIGHT_PG_{setting}"
        grip = next(each for each in gizmos.grips_of(root, bpy.context.scene) if each.name == name)
        before = grip.read()
        with view("WINDOW"):
            region = bpy.context.region
            tip = grip.matrix @ Vector((0.0, 0.0, before))
            x, y = location_3d_to_region_2d(region, bpy.context.space_data.region_3d, tip)
        yield from move(region.x + x - 3, region.y + y, wait=3 * BLINK)
        yield from move(region.x + x, region.y + y, wait=3 * BLINK)
        yield from drag(*pixels)
        yield from settle()
        moved[setting] = [round(1000 * length, 2) for length in (before, grip.read())]
    told["sized by hand"] = moved
    told["wide by hand"] = round(part(root, "die").dimensions.x * 1000, 1)
    yield from picture("walk-sized")


def from_pencil() -> Iterator[float]:
    """Draw with Grease Pencil, which stands upright, and search for what makes a stamp of it."""
    first = stamps()
    run(bpy.ops.object.grease_pencil_add, type="EMPTY", location=(0.0, 0.3, 0.0))
    draw_upright(bpy.context.object, 0.01)
    yield SETTLE
    yield from search("stamp from selection")
    yield from settle()
    root = next(each for each in stamps() if each not in first)
    yield from look_from_corner(root, bpy.data.objects["Sprout"])
    yield from picture("walk-pencil")
    verdict = sys.modules[f"{MODULE}.press.verdict"]
    told["pencil"] = [finding.kind for finding in verdict.findings_of(root)]
    told["verdict"] = verdict.verdict_of(root).text
    ink = sys.modules[f"{MODULE}.building.results"].stamp_made(root).inked
    told["pencil prints"] = [round(part.area, 1) for part in ink.geoms]


def duplicate() -> Iterator[float]:
    """Search for what duplicates the stamp, and size the second otherwise."""
    before = stamps()
    yield from move_into_viewport()
    yield from search("duplicate stamp")
    yield from settle()
    twin = next(each for each in stamps() if each not in before)
    twin.stampwright.base.width = 40.0
    yield from settle()
    told["duplicated"] = [round(part(each, "die").dimensions.x * 1000, 1) for each in (*before[-1:], twin)]
    yield from look_from_corner(twin, before[-1])
    yield from picture("walk-duplicate")


def animate() -> Iterator[float]:
    """Key the relief of the last stamp at two frames, and go from the one to the other."""
    root, scene = stamps()[-1], bpy.context.scene
    die = root.stampwright.die
    for frame, relief in ((1, 1.0), (21, 3.0)):
        die.relief = relief
        root.keyframe_insert("stampwright.die.relief", frame=frame)
    heights = []
    for frame in (1, 11, 21):
        scene.frame_set(frame)
        yield from settle()
        heights.append(round(part(root, "die").dimensions.z * 1000, 2))
    told["heights"] = heights
    yield from picture("walk-animated")
    scene.frame_set(1)
    root.animation_data_clear()
    root.stampwright.die.relief = 2.0
    yield from settle()


def export() -> Iterator[float]:
    """Write all stamps, each into its folder; what blocks one of them is repaired or let through first."""
    for root in stamps():
        bpy.context.view_layer.objects.active = root
        root.stampwright.preflight.repair = True
        yield from settle()
        results = sys.modules[f"{MODULE}.building.results"]
        for kind in {finding.kind for finding in results.stamp_made(root).blocked}:
            run(bpy.ops.stampwright.accept, kind=kind)
    yield from settle()
    run(bpy.ops.stampwright.export_files, directory=str(FOLDER / "walked"), all_stamps=True, overwrite=True)
    told["files"] = {
        folder.name: sorted(path.name for path in folder.iterdir()) for folder in sorted((FOLDER / "walked").iterdir())
    }
    yield from picture("walk-exported")


def make_picture() -> Iterator[float]:
    """Arrange a picture, render it small, and go back to the scene."""
    root, home = stamps()[0], bpy.context.scene.name
    bpy.context.view_layer.objects.active = root
    held = root.stampwright.pictures
    held.width, held.height, held.quality, held.folder = 320, 180, "LOOK", str(FOLDER)
    run(bpy.ops.stampwright.picture_beside)
    yield SETTLE
    yield from picture("walk-picture")
    run(bpy.ops.stampwright.render_picture)
    yield SETTLE
    told["rendered"] = [path.name for path in FOLDER.glob("* beside.png")]
    told["in the picture"] = bpy.context.scene.name != home
    run(bpy.ops.stampwright.leave_picture)
    yield SETTLE
    told["back"] = bpy.context.scene.name == home
    yield from picture("walk-back")


def look_from_corner(*wanted: Any) -> Iterator[float]:
    """Look at objects, stamps with all their parts, from a corner above; what is selected and active stays so."""
    with selection_kept(), view("WINDOW"):
        region = bpy.context.space_data.region_3d
        region.view_rotation = Euler((1.05, 0.0, 0.55)).to_quaternion()
        bpy.ops.object.select_all(action="DESELECT")
        for each in wanted:
            for shown in (each, *each.children):
                shown.select_set(True)
        bpy.ops.view3d.view_selected()
        bpy.ops.object.select_all(action="DESELECT")
    yield SETTLE


def search(words: str) -> Iterator[float]:
    """Search for words as artists do, and take the first that is found."""
    yield from look_up(words)
    yield from picture(f"walk-search-{len(pictures)}")
    yield from key("RET")
    yield SETTLE


def stamps() -> list[Any]:
    """Return the roots of all stamps, as they were made."""
    roots = [each for each in bpy.data.objects if each.stampwright.role == "stamp"]
    return sorted(roots, key=lambda each: each.session_uid)


def part(root: Any, role: str) -> Any:
    """Return a part of a stamp."""
    return next(each for each in root.children if each.stampwright.role == role)


go_through(walk(), told, "walk.json")

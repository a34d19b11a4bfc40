"""A tour of the extension in a real window: install, draw, make, look at every panel; run inside Blender.

``blender --factory-startup --python tour.py -- PACKAGE ARTWORK FOLDER`` takes a picture at each stop, and writes what
it saw as ``tour.json`` into the folder.
"""

import json
import shutil
import subprocess
import sys
import time
import traceback
from collections.abc import Iterator
from pathlib import Path

import bpy

MODULE = "bl_ext.user_default.stampwright"
PACKAGE, ARTWORK, FOLDER = sys.argv[sys.argv.index("--") + 1 :][:3]

SETTLE = 1.5
"""Seconds for the window to be drawn after a step; software drawing is slow."""

LEAST_PICTURE = 20_000
"""Bytes; a picture file smaller than this shows an empty window."""

# An F, in mm: no reversal and no turn of it is the same again.
LETTER = [(0, 0), (6, 0), (6, 12), (14, 12), (14, 18), (6, 18), (6, 24), (18, 24), (18, 30), (0, 30)]

told: dict[str, object] = {"host": bpy.app.version_string, "pictures": [], "errors": []}


def tour() -> Iterator[float]:
    """Go through the stops; each yields the seconds to wait before the next."""
    run(bpy.ops.extensions.package_install_files, filepath=PACKAGE, repo="user_default")
    yield from clear_the_table()
    bpy.context.scene.unit_settings.scale_length = 0.001
    draw_letter()
    yield from look_at("*", "TOP")
    yield from picture("1-drawn")
    run(bpy.ops.stampwright.make_stamp, "INVOKE_DEFAULT")
    yield from settle()
    yield from picture("2-made")
    yield from open_panels("3-panels")
    run(bpy.ops.wm.read_homefile, use_factory_startup=True)
    yield from clear_the_table()
    run(bpy.ops.stampwright.import_artwork, filepath=ARTWORK)
    yield from settle()
    yield from look_at("*", "TOP")
    yield from picture("4-imported")
    run(bpy.ops.stampwright.view_finding, number=0)
    yield SETTLE
    yield from picture("5-finding")
    run(bpy.ops.stampwright.repair)
    yield from settle()
    yield from look_at("Stamp*", "TOP")
    yield from picture("6-repaired")
    yield from edit_live()
    run(bpy.ops.stampwright.export_files, directory=str(Path(FOLDER, "files")))
    told["files"] = sorted(path.name for path in Path(FOLDER, "files").iterdir())
    told["roles"] = sorted(each.stampwright.role for each in bpy.data.objects if each.stampwright.role)
    run(bpy.ops.preferences.addon_disable, module=MODULE)
    yield SETTLE
    yield from picture("8-disabled")


def clear_the_table() -> Iterator[float]:
    """Take away what the factory's file holds, and open the extension's tab of the sidebar."""
    bpy.data.batch_remove(list(bpy.data.objects))
    with view("WINDOW"):
        bpy.context.space_data.show_region_ui = True
    yield SETTLE
    show_tab()
    yield SETTLE


def edit_live() -> Iterator[float]:
    """Change figures, and see that the stamp follows by itself, without a further call."""
    root = next(each for each in bpy.data.objects if each.stampwright.role == "stamp")
    die = next(each for each in root.children if each.stampwright.role == "die")
    mm = bpy.context.scene.unit_settings.scale_length * 1000
    before = die.dimensions.z
    root.stampwright.die.relief += 1.0
    root.stampwright.standing = "APART"
    yield from settle()
    told["followed"] = round((die.dimensions.z - before) * mm, 3)
    yield from look_at("Stamp*", "FRONT")
    with view("WINDOW"):
        bpy.ops.view3d.view_orbit(angle=-0.5, type="ORBITUP")
    yield SETTLE
    yield from picture("7-followed")


def open_panels(name: str) -> Iterator[float]:
    """Take pictures of all panels, opened, page by page."""
    panels = [
        held for kind in dir(bpy.types) if kind.startswith("STAMPWRIGHT_PT_") and (held := getattr(bpy.types, kind))
    ]
    panels.sort(key=sys.modules[f"{MODULE}.panels"].CLASSES.index)
    for panel in reversed(panels):
        bpy.utils.unregister_class(panel)
    # Whether a panel is open is the user's to say: twins that start open stand in for the click.
    twins = []
    for panel in panels:
        named = {"bl_idname": f"{panel.__name__}_open", "bl_options": set()}
        if hasattr(panel, "bl_parent_id"):
            named["bl_parent_id"] = f"{panel.bl_parent_id}_open"
        twins.append(type(named["bl_idname"], (panel,), named))
        bpy.utils.register_class(twins[-1])
    told["panels"] = [panel.bl_label for panel in panels]
    show_tab()
    yield SETTLE
    for page in range(1, 6):
        yield from picture(f"{name}-{page}")
        with view("UI"):
            bpy.ops.view2d.pan(deltax=0, deltay=-700)
        yield SETTLE
    for panel in reversed(twins):
        bpy.utils.unregister_class(panel)
    for panel in panels:
        bpy.utils.register_class(panel)


def settle() -> Iterator[float]:
    """Wait until what was asked for is built and drawn."""
    live = sys.modules[f"{MODULE}.live"]
    yield SETTLE
    until = time.monotonic() + 60.0
    while live.is_busy():
        if time.monotonic() > until:
            raise RuntimeError("the stamp is not built after a minute")
        yield 0.2
    yield SETTLE


def picture(name: str) -> Iterator[float]:
    """Take a picture of the whole window."""
    for area in bpy.context.window_manager.windows[0].screen.areas:
        area.tag_redraw()
    yield 0.5
    path = Path(FOLDER, f"{name}.png")
    if shutil.which("import"):
        # Drawn by software, the host's own pictures of its window stay black; and a slow one may be caught half-drawn.
        for _ in range(10):
            subprocess.run(["import", "-window", "root", path], check=True)
            if path.stat().st_size > LEAST_PICTURE:
                break
            yield SETTLE
    else:
        with view("WINDOW"):
            bpy.ops.screen.screenshot(filepath=str(path))
    told["pictures"].append(f"{name}.png")
    yield 0.2


def run(operator, *arguments, **settings) -> None:
    """Run an operator in the viewport; one that does not finish is an error."""
    with view("WINDOW"):
        done = operator(*arguments, **settings)
    if done != {"FINISHED"}:
        raise RuntimeError(f"{operator.idname()}: {done}")


def view(region_type: str):
    """Return the viewport's own context, as if the mouse were over this region of it."""
    window = bpy.context.window_manager.windows[0]
    area = next(each for each in window.screen.areas if each.type == "VIEW_3D")
    region = next(each for each in area.regions if each.type == region_type)
    return bpy.context.temp_override(window=window, area=area, region=region)


def show_tab() -> None:
    """Bring the extension's tab of the sidebar to the front."""
    with view("UI"):
        bpy.context.region.active_panel_category = "Stampwright"


def look_at(names: str, side: str) -> Iterator[float]:
    """Look at objects from a side; what is selected and active stays so."""
    chosen, active = bpy.context.selected_objects, bpy.context.view_layer.objects.active
    with view("WINDOW"):
        bpy.ops.view3d.view_axis(type=side)
        bpy.ops.object.select_pattern(pattern=names, extend=False)
        bpy.ops.view3d.view_selected()
        bpy.ops.object.select_all(action="DESELECT")
    for each in chosen:
        each.select_set(True)
    bpy.context.view_layer.objects.active = active
    yield SETTLE


def draw_letter() -> None:
    """Draw the letter as a filled curve, and select it."""
    curve = bpy.data.curves.new("Letter", "CURVE")
    curve.dimensions, curve.fill_mode = "2D", "BOTH"
    spline = curve.splines.new("POLY")
    spline.points.add(len(LETTER) - 1)
    for point, (x, y) in zip(spline.points, LETTER, strict=True):
        point.co = (x, y, 0.0, 1.0)
    spline.use_cyclic_u = True
    letter = bpy.data.objects.new("Letter", curve)
    bpy.context.scene.collection.objects.link(letter)
    bpy.context.view_layer.objects.active = letter
    letter.select_set(True)


def go_on() -> float | None:
    """Go on to the next stop; called by Blender's timer, so that the window lives in between."""
    try:
        return next(stops)
    except StopIteration:
        pass
    except Exception:
        told["errors"].append(traceback.format_exc())
    Path(FOLDER, "tour.json").write_text(json.dumps(told, indent=1), encoding="utf-8")
    bpy.ops.wm.quit_blender()
    return None


# Before the window is there: it opens with the splash otherwise.
bpy.context.preferences.view.show_splash = False
stops = tour()
bpy.app.timers.register(go_on, first_interval=SETTLE, persistent=True)

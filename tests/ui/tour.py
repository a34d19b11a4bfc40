"""A tour of the extension in a real window, as an artist goes through it; run inside Blender.

``blender --factory-startup --enable-event-simulate --python tour.py -- PACKAGE ARTWORK FOLDER`` takes a picture at each
stop, and writes what it saw as ``tour.json`` into the folder. Mouse and keys are the host's own simulated ones.
"""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import bpy

sys.path.insert(0, str(Path(__file__).resolve().parent))

from drawn import draw_art, draw_profile, draw_rosette, draw_text, shape_of
from window import (
    FOLDER,
    MODULE,
    PAGE,
    SETTLE,
    click,
    click_tab,
    close_all,
    drag,
    find,
    go_through,
    key,
    look_at,
    move_into_viewport,
    open_all,
    open_sidebar,
    picture,
    presses,
    run,
    scroll,
    settle,
    typed,
    view,
)

PACKAGE, ARTWORK, _ = sys.argv[sys.argv.index("--") + 1 :][:3]

told: dict[str, object] = {"host": bpy.app.version_string, "errors": []}


def tour() -> Iterator[float]:
    """Go through the stops; each yields the seconds to wait before the next."""
    yield from install()
    yield from make_first_stamp()
    yield from make_from_drawing()
    yield from edit_live()
    yield from count_drawings()
    yield from open_panels()
    yield from press()
    yield from import_and_repair()
    yield from shape_handle()
    yield from stop_long_build()
    yield from write_files()
    yield from save_and_open()
    run(bpy.ops.preferences.addon_disable, module=MODULE)
    yield SETTLE
    yield from picture("disabled")


def install() -> Iterator[float]:
    """Install the package from disk, and look at its preferences."""
    run(bpy.ops.extensions.package_install_files, filepath=PACKAGE, repo="user_default")
    # In the viewport's place: a window of its own is put where a screen without a window manager does not show it.
    with view("WINDOW"):
        area = bpy.context.area
    area.type = "PREFERENCES"
    bpy.context.preferences.active_section = "ADDONS"
    bpy.context.window_manager.addon_search = "Stampwright"
    bpy.ops.preferences.addon_expand(module=MODULE)
    yield SETTLE
    yield from picture("installed")
    area.type = "VIEW_3D"
    yield SETTLE


def make_first_stamp() -> Iterator[float]:
    """Make a stamp of a curve in the file that Blender starts with, by mouse and keys alone, and count them."""
    with view("WINDOW"):
        bpy.ops.curve.primitive_bezier_circle_add(radius=1.0, location=(0.0, 4.0, 0.0))
    presses.clear()
    yield from move_into_viewport()
    yield from key("N")
    yield SETTLE
    tries = len(presses)
    yield from click_tab("Stampwright")
    # A hand clicks the tab that it sees; this one looks for it.
    del presses[tries + 1 :]
    yield from find("make_stamp")
    yield from picture("before-the-first-stamp")
    yield from click()
    yield from settle()
    yield from picture("first-stamp")
    told["presses"] = len(presses)
    told["first"] = sorted(child.stampwright.role for child in the_stamp().children)


def make_from_drawing() -> Iterator[float]:
    """Draw a sprout and a text, and make one stamp of both."""
    yield from begin_anew()
    sprout, text = draw_art(), draw_text("SOW")
    text.select_set(True)
    sprout.select_set(True)
    bpy.context.view_layer.objects.active = sprout
    yield from look_at("*", "TOP")
    yield from picture("drawn")
    yield from find("make_stamp")
    yield from click()
    yield from settle()
    yield from look_at("Stamp*", "TOP")
    yield from picture("made-from-above")
    root = the_stamp()
    root.stampwright.standing = "APART"
    yield from settle()
    yield from look_at("Stamp*", "FRONT", tilt=0.4)
    yield from picture("taken-apart")
    root.stampwright.standing = "USE"
    yield from settle()
    told["across"] = round(part("die").dimensions.x * 1000 * bpy.context.scene.unit_settings.scale_length, 2)


def edit_live() -> Iterator[float]:
    """Drag a figure, then move a point of the curve in edit mode: the stamp follows by itself."""
    twins = open_all("die")
    yield SETTLE
    before = shape_of(part("die"))
    height = the_stamp().stampwright.die.relief
    yield from find("stampwright.die.relief")
    yield from drag(60)
    yield from settle()
    yield from picture("slider-dragged")
    told["dragged"] = round(the_stamp().stampwright.die.relief - height, 3)
    told["follows the slider"] = shape_of(part("die")) != before
    close_all(twins)
    yield from look_at("*", "TOP")
    sprout = bpy.data.objects["Sprout"]
    with view("WINDOW"):
        bpy.ops.object.select_all(action="DESELECT")
        sprout.select_set(True)
        bpy.context.view_layer.objects.active = sprout
    yield from move_into_viewport()
    yield from key("TAB")
    with view("WINDOW"):
        bpy.ops.curve.select_all(action="DESELECT")
    for point in sprout.data.splines[0].points[2:4]:
        point.select = True
    before = shape_of(part("die"))
    yield from key("G")
    yield from key("Y")
    yield from typed("0.005")
    yield from settle()
    yield from picture("point-being-moved")
    told["follows while it moves"] = shape_of(part("die")) != before
    yield from key("RET")
    yield from settle()
    yield from picture("point-moved")
    told["mode"] = bpy.context.mode
    told["follows the point"] = shape_of(part("die")) != before
    yield from key("TAB")
    yield SETTLE


def count_drawings() -> Iterator[float]:
    """Move a point twice where drawing counts as slow, and count how often the view is drawn for the second."""
    pacing, following = (sys.modules[f"{MODULE}.live.{name}"] for name in ("pacing", "following"))
    told_by, dragging = (pacing.worth_waiting, pacing.turn), following.DRAGGING
    pacing.worth_waiting = pacing.turn = lambda: 60.0
    # Nor is the second edit taken for dragging, which is drawn once more with its sheet in full.
    following.DRAGGING = -3600.0
    drawn: list[str] = []
    handle = bpy.types.SpaceView3D.draw_handler_add(
        lambda: drawn.append(shape_of(part("die"))), (), "WINDOW", "PRE_VIEW"
    )
    sprout = bpy.data.objects["Sprout"]
    for _ in range(2):
        drawn.clear()
        before = shape_of(part("die"))
        sprout.data.splines[0].points[0].co.x += 0.5
        sprout.data.update_tag()
        yield from settle()
    bpy.types.SpaceView3D.draw_handler_remove(handle, "WINDOW")
    (pacing.worth_waiting, pacing.turn), following.DRAGGING = told_by, dragging
    told["drawings"] = [shape != before for shape in drawn]


def open_panels() -> Iterator[float]:
    """Take pictures of all panels, opened, page by page, and of a list of presets."""
    twins = open_all()
    told["panels"] = [panel.bl_label for panel in sys.modules[f"{MODULE}.panels"].CLASSES if hasattr(panel, "bl_label")]
    yield SETTLE
    for page in range(1, 7):
        yield from picture(f"panels-{page}")
        yield from scroll(-PAGE)
    close_all(twins)
    yield SETTLE
    with view("WINDOW"):
        bpy.ops.wm.call_panel(name="STAMPWRIGHT_PT_handle_presets", keep_open=True)
    yield SETTLE
    yield from picture("presets")
    yield from key("ESC")
    yield SETTLE


def press() -> Iterator[float]:
    """Look at what a push prints and where it presses; then press fully, stopped by Esc the first time."""
    pressing = sys.modules[f"{MODULE}.press.pressing"]
    root, sheet = the_stamp(), part("paper")
    twins = open_all("press")
    held, beside = root.stampwright, sheet.location.y
    held.press.dressing_done, held.standing, held.show_pressure = 20.0, "PRINT", True
    # Below the parts, which lie side by side now.
    sheet.location.y -= 1.2 * sheet.dimensions.y
    yield from settle()
    yield from look_at("Stamp*", "TOP")
    yield from scroll(-420)
    yield from picture("pressed")
    quick = pressing.known_of(root).trial
    told["printed"] = round(quick.printed_share, 3)
    for name, pressed in (("pressing-stopped", "ESC"), ("pressed-fully", "")):
        yield from find("stampwright.press(", across=0.25)
        yield from click()
        if pressed:
            yield from key(pressed)
        yield from settle()
        yield from picture(name)
        told[name] = pressing.known_of(root).trial is quick, pressing.known_of(root).trial.full
    held.press.dressing_done, held.standing, held.show_pressure = 100.0, "USE", False
    sheet.location.y = beside
    close_all(twins)
    yield from settle()


def import_and_repair() -> Iterator[float]:
    """Import line art with thin lines, look at one of them, repair, and keep the repaired outline as a curve."""
    yield from begin_anew()
    run(bpy.ops.stampwright.import_artwork, filepath=ARTWORK)
    yield from settle()
    yield from look_at("*", "TOP")
    yield from picture("imported")
    yield from look_at(part("paper").name, "TOP")
    yield from picture("findings")
    yield from find("view_finding")
    yield from click()
    yield SETTLE
    yield from picture("finding-in-view")
    yield from find("stampwright.repair")
    yield from click()
    yield from settle()
    yield from look_at(part("paper").name, "TOP")
    yield from picture("repaired")
    told["repaired"] = the_stamp().stampwright.preflight.repair
    told["message"] = message()


def shape_handle() -> Iterator[float]:
    """Ask for a turned handle, and pick the curve that is its profile."""
    root = the_stamp()
    twins = open_all("handle")
    root.stampwright.handle.form = "turned"
    yield from settle()
    yield from picture("profile-asked-for")
    told["asked for"] = message()
    root.stampwright.profile_curve = draw_profile()
    yield from settle()
    yield from look_at("[PS]*", "FRONT", tilt=0.3)
    yield from picture("profile-picked")
    told["with a profile"] = message()
    close_all(twins)


def stop_long_build() -> Iterator[float]:
    """Add artwork that takes long, and stop it with Esc."""
    live = sys.modules[f"{MODULE}.live.following"]
    root = the_stamp()
    before = shape_of(part("die"))
    with sys.modules[f"{MODULE}.job.changes"].quiet():
        root.stampwright.sources.add().object = draw_rosette()
    live.follow(root)
    yield from move_into_viewport()
    for _ in range(100):
        yield 0.1
        if any(work.is_watched for work in live._builds.under_way().values()):
            break
    yield from picture("long-build")
    told["long"] = live.is_busy()
    yield from key("ESC")
    yield SETTLE
    told["stopped"] = not live.is_busy() and message() == live.STOPPED
    yield from picture("stopped")
    told["after stopping"] = shape_of(part("die")) == before
    root.stampwright.sources.remove(len(root.stampwright.sources) - 1)
    live.follow(root)
    yield from settle()


def write_files() -> Iterator[float]:
    """Read the measures, look at what asks for a folder, and write the files."""
    twins = open_all("measures", "files")
    yield SETTLE
    yield from picture("measures")
    close_all(twins)
    with view("WINDOW"):
        bpy.ops.stampwright.export_files("INVOKE_DEFAULT", directory=str(FOLDER))
    yield 2 * SETTLE
    yield from picture("export-asks-for-a-folder")
    for window in bpy.context.window_manager.windows:
        for area in window.screen.areas:
            if area.type == "FILE_BROWSER":
                with bpy.context.temp_override(window=window, area=area):
                    bpy.ops.file.cancel()
    yield SETTLE
    run(bpy.ops.stampwright.export_files, directory=str(FOLDER / "files"))
    told["files"] = sorted(path.name for path in (FOLDER / "files").rglob("*"))
    told["roles"] = sorted(each.stampwright.role for each in bpy.data.objects if each.stampwright.role)


def save_and_open() -> Iterator[float]:
    """Save, start anew, open the file: the stamp is as it was, and still follows."""
    yield from look_at("Stamp*", "FRONT", tilt=0.3)
    yield from picture("saved")
    kept = all_of(the_stamp())
    path = str(FOLDER / "kept.blend")
    run(bpy.ops.wm.save_as_mainfile, filepath=path)
    run(bpy.ops.wm.read_homefile, use_factory_startup=True)
    yield SETTLE
    run(bpy.ops.wm.open_mainfile, filepath=path)
    yield from settle()
    yield from open_sidebar()
    yield from picture("opened-again")
    told["as it was"] = kept == all_of(the_stamp())
    before = shape_of(part("die"))
    the_stamp().stampwright.die.relief += 0.4
    yield from settle()
    told["follows again"] = shape_of(part("die")) != before


def begin_anew() -> Iterator[float]:
    """Begin a new file in millimetres with nothing in it, and the extension's tab open."""
    run(bpy.ops.wm.read_homefile, use_factory_startup=True)
    bpy.data.batch_remove(list(bpy.data.objects))
    bpy.context.scene.unit_settings.scale_length = 0.001
    yield SETTLE
    yield from open_sidebar()


def the_stamp() -> Any:
    """Return the root of the only stamp."""
    return next(each for each in bpy.data.objects if each.stampwright.role == "stamp")


def part(role: str) -> Any:
    """Return a part of the only stamp."""
    return next(each for each in the_stamp().children if each.stampwright.role == role)


def all_of(root: Any) -> list[Any]:
    """Return everything that a stamp is: its figures, what it was built from, and the shape of each part."""
    held = root.stampwright
    figures = sys.modules[f"{MODULE}.job.settings"].read_settings(held)
    sources = [source.object.name for source in held.sources]
    parts = sorted((child.stampwright.role, shape_of(child)) for child in root.children)
    return [figures, sources, held.profile_curve.name, held.built, parts]


def message() -> str:
    """Return what the panel says stands against the stamp."""
    return str(sys.modules[f"{MODULE}.building.results"].message_of(the_stamp()))


go_through(tour(), told, "tour.json")

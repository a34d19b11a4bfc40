"""A table of names put into a text in Blender's window, stopped by Esc half-way and gone on with; run inside Blender.

``blender --factory-startup --enable-event-simulate --python table.py -- PACKAGE ARTWORK FOLDER`` takes a picture at
each stop, and writes what it saw as ``table.json`` into the folder.
"""

import sys
import time
from collections.abc import Iterator
from pathlib import Path

import bpy

sys.path.insert(0, str(Path(__file__).resolve().parent))

from drawn import draw_text
from window import FOLDER, SETTLE, go_through, key, move_into_viewport, open_sidebar, picture, run, settle, view

PACKAGE = sys.argv[sys.argv.index("--") + 1]
NAMES = ("Ada", "Bo", "Cy", "Edda", "Finn", "Gus", "Ivo")

told: dict[str, object] = {"host": bpy.app.version_string, "errors": []}


def table() -> Iterator[float]:
    """Make a stamp of a text, and one of each name: stopped after the first, then to the end."""
    run(bpy.ops.extensions.package_install_files, filepath=PACKAGE, repo="user_default")
    bpy.data.batch_remove(list(bpy.data.objects))
    bpy.context.scene.unit_settings.scale_length = 0.001
    yield from open_sidebar()
    words = draw_text("SOW")
    words.select_set(True)
    bpy.context.view_layer.objects.active = words
    run(bpy.ops.stampwright.make_stamp)
    root = next(each for each in bpy.data.objects if each.stampwright.role == "stamp")
    root.stampwright.preflight.repair = True
    bpy.context.view_layer.objects.active = root
    yield from settle()
    (FOLDER / "names.csv").write_text("\n".join(["order", *NAMES]) + "\n", encoding="utf-8")
    for stops in (True, False):
        yield from choose_table()
        if stops:
            yield from move_into_viewport()
            yield from until(lambda: len(made()) > 0)
            yield from key("ESC")
            yield from until(lambda: not bpy.context.window_manager.windows[0].modal_operators)
            told["after Esc"] = made()
            told["words after Esc"] = words.data.body
            told["moments"] = moments()
            yield from picture("table-stopped")
        else:
            yield from until(lambda: len(made()) == len(NAMES))
            yield from settle()
            told["at the end"] = made()
            told["kept"] = all(moments()[name] == moment for name, moment in told["moments"].items())
            told["words at the end"] = words.data.body
            yield from picture("table-done")


def choose_table() -> Iterator[float]:
    """Ask for the table as the panel's button does, and choose it in the host's window of files."""
    with view("WINDOW"):
        bpy.ops.stampwright.export_table("INVOKE_DEFAULT", directory_out=str(FOLDER / "table"))
    yield 2 * SETTLE
    for window in bpy.context.window_manager.windows:
        for area in window.screen.areas:
            if area.type == "FILE_BROWSER":
                params = area.spaces.active.params
                params.directory, params.filename = str(FOLDER).encode(), "names.csv"
                yield SETTLE
                with bpy.context.temp_override(window=window, area=area):
                    bpy.ops.file.execute()
    yield BLINKS


def until(done) -> Iterator[float]:
    """Wait until something is so."""
    last = time.monotonic() + 120.0
    while not done():
        if time.monotonic() > last:
            raise RuntimeError(f"after two minutes there is {made()}")
        yield BLINKS


def made() -> list[str]:
    """Return the names of the folders that are whole."""
    return sorted(path.parent.name for path in (FOLDER / "table").glob("*/made.json"))


def moments() -> dict[str, int]:
    """Return when the die in each folder was written."""
    return {name: (FOLDER / "table" / name / "die.stl").stat().st_mtime_ns for name in made()}


BLINKS = 0.1  # seconds between two looks
go_through(table(), told, "table.json")

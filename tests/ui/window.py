"""What the tour does in Blender's window: acting on it as mouse and keys do, waiting, and taking pictures."""

import json
import shutil
import subprocess
import sys
import time
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import bpy

MODULE = "bl_ext.user_default.stampwright"

SETTLE = 1.0
"""Seconds for the window to be drawn after a step; software drawing is slow."""

BLINK = 0.12
"""Seconds after a move of the mouse, until what lies under it knows."""

LEAST_PICTURE = 20_000
"""Bytes; a picture file smaller than this shows an empty window."""

STEP = 18
"""Pixels between two looks at what lies under the mouse; a button is twenty high, two more than this."""

PAGE, PAGES = 700, 3
"""Pixels that the sidebar is scrolled by, which is less than it shows; pages that are looked through."""

TEXTS = {" ": "SPACE", ".": "PERIOD", "-": "MINUS"} | dict(
    zip("0123456789", ("ZERO", "ONE", "TWO", "THREE", "FOUR", "FIVE", "SIX", "SEVEN", "EIGHT", "NINE"), strict=True)
)
"""The host's names of keys that are not named as what they type."""


def view(region_type: str) -> Any:
    """Return the viewport's own context, as if the mouse were over this region of it."""
    window = bpy.context.window_manager.windows[0]
    area = next(each for each in window.screen.areas if each.type == "VIEW_3D")
    region = next(each for each in area.regions if each.type == region_type)
    return bpy.context.temp_override(window=window, area=area, region=region)


def run(operator: Any, *arguments: Any, **settings: Any) -> None:
    """Run an operator in the viewport; one that does not finish is an error."""
    with view("WINDOW"):
        done = operator(*arguments, **settings)
    if done != {"FINISHED"}:
        raise RuntimeError(f"{operator.idname()}: {done}")


def key(kind: str, text: str = "", **held: bool) -> Iterator[float]:
    """Press and release a key, or the mouse's button, with the mouse where it is."""
    presses.append(kind)
    window = bpy.context.window_manager.windows[0]
    window.event_simulate(kind, "PRESS", unicode=text or None, **_mouse, **held)
    yield BLINK
    window.event_simulate(kind, "RELEASE", **_mouse, **held)
    yield BLINK


def typed(text: str) -> Iterator[float]:
    """Type a text."""
    for letter in text:
        yield from key(TEXTS.get(letter, letter.upper()), letter, shift=letter.isupper())


def move(x: float, y: float, *, wait: float = BLINK) -> Iterator[float]:
    """Move the mouse to a place of the window, pixels from below left."""
    _mouse.update(x=round(x), y=round(y))
    bpy.context.window_manager.windows[0].event_simulate("MOUSEMOVE", "NOTHING", **_mouse)
    yield wait


def below(pixels: int) -> Iterator[float]:
    """Move the mouse down from where it is."""
    yield from move(_mouse["x"], _mouse["y"] - pixels)


def move_into_viewport() -> Iterator[float]:
    """Move the mouse to where keys go to the viewport."""
    with view("WINDOW"):
        region = bpy.context.region
        place = (region.x + 0.3 * region.width, region.y + 0.3 * region.height)
    yield from move(*place)


def look_up(words: str) -> Iterator[float]:
    """Open the host's search over the viewport and type words into it."""
    yield from move_into_viewport()
    yield from key("F3")
    yield SETTLE
    yield from typed(words)
    yield SETTLE


def click() -> Iterator[float]:
    """Click with the mouse where it is."""
    yield from key("LEFTMOUSE")


def drag(across: int, up: int = 0) -> Iterator[float]:
    """Drag to the side, or up, with the left button, in steps as a hand does; pixels."""
    window = bpy.context.window_manager.windows[0]
    start = dict(_mouse)
    window.event_simulate("LEFTMOUSE", "PRESS", **_mouse)
    yield BLINK
    for share in (0.1, 0.25, 0.5, 0.75, 1.0):
        yield from move(start["x"] + share * across, start["y"] + share * up)
    window.event_simulate("LEFTMOUSE", "RELEASE", **_mouse)
    yield BLINK


def find(wanted: str, across: float = 0.6) -> Iterator[float]:
    """Move the mouse down the sidebar until it is over what is wanted: an operator, or a data path.

    ``across``: where it moves down, as a share of the sidebar's width.
    """
    for wait in (BLINK, SETTLE):
        for _ in range(PAGES):
            with view("UI"):
                region = bpy.context.region
                x, top, bottom = region.x + across * region.width, region.y + region.height, region.y
            for y in range(top - STEP, bottom, -STEP):
                yield from move(x, y, wait=wait)
                if wanted in _under_mouse():
                    # On a slow machine the button before may count as under the mouse for a while.
                    yield 4 * BLINK
                    if wanted in _under_mouse():
                        return
            yield from scroll(-PAGE)
        # It may have been too slow to tell what lay under the mouse: once more, with patience.
        yield from scroll(PAGES * PAGE)
    raise RuntimeError(f"there is no {wanted} in the sidebar")


def scroll(pixels: int) -> Iterator[float]:
    """Scroll the sidebar up by pixels, or down."""
    with view("UI"):
        bpy.ops.view2d.pan(deltax=0, deltay=pixels)
    yield SETTLE


def click_tab(name: str) -> Iterator[float]:
    """Click down the row of the sidebar's tabs until the one that is wanted is in front."""
    with view("UI"):
        region = bpy.context.region
        x, top, bottom = region.x + region.width - 12, region.y + region.height, region.y
    # The last tab that anybody adds is the lowest: every look costs a click, so begin where it can be.
    for y in range(top - 40, bottom, -35):
        yield from move(x, y)
        yield from click()
        with view("UI"):
            if bpy.context.region.active_panel_category == name:
                return
    raise RuntimeError(f"there is no tab {name}")


def settle() -> Iterator[float]:
    """Wait until what was asked for is built, pressed and drawn."""
    rooms = [sys.modules[f"{MODULE}.{name}"] for name in ("live.following", "press.pressing")]
    yield SETTLE
    # A guard against a hang, not a measure: beside other suites on a slow machine it takes its time.
    until = time.monotonic() + 600.0
    while any(room.is_busy() for room in rooms):
        if time.monotonic() > until:
            raise RuntimeError("the stamp is not built after ten minutes")
        yield 0.2
    yield SETTLE


def picture(name: str) -> Iterator[float]:
    """Take a picture of the whole window into the folder that the tour was given."""
    for window in bpy.context.window_manager.windows:
        for area in window.screen.areas:
            area.tag_redraw()
    yield 0.5
    path = FOLDER / f"{name}.png"
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
    pictures.append(path.name)
    yield 0.2


def open_sidebar() -> Iterator[float]:
    """Open the sidebar, with the extension's tab in front."""
    with view("WINDOW"):
        bpy.context.space_data.show_region_ui = True
    # The host knows the tabs only once it has drawn them.
    yield SETTLE
    bring_tab_forward()
    yield SETTLE


def bring_tab_forward() -> None:
    """Bring the extension's tab of the sidebar to the front."""
    with view("UI"):
        bpy.context.region.active_panel_category = "Stampwright"


def open_all(*only: str) -> list[tuple[Any, Any]]:
    """Have all panels open, or the first and those named; return each with its twin.

    Whether a panel is open is the user's to say: twins that start open stand in for the click.
    """
    _rounds.append(only)
    classes = [
        each
        for each in sys.modules[f"{MODULE}.panels"].CLASSES
        # The lists of presets behind buttons have no place in the sidebar, and are asked for by their names.
        if hasattr(each, "bl_label") and each.bl_region_type == "UI"
    ]
    for panel in reversed(classes):
        bpy.utils.unregister_class(panel)
    wanted = {f"STAMPWRIGHT_PT_{each}" for each in only}
    # What a panel is within is open as well.
    for panel in reversed(classes):
        if panel.__name__ in wanted and hasattr(panel, "bl_parent_id"):
            wanted.add(panel.bl_parent_id)
    twins = []
    for panel in classes:
        # The host remembers of a name whether it was open.
        suffix = f"open_{len(_rounds)}"
        name = f"{panel.__name__}_{suffix}"
        shown = not only or panel.__name__ == "STAMPWRIGHT_PT_stamp" or panel.__name__ in wanted
        headless = {"HIDE_HEADER"} & set(getattr(panel, "bl_options", ()))
        named = {"bl_idname": name, "bl_options": headless or (set() if shown else {"DEFAULT_CLOSED"})}
        if hasattr(panel, "bl_parent_id"):
            named["bl_parent_id"] = f"{panel.bl_parent_id}_{suffix}"
        twins.append((panel, type(name, (panel,), named)))
        bpy.utils.register_class(twins[-1][1])
    bring_tab_forward()
    return twins


def close_all(twins: list[tuple[Any, Any]]) -> None:
    """Have the panels as they are by themselves."""
    for _, twin in reversed(twins):
        bpy.utils.unregister_class(twin)
    for panel, _ in twins:
        bpy.utils.register_class(panel)
    bring_tab_forward()


@contextmanager
def selection_kept() -> Iterator[None]:
    """Leave what is selected and active as it is."""
    chosen, active = bpy.context.selected_objects, bpy.context.view_layer.objects.active
    yield
    for each in chosen:
        each.select_set(True)
    bpy.context.view_layer.objects.active = active


def look_at(names: str, side: str, tilt: float = 0.0) -> Iterator[float]:
    """Look at objects from a side, tilted by an angle; what is selected and active stays so."""
    with selection_kept(), view("WINDOW"):
        bpy.ops.view3d.view_axis(type=side)
        bpy.ops.object.select_pattern(pattern=names, extend=False)
        if tilt:
            bpy.ops.view3d.view_orbit(angle=tilt, type="ORBITUP")
        bpy.ops.view3d.view_selected()
        bpy.ops.object.select_all(action="DESELECT")
    yield SETTLE


def go_through(stops: Iterator[float], told: dict[str, object], name: str) -> None:
    """Go through stops once the window is there, write what was told and the pictures taken, and leave Blender."""

    def go_on() -> float | None:
        """Go on to the next stop; called by Blender's timer, so that the window lives in between."""
        try:
            return next(stops)
        except StopIteration:
            pass
        except Exception:
            told["errors"] = [traceback.format_exc()]
        (FOLDER / name).write_text(json.dumps({**told, "pictures": pictures}, indent=1), encoding="utf-8")
        bpy.ops.wm.quit_blender()
        return None

    # Before the window is there: it opens with the splash otherwise.
    bpy.context.preferences.view.show_splash = False
    # Drawn once, not again and again until edges are smoothest: without a graphics card each time costs a processor.
    bpy.context.preferences.system.viewport_aa = "FXAA"
    bpy.app.timers.register(go_on, first_interval=SETTLE, persistent=True)


def _under_mouse() -> str:
    """Return the operator or the data path of what lies under the mouse in the sidebar, as the host would copy it."""
    manager = bpy.context.window_manager
    manager.clipboard = ""
    with view("UI"):
        for copy in (bpy.ops.ui.copy_python_command_button, bpy.ops.ui.copy_data_path_button):
            if copy.poll() and copy() == {"FINISHED"}:
                return str(manager.clipboard)
    return ""


FOLDER = Path(sys.argv[-1])
pictures: list[str] = []
presses: list[str] = []
_mouse = {"x": 0, "y": 0}
_rounds: list[tuple[str, ...]] = []

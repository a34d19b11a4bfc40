"""What ``window.py`` times in Blender's window: edits of three arts, until each thing that follows is drawn.

``blender --factory-startup --enable-event-simulate --python in_window.py -- PACKAGE ARTWORK FOLDER``
"""

import importlib
import sys
from collections import defaultdict
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median
from time import perf_counter, process_time, thread_time
from typing import Any

import bpy
import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent))

from pieces import seed_head
from window import MODULE, SETTLE, go_through, run, settle, view

PACKAGE = sys.argv[sys.argv.index("--") + 1]

POINTS = (385, 4_800, 28_000)
EDITS = 3
LOOK = 0.002
"""Seconds between looks at whether all that an edit asks for is there; the host draws in between."""

PATIENCE = 90.0
DRAG = 3.0
"""Seconds of a drag, and between its moves as long as the host takes to come round."""

WATCHED = {
    "read": ("building.orders", "read_order"),
    "build": ("building.making", "make"),
    "show parts": ("building.showing", "show_parts"),
    "show all": ("building.showing", "show"),
    "sheet": ("building.showing", "show_impression"),
    "press shown": ("press.pressing", "_take_in"),
}
"""What is timed of the extension, by what it is for; ``build`` runs beside Blender, all else holds it up."""

told: dict[str, Any] = {"host": bpy.app.version_string, "errors": [], "arts": []}
_took: dict[str, list[float]] = defaultdict(list)
_ended: dict[str, float] = {}
_drawn: list[tuple[float, float]] = []
_state = {"began": 0.0, "worked": 0.0, "main": 0.0}


def bench() -> Iterator[float]:
    """Install the package and time every art."""
    run(bpy.ops.extensions.package_install_files, filepath=PACKAGE, repo="user_default")
    yield SETTLE
    bpy.types.SpaceView3D.draw_handler_add(_begin_drawing, (), "WINDOW", "PRE_VIEW")
    bpy.types.SpaceView3D.draw_handler_add(_end_drawing, (), "WINDOW", "POST_PIXEL")
    for points in POINTS:
        yield from _time_art(points)


def _time_art(points: int) -> Iterator[float]:
    """Time edits of one art, and a drag."""
    bpy.ops.wm.read_homefile(use_empty=True)
    yield SETTLE
    drawn = _draw(seed_head(points))
    count = sum(len(spline.points) for spline in drawn.data.splines)
    run(bpy.ops.stampwright.make_stamp)
    root = bpy.context.active_object
    yield from settle()
    with view("WINDOW"):
        bpy.ops.view3d.view_selected()
    yield from settle()
    _watch()
    edits = []
    for number in range(EDITS + 1):
        yield from _edit(drawn, 1 if number % 2 else -1)
        # The first one warms up.
        if number:
            edits.append(_measured())
    art = {name: round(1000 * median(each[name] for each in edits)) for name in edits[0] if name != "redraws"}
    art |= {"points": count, "redraws": median(each["redraws"] for each in edits)}
    yield from _drag(drawn, art)
    told["arts"].append(art)
    root.stampwright.live = False


def _edit(drawn: Any, way: int) -> Iterator[float]:
    """Move a point, and wait until all is there and drawn."""
    _begin()
    drawn.data.splines[0].points[0].co.x += 1e-5 * way
    drawn.data.update_tag()
    until = perf_counter() + PATIENCE
    # What rests a while before it is pressed is no sooner busy.
    quiet = 0.0
    while quiet < 0.6 and perf_counter() < until:
        yield LOOK
        quiet = 0.0 if _is_busy() else perf_counter() - max(_ended.values(), default=_state["began"])


def _drag(drawn: Any, art: dict[str, Any]) -> Iterator[float]:
    """Move a point all the time, as a hand does, and count what is seen of it."""
    _begin()
    until, way = perf_counter() + DRAG, 1
    while perf_counter() < until:
        drawn.data.splines[0].points[0].co.x += 1e-5 * way
        drawn.data.update_tag()
        way = -way
        yield 0.01
    art["drag: dies a second"] = round((len(_took["show parts"]) + len(_took["show all"])) / DRAG, 1)
    art["drag: sheets a second"] = round(len(_took["sheet"]) / DRAG, 1)
    shown = [_state["began"], *(end for _, end in _drawn), perf_counter()]
    art["drag: drawings a second"] = round(len(_drawn) / DRAG, 1)
    art["drag: longest gap"] = round(1000 * max(np.diff(shown)))
    yield from settle()


def _begin() -> None:
    _took.clear()
    _ended.clear()
    _drawn.clear()
    _state.update(began=perf_counter(), worked=process_time(), main=thread_time())


def _measured() -> dict[str, float]:
    """Return the seconds until things were there, and what each took."""
    began = _state["began"]
    shown = min(_ended.get("first parts", np.inf), _ended.get("show all", np.inf))
    found = {
        "to die": _drawn_after(shown) - began,
        "to sheet": _drawn_after(_ended.get("sheet", shown)) - began,
        "to press": _drawn_after(_ended.get("press shown", shown)) - began,
        "redraws": float(len(_drawn)),
        "processor": _state["worked until"] - _state["worked"],
        "main thread": _state["main until"] - _state["main"],
        "drawing": sum(end - start for start, end in _drawn),
    }
    return found | {name: sum(_took[name]) for name in WATCHED}


def _drawn_after(moment: float) -> float:
    """Return when the view had first been drawn after a moment."""
    return next((end for start, end in _drawn if start >= moment), moment)


def _is_busy() -> bool:
    rooms = [sys.modules[f"{MODULE}.{name}"] for name in ("live.following", "press.pressing")]
    return any(room.is_busy() for room in rooms)


def _watch() -> None:
    """Have what is watched note how long it takes, and when it ends."""
    for name, (room, function) in WATCHED.items():
        module = importlib.import_module(f"{MODULE}.{room}")
        done = getattr(module, function)
        if not hasattr(done, "watched"):
            setattr(module, function, _watched(name, done))
    pressing = sys.modules[f"{MODULE}.press.pressing"]
    pressing._trials.finish = pressing._take_in


def _watched(name: str, done: Callable) -> Callable:
    def timed(*given: Any, **named: Any) -> Any:
        began = perf_counter()
        try:
            return done(*given, **named)
        finally:
            _ended[name] = perf_counter()
            if name == "show parts":
                _ended.setdefault("first parts", _ended[name])
            _took[name].append(_ended[name] - began)

    timed.watched = True
    return timed


def _begin_drawing() -> None:
    _state["drawing"] = perf_counter()


def _end_drawing() -> None:
    _drawn.append((_state.get("drawing", perf_counter()), perf_counter()))
    _state.update({"worked until": process_time(), "main until": thread_time()})


def _draw(rings: list[np.ndarray]) -> Any:
    """Return a filled curve of these rings, mm, in a scene of metres, selected."""
    data = bpy.data.curves.new("seed head", "CURVE")
    data.dimensions, data.fill_mode = "2D", "BOTH"
    for ring in rings:
        spline = data.splines.new("POLY")
        spline.points.add(len(ring) - 1)
        spline.points.foreach_set("co", np.column_stack([ring / 1000, np.zeros(len(ring)), np.ones(len(ring))]).ravel())
        spline.use_cyclic_u = True
    drawn = bpy.data.objects.new("seed head", data)
    bpy.context.scene.collection.objects.link(drawn)
    drawn.select_set(True)
    bpy.context.view_layer.objects.active = drawn
    return drawn


go_through(bench(), told, "in_window.json")

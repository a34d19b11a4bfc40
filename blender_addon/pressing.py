"""Pressing: stamps at rest are tried on paper beside Blender; with the full solver when that is asked for."""

from __future__ import annotations

import time
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import bpy
import bpy.utils.previews
from bpy.app.handlers import persistent

from . import live, loading, stamps
from .results import stamp_made
from .stampwright.errors import Cancelled, StampwrightError
from .stampwright.memory import Memory
from .work import Task

if TYPE_CHECKING:
    from bpy.types import Object

REST = 0.25
"""Seconds that a stamp is left alone, after it has been shown, before it is tried: edits come first."""

POLL = 0.05
"""Seconds between looks at a trial that is under way."""


@dataclass
class Known:
    """What is known of pressing a stamp: the trial made last, from what, and what stood against the last one.

    ``curve``: the press curve as the number of an icon, 0 for none.
    """

    memory: Memory = field(default_factory=Memory)
    trial: Any = None
    pressed_by: Any = None
    message: str = ""
    curve: int = 0


class Pressing(Task):
    """One trial of a stamp on paper."""

    failed = "The stamp could not be pressed"

    def __init__(self, root: Object, *, full: bool) -> None:
        bridge, stamp = loading.bridge("pressing"), stamp_made(root)
        if stamp is None:
            raise StampwrightError("The stamp is not built yet: build it first")
        memory, pressure = known_of(root).memory, root.stampwright.show_pressure
        super().__init__(lambda tell: bridge.press(stamp, memory, full=full, pressure=pressure, progress=tell))
        self.pressed_by = bridge.pressed_by(stamp)
        self.full = full


_known: dict[int, Known] = {}
_due: dict[int, float] = {}
_works: dict[int, Pressing] = {}
_curves: dict[int, Any] = {}
"""The collection of previews that holds each stamp's press curve."""


def known_of(root: Object) -> Known:
    """Return what is known of pressing a stamp."""
    return _known.setdefault(root.session_uid, Known())


def work_of(root: Object) -> Pressing | None:
    """Return the trial that is under way for a stamp, or None."""
    return _works.get(root.session_uid)


def work_at(number: int) -> Pressing | None:
    """Return the trial that is under way for the stamp with a session number, or None."""
    return _works.get(number)


def message_at(number: int) -> str:
    """Return what stood against the last trial of the stamp with a session number, or nothing."""
    return _known[number].message if number in _known else ""


def stop_at(number: int) -> None:
    """Stop the trial of the stamp with a session number; what is shown stays."""
    _due.pop(number, None)
    work = _works.pop(number, None)
    if work is not None:
        work.stop()


def is_busy() -> bool:
    """Whether any trial is under way or due."""
    return bool(_due or _works)


def start(root: Object, *, full: bool) -> Pressing:
    """Begin to press a stamp beside Blender; raises :class:`StampwrightError` when it is not built."""
    stop_at(root.session_uid)
    work = _works[root.session_uid] = Pressing(root, full=full)
    work.begin()
    _wake(POLL)
    return work


def press_now(root: Object, *, full: bool) -> Any:
    """Press a stamp, show what comes of it, and return the trial; raises :class:`StampwrightError`."""
    stop_at(root.session_uid)
    work = Pressing(root, full=full)
    work.begin()
    work.wait()
    _take_in(root, work)
    known = known_of(root)
    if known.message:
        raise StampwrightError(known.message)
    return known.trial


def show(root: Object) -> None:
    """Bring the sheet and the pressure to what is known, as when it was changed what of it is to be shown."""
    stamp = stamp_made(root)
    if stamp is not None and stamps.is_ours(root):
        known, shown = known_of(root), loading.building().bench_of(root).shown
        bridge = loading.bridge("pressing")
        bridge.show_trial(root, stamp, known.trial, known.memory, shown=shown, scene=bpy.context.scene)
        live.redraw()


def follow(root: Object) -> None:
    """Press a stamp that has been shown, once it has come to rest, unless that trial is known or under way."""
    number, stamp = root.session_uid, stamp_made(root)
    if stamp is None or not stamps.is_ours(root):
        return
    pressed_by = loading.bridge("pressing").pressed_by(stamp)
    work, known = _works.get(number), known_of(root)
    if work is not None and work.pressed_by == pressed_by:
        return
    stop_at(number)
    if known.pressed_by == pressed_by:
        show(root)
        return
    # What lies on the die is of another stamp by now.
    loading.bridge("pressing").take_away_pressure(root)
    if root.stampwright.press_live and not bpy.app.background:
        _due[number] = time.monotonic() + REST
        _wake(REST)


def colour_views(*, by_pressure: bool) -> None:
    """Have the viewports that show plain solids show colours of vertices, or what they show as they come."""
    for window in bpy.context.window_manager.windows:
        for area in window.screen.areas:
            for space in area.spaces:
                if not isinstance(space, bpy.types.SpaceView3D):
                    continue
                if by_pressure and space.shading.color_type == "MATERIAL":
                    space.shading.color_type = "VERTEX"
                elif not by_pressure and space.shading.color_type == "VERTEX":
                    space.shading.color_type = "MATERIAL"


def _wake(delay: float) -> None:
    if not bpy.app.background and not bpy.app.timers.is_registered(_tick):
        bpy.app.timers.register(_tick, first_interval=delay)


def _tick() -> float | None:
    """Take up what is due and show what is ready; called by Blender's timer."""
    if bpy.app.is_job_running("RENDER"):
        # The scene is not to be changed while it is rendered.
        return 0.5
    roots = {root.session_uid: root for root in stamps.stamps_in(bpy.context.scene)}
    for number, work in list(_works.items()):
        if number not in roots:
            stop_at(number)
        elif work.is_done:
            del _works[number]
            _take_in(roots[number], work)
        elif live.work_at(number) is not None and not work.full:
            # Builds come first; the trial follows again when this one has been shown.
            stop_at(number)
    now = time.monotonic()
    for number, when in list(_due.items()):
        if number not in roots or stamp_made(roots[number]) is None:
            del _due[number]
        elif when <= now and live.work_at(number) is None:
            start(roots[number], full=False)
    if _works:
        live.redraw()
        return POLL
    return max(min(_due.values()) - now, POLL) if _due else None


def _take_in(root: Object, work: Pressing) -> None:
    """Keep what came of a trial, and show it."""
    known = known_of(root)
    try:
        known.trial, known.message = work.result(), ""
    except Cancelled:
        return
    except StampwrightError as error:
        known.trial, known.message = None, str(error)
    known.pressed_by = work.pressed_by
    _draw_curve(root.session_uid, known)
    show(root)


def _draw_curve(number: int, known: Known) -> None:
    """Bring the picture of a stamp's press curve to its trial."""
    if number in _curves:
        bpy.utils.previews.remove(_curves.pop(number))
    known.curve = 0
    if known.trial is None:
        return
    pixels = loading.bridge("pressing").curve_for_panel(known.trial, known.memory)
    _curves[number] = bpy.utils.previews.new()
    preview = _curves[number].new("curve")
    preview.image_size = pixels.shape[1::-1]
    preview.image_pixels_float.foreach_set(pixels.ravel())
    known.curve = preview.icon_id


@persistent
def _opened(*_about: object) -> None:
    for number in list(_works):
        stop_at(number)
    _due.clear()
    _known.clear()
    for collection in _curves.values():
        bpy.utils.previews.remove(collection)
    _curves.clear()


def register() -> None:
    """Follow the stamps that are shown."""
    live.after_showing.append(follow)
    bpy.app.handlers.load_pre.append(_opened)


def unregister() -> None:
    """Follow no more, stop what is under way, and give back the pictures of the curves."""
    live.after_showing.remove(follow)
    bpy.app.handlers.load_pre.remove(_opened)
    if bpy.app.timers.is_registered(_tick):
        bpy.app.timers.unregister(_tick)
    _opened()

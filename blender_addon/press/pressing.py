"""Pressing: stamps at rest are tried on paper beside Blender; with the full solver when that is asked for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import bpy
import bpy.utils.previews
from bpy.app.handlers import persistent

from .. import loading
from ..building import benches
from ..building.results import stamp_made
from ..job import changes
from ..live import following, pacing, scheduler
from ..live.tasks import LiveTask
from ..scene import stamps
from ..scene.views import redraw, redraw_sidebars
from ..stampwright.errors import Cancelled, StampwrightError

if TYPE_CHECKING:
    from bpy.types import Object

REST = 0.25
"""Seconds that a stamp is left alone, after it has been shown, before it is tried: edits come first, but for a trial
that is there sooner than the stamp would be drawn once more."""

POLL = 0.05
"""Seconds between looks at a trial that is under way."""


@dataclass
class KnownPress(benches.Remembering):
    """What is known of pressing a stamp: the trial made last, from what, and what stood against the last one.

    ``curve``: the push curve as the number of an icon, 0 for none.
    """

    trial: Any = None
    pressed_by: Any = None
    message: str = ""
    curve: int = 0


class PressTask(LiveTask):
    """One trial of a stamp on paper."""

    failed = "The stamp could not be pressed"

    def __init__(self, root: Object, *, full: bool) -> None:
        bridge, stamp = loading.load("press.trials"), stamp_made(root)
        if stamp is None:
            raise StampwrightError("The stamp is not built yet: build it first")
        memory, pressure = known_of(root).memory, root.stampwright.show_pressure
        super().__init__(lambda tell: bridge.press(stamp, memory, full=full, pressure=pressure, progress=tell))
        self.pressed_by = bridge.pressed_by(stamp)
        self.full = full


_known: dict[int, KnownPress] = {}
_curves: dict[int, Any] = {}
"""The collection of previews that holds each stamp's push curve."""


def known_of(root: Object) -> KnownPress:
    """Return what is known of pressing a stamp."""
    return _known.setdefault(root.session_uid, KnownPress())


def work_of(root: Object) -> PressTask | None:
    """Return the trial that is under way for a stamp, or None."""
    return _trials.work_at(root.session_uid)


def work_at(number: int) -> PressTask | None:
    """Return the trial that is under way for the stamp with a session number, or None."""
    return _trials.work_at(number)


def message_at(number: int) -> str:
    """Return what stood against the last trial of the stamp with a session number, or nothing."""
    return _known[number].message if number in _known else ""


def stop_at(number: int) -> None:
    """Stop the trial of the stamp with a session number; what is shown stays."""
    _trials.take_off(number)


def is_busy() -> bool:
    """Whether any trial is under way, or due in this scene."""
    return _trials.is_busy()


def start(root: Object, *, full: bool) -> PressTask:
    """Begin to press a stamp beside Blender; raises :class:`StampwrightError` when it is not built."""
    return _trials.put(root.session_uid, PressTask(root, full=full))


def press_now(root: Object, *, full: bool) -> Any:
    """Press a stamp, show what comes of it, and return the trial; raises :class:`StampwrightError`."""
    _trials.do_now(root, PressTask(root, full=full))
    known = known_of(root)
    if known.message:
        raise StampwrightError(known.message)
    return known.trial


def show(root: Object) -> None:
    """Bring the sheet and the pressure to what is known, as when it was changed what of it is to be shown."""
    stamp = stamp_made(root)
    if stamp is not None and stamps.is_ours(root):
        known, shown = known_of(root), benches.bench_of(root).shown
        bridge = loading.load("press.trials")
        bridge.show_trial(root, stamp, known.trial, known.memory, shown=shown, scene=bpy.context.scene)
        redraw()


def follow(root: Object) -> None:
    """Press a stamp that has been shown, once it has come to rest, unless that trial is known or under way."""
    number, stamp = root.session_uid, stamp_made(root)
    if stamp is None or not stamps.is_ours(root):
        return
    pressed_by = loading.load("press.trials").pressed_by(stamp)
    work, known = work_at(number), known_of(root)
    if work is not None and work.pressed_by == pressed_by:
        return
    stop_at(number)
    if known.pressed_by == pressed_by:
        show(root)
        return
    # What lies on the die is of another stamp by now.
    loading.load("press.trials").take_away_pressure(root)
    if root.stampwright.press_live and not bpy.app.background:
        _trials.mark(number, 0.0 if following.presses_at_once(root) else REST)


def _may_begin(number: int) -> bool:
    """Whether a trial may begin: builds come first."""
    return not following.is_waiting_at(number)


def _take_up(root: Object) -> None:
    """Press a stamp that has come to rest, if it is still there."""
    if stamp_made(root) is not None:
        start(root, full=False)


def _attend(root: Object, work: PressTask) -> None:
    """Tell how far a trial is; the quick one makes way for a build, and follows again when that has been shown."""
    if following.work_of(root) is not None and not work.full:
        stop_at(root.session_uid)
    if work.seconds > following.SLOW and work.has_news():
        redraw_sidebars()


def _take_in(root: Object, work: PressTask) -> None:
    """Keep what came of a trial, and show it."""
    known = known_of(root)
    try:
        known.trial, known.message = work.result(), ""
    except Cancelled:
        return
    except StampwrightError as error:
        known.trial, known.message = None, str(error)
    known.pressed_by = work.pressed_by
    if not work.full:
        benches.bench_of(root).took_press = work.worked
    _draw_curve(root.session_uid, known)
    show(root)
    pacing.drawing_begins()


def _draw_curve(number: int, known: KnownPress) -> None:
    """Bring the picture of a stamp's push curve to its trial."""
    if number in _curves:
        bpy.utils.previews.remove(_curves.pop(number))
    known.curve = 0
    if known.trial is None:
        return
    pixels = loading.load("press.trials").curve_for_panel(known.trial, known.memory)
    _curves[number] = bpy.utils.previews.new()
    preview = _curves[number].new("curve")
    preview.image_size = pixels.shape[1::-1]
    preview.image_pixels_float.foreach_set(pixels.ravel())
    known.curve = preview.icon_id


def _is_quick(root: Object, seconds: float) -> bool:
    """Whether the last trial of a stamp took no longer than so many seconds."""
    return benches.bench_of(root).took_press <= seconds


_trials = scheduler.Queue(
    begin=_take_up, attend=_attend, finish=_take_in, may_begin=_may_begin, poll=POLL, is_quick=_is_quick
)
"""The trials of stamps: due, and under way."""


@persistent
def _opened(*_about: object) -> None:
    _trials.clear()
    _known.clear()
    for collection in _curves.values():
        bpy.utils.previews.remove(collection)
    _curves.clear()


def register() -> None:
    """Follow the stamps that are shown."""
    scheduler.serve(_trials)
    following.after_showing.append(follow)
    changes.press_followers.append(follow)
    changes.trial_followers.append(show)
    bpy.app.handlers.load_pre.append(_opened)


def unregister() -> None:
    """Follow no more, stop what is under way, and give back the pictures of the curves."""
    changes.trial_followers.remove(show)
    changes.press_followers.remove(follow)
    following.after_showing.remove(follow)
    bpy.app.handlers.load_pre.remove(_opened)
    scheduler.leave(_trials)
    _opened()

"""Live: stamps that are marked are built in the background, and shown as they become ready."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import bpy

from . import loading, stamps
from .stampwright.errors import StampwrightError
from .work import Work

if TYPE_CHECKING:
    from bpy.types import Object, Scene

POLL = 0.005
"""Seconds between looks at a build that is under way; the host looks about as often for events."""

ELSEWHERE = 0.5
"""Seconds between looks at whether a scene with stamps that are due has come back to the window, or rendering ended."""

SLOW = 0.5
"""Seconds after which a build is worth telling of, and can be stopped with Esc."""

after_showing: list[Callable[[Object], None]] = []
"""Called with the root of every stamp that has been built and shown."""

STOPPED = "Building was stopped: the next edit begins it again, or Build Stamp"
"""What is said of a stamp whose build was stopped, until it is built."""

_due: dict[int, float] = {}
"""When each stamp, by its session number, is to be looked at."""

_works: dict[int, Work] = {}
"""The build that is under way for each stamp."""

_state: dict[str, Any] = {"quiet": 0, "paused": False, "next": 0.0}


class quiet:
    """A block in which changes of properties start no build."""

    def __enter__(self) -> None:
        _state["quiet"] += 1

    def __exit__(self, *_about: object) -> None:
        _state["quiet"] -= 1


def mark(root: Object, delay: float = 0.0) -> None:
    """Note that a stamp may have to be built anew, ``delay`` seconds from now.

    Even without delay the host comes to it only in its next turn, when all edits of this one are there.
    """
    held = getattr(root, "stampwright", None)
    if _state["quiet"] or held is None or held.role != stamps.STAMP or not held.live or not stamps.is_ours(root):
        return
    _due[root.session_uid] = time.monotonic() + delay
    _wake(delay)


def work_of(root: Object) -> Work | None:
    """Return the build that is under way for a stamp, or None."""
    return _works.get(root.session_uid)


def work_at(number: int) -> Work | None:
    """Return the build that is under way for the stamp with a session number, or None."""
    return _works.get(number)


def message_at(number: int) -> str:
    """Return what stood against the last build of the stamp with a session number, or nothing."""
    bench = loading.building().bench_at(number)
    return bench.message if bench is not None else ""


def slowest() -> tuple[Object, Work] | None:
    """Return the stamp whose build has been under way for longest, and that build."""
    roots = {root.session_uid: root for root in stamps.stamps_in(bpy.context.scene)}
    under_way = [(work.seconds, number) for number, work in _works.items() if number in roots]
    return (roots[max(under_way)[1]], _works[max(under_way)[1]]) if under_way else None


def is_busy() -> bool:
    """Whether any build is under way, or due in this scene."""
    return bool(_works) or any(root.session_uid in _due for root in stamps.stamps_in(bpy.context.scene))


def start(root: Object, *, watched: bool = True) -> Work:
    """Begin to build a stamp in the background, in place of a build that is under way; raises StampwrightError."""
    building = loading.building()
    work = _begin(root, building.read_order(root, bpy.context.evaluated_depsgraph_get()))
    work.is_watched = watched
    return work


def build_now(root: Object) -> Any:
    """Build a stamp and show it before coming back, and return it; raises :class:`StampwrightError`."""
    building = loading.building()
    # Known from here on: reading the scene may tell of edits that are no news.
    bench = building.bench_of(root)
    _due.pop(root.session_uid, None)
    before = _works.pop(root.session_uid, None)
    if before is not None:
        before.stop()
    context = bpy.context
    order = building.read_order(root, context.evaluated_depsgraph_get())
    stamp = building.make(order, bench.memory)
    _show(root, order, stamp, context.scene)
    return stamp


def follow(root: Object) -> None:
    """Have a stamp follow a change: in the background with a window, at once without."""
    if bpy.app.background and root.stampwright.live:
        build_now(root)
    else:
        mark(root)


def catch_up() -> None:
    """Build at once whatever is due, and wait for what is under way; for scripts and for times without a window."""
    for root in list(stamps.stamps_in(bpy.context.scene)):
        if root.session_uid in _due or root.session_uid in _works:
            try:
                build_now(root)
            except StampwrightError as error:
                say(root, str(error))


def stop(root: Object) -> None:
    """Stop what is under way for a stamp; it stays as it is until the next edit."""
    stop_at(root.session_uid)


def stop_at(number: int) -> None:
    """Stop what is under way for the stamp with a session number."""
    _due.pop(number, None)
    work = _works.pop(number, None)
    if work is not None:
        work.stop()
        bench = loading.building().bench_at(number)
        if bench is not None:
            bench.message = STOPPED
        redraw()


def stop_all() -> None:
    """Stop whatever is under way; what is due stays so."""
    for work in _works.values():
        work.stop()
    _works.clear()


def halt() -> None:
    """Stop whatever is under way, forget what is due, and take the timer back, as when this file is left."""
    if bpy.app.timers.is_registered(_tick):
        bpy.app.timers.unregister(_tick)
    stop_all()
    _due.clear()
    _state["paused"] = False


def look_again(*, delay: float = 0.0) -> None:
    """Have every stamp of the file compared with what it was built from."""
    for root in stamps.all_stamps():
        mark(root, delay)


def pause() -> None:
    """Take up nothing, and show nothing, until :func:`go_on`."""
    _state["paused"] = True


def go_on() -> None:
    """End a pause, and have every stamp looked at."""
    _state["paused"] = False
    look_again()


def is_heedless() -> bool:
    """Whether edits are not to be followed: in a pause, or a block that is quiet."""
    return bool(_state["quiet"] or _state["paused"])


def say(root: Object, message: str) -> None:
    """Say in the panel of a stamp what stands against building it."""
    building = loading.building_if_loaded()
    if building is not None:
        building.bench_of(root).message = message
    redraw()


def redraw() -> None:
    """Have every viewport draw anew, sidebar and overlay with it."""
    for window in bpy.context.window_manager.windows:
        for area in window.screen.areas:
            if area.type == "VIEW_3D":
                area.tag_redraw()


def _wake(delay: float) -> None:
    """Have the host's timer call in ``delay`` seconds, if it does not sooner."""
    if bpy.app.background:
        return
    when = time.monotonic() + delay
    if bpy.app.timers.is_registered(_tick):
        if _state["next"] <= when:
            return
        bpy.app.timers.unregister(_tick)
    _state["next"] = when
    bpy.app.timers.register(_tick, first_interval=delay)


def _tick() -> float | None:
    """Take up what is due and show what is ready, and return in how many seconds to look again; a timer of the host."""
    wait = _look()
    _state["next"] = time.monotonic() + (wait or 0.0)
    return wait


def _look() -> float | None:
    if _state["paused"]:
        return ELSEWHERE
    scene = bpy.context.scene
    roots = {root.session_uid: root for root in stamps.stamps_in(scene)}
    now = time.monotonic()
    for number, work in list(_works.items()):
        root = roots.get(number)
        if root is None:
            _works.pop(number).stop()
            _due[number] = now
        else:
            _show_progress(root, work, scene)
    # What is not here waits until its scene is looked at again; what is nowhere any more is forgotten.
    away = _due.keys() - roots.keys()
    for number in away - {root.session_uid for root in stamps.all_stamps()} if away else ():
        del _due[number]
    for number, root in roots.items():
        if _due.get(number, math.inf) <= now and _may_start(number):
            del _due[number]
            _take_up(root)
    if _works:
        return POLL
    here = [when for number, when in _due.items() if number in roots]
    if here:
        return max(min(here) - now, POLL)
    return ELSEWHERE if _due else None


def _may_start(number: int) -> bool:
    """Whether a new build may begin: one that has not shown a part yet goes on, lest dragging shows none at all."""
    work = _works.get(number)
    return work is None or work.has_shown


def _begin(root: Object, order: Any) -> Work:
    """Begin to build a stamp in place of a build that is under way, going on from what that has made."""
    building = loading.building()
    before = _works.get(root.session_uid)
    memory = building.bench_of(root).memory if before is None else before.memory
    if before is not None:
        before.stop()
    work = _works[root.session_uid] = Work(order, building, memory.copy())
    work.begin()
    _wake(POLL)
    return work


def _take_up(root: Object) -> None:
    try:
        building = loading.building()
        order = building.read_order(root, bpy.context.evaluated_depsgraph_get())
        bench = building.bench_of(root)
        if bench.fingerprint == order.fingerprint == root.stampwright.built and root.session_uid not in _works:
            bench.message = ""
            redraw()
            return
        _begin(root, order)
    except StampwrightError as error:
        say(root, str(error))


def _show_progress(root: Object, work: Work, scene: Scene) -> None:
    """Show of a build what has become ready since the last look."""
    building = loading.building()
    if not work.is_done:
        if work.has_parts:
            # A file that was opened, a step that was undone, or a copy may show all of it already.
            if root.stampwright.built != work.order.fingerprint:
                building.show_parts(root, work.memory, scene)
                redraw()
            work.go_on()
        elif work.seconds > SLOW:
            redraw()
            _watch(work)
        return
    del _works[root.session_uid]
    bench = building.bench_of(root)
    bench.memory = work.memory
    try:
        stamp = work.result()
    except StampwrightError as error:
        say(root, str(error))
        return
    _show(root, work.order, stamp, scene)
    redraw()


def _show(root: Object, order: Any, stamp: Any, scene: Scene) -> None:
    """Bring the scene up to a stamp, and tell those who go on from there."""
    loading.building().show(root, order, stamp, scene)
    for follow_on in after_showing:
        follow_on(root)


def _watch(work: Work) -> None:
    """Tell of a slow build in the window, where Esc stops it; once for each."""
    windows = bpy.context.window_manager.windows
    if not work.is_watched and not bpy.app.background and len(windows):
        work.is_watched = True
        with bpy.context.temp_override(window=windows[0]):
            bpy.ops.stampwright.watch("INVOKE_DEFAULT")  # type: ignore[attr-defined]  # entered by the extension

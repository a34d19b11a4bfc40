"""Live: stamps follow every edit. What changed is noted at once, built in the background, and shown as it is ready."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import bpy
from bpy.app.handlers import persistent

from . import loading, stamps
from .stampwright.errors import StampwrightError
from .work import Work

if TYPE_CHECKING:
    from bpy.types import Depsgraph, Object, Scene

POLL = 0.005
"""Seconds between looks at a build that is under way; the host looks about as often for events."""

ELSEWHERE = 0.5
"""Seconds between looks at whether a scene with stamps that are due has come back to the window, or rendering ended."""

STROKE = 0.6
"""Seconds after a stroke on a face before it is taken up, so that the next stroke is not kept waiting."""

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

_state: dict[str, Any] = {"quiet": 0, "rendering": False, "scale": 1.0, "next": 0.0}


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
                _say(root, str(error))


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
        _redraw()


def look_again(*, delay: float = 0.0) -> None:
    """Have every stamp of the file compared with what it was built from."""
    for root in stamps.all_stamps():
        mark(root, delay)


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
    if _state["rendering"]:
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
            _redraw()
            return
        _begin(root, order)
    except StampwrightError as error:
        _say(root, str(error))


def _show_progress(root: Object, work: Work, scene: Scene) -> None:
    """Show of a build what has become ready since the last look."""
    building = loading.building()
    if not work.is_done:
        if work.has_parts:
            # A file that was opened, a step that was undone, or a copy may show all of it already.
            if root.stampwright.built != work.order.fingerprint:
                building.show_parts(root, work.memory, scene)
                _redraw()
            work.go_on()
        elif work.seconds > SLOW:
            _redraw()
            _watch(work)
        return
    del _works[root.session_uid]
    bench = building.bench_of(root)
    bench.memory = work.memory
    try:
        stamp = work.result()
    except StampwrightError as error:
        _say(root, str(error))
        return
    _show(root, work.order, stamp, scene)
    _redraw()


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


def _stop_all() -> None:
    for work in _works.values():
        work.stop()
    _works.clear()


def _say(root: Object, message: str) -> None:
    building = loading.building_if_loaded()
    if building is not None:
        building.bench_of(root).message = message
    _redraw()


def _redraw() -> None:
    for window in bpy.context.window_manager.windows:
        for area in window.screen.areas:
            if area.type == "VIEW_3D":
                area.tag_redraw()


@persistent
def _edited(scene: Scene, depsgraph: Depsgraph) -> None:
    """Note the stamps whose artwork or outlines an edit has touched; the host calls this after every edit."""
    if _state["quiet"] or _state["rendering"]:
        return
    touched = {each.id.original: _is_shaped(each) for each in depsgraph.updates}
    shaped = {each for each, is_shaped in touched.items() if is_shaped}
    scale = scene.unit_settings.scale_length
    if scale != _state["scale"]:
        _state["scale"] = scale
        look_again()
    elif touched:
        for root in stamps.stamps_in(scene):
            if not _is_known(root) or not shaped.isdisjoint(_watched(root)):
                mark(root)
            elif not touched.keys().isdisjoint(_brushed(root)):
                mark(root, STROKE if _brushed(root)[0].mode == "SCULPT" else 0.0)


def _is_known(root: Object) -> bool:
    """Whether a stamp has been looked at before; a copy, or one from another file, has not."""
    building = loading.building_if_loaded()
    return building is not None and building.bench_at(root.session_uid) is not None


def _is_shaped(update: Any) -> bool:
    """Whether an edit may change what is drawn: a shape, a place, or what pixels and textures look like."""
    is_grey = isinstance(update.id, bpy.types.Image | bpy.types.Texture)
    return bool(update.is_updated_geometry or update.is_updated_transform or is_grey)


def _brushed(root: Object) -> list[Any]:
    """Return the die of a stamp whose face is sculpted, and its mesh; strokes change neither shape, says the host."""
    die = stamps.part_of(root, "die") if stamps.is_sculptable(root) else None
    return [] if die is None else [die, die.data]


def _watched(root: Object) -> set[Any]:
    """Return everything whose edit changes what a stamp is made from."""
    watched: set[Any] = set()
    for drawn in stamps.drawn_by(root):
        watched.add(drawn)
        watched.add(drawn.data)
    watched.add(root.stampwright.face_image)
    watched.add(root.stampwright.face_texture)
    return watched


@persistent
def _undone(*_about: object) -> None:
    _stop_all()
    building = loading.building_if_loaded()
    if building is not None:
        building.forget_shown()
        # The host keeps what it has read of an image through undoing.
        loading.bridge("impression").read_pictures_again(stamps.all_stamps())
    look_again()


@persistent
def _opened(*_about: object) -> None:
    _due.clear()
    _stop_all()
    _state["rendering"] = False
    building = loading.building_if_loaded()
    if building is not None:
        building.clear_benches()
    look_again(delay=0.5)


@persistent
def _render_begins(*_about: object) -> None:
    _state["rendering"] = True


@persistent
def _render_ends(*_about: object) -> None:
    _state["rendering"] = False
    look_again()


@persistent
def _about_to_save(*_about: object) -> None:
    """Take strokes that were not read yet into the sculpts, so that the file holds them."""
    for root in stamps.all_stamps():
        if stamps.is_sculptable(root) and stamps.is_ours(root):
            try:
                loading.building().keep_strokes(root)
            except StampwrightError as error:
                _say(root, str(error))


_HANDLERS = {
    "save_pre": _about_to_save,
    "depsgraph_update_post": _edited,
    "undo_post": _undone,
    "redo_post": _undone,
    "load_post": _opened,
    "render_init": _render_begins,
    "render_complete": _render_ends,
    "render_cancel": _render_ends,
}


def register() -> None:
    """Enter the handlers."""
    for name, handler in _HANDLERS.items():
        getattr(bpy.app.handlers, name).append(handler)


def unregister() -> None:
    """Take the handlers and the timer back, and stop what is under way."""
    for name, handler in _HANDLERS.items():
        held = getattr(bpy.app.handlers, name)
        if handler in held:
            held.remove(handler)
    if bpy.app.timers.is_registered(_tick):
        bpy.app.timers.unregister(_tick)
    _stop_all()
    _due.clear()

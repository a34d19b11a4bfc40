"""Live: stamps that are marked are built in the background, and shown as they become ready."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any

import bpy

from .. import loading
from ..building import benches
from ..job import changes
from ..job.inks import share
from ..scene import stamps
from ..scene.views import redraw, redraw_sidebars
from ..stampwright.errors import StampwrightError
from . import pacing, scheduler
from .tasks import Work

if TYPE_CHECKING:
    from bpy.types import Depsgraph, Object, Scene

POLL = 0.005
"""Seconds between looks at a build that is under way; the host looks about as often for events."""

SLOW = 0.5
"""Seconds after which a build is worth telling of, and can be stopped with Esc."""

TWO_SIDED = ("rectangle", "ellipse")
"""Forms of the base with a width and a height of their own."""

QUICK = 0.1
"""Seconds; a stamp that was built within this when the same parts were new is shown when it is whole, and so is one
whose rest takes no longer than drawing the first parts would."""

DRAGGING = 0.25
"""Seconds; what is shown sooner after what was shown before is about to change again: its sheet is shown small, and in
full when nothing has changed for as long."""

after_showing: list[Callable[[Object], None]] = []
"""Called with the root of every stamp that has been built and shown."""

STOPPED = "Stopped. Edit anything or press Build Stamp to go on"
"""What is said of a stamp whose build was stopped, until it is built."""


def mark(root: Object, delay: float = 0.0) -> None:
    """Note that a stamp may have to be built anew, ``delay`` seconds from now."""
    held = getattr(root, "stampwright", None)
    if changes.is_quiet() or held is None or held.role != stamps.STAMP or not stamps.is_ours(root):
        return
    if not held.live:
        bench = benches.bench_at(root.session_uid)
        if bench is not None:
            bench.is_behind = True
        return
    _builds.mark(root.session_uid, delay)


def work_of(root: Object) -> Work | None:
    """Return the build that is under way for a stamp, or None."""
    return _builds.work_at(root.session_uid)


def work_at(number: int) -> Work | None:
    """Return the build that is under way for the stamp with a session number, or None."""
    return _builds.work_at(number)


def is_waiting_at(number: int) -> bool:
    """Whether the stamp with a session number is being built, or is to be."""
    return _builds.is_waiting(number)


def message_at(number: int) -> str:
    """Return what stood against the last build of the stamp with a session number, or nothing."""
    bench = benches.bench_at(number)
    return bench.message if bench is not None else ""


def slowest() -> tuple[Object, Work] | None:
    """Return the stamp whose build has been under way for longest, and that build."""
    roots = scheduler.stamps_shown()
    under_way = [(work.seconds, number) for number, work in _builds.under_way().items() if number in roots]
    return (roots[max(under_way)[1]], _builds.under_way()[max(under_way)[1]]) if under_way else None


def is_busy() -> bool:
    """Whether any build is under way, or due in this scene."""
    return _builds.is_busy()


def start(root: Object, *, watched: bool = True) -> Work:
    """Begin to build a stamp in the background, in place of a build that is under way; raises StampwrightError."""
    orders = loading.load("building.orders")
    with _saying(root):
        work = _begin(root, orders.read_order(root, bpy.context.evaluated_depsgraph_get()))
    work.is_watched = watched
    return work


def build_now(root: Object, depsgraph: Depsgraph | None = None) -> Any:
    """Build a stamp and show it before coming back, and return it; raises :class:`StampwrightError`.

    ``depsgraph``: what it is read by, if not what is worked on, as while rendering.
    """
    orders, making = loading.load("building.orders"), loading.load("building.making")
    # Known from here on: reading the scene may tell of edits that are no news.
    bench = benches.bench_of(root)
    _builds.take_off(root.session_uid)
    context = bpy.context
    with _saying(root):
        order = orders.read_order(root, depsgraph or context.evaluated_depsgraph_get())
        stamp = making.make(order, bench.memory)
    _show(root, order, stamp, context.scene)
    return stamp


def forget_shown(root: Object) -> None:
    """Have the next build of a stamp bring back what was changed on its parts by hand."""
    benches.bench_of(root).shown.clear()
    root.stampwright.built = ""


def build_quietly(root: Object, depsgraph: Depsgraph | None = None) -> None:
    """Build a stamp and show it before coming back, as :func:`build_now`; what stands against it its panel says."""
    if root.stampwright.live and stamps.is_ours(root):
        with suppress(StampwrightError):
            build_now(root, depsgraph)


def follow(root: Object) -> None:
    """Have a stamp follow a change, and all of its set: in the background with a window, at once without."""
    for each in (root, *share(root)):
        if bpy.app.background and each.stampwright.live:
            build_now(each)
        else:
            mark(each)


def mark_set(root: Object) -> None:
    """Have the other stamps of a set follow what was set of one; their traps hang on each other."""
    if not changes.is_quiet() and stamps.is_ours(root):
        for other in share(root):
            mark(other)


def catch_up() -> None:
    """Build at once whatever is due, and wait for what is under way; for scripts and for times without a window."""
    for root in list(stamps.stamps_in(bpy.context.scene)):
        if _builds.is_waiting(root.session_uid):
            build_quietly(root)


def stop(root: Object) -> None:
    """Stop what is under way for a stamp; it stays as it is until the next edit."""
    stop_at(root.session_uid)


def stop_at(number: int) -> None:
    """Stop what is under way for the stamp with a session number."""
    if _builds.take_off(number) is not None:
        bench = benches.bench_at(number)
        if bench is not None:
            bench.message = STOPPED
        redraw()


def stop_all() -> None:
    """Stop whatever is under way; what is due stays so."""
    _builds.stop_all()


def halt() -> None:
    """Stop whatever is under way, and forget what is due, as when this file is left."""
    _builds.clear()
    scheduler.go_on()


def look_again(*, delay: float = 0.0) -> None:
    """Have every stamp of the file compared with what it was built from."""
    for root in stamps.all_stamps():
        mark(root, delay)


def is_heedless() -> bool:
    """Whether edits are not to be followed: in a pause, or a block that is quiet."""
    return changes.is_quiet() or scheduler.is_paused()


def say(root: Object, message: str) -> None:
    """Say in the panel of a stamp what stands against building it."""
    benches.bench_of(root).message = message
    redraw()


@contextmanager
def _saying(root: Object) -> Iterator[None]:
    """Say in the panel, too, what stands against building a stamp, which is passed on."""
    try:
        yield
    except StampwrightError as error:
        say(root, str(error))
        raise


@contextmanager
def _surviving(root: Object) -> Iterator[None]:
    """Say in the panel what nobody expects to go wrong: the timer would end, and nothing be followed any more."""
    try:
        yield
    except Exception as error:
        say(root, f"The stamp could not be shown ({type(error).__name__}: {error})")


def _give_proportions(root: Object) -> None:
    """Give a base whose sides nobody has set yet those of the artwork, where its form has two."""
    base, bench = root.stampwright.base, benches.bench_at(root.session_uid)
    stamp = bench.stamp if bench is not None else None
    if base.outline not in TWO_SIDED or base.is_property_set("height") or stamp is None:
        return
    sides = loading.load("stampwright.layout.bases").fitting_sides
    with changes.quiet():
        base.width, base.height = sides(stamp.inked, base.width, root.stampwright.layout.margin)


def _begin(root: Object, order: Any) -> Work:
    """Begin to build a stamp in place of a build that is under way, going on from what that has made."""
    before = _builds.work_at(root.session_uid)
    memory = benches.bench_of(root).memory if before is None else before.memory
    return _builds.put(root.session_uid, Work(order, loading.load("building.making"), memory.copy()))


def _may_begin(number: int) -> bool:
    """Whether a new build may begin: one that has not shown a part yet goes on, lest dragging shows none at all."""
    work = _builds.work_at(number)
    return work is None or work.has_shown


def presses_at_once(root: Object) -> bool:
    """Whether a stamp that is shown now is likely to be pressed sooner than it would be drawn once more.

    In a drag none is pressed.
    """
    bench, held = benches.bench_of(root), root.stampwright
    return held.press_live and not _is_dragged(bench) and bench.took_press <= pacing.worth_waiting()


def _is_dragged(bench: benches.Bench) -> bool:
    """Whether a stamp was shown so shortly ago that it is being dragged.

    Where drawing is slow, edits come no sooner than the host comes round.
    """
    return time.monotonic() - bench.shown_at < DRAGGING + pacing.turn()


def _is_quick(root: Object, seconds: float) -> bool:
    """Whether a stamp that follows edits had enough to show within so many seconds when it was last built."""
    bench = benches.bench_at(root.session_uid)
    took = bench.took_last if bench is not None and root.stampwright.live else None
    return took is not None and (took.first <= seconds or _comes_soon(root, took.whole, drawings=2))


def _take_up(root: Object) -> None:
    try:
        order = loading.load("building.orders").read_order(root, bpy.context.evaluated_depsgraph_get())
        bench = benches.bench_of(root)
        is_shown = bool(bench.shown) and root.stampwright.built == order.shows
        if bench.fingerprint == order.fingerprint and is_shown and work_of(root) is None:
            bench.message = ""
            redraw()
            return
        _begin(root, order)
    except StampwrightError as error:
        say(root, str(error))
    except Exception as error:  # the timer would end on it, and nothing be followed any more
        say(root, f"The artwork could not be read ({type(error).__name__}: {error})")


def _show_progress(root: Object, work: Work) -> None:
    """Show of a build what has become ready since the last look."""
    if work.has_parts and _comes_at_once(root, work):
        # To draw parts before would only draw twice.
        work.go_on(shown=False)
    elif work.has_parts:
        _show_parts(root, work)
    elif work.seconds > SLOW:
        if work.has_news():
            redraw_sidebars()
        _watch(work)


def _show_parts(root: Object, work: Work) -> None:
    """Show the parts that a build has made anew, if it has any, and have it go on."""
    # A file that was opened, a step that was undone, or a copy may show all of it already.
    if work.new and root.stampwright.built != work.order.shows:
        with _surviving(root):
            loading.load("building.showing").show_parts(root, work.memory, bpy.context.scene)
        redraw()
        pacing.drawing_begins()
    work.go_on(shown=bool(work.new))


def _comes_at_once(root: Object, work: Work) -> bool:
    """Whether all of a stamp is there sooner than its first new parts would have been drawn."""
    took = benches.bench_of(root).took.get(work.new)
    return took is not None and (took.whole < QUICK or _comes_soon(root, took.rest, drawings=1))


def _comes_soon(root: Object, seconds: float, *, drawings: int) -> bool:
    """Whether what is there in so many seconds, and the press after it, come sooner than the drawings saved take.

    ``drawings``: how many are saved without the press, which saves one more, and which none waits for in a drag.
    """
    if presses_at_once(root):
        seconds, drawings = seconds + benches.bench_of(root).took_press, drawings + 1
    return seconds <= min(drawings * pacing.worth_waiting(), pacing.LONGEST)


def _take_in(root: Object, work: Work) -> None:
    """Keep what a build has made, and show it."""
    bench = benches.bench_of(root)
    bench.memory, bench.took[work.new] = work.memory, work.took()
    if work.new:
        bench.took_last = work.took()
    is_dragged = _is_dragged(bench)
    try:
        stamp = work.result()
    except StampwrightError as error:
        say(root, str(error))
        return
    with _surviving(root):
        _show(root, work.order, stamp, bpy.context.scene, draft=is_dragged)
    bench.shown_at = time.monotonic()
    if is_dragged and not _builds.is_waiting(root.session_uid):
        _builds.mark(root.session_uid, DRAGGING + pacing.turn())
    redraw()
    pacing.drawing_begins()


def _show(root: Object, order: Any, stamp: Any, scene: Scene, *, draft: bool = False) -> None:
    """Bring the scene up to a stamp, and tell those who go on from there."""
    was_there = root.stampwright.built == order.shows
    loading.load("building.showing").show(root, order, stamp, scene, draft=draft)
    if was_there and not scheduler.is_paused():
        # Nothing was written: what the file, or a step that was done again, holds may have been changed by hand.
        others = loading.load("building.scaling").other_parts(root, bpy.context.evaluated_depsgraph_get())
        if others != benches.bench_of(root).by_hand:
            mark(root)
    for follow_on in after_showing:
        follow_on(root)


def _watch(work: Work) -> None:
    """Tell of a slow build in the window, where Esc stops it; once for each."""
    windows = bpy.context.window_manager.windows
    if not work.is_watched and not bpy.app.background and len(windows):
        work.is_watched = True
        with bpy.context.temp_override(window=windows[0]):
            bpy.ops.stampwright.watch("INVOKE_DEFAULT")  # type: ignore[attr-defined]  # entered by the extension


_builds = scheduler.Queue(
    begin=_take_up,
    attend=_show_progress,
    finish=_take_in,
    may_begin=_may_begin,
    poll=POLL,
    is_quick=_is_quick,
    show_late=_show_parts,
    saves=3,
    begins_with_edits=True,
)
"""The builds of stamps: due, and under way."""


def register() -> None:
    """Follow edits of the job."""
    pacing.register()
    scheduler.serve(_builds)
    changes.form_followers.append(_give_proportions)
    changes.job_followers.append(mark)
    changes.job_followers.append(mark_set)


def unregister() -> None:
    """Follow no more."""
    changes.job_followers.remove(mark_set)
    changes.job_followers.remove(mark)
    changes.form_followers.remove(_give_proportions)
    scheduler.leave(_builds)
    pacing.unregister()

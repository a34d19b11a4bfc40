"""Looking for ways to pass beside Blender, as long as a stamp stays as it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import bpy
from bpy.app.handlers import persistent

from .. import loading
from ..building import benches
from ..building.results import is_behind, stamp_made
from ..live import following, scheduler
from ..live.tasks import LiveTask
from ..scene.views import redraw
from ..stampwright.errors import Cancelled, StampwrightError

if TYPE_CHECKING:
    from bpy.types import Object

POLL = 0.05
"""Seconds between looks at a search that is under way."""


@dataclass
class KnownWays:
    """The ways that were found, for which stamp, and what stood against looking for them."""

    ways: Any = None
    stamp: Any = None
    message: str = ""


class WaysTask(LiveTask):
    """One search for what would make a stamp pass."""

    failed = "No ways could be looked for"

    def __init__(self, root: Object) -> None:
        stamp, bench = stamp_made(root), benches.bench_of(root)
        if stamp is None or is_behind(root):
            raise StampwrightError("The stamp is not built as it is now: build it first")
        orders, making = loading.load("building.orders"), loading.load("building.making")
        graph = bpy.context.evaluated_depsgraph_get()
        order = orders.with_cuts(orders.read_order(root, graph), root, graph)
        memory = bench.memory.copy()
        super().__init__(lambda tell: making.ways_for(order, memory, tell))
        self.stamp = stamp


_known: dict[int, KnownWays] = {}


def ways_of(root: Object) -> Any:
    """Return the ways that were found for a stamp as it is, or None where nobody has looked."""
    known = _known.get(root.session_uid)
    is_current = known is not None and known.stamp is stamp_made(root) and not is_behind(root)
    return known.ways if known is not None and is_current else None


def work_at(number: int) -> WaysTask | None:
    """Return the search that is under way for the stamp with a session number, or None."""
    return _searches.work_at(number)


def message_at(number: int) -> str:
    """Return what stood against the last search for the stamp with a session number, or nothing."""
    return _known[number].message if number in _known else ""


def stop_at(number: int) -> None:
    """Stop the search for the stamp with a session number."""
    _searches.take_off(number)


def start(root: Object) -> WaysTask:
    """Begin to look for ways beside Blender; raises :class:`StampwrightError`."""
    return _searches.put(root.session_uid, WaysTask(root))


def look_now(root: Object) -> Any:
    """Look for ways before coming back, and return them; raises :class:`StampwrightError`."""
    _searches.do_now(root, WaysTask(root))
    known = _known[root.session_uid]
    if known.message:
        raise StampwrightError(known.message)
    return known.ways


def _attend(root: Object, _work: WaysTask) -> None:
    """Make way for a build: what it makes is another stamp."""
    if following.work_of(root) is not None:
        stop_at(root.session_uid)


def _take_in(root: Object, work: WaysTask) -> None:
    try:
        _known[root.session_uid] = KnownWays(work.result(), work.stamp)
    except Cancelled:
        return
    except StampwrightError as error:
        _known[root.session_uid] = KnownWays(None, work.stamp, str(error))
    redraw()


def _begin(_root: Object) -> None:
    """Begin nothing by itself: ways are looked for when that is asked for."""


def _may_begin(_number: int) -> bool:
    return False


_searches = scheduler.Queue(begin=_begin, attend=_attend, finish=_take_in, may_begin=_may_begin, poll=POLL)
"""The searches that are under way."""


@persistent
def _opened(*_about: object) -> None:
    _searches.clear()
    _known.clear()


def register() -> None:
    """Serve the searches."""
    scheduler.serve(_searches)
    bpy.app.handlers.load_pre.append(_opened)


def unregister() -> None:
    """Stop what is under way, and forget what was found."""
    bpy.app.handlers.load_pre.remove(_opened)
    scheduler.leave(_searches)
    _opened()

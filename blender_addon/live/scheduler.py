"""One timer of the host's serves all that is done beside Blender: what is due is begun, what is ready is shown."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Generic, TypeVar

import bpy

from ..scene import stamps
from ..scene.views import scenes_shown, where_it_is
from . import pacing
from .tasks import LiveTask

if TYPE_CHECKING:
    from bpy.types import Object

T = TypeVar("T", bound=LiveTask)

GLANCE = 0.002
"""Seconds between looks at a task that is waited for."""

ELSEWHERE = 0.5
"""Seconds between looks at whether a scene with stamps that are due has come back to the window, or rendering ended."""


@dataclass(eq=False)
class Queue(Generic[T]):
    """Work of one sort, such as building: which stamps it is due for, and what is under way, one task a stamp.

    The numbers are the session numbers of stamps' roots.
    """

    begin: Callable[[Object], None]
    """Called for a stamp that is due; puts a task under way if there is anything to do."""

    attend: Callable[[Object, T], None]
    """Called at each look at a task that goes on."""

    finish: Callable[[Object, T], None]
    """Called with a task that has ended, when it is under way no more."""

    may_begin: Callable[[int], bool]
    """Whether the next task for a stamp may begin."""

    poll: float
    """Seconds between looks at a task that is under way."""

    is_quick: Callable[[Object, float], bool] = lambda _root, _seconds: False
    """Whether a task for a stamp is likely to show something so soon that a drawing is to wait for it.

    The seconds are what it may wait for each further drawing that this saves.
    """

    saves: int = 1
    """How many drawings are saved at most by waiting for all that a task has to show."""

    begins_with_edits: bool = False
    """Whether tasks follow edits themselves, not what other tasks have shown."""

    show_late: Callable[[Object, T], None] = lambda _root, _work: None
    """Called with a task that has been waited for long enough, and goes on."""

    _due: dict[int, float] = field(default_factory=dict)
    _works: dict[int, T] = field(default_factory=dict)

    def mark(self, number: int, delay: float = 0.0) -> None:
        """Note that a stamp is due ``delay`` seconds from now.

        Even without delay the host comes to it only in its next turn, when all edits of this one are there.
        """
        self._due[number] = time.monotonic() + delay
        _wake(delay)

    def put(self, number: int, work: T) -> T:
        """Begin a task for a stamp, in place of the one under way, which is stopped, and return it."""
        before = self._works.get(number)
        if before is not None:
            before.stop()
        self._works[number] = work
        work.begin()
        _wake(self.poll)
        return work

    def do_now(self, root: Object, work: T) -> None:
        """Do a task for a stamp before coming back, in place of the one under way or due, and finish it."""
        self.take_off(root.session_uid)
        work.begin()
        work.wait()
        self.finish(root, work)

    def work_at(self, number: int) -> T | None:
        """Return the task that is under way for a stamp, or None."""
        return self._works.get(number)

    def under_way(self) -> dict[int, T]:
        """Return all tasks that are under way."""
        return dict(self._works)

    def take_off(self, number: int) -> T | None:
        """Stop what is under way for a stamp and forget that it is due; return the task that was stopped, or None."""
        self._due.pop(number, None)
        work = self._works.pop(number, None)
        if work is not None:
            work.stop()
        return work

    def stop_all(self) -> None:
        """Stop whatever is under way; what is due stays so."""
        for work in self._works.values():
            work.stop()
        self._works.clear()

    def clear(self) -> None:
        """Stop whatever is under way, and forget what is due."""
        self.stop_all()
        self._due.clear()

    @property
    def has_work(self) -> bool:
        """Whether anything is due or under way."""
        return bool(self._due or self._works)

    def is_waiting(self, number: int) -> bool:
        """Whether a task is under way, or due, for a stamp."""
        return number in self._due or number in self._works

    def is_busy(self) -> bool:
        """Whether any task is under way, or due in a scene that is shown."""
        return bool(self._works) or bool(self._due.keys() & stamps_shown().keys())

    def look(self, roots: dict[int, Object], patience: float = 0.0) -> float | None:
        """Take up what is due of the stamps that are shown, by number, and show what is ready; return when to go on.

        What is in no scene that is shown is stopped, and due again when its scene is looked at; what is nowhere any
        more is forgotten. ``patience``: seconds that are waited for each drawing that is saved, if what is due is
        quick and what it follows is not drawn yet.
        """
        now = time.monotonic()
        for number in list(self._works):
            if number in roots:
                self._look_at(number, roots[number])
            else:
                self._works.pop(number).stop()
                self._due[number] = now
        away = self._due.keys() - roots.keys()
        for number in away - {root.session_uid for root in stamps.all_stamps()} if away else ():
            del self._due[number]
        hurried = {}
        for number, root in roots.items():
            if self._due.get(number, math.inf) <= now and self.may_begin(number):
                if not pacing.is_drawn_since(self._due.pop(number)) and self.is_quick(root, patience):
                    hurried[number] = root
                with where_it_is(root):
                    self.begin(root)
        self._wait_for(hurried, now + min(self.saves * patience, pacing.LONGEST))
        if self._works:
            return self.poll
        here = [when for number, when in self._due.items() if number in roots]
        return max(min(here) - now, self.poll) if here else ELSEWHERE if self._due else None

    def _look_at(self, number: int, root: Object) -> None:
        """Show what is ready of a task that is under way."""
        work = self._works[number]
        with where_it_is(root):
            if work.is_done:
                del self._works[number]
                self.finish(root, work)
            else:
                self.attend(root, work)

    def _wait_for(self, roots: dict[int, Object], until: float) -> None:
        """Come back when tasks for stamps, by number, have shown what they have first, or at a moment."""
        waiting = [number for number in roots if number in self._works]
        if not waiting:
            return
        while waiting and time.monotonic() < until:
            if self._works[waiting[-1]].is_ready:
                number = waiting.pop()
                self._look_at(number, roots[number])
                if number in self._works and not self._works[number].has_shown:
                    # It shows no part before all is there.
                    waiting.append(number)
            else:
                time.sleep(GLANCE)
        for number in waiting:
            with where_it_is(roots[number]):
                self.show_late(roots[number], self._works[number])
        pacing.host_goes_on()


_queues: list[Queue[Any]] = []
_state: dict[str, Any] = {"paused": False, "next": 0.0, "hurries": False}
"""``hurries``: whether there are stamps that are quicker to build than the host draws, so that edits are awaited."""


def stamps_shown() -> dict[int, Object]:
    """Return the roots of the stamps in every scene that a window shows, by their session numbers."""
    return {root.session_uid: root for scene in scenes_shown() for root in stamps.stamps_in(scene)}


def serve(queue: Queue[Any]) -> None:
    """Serve a queue from now on, after those that are served already."""
    _queues.append(queue)


def leave(queue: Queue[Any]) -> None:
    """Serve a queue no more: what is under way is stopped; without a queue the timer is taken back."""
    queue.clear()
    _queues.remove(queue)
    if not _queues:
        _rest()
        _state["paused"] = _state["hurries"] = False


def pause() -> None:
    """Take up nothing, and show nothing, until :func:`go_on`."""
    _state["paused"] = True


def go_on() -> None:
    """End a pause."""
    _state["paused"] = False


def is_paused() -> bool:
    """Whether nothing is taken up now."""
    return bool(_state["paused"])


def tick() -> float | None:
    """Take up what is due and show what is ready, and return in how many seconds to look again; a timer of the host."""
    pacing.host_calls()
    wait = _look()
    if pacing.is_drawing():
        # The next call tells how long that takes.
        wait = 0.0
    elif wait == 0.0:
        # The host may come round many thousand times a second, and tasks have Python only while it does not.
        time.sleep(GLANCE)
    _state["next"] = time.monotonic() + (wait or 0.0)
    return wait


def _look() -> float | None:
    # The scene is not to be changed while it is rendered.
    if _state["paused"] or bpy.app.is_job_running("RENDER"):
        return ELSEWHERE
    if _state["hurries"]:
        # Called before the host evaluates and draws what was edited, so that edits are noticed now.
        bpy.context.evaluated_depsgraph_get()
        if not any(queue.has_work for queue in _queues):
            return 0.0
    roots = stamps_shown()
    patience = pacing.worth_waiting()
    waits = [queue.look(roots, patience) for queue in _queues]
    first = [queue for queue in _queues if queue.begins_with_edits]
    _state["hurries"] = any(queue.is_quick(root, patience) for root in roots.values() for queue in first)
    return 0.0 if _state["hurries"] else min((wait for wait in waits if wait is not None), default=None)


def _wake(delay: float) -> None:
    """Have the host's timer call in ``delay`` seconds, if it does not sooner."""
    if bpy.app.background:
        return
    when = time.monotonic() + delay
    if bpy.app.timers.is_registered(tick):
        if _state["next"] <= when:
            return
        _rest()
    _state["next"] = when
    bpy.app.timers.register(tick, first_interval=delay)


def _rest() -> None:
    if bpy.app.timers.is_registered(tick):
        bpy.app.timers.unregister(tick)

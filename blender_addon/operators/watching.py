"""Watching a task that goes on while the window is free: how far it is, Esc, and how it ended."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..live import following
from ..stampwright.errors import Cancelled, StampwrightError
from ..stampwright.looks.numbers import percent
from ..translations import said, translated
from .base import OperatorPart, refused

if TYPE_CHECKING:
    from collections.abc import Callable

    from bpy.types import Context, Object

    from ..live.tasks import LiveTask


class Watching(OperatorPart):
    """Tells how far a stamp's task is, and stops it on Esc; everything else passes.

    ``room``: where tasks of its sort are under way. ``writes``: whether files come of it, so that it has to be told how
    it ended also after Esc: they may be whole by then.
    """

    room: Any = following
    writes = False

    def watch(self, context: Context, root: Object | None, work: LiveTask) -> set[str]:
        """Begin to watch the task of a stamp, or of none."""
        self._number, self._work = 0 if root is None else root.session_uid, work
        self.tell_how_far(context, work.step, work.share)
        return self.begin_to_watch(context)

    def begin_to_watch(self, context: Context) -> set[str]:
        """Have :meth:`modal` called from now on, also when nothing happens."""
        manager = context.window_manager
        self._timer = manager.event_timer_add(0.05, window=context.window)
        manager.progress_begin(0, 100)
        manager.modal_handler_add(self)
        return {"RUNNING_MODAL"}

    def modal(self, context: Context, event: Any) -> set[str]:
        """Tell how far it is; stop on Esc."""
        is_over = self.room.work_at(self._number) is not self._work
        if event.type == "ESC" and event.value == "PRESS" and not is_over:
            if self.writes:
                self._work.stop()
                return {"PASS_THROUGH"}
            self.room.stop_at(self._number)
            return self._end(context, {"CANCELLED"})
        if event.type == "TIMER":
            # No other event may end it: that would reach nobody else, and a brush waits for its button's release.
            if is_over:
                return self._end(context, self.ended())
            self.tell_how_far(context, self._work.step, self._work.share)
        return {"PASS_THROUGH"}

    def ended(self) -> set[str]:
        """Return how it came out."""
        return {"FINISHED"}

    def ended_with(self, tell: Callable[[Any], None]) -> set[str]:
        """Return how a task came out that has files to tell of, or say in one line what stood against it."""
        try:
            tell(self._work.result())
        except Cancelled as stopped:
            self.report({"INFO"}, said(str(stopped)))
            return {"CANCELLED"}
        except StampwrightError as error:
            return refused(self, str(error))
        return {"FINISHED"}

    def tell_how_far(self, context: Context, step: str, share: float) -> None:
        """Show which step it is at, and which share of the whole is done."""
        context.window_manager.progress_update(int(100 * share))
        told = translated("Stamp: {step} ({share})   Esc: Stop")
        context.workspace.status_text_set(told.format(step=translated(step.capitalize()), share=percent(share)))

    def _end(self, context: Context, done: set[str]) -> set[str]:
        context.window_manager.event_timer_remove(self._timer)
        context.window_manager.progress_end()
        context.workspace.status_text_set(None)
        return done

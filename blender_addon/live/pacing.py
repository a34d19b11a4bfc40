"""Pacing: how long the host takes to draw, which decides what is worth waiting for and what a drawing of its own."""

from __future__ import annotations

import math
import time
from statistics import median
from typing import Any

import bpy

LONGEST = 1.5
"""Seconds that an edit is kept waiting at most, however long drawing takes."""

WORTH = 2.0
"""What a drawing that is saved counts for, in times that one takes: by software it takes all processors, so that what
goes on beside it comes later by as much."""

HIDDEN = 1.0
"""Seconds after which no drawing is to come: no viewport is open, or another window hides it."""

FORGOTTEN = {"begun": math.inf, "drawn": -math.inf, "turns": (0.0, 0.0, 0.0)}

_state: dict[str, Any] = {**FORGOTTEN}
_handles: list[Any] = []


def drawing_begins() -> None:
    """Note that the host goes on to draw what has changed; in the background it draws nothing."""
    if _handles:
        _state["begun"] = time.monotonic()


def host_calls() -> None:
    """Note that the host has come round, if it has drawn meanwhile."""
    if _state["drawn"] >= _state["begun"]:
        _state["turns"] = (*_state["turns"][1:], time.monotonic() - _state["begun"])
        _state["begun"] = math.inf
    elif time.monotonic() - _state["begun"] > HIDDEN:
        _state["begun"] = math.inf


def host_goes_on() -> None:
    """Note that the host goes on only now: for how long its drawing was put off says nothing of how long it takes."""
    if is_drawing():
        _state["begun"] = time.monotonic()


def is_drawing() -> bool:
    """Whether the host has not come round yet since it went on to draw."""
    return bool(_state["begun"] < math.inf)


def is_drawn_since(moment: float) -> bool:
    """Whether the host has drawn since a moment, on the clock that only goes forward."""
    return bool(_state["drawn"] >= moment)


def turn() -> float:
    """Return how long the host takes to draw and come round, s; what held it up just once does not count."""
    return float(median(_state["turns"]))


def worth_waiting() -> float:
    """Return the seconds by which a drawing may be put off for each further one that this saves.

    What follows an edit would have all be drawn once more. Playback is not put off.
    """
    if any(window.screen.is_animation_playing for window in bpy.context.window_manager.windows):
        return 0.0
    return WORTH * turn()


def _drawn() -> None:
    _state["drawn"] = time.monotonic()


def register() -> None:
    """Be told of every drawing of a viewport."""
    if not bpy.app.background:
        _handles.append(bpy.types.SpaceView3D.draw_handler_add(_drawn, (), "WINDOW", "PRE_VIEW"))


def unregister() -> None:
    """Be told no more, and forget how long drawing took."""
    while _handles:
        bpy.types.SpaceView3D.draw_handler_remove(_handles.pop(), "WINDOW")
    _state.update(FORGOTTEN)

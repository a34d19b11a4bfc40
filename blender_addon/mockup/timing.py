"""How long rendering takes: assumed at first, then learnt from every picture and kept from one session to the next."""

from __future__ import annotations

import json
import os
import time
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import bpy

from ..loading import EXTENSION

SAMPLES = {"LOOK": 16, "SCREEN": 32, "PRINT": 128}
"""Rays to a pixel in Cycles, and samples in EEVEE, at each quality; what noise is left is smoothed away."""

ASSUMED: dict[str, float] = {"CYCLES": 5e-6 / (os.cpu_count() or 1), "EEVEE": 5e-8}
"""Seconds to a ray in a pixel where nothing was measured: an ordinary server's cores, and a modest graphics card."""

READY = 3.0
"""Seconds to get ready where nothing was measured."""

SMOOTHING = 6
"""What smoothing the noise of a pixel takes, in rays (measured on the same)."""

MOSTLY_READY = 0.6
"""Getting ready is taken for no more than this share of a picture's time."""

COMPILES = "The first picture on a graphics card gets its programs ready first: some minutes, once"
"""What is said before that."""

NEWER = 0.7
"""How much a new picture's speed counts beside what was known; the first one counts alone."""


@dataclass(frozen=True)
class Effort:
    """What goes into a picture: its engine and quality, width and height in pixels."""

    engine: str
    quality: str
    width: int
    height: int

    @property
    def rays(self) -> int:
        """Rays in the whole picture."""
        return (SAMPLES[self.quality] + SMOOTHING) * self.width * self.height


@dataclass(frozen=True)
class Estimate:
    """How long rendering will take, s; ``measured`` here, or reckoned from a usual speed."""

    seconds: float
    measured: bool

    def __str__(self) -> str:
        """Say it in words, no finer than it is known."""
        if self.seconds < 90.0:
            told = f"{max(round(self.seconds / 5.0) * 5, 5)} s"
        elif self.seconds < 5400.0:
            told = f"{round(self.seconds / 60.0)} min"
        else:
            told = f"{self.seconds / 3600.0:.1f} h"
        return f"about {told}" if self.measured else f"perhaps {told}"


@dataclass(frozen=True)
class Speed:
    """Seconds to get ready, and for one ray in one pixel."""

    ready: float
    ray: float


def effort_of(held: Any, **instead: Any) -> Effort:
    """Return what a stamp's settings put into a picture, with some of it ``instead``."""
    return replace(Effort(held.engine, held.quality, held.width, held.height), **instead)


def estimate(effort: Effort, frames: int = 1) -> Estimate:
    """Return how long a picture, or a film of so many frames, will take."""
    known = _known().get(_drawn_by(effort.engine))
    speed = known or Speed(READY, ASSUMED[effort.engine])
    return Estimate(frames * (speed.ready + speed.ray * effort.rays), known is not None)


def is_first_use(engine: str) -> bool:
    """Whether an engine compiles before its next picture: it runs on a graphics card, and never has on this one."""
    return _drawn_by(engine) not in _known() and (engine == "EEVEE" or has_graphics_device())


def begin(effort: Effort, frames: int) -> None:
    """Note that a picture, or a film, is about to be rendered."""
    _going["now"] = (effort, frames, is_first_use(effort.engine), time.perf_counter())


def started() -> None:
    """Count from here: the host begins only now."""
    if "now" in _going:
        _going["now"] = (*_going["now"][:3], time.perf_counter())


def ended() -> None:
    """Learn from what was rendered how quick this machine is."""
    going = _going.pop("now", None)
    if going is not None:
        effort, frames, was_first, began = going
        learn(effort, frames, time.perf_counter() - began, compiled=was_first)


def given_up() -> None:
    """Learn nothing: rendering was stopped."""
    _going.pop("now", None)


def learn(effort: Effort, frames: int, seconds: float, *, compiled: bool = False) -> None:
    """Take the time of a picture, or a film, into estimates.

    ``compiled``: the engine got its programs ready first, which takes minutes and happens once. What of the time that
    was is not known; all that is over the assumed is taken for it.
    """
    each = seconds / frames
    known = _known().get(_drawn_by(effort.engine))
    ready = min(known.ready if known is not None else READY, MOSTLY_READY * each)
    ray = (each - ready) / effort.rays
    if compiled:
        ready, ray = min(READY, MOSTLY_READY * each), min(ray, ASSUMED[effort.engine])
    elif known is not None:
        ray = NEWER * ray + (1.0 - NEWER) * known.ray
    keep_speed(effort.engine, Speed(ready, ray))


def keep_speed(engine: str, speed: Speed) -> None:
    """Keep how quick an engine is here, also for later sessions, where the host lets extensions keep files."""
    _known()[_drawn_by(engine)] = speed
    path = _file(create=True)
    if path is not None:
        held = {name: [each.ready, each.ray] for name, each in _known().items()}
        try:
            path.write_text(json.dumps(held, indent=1), encoding="utf-8")
        except OSError:
            # A disk that is full or closed to us: estimates hold for this session.
            return


def forget() -> None:
    """Read again what is kept when it is next asked for."""
    _kept.clear()


def has_graphics_device() -> bool:
    """Whether the user's preferences hold a graphics device that Cycles may use."""
    chosen = _cycles()
    return chosen is not None and bool(chosen.has_active_device())


def _cycles() -> Any:
    addon = bpy.context.preferences.addons.get("cycles")
    return addon.preferences if addon is not None else None


def _drawn_by(engine: str) -> str:
    """Return what draws pictures: the engine, where it runs, and the host's version, each of which makes it another."""
    place = "processor"
    if engine == "EEVEE":
        place = "graphics card"
    elif has_graphics_device():
        place = str(_cycles().compute_device_type)
    return f"{engine} {place} {bpy.app.version_string}"


def _known() -> dict[str, Speed]:
    if "speeds" not in _kept:
        _kept["speeds"] = _read(_file(create=False))
    return _kept["speeds"]


def _read(path: Path | None) -> dict[str, Speed]:
    """Return the speeds that a file keeps; what is no such file holds none."""
    try:
        held = json.loads(path.read_text(encoding="utf-8")) if path is not None else {}
        return {str(name): Speed(float(ready), float(ray)) for name, (ready, ray) in held.items()}
    except (OSError, ValueError, TypeError, AttributeError):
        return {}


def _file(*, create: bool) -> Path | None:
    """Return where speeds are kept, or None where extensions have no folder of their own."""
    try:
        folder = bpy.utils.extension_path_user(EXTENSION, create=create)
    except (ValueError, OSError):
        return None
    return Path(folder) / "rendering.json" if folder else None


_kept: dict[str, dict[str, Speed]] = {}
_going: dict[str, tuple[Effort, int, bool, float]] = {}

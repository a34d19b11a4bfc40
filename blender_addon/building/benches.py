"""What is known of each stamp while the program runs; loads nothing heavy."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any, NamedTuple

from .. import loading

if TYPE_CHECKING:
    from bpy.types import Object

    from ..stampwright.findings import Finding
    from ..stampwright.memory import Memory
    from ..stampwright.stamp import Stamp
    from .orders import BuildOrder


class Remembering:
    """Has a memory of what was made, from when it is first asked for: it needs the core's libraries."""

    @cached_property
    def memory(self) -> Memory:
        """What was made; raises :class:`LibraryMissing`."""
        empty: Memory = loading.load("stampwright.memory").Memory()
        return empty


@dataclass(frozen=True)
class Took:
    """How long a build worked, s: until the first of its new parts was there, and until all was."""

    first: float
    whole: float

    @property
    def rest(self) -> float:
        """What it took from the first part to all of it."""
        return self.whole - self.first


class OtherPart(NamedTuple):
    """A part that the scene has otherwise than it is made: changed, or only ``shown`` so by what hangs on it."""

    name: str
    shown: bool


@dataclass
class Bench(Remembering):
    """What is known about one stamp while the program runs: what was made, from what, and what stood against it.

    ``fingerprint`` and ``shows``: those of the order that it was made from. ``is_behind``: it has been edited since,
    and that is not followed. ``stood_at``: the scale that it was read at, ``there``: which objects that it is drawn
    with were shown then, ``by_hand``: which parts were shown otherwise than they are made, and ``read_last``: what was
    read. ``took``: how long the last build beside Blender took, by the parts that were new in it, and ``took_last``:
    the last that made any anew; ``took_press``: how long the last quick trial took, s; ``shown_at``: when it was shown
    last, on the clock that only goes forward. ``is_held_up``: a part of it was in edit mode when it should have been
    built or shown.
    """

    stamp: Stamp | None = None
    fingerprint: str = ""
    shows: str = ""
    shown: dict[str, Any] = field(default_factory=dict)
    settled: tuple[Finding, ...] = ()
    read: str = ""
    message: str = ""
    is_behind: bool = False
    stood_at: tuple[float, ...] = ()
    there: tuple[tuple[bool, ...], ...] = ()
    by_hand: tuple[OtherPart, ...] = ()
    read_last: BuildOrder | None = None
    took: dict[frozenset[str], Took] = field(default_factory=dict)
    took_last: Took | None = None
    took_press: float = math.inf
    shown_at: float = -math.inf
    is_held_up: bool = False


_BENCHES: dict[int, Bench] = {}


def bench_of(root: Object) -> Bench:
    """Return what is known about a stamp."""
    return _BENCHES.setdefault(root.session_uid, Bench())


def bench_at(number: int) -> Bench | None:
    """Return what is known about the stamp with a session number, or None."""
    return _BENCHES.get(number)


def clear_benches() -> None:
    """Forget all stamps, as when another file is opened."""
    _BENCHES.clear()


def forget_shown() -> None:
    """Forget what the meshes show, as when undoing has changed them; what was made is kept."""
    for bench in _BENCHES.values():
        bench.shown.clear()
        bench.read = ""

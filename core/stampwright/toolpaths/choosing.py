"""Which of the things on a plate is the die, what it stands on, what stands round it and beside it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from ..errors import ToolpathError
from ..findings import Finding
from .expected import Expected
from .laid.flow import Flow, flow_of, made_to_fit
from .laid.plate import LaidLayer, Thing
from .laid.standing import Raft, is_around, is_same_die, is_tower, without_raft, without_walls

FACE_DOWN = 1.1
"""How many times larger the top of a thing is than its bottom, from which on its face lies on the bed."""

LESS = 0.95
"""Share of its bottom that a die has at its top, at most: the rest is paper."""

THINNEST, THICKEST = 0.03, 2.0
"""Layers that a nozzle lays, mm; thinner or thicker ones are told in another unit."""


@dataclass(frozen=True, eq=False)
class ChosenDie:
    """The die among the things on a plate, and how it is fed.

    ``thing``: the die itself, as if it were fed right. ``raft``: what it stands on. ``walls``: layers of a wall round
    it that lay so near that it counted as one with it. ``others``: all else that stands there.
    """

    thing: Thing
    flow: Flow | None
    raft: Raft | None
    walls: int
    others: tuple[Thing, ...]

    @property
    def dies(self) -> int:
        """How many others are as high and as large as the die."""
        return sum(is_same_die(thing, self.thing) for thing in self.others)

    @property
    def around(self) -> tuple[Thing, ...]:
        """What stands round the die."""
        return tuple(thing for thing in self.others if is_around(thing, self.thing))

    @property
    def towers(self) -> tuple[Thing, ...]:
        """What is the same in every layer, as what nozzles are wiped on is."""
        return tuple(thing for thing in self.others if _is_part(thing, self.thing) and is_tower(thing, self.thing))

    @property
    def parts(self) -> tuple[Thing, ...]:
        """What is neither of these, nor primed lines or a skirt of a few layers."""
        known = {id(thing) for thing in (*self.around, *self.towers)}
        return tuple(
            thing
            for thing in self.others
            if id(thing) not in known and not is_same_die(thing, self.thing) and _is_part(thing, self.thing)
        )


def choose_die(things: tuple[Thing, ...], expected: Expected | None) -> ChosenDie:
    """Return the thing that is the die, without its raft and walls round it.

    Raises :class:`~stampwright.errors.ToolpathError` when its layers are none that a nozzle lays.
    """
    height, area = (None, None) if expected is None else (expected.height, expected.base.area)
    stood = [(part, raft) for thing in things for parts, raft in [without_raft(thing, height, area)] for part in parts]
    at = _likeliest([thing for thing, _raft in stood], expected)
    thing, raft = stood[at]
    if not THINNEST <= thing.pitch <= THICKEST:
        unit = "inches and the file not to say so (G20)" if thing.pitch < THINNEST else "mm, and the file says inches"
        raise ToolpathError(
            f"layers of {thing.pitch:.3g} mm are none: its numbers seem to be {unit}; slice in mm (G21)"
        )
    flow = flow_of(thing)
    thing = made_to_fit(thing, flow) if flow is not None and flow.is_wrong else thing
    floor = floor_of(thing.layers, down=lies_face_down(thing))
    thing, walls = without_walls(thing, floor, alone=expected is not None)
    if len(thing.layers) < 2:
        raise ToolpathError("nothing in it stands two layers high; is it the G-code of a stamp's die?")
    return ChosenDie(thing, flow, raft, walls, tuple(part for part, _raft in stood[:at] + stood[at + 1 :]))


def _likeliest(things: list[Thing], expected: Expected | None) -> int:
    """Return the place of the die: as high and broad as the job's, or the largest that has less at the top."""
    if expected is None:
        return next((at for at, thing in enumerate(things) if _top_share(thing) < LESS), 0)
    size = math.sqrt(expected.base.area)

    def off(at: int) -> float:
        thing = things[at]
        left, front, right, back = thing.layers[len(thing.layers) // 4].bounds
        broad = math.sqrt(max((right - left) * (back - front), 1e-6)) / size
        return abs(thing.layers[-1].top / expected.height - 1) + abs(broad - 1)

    return min(range(len(things)), key=off)


def lies_face_down(thing: Thing) -> bool:
    """Whether a thing is broader at its top than on the bed."""
    return _top_share(thing) > FACE_DOWN


def _top_share(thing: Thing) -> float:
    """Return what is laid in the last layer as a share of what is in the first two, by what lies there per height."""
    top, *bottom = (layer.volume / layer.height for layer in (thing.layers[-1], *thing.layers[:2]))
    return top / max(bottom)


def floor_of(layers: tuple[LaidLayer, ...], *, down: bool) -> int:
    """Return the place of the layer that shows the die's outline: the broadest of the half away from the face.

    What lies on the bed is left out: it may have a brim. A foot may be chamfered over several layers.
    """
    half = max(2, len(layers) // 2)
    among = range(len(layers) - half, len(layers)) if down else range(1, half)

    def broad(at: int) -> float:
        left, front, right, back = layers[at].bounds
        return round((right - left) * (back - front), 2)

    return max(among, key=broad)


def _is_part(thing: Thing, die: Thing) -> bool:
    """Whether a thing on the plate is more than primed lines or a skirt of a few layers."""
    return len(thing.layers) >= 4 and thing.volume >= 0.1 * die.volume


def tell_chosen(chosen: ChosenDie) -> Iterator[Finding]:
    """Yield what the die stands on, and what stands round it and beside it."""
    if chosen.raft is not None:
        yield _note(
            "raft to peel off",
            f"The die stands on a raft of {chosen.raft.layers} layers, {chosen.raft.height:.2f} mm high; what follows "
            "is counted from above that",
            "Peel the raft off, or print without it: over a raft the floor, which is glued, comes out rough",
            chosen.raft.height,
        )
    walls = max([chosen.walls, *(len(thing.layers) for thing in chosen.around)])
    if walls:
        yield _note(
            "wall round the die",
            f"{walls} layers of a wall stand round the die, not joined to it: a skirt or a shield",
            "Take it off the bed; nothing of it is the die's",
            float(walls),
        )
    if chosen.towers:
        left, front, right, back = chosen.towers[0].layers[-1].bounds
        yield _note(
            "purge tower",
            f"Beside the die stands what is the same in every layer, {right - left:.0f} x {back - front:.0f} mm: a "
            "tower that nozzles are wiped on",
            "Leave it out where one filament is laid: it costs time and filament",
            right - left,
        )
    if chosen.dies:
        yield _note(
            "more dies",
            f"{chosen.dies + 1} things as high and as large as the die stand on the plate; one of them is looked at",
            "Look at each alone where they are of different stamps",
            float(chosen.dies + 1),
        )


def _note(kind: str, message: str, remedy: str, measured: float) -> Finding:
    return Finding(kind=kind, severity="notes", stage="build", message=message, remedy=remedy, measured=measured)

"""What hands can push: published forces, each with its posture."""

from __future__ import annotations

from dataclasses import dataclass

from ...job.sections.parts import HandleSection
from ...looks.numbers import newtons


@dataclass(frozen=True)
class HandForce:
    """A push that people can give: ``newtons``, in a ``posture``, as published in ``source``; ``note`` qualifies it."""

    newtons: float
    posture: str
    source: str
    note: str = ""

    def __str__(self) -> str:
        """Say it in a sentence, but for the source."""
        stance, _, rest = self.posture.partition(", ")
        how = "; ".join(part for part in (rest, self.note) if part)
        return f"{stance[:1].upper()}{stance[1:]}, a hand should push with {newtons(self.newtons)} at most ({how})"


# Eastman Kodak Company, Ergonomic Design for People at Work: recommended upper limits of horizontal push and pull.
_PUSH_TABLE = "a published push and pull table"

STANDING_PALM = HandForce(
    110.0,
    "standing, arm and shoulder, arm stretched out; handle broad enough for the palm",
    _PUSH_TABLE,
    "a horizontal push, not to be exceeded",
)
SEATED_PALM = HandForce(
    37.5,
    "seated, one arm pushing down, over and over",
    "EN 1005-3, table 1: 75 N, times the recommended 0.5 (from memory)",
)
FINGERS = HandForce(
    33.6,
    "holding between thumb and fingers, more than once in 30 s",
    "FAA Human Factors Design Standard 14.5.2.1: 48 N for a moment, less 30 % for repeating",
    "5th percentile of men",
)
FINGERTIPS = HandForce(
    33.6,
    "pressing down with the fingers",
    FINGERS.source,
    "assumed: as much as they hold with",
)
PALM_ON_SHEET = HandForce(
    SEATED_PALM.newtons,
    "seated, pressing down with the flat hand, over and over",
    SEATED_PALM.source,
)
WHOLE_BODY = HandForce(
    225.0,
    "standing, leaning on it with the whole body",
    _PUSH_TABLE,
    "a horizontal push, for once, not for work",
)

HAND_FORCES = (FINGERS, SEATED_PALM, STANDING_PALM, WHOLE_BODY)
"""Published pushes, weakest first."""

PALM_WIDTH = 32.0
"""Across a handle from which on the palm can push, mm: the least of a power grip (a safety council's table)."""


def hand_force(grip_width: float) -> HandForce:
    """Return the push that a brief press with this handle may ask for: the palm's, or the fingers' on a slim one.

    ``grip_width``: across the part that is held, mm.

    >>> hand_force(34.0).newtons, hand_force(12.0).newtons
    (110.0, 33.6)
    """
    return STANDING_PALM if grip_width >= PALM_WIDTH else FINGERS


def handle_force(handle: HandleSection, across: float) -> HandForce:
    """Return the most that a hand should push with a handle; without one, fingers or palm press on what there is.

    ``across``: the shorter side of die and backing, mm.
    """
    if handle.form == "none":
        return PALM_ON_SHEET if across >= PALM_WIDTH else FINGERTIPS
    return hand_force(held_width(handle, across))


def held_width(handle: HandleSection, across: float) -> float:
    """Return how wide the part is that the hand holds, mm; ``across``: the shorter side of what it stands on, mm."""
    match handle.form:
        case "none":
            return across
        case "block":
            return min(handle.grip_width, across)
        case "turned":
            return 2.0 * max(radius for radius, _ in handle.profile)
        case "straight":
            rightward, upward = ([point[axis] for point in handle.outline] for axis in (0, 1))
            return min(max(rightward) - min(rightward), max(upward) - min(upward))
    return handle.grip_width


def pushed_with(force: float, pressure: float, area: float) -> float:
    """Return what a hand that means to push with ``force`` N gives a face of ``area`` mm²: it stops at ``pressure``.

    The bound is assumed: on a small face fingers feel the die give long before an arm's push is reached.

    >>> pushed_with(60.0, 0.5, 500.0), pushed_with(60.0, 0.5, 20.0)
    (60.0, 10.0)
    """
    return min(force, pressure * area)

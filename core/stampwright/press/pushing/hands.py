"""What hands can push: published forces, each with its posture."""

from __future__ import annotations

from dataclasses import dataclass

from ...job.sections.parts import HandleSection
from ...job.sections.placing import BaseSection


@dataclass(frozen=True)
class HandForce:
    """A push that people can give: ``newtons``, in a ``posture``, as published in ``source``; ``note`` qualifies it."""

    newtons: float
    posture: str
    source: str
    note: str = ""


STANDING_PALM = HandForce(
    110.0,
    "standing, arm and shoulder, arm stretched out; handle broad enough for the palm",
    "Eastman Kodak, Ergonomic Design for People at Work, push and pull table",
    "not to be exceeded",
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
WHOLE_BODY = HandForce(
    225.0,
    "standing, leaning on it with the whole body",
    "Eastman Kodak, Ergonomic Design for People at Work, push and pull table",
    "for once, not for work",
)

HAND_FORCES = (FINGERS, SEATED_PALM, STANDING_PALM, WHOLE_BODY)
"""Published pushes, weakest first."""

PALM_WIDTH = 32.0
"""Across a handle from which on the palm can push, mm: the least of a power grip (a safety council's table)."""


def comfortable_force(grip_width: float) -> HandForce:
    """Return the push that a brief press with this handle may ask for: the palm's, or the fingers' on a slim one.

    ``grip_width``: across the part that is held, mm.

    >>> comfortable_force(34.0).newtons, comfortable_force(12.0).newtons
    (110.0, 33.6)
    """
    return STANDING_PALM if grip_width >= PALM_WIDTH else FINGERS


def handle_force(handle: HandleSection, base: BaseSection) -> HandForce:
    """Return the comfortable push with a handle; a stamp without one is pushed by its backing, with the palm."""
    if handle.form == "none":
        return comfortable_force(min(base.width, base.height))
    return comfortable_force(handle.grip_width)

"""A curved face in words, the same on ticket, customer's page and screen."""

from __future__ import annotations

from ...looks.numbers import spoken
from ...press import PressFigures
from ...stamp import Stamp


def bend_in_words(stamp: Stamp) -> str:
    """Say what a stamp is bent to; nothing for a flat one."""
    bend, section = stamp.bend, stamp.job.bend
    if bend is None:
        return ""
    way = "up" if bend.upward else "across"
    if not bend.closed:
        return f"rocker of {spoken(round(bend.radius, 1))} mm radius, rolls {way} the print"
    times = "once" if bend.turns == 1 else f"{bend.turns} times"
    seam = "where the repeat ends" if bend.seam == bend.repeat / 2 else "in the widest gap"
    seam = "through the ink" if bend.overlap else seam
    return (
        f"roller {spoken(round(2 * bend.radius, 1))} mm across, {spoken(section.band)} mm wide; a repeat of "
        f"{bend.repeat:.2f} mm {times} round it, {way} the print; seam {seam}"
    )


def ground_in_words(stamp: Stamp) -> str:
    """Say what the artwork is laid out on: a base, or one repeat of a roller."""
    return "repeat" if stamp.bend is not None and stamp.bend.closed else "base"


def rolled_in_words(figures: PressFigures) -> str:
    """Say how a curved face meets the paper as it is rolled; nothing for a flat one, or one that never prints whole."""
    per_width = figures.per_width
    if per_width is None:
        return ""
    return (
        f"rolled, a band {figures.band:.1f} mm wide touches at a time, pushed with {per_width:.2g} N for each mm "
        "of its length, however slowly it is rolled"
    )

"""Larger: a template on a larger base, its places as much larger, and the least base on which words fit."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from ..errors import WordsError
from ..job import Job

_LENGTHS = (
    "x", "y", "fits", "fits_up", "cap_height", "spacing", "stroke", "radius", "diameter", "length", "width", "height",
    "module",
)  # fmt: skip
"""Settings of pieces that grow with the base; lines, gaps and corners stay as they print best."""

_LARGEST, _STEP = 2.0, 0.05
"""How many times as wide a base is that is tried at most, and in what steps."""


def growth(job: Job, settings: Mapping[str, Any]) -> tuple[float, Job]:
    """Return how many times as large a template comes with some settings, and its job with the base as large.

    A base that settings make wider, or wider and higher, makes its places wider and higher by as much; one that is made
    smaller, or whose form is another, leaves them as they are.
    """
    wanted = job.with_values(dict(settings))
    named = [side for side in ("width", "height") if f"base.{side}" in settings]
    if (
        not named
        or wanted.base.outline != job.base.outline
        or job.base.outline not in ("round", "rectangle", "ellipse")
    ):
        return 1.0, wanted
    by = min(getattr(wanted.base, side) / getattr(job.base, side) for side in named)
    if by <= 1.0:
        return 1.0, wanted
    other = {f"base.{side}": float(math.ceil(by * getattr(job.base, side))) for side in ("width", "height")}
    return by, wanted.with_values({path: value for path, value in other.items() if path not in settings})


def grown(table: Mapping[str, Any], by: float) -> dict[str, Any]:
    """Return the plain data of a template's piece so many times as large; room in degrees stays."""
    degrees = {"fits"} if table.get("kind") == "round lettering" else set()
    return {
        name: round(by * value, 3)
        if name in _LENGTHS and name not in degrees and isinstance(value, int | float)
        else value
        for name, value in table.items()
    }


def with_what_fits(refused: WordsError, job: Job, fill: Callable[[dict[str, Any]], Job]) -> WordsError:
    """Return a refusal of words that says on how wide a base they fit, where they do on one.

    ``job``: with the base that is too small; ``fill``: fills the template with other settings of its base.
    """
    widths, fitting = _wider(job), None
    low, high = 0, len(widths)
    while low < high:
        # What fits on none that is tried is found by the first look.
        at = high - 1 if fitting is None else (low + high) // 2
        try:
            fitting, high = fill({"base.width": widths[at]}), at
        except WordsError:
            if fitting is None:
                return refused
            low = at + 1
    if fitting is None:
        return refused
    base = fitting.base
    size = f"{base.width:g} mm" if base.outline == "round" else f"{base.width:g} x {base.height:g} mm"
    said = f"{str(refused).rstrip('.')}; on a base of {size} it fits (base.width = {base.width:g})"
    return WordsError(said, refused.places)


def _wider(job: Job) -> list[float]:
    """Return widths of bases, mm, each wider than the one before, that go onto the bed."""
    bed = max(job.printer.bed_width, job.printer.bed_depth)
    steps = range(1, round((_LARGEST - 1.0) / _STEP) + 1)
    widths = dict.fromkeys(float(math.ceil(job.base.width * (1.0 + step * _STEP))) for step in steps)
    return [width for width in widths if width <= bed]

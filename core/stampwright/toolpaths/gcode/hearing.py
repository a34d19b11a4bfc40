"""What a file tells its machine besides moves: temperatures, corners, limits, pauses."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ..moves import ToldMoves
from .blocks import TextBlocks

# A line that begins with a name, not with a letter and a number, and what is named in it, without the comment.
_MACRO = re.compile(rb"^[ \t]*[A-Za-z_]{3}[A-Za-z0-9_]*[ \t]+[^;\r\n]*=[^;\r\n]*", re.MULTILINE)
_NAMED = re.compile(rb"([A-Z0-9_]+)[ \t]*=[ \t]*([A-Z0-9_.]+)")
_DEGREES = re.compile(rb"\d{1,3}(?:\.\d*)?")
_AT_NOZZLE = re.compile(rb"EXTRUDER|NOZZLE|HOTEND|^(?:TEMP|TOOL_TEMP)$")


def heard_in_blocks(blocks: TextBlocks, told: ToldMoves) -> ToldMoves:
    """Return what was told, with what these blocks tell of temperatures, corners, limits and pauses."""

    def last(values: NDArray[np.float64], where: NDArray[np.bool_], before: float | None) -> float | None:
        heard = values[where & ~np.isnan(values)]
        return float(heard[-1]) if len(heard) else before

    def warmths(codes: tuple[float, ...], before: tuple[float, ...]) -> tuple[float, ...]:
        # Told by S to warm up, by R to cool down as well.
        there = blocks.is_m(*codes)
        heard = np.where(np.isnan(blocks.words["S"]), blocks.words["R"], blocks.words["S"])[there]
        return _with_warmths(before, heard.tolist())

    pauses = blocks.is_g(4)
    waited = np.where(np.isnan(blocks.words["S"]), blocks.words["P"] / 1000.0, blocks.words["S"])
    corners = blocks.is_m(205)
    return replace(
        told,
        nozzle=warmths((104, 109), told.nozzle),
        bed=warmths((140, 190), told.bed),
        jerk=last(blocks.words["X"], corners, told.jerk),
        deviation=last(blocks.words["J"], corners, told.deviation),
        limits=last(blocks.words["X"], blocks.is_m(201), told.limits),
        pauses=told.pauses + float(np.nan_to_num(np.clip(waited[pauses], 0.0, 3600.0)).sum()),
    )


def _with_warmths(before: tuple[float, ...], heard: Iterable[float]) -> tuple[float, ...]:
    return tuple(dict.fromkeys((*before, *(float(value) for value in heard if 0 < value < 1000))))[:20]


def heard_in_macros(chunk: bytes, told: ToldMoves) -> ToldMoves:
    """Return what was told, with the temperatures that words of a machine's own name: NAME PLACE=DEGREES."""
    if b"=" not in chunk:
        return told
    nozzle: list[float] = []
    bed: list[float] = []
    for line in _MACRO.finditer(chunk):
        heater = b""
        for name, value in _NAMED.findall(line[0].upper()):
            if name == b"HEATER":
                heater = value
                continue
            degrees = float(value) if _DEGREES.fullmatch(value) else 0.0
            place = heater if name == b"TARGET" else name
            if b"BED" in place:
                bed.append(degrees)
            elif _AT_NOZZLE.search(place):
                nozzle.append(degrees)
    return replace(told, nozzle=_with_warmths(told.nozzle, nozzle), bed=_with_warmths(told.bed, bed))

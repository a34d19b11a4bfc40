"""A predicted print beside its artwork: what printed light, what is missing, what filled in and what is stray."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...findings import Finding
from ...plane.rasters.distance import distance_inside
from ...plane.rasters.raster import MM_PER_INCH, picture_of
from ..faces.seen import outlined
from ..impression import Impression, Pressing
from .ink import InkFilm

Mask = NDArray[np.bool_]

MOST_PLACES = 100
"""Places told apart for each kind; beyond, the rest is one finding."""

_DARK = 0.5  # tone from which on a pixel counts as inked
_FULL = 0.9  # tone from which on a pixel passes for solid, whatever its pressure: crept ink has closed it
_SQUARE = 0.5  # mm; places closer than this are one place
_NOTABLE = 0.1  # share of a square that must be at fault for it to count, so that edges cut by pixels do not

_FIRMER = "Dress the face flatter, push harder, or put a cushion behind the die."


@dataclass(frozen=True)
class PrintFaults:
    """Areas at fault, mm²: ``light``, ``missing``, ``filled``, ``stray``; and a finding for each place."""

    light: float
    missing: float
    filled: float
    stray: float
    findings: tuple[Finding, ...]


def judge_print(pressing: Pressing, impression: Impression, inked: MultiPolygon, ink: InkFilm) -> PrintFaults:
    """Compare a predicted print with its artwork and locate what is wrong; all in the paper frame, mm.

    ``impression`` must be that of ``pressing`` with ``ink``. Light and missing are told by pressure, filled in and
    stray by ink on bare paper: filled in where no paper is left bare between two edges, stray where it lies farther
    from the artwork than ink creeps.
    """
    pitch = MM_PER_INCH / impression.dpi
    shape = (impression.picture.shape[0], impression.picture.shape[1])
    wanted = picture_of(inked, shape, impression.corner, impression.dpi)[::-1] < 128
    tone = 1.0 - impression.picture[::-1] / 255.0
    pressure = _on_picture(pressing, shape)
    creep = impression.creep
    missing = wanted & (pressure <= 0.0) & (tone < _DARK)
    light = wanted & (pressure > 0.0) & (pressure < ink.solid_from) & (tone < _FULL)
    dark = tone >= _DARK
    reach = creep / pitch + 1.5
    beside = dark & ~wanted
    filled = stray = beside
    if beside.any():
        # Ink that lies deeper in ink than it could have crept from the last bare paper has closed a gap.
        deep = distance_inside(dark | wanted, reach + 1.0) > reach
        near = distance_inside(~wanted, reach + 1.0) <= reach
        filled, stray = beside & deep & near, beside & ~near
    kinds = (
        ("printed light", light, f"prints as a tone, under {ink.solid_from:g} MPa", _FIRMER),
        ("missing", missing, "does not print: the face does not reach the paper", _FIRMER),
        (
            "filled in",
            filled,
            f"fills in: ink creeps up to {creep:.2f} mm past the edges round it",
            "Open the gap, ink more thinly, or push less hard.",
        ),
        ("stray", stray, "prints where the artwork is bare", "Raise the relief, or press on something firmer."),
    )
    findings: list[Finding] = []
    for kind, fault, says, remedy in kinds:
        about = Finding(
            kind=kind, severity="warns", stage="impression", message=says, remedy=remedy, limit=0.0, unit="mm²"
        )
        findings += _located(about, fault, impression.corner, pitch)
    area_light, area_missing, area_filled, area_stray = (
        float(np.count_nonzero(fault)) * pitch**2 for _, fault, _, _ in kinds
    )
    return PrintFaults(area_light, area_missing, area_filled, area_stray, tuple(findings))


def _on_picture(pressing: Pressing, shape: tuple[int, int]) -> NDArray[np.float32]:
    """Return the pressure map with the border that the picture has round it."""
    border = (shape[0] - pressing.pressure.shape[0]) // 2
    return np.pad(pressing.pressure, border)


def _located(about: Finding, fault: Mask, corner: tuple[float, float], pitch: float) -> list[Finding]:
    """Return the finding once for each place at fault, the largest first, with its region and area."""
    if not fault.any():
        return []
    side = max(1, round(_SQUARE / pitch))
    rows, columns = (math.ceil(size / side) for size in fault.shape)
    padded = np.zeros((rows * side, columns * side), dtype=bool)
    padded[: fault.shape[0], : fault.shape[1]] = fault
    share = padded.reshape(rows, side, columns, side).mean(axis=(1, 3))
    square = pitch * side
    marked = np.pad(np.where(share >= _NOTABLE, 0.5, -0.5), 1, constant_values=-0.5)
    region = outlined(marked, (corner[0] - square, corner[1] - square), square)
    places = sorted(region.geoms, key=lambda place: -float(place.area))
    told = [_told(about, place, "") for place in places[:MOST_PLACES]]
    if len(places) > MOST_PLACES:
        rest = MultiPolygon(places[MOST_PLACES:])
        told.append(_told(about, rest, f"{len(rest.geoms)} more places, "))
    return told


def _told(about: Finding, place: BaseGeometry, how_many: str) -> Finding:
    area = float(place.area)
    return replace(about, message=f"{how_many}{area:.1f} mm² {about.message}", place=place, measured=area)

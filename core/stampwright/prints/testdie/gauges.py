"""What is printed beside a test die, to be tried by hand and with calipers: a seat gauge, and a comb of heights."""

from __future__ import annotations

import math

import numpy as np
from shapely.geometry import MultiPolygon, Point, Polygon, box

from ...plane.overlays import all_joined, without
from ...solids import Solid, extrude, unite

CLEARANCES = (0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4)
"""Clearances of the gauge's sockets round its peg, per side, mm."""

HEIGHTS = (1.0, 2.0, 3.0, 4.0, 5.0)
"""Heights of the comb's teeth over its bar, mm, each to the next whole layer."""

SHOULDERS = (0.0, 10.0, 20.0, 30.0)
"""Flare of the comb's last teeth on both sides, degrees."""

PEG_SIDE = 8.0  # mm; tells a clearance, and is held between two fingers
_PLATE, _WALL = 3.0, 3.0  # thickness of the gauge, and between its sockets, mm
_DOT = 0.7  # radius of the counting holes, mm
_TOOTH, _APART, _BAR, _DEEP = 5.0, 3.0, 2.0, 8.0  # of the comb, mm
_CROWN, _RELIEF = 2.0, 2.0  # width and height of the flared teeth, mm


def seat_gauge() -> Solid:
    """Return a plate with a row of square sockets, each wider than the peg by its clearance on every side.

    Holes beside a socket count it: one beside the narrowest.
    """
    pitch = PEG_SIDE + 2 * max(CLEARANCES) + _WALL
    deep = PEG_SIDE + 2 * _WALL + 6.0
    cut: list[Polygon] = []
    for index, clearance in enumerate(CLEARANCES):
        middle, half = _WALL + (index + 0.5) * pitch, PEG_SIDE / 2.0 + clearance
        at = deep - _WALL - max(CLEARANCES) - PEG_SIDE / 2.0
        cut.append(box(middle - half, at - half, middle + half, at + half))
        for count in range(index + 1):
            across, down = count % 4, count // 4
            cut.append(Point(middle + (across - 1.5) * 2.2, 4.6 - 2.4 * down).buffer(_DOT))
    plate = box(0.0, 0.0, 2 * _WALL + len(CLEARANCES) * pitch, deep)
    return extrude(without(plate, all_joined(cut)), 0.0, _PLATE, name="seat gauge")


def seat_peg() -> Solid:
    """Return the peg that is tried in the sockets: a square bar, printed upright, without a foot that squeezes out."""
    half = PEG_SIDE / 2.0
    square = box(-half, -half, half, half)
    # The first layers are squeezed broader, and would be what is measured.
    foot = extrude(square.buffer(-0.6, join_style="mitre"), 0.0, 1.0, name="peg")
    return unite([foot, extrude(square, 1.0, 16.0, name="peg")], name="seat peg")


def height_comb(layer: float) -> Solid:
    """Return a comb with teeth of known heights, and four flared ones, on a bar.

    ``layer``: layer height, mm; heights are whole layers. Calipers read heights over the bar's foot, the flared teeth's
    crown (2 mm) and foot (2 mm and what the flare adds).
    """
    profile: list[Polygon] = []
    x = _APART
    for height in HEIGHTS:
        top = _BAR + round(height / layer) * layer
        profile.append(box(x, 0.0, x + _TOOTH, top))
        x += _TOOTH + _APART
    relief = round(_RELIEF / layer) * layer
    for shoulder in SHOULDERS:
        flare = relief * math.tan(math.radians(shoulder))
        x += flare
        profile.append(
            Polygon([(x - flare, _BAR), (x + _CROWN + flare, _BAR), (x + _CROWN, _BAR + relief), (x, _BAR + relief)])
        )
        x += _CROWN + flare + _APART
    outline = all_joined([box(0.0, 0.0, x, _BAR), *profile])
    upright = extrude(MultiPolygon([outline]), 0.0, _DEEP, name="height comb")
    # The profile was drawn lying down: its y becomes height.
    turned = np.column_stack((upright.vertices[:, 0], -upright.vertices[:, 2], upright.vertices[:, 1]))
    return Solid("height comb", turned, upright.triangles)


def comb_reading(shoulder: float, layer: float) -> float:
    """Return how wide the foot of a flared tooth is, mm."""
    return _CROWN + 2.0 * round(_RELIEF / layer) * layer * math.tan(math.radians(shoulder))

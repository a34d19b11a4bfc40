"""Rings, rules and frames."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from ...errors import ArtworkError
from ...job.pieces import Frame, Ring, Rule
from ...plane.circles import chords_in
from ...plane.overlays import all_joined, without
from ...plane.regions import sound_parts
from .made import Made, Setup, disc

_SWELL_TIP = 0.55
"""Width of a swelled rule's ends, as a share of its middle: 0.44 mm of 0.8, which a nozzle of 0.4 mm lays. Engraved
ones end in a hair, which does not print."""


def make_ring(piece: Ring, setup: Setup) -> Made:
    """Draw lines round a circle, or a circle of dots.

    Raises :class:`~stampwright.errors.ArtworkError` when lines or dots do not fit into it.
    """
    radius = piece.diameter / 2
    if piece.dots:
        return Made(sound_parts(_ring_of_dots(piece, radius, setup)))
    lines: list[BaseGeometry] = []
    for number in range(piece.count):
        width = piece.inner_line if number else piece.line
        # A line as wide as the radius is a disc.
        if radius - width < -1e-9 or radius <= 0:
            raise ArtworkError(
                f"ring: {piece.count} lines with gaps of {piece.gap:g} mm do not fit into {piece.diameter:g} mm; "
                "make the diameter larger or the lines fewer"
            )
        hole = disc(radius - width, setup.tolerance) if radius - width > 1e-9 else Polygon()
        lines.append(without(disc(radius, setup.tolerance), hole))
        radius -= width + piece.gap
    return Made(sound_parts(all_joined(lines)))


def make_rule(piece: Rule, setup: Setup) -> Made:
    """Draw a straight line."""
    half, thick = piece.length / 2, piece.line
    bar = box(-half, -thick / 2, half, thick / 2)
    if piece.form == "double":
        away = (thick + piece.gap) / 2
        return Made(sound_parts(all_joined([affinity.translate(bar, 0, side * away) for side in (-1, 1)])))
    if piece.form == "swelled":
        x = np.linspace(-half, half, 65)
        y = thick / 2 * (_SWELL_TIP + (1 - _SWELL_TIP) * np.cos(np.pi * x / piece.length) ** 2)
        return Made(sound_parts(Polygon(np.vstack([np.stack([x, -y], axis=1), np.stack([x, y], axis=1)[::-1]]))))
    if piece.form in ("dashed", "dotted"):
        mark = thick if piece.form == "dotted" else min(4 * thick, piece.length)
        count = max(1, round((piece.length + piece.gap) / (mark + piece.gap)))
        middles = (np.arange(count) - (count - 1) / 2) * ((piece.length - mark) / max(count - 1, 1))
        one = (
            disc(thick / 2, setup.tolerance)
            if piece.form == "dotted"
            else box(-mark / 2, -thick / 2, mark / 2, thick / 2)
        )
        return Made(sound_parts(all_joined([affinity.translate(one, x, 0) for x in middles])))
    return Made(sound_parts(bar))


def make_frame(piece: Frame, setup: Setup) -> Made:
    """Draw a line, or two, round a rectangle; or fill it.

    Raises :class:`~stampwright.errors.ArtworkError` when its corners are larger than its sides, or its lines leave
    nothing open.
    """
    largest = min(piece.width, piece.height) / 2
    if piece.corner != "square" and piece.corner_size > largest:
        raise ArtworkError(
            f"frame.corner_size = {piece.corner_size:g} mm is more than half of the shorter side; allowed here: 0 to "
            f"{largest:g} mm"
        )
    outer = frame_outline(piece.width, piece.height, piece.corner, piece.corner_size, setup.tolerance)
    if piece.filled:
        return Made(sound_parts(outer))
    parts: list[Polygon] = []
    inner = outer
    for width in filter(None, (piece.line, piece.inner_line)):
        # A gap lies between lines; what is left inside the last is the frame's own.
        outer = _drawn_in(inner, piece.gap, setup) if parts else outer
        inner = _drawn_in(outer, width, setup)
        parts.append(without(outer, inner))
    if inner.is_empty:
        raise ArtworkError("frame: its lines leave nothing open inside; make it larger, its lines thinner, or fill it")
    return Made(sound_parts(all_joined(parts)))


def frame_outline(width: float, height: float, corner: str, size: float, tolerance: float) -> Polygon:
    """Return a rectangle about (0, 0) with all four corners of one form; mm."""
    x, y = width / 2, height / 2
    whole = box(-x, -y, x, y)
    if corner == "square" or size == 0:
        return whole
    bits = []
    for across, up in ((x, y), (-x, y), (-x, -y), (x, -y)):
        inward = (across - math.copysign(size, across), up - math.copysign(size, up))
        square = box(min(across, inward[0]), min(up, inward[1]), max(across, inward[0]), max(up, inward[1]))
        if corner == "round":
            bits.append(without(square, affinity.translate(disc(size, tolerance), *inward)))
        elif corner == "scooped":
            bits.append(affinity.translate(disc(size, tolerance), across, up))
        elif corner == "cut":
            bits.append(Polygon([(across, up), (inward[0], up), (across, inward[1])]))
        else:
            bits.append(square)
    outline = without(whole, all_joined(bits))
    # Where corners are as large as half a side, rounding may leave crumbs.
    parts = [part for part in shapely.get_parts(outline) if part.geom_type == "Polygon"]
    return max(parts, key=lambda part: part.area, default=Polygon())


def _ring_of_dots(piece: Ring, radius: float, setup: Setup) -> BaseGeometry:
    middle = radius - piece.line / 2
    apart = 2 * middle * math.sin(math.pi / piece.dots) if piece.dots > 1 else math.inf
    if middle <= 0 or apart <= piece.line:
        most = int(math.pi / math.asin(min(1.0, piece.line / (2 * middle)))) if middle > 0 else 0
        raise ArtworkError(
            f"ring: {piece.dots} dots of {piece.line:g} mm run together on {piece.diameter:g} mm; at most {most} fit"
        )
    dot = affinity.translate(disc(piece.line / 2, setup.tolerance), 0, middle)
    turns = np.arange(piece.dots) * 360 / piece.dots
    return all_joined([affinity.rotate(dot, turn, origin=(0, 0)) for turn in turns])


def _drawn_in(outline: BaseGeometry, by: float, setup: Setup) -> BaseGeometry:
    # Circles in the offset are split so finely that they keep the tolerance at a radius of 100 mm.
    segments = chords_in(math.pi / 2, 100.0, setup.tolerance)
    return outline.buffer(-by, join_style="mitre", mitre_limit=10.0, quad_segs=segments)

"""What making one piece gives, and the forms that several pieces share."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from ...findings import Finding
from ...plane.regions import filled_parts
from ..artwork import Code
from ..fonts import SetLine
from ..letters import Letter, letter_of


@dataclass(frozen=True)
class Setup:
    """What pieces are made for.

    ``folder``: where files that pieces name are looked for. ``tolerance``: how far a flattened curve may stray, mm.
    """

    folder: Path
    tolerance: float


@dataclass(frozen=True)
class Made:
    """A piece as ink, mm, about its own place.

    ``code``: whose place no other piece may print in. ``letters``: the characters that are set in it.
    """

    inked: MultiPolygon
    code: Code | None = None
    findings: tuple[Finding, ...] = ()
    letters: tuple[Letter, ...] = ()

    def moved(self, x: float, y: float, turn: float) -> Made:
        """Return the piece turned about its place, in degrees, and moved to (x, y)."""
        cosine, sine = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        matrix = (cosine, -sine, sine, cosine, x, y)
        findings = tuple(finding.moved(matrix) for finding in self.findings)
        code = self.code and self.code.moved(matrix)
        letters = tuple(letter.moved(matrix) for letter in self.letters)
        return Made(as_region(affinity.affine_transform(self.inked, matrix)), code, findings, letters)


def letters_of(line: SetLine) -> list[Letter]:
    """Return the letters of a line of type, about the start of its baseline."""
    placed = [affinity.translate(glyph.outline, glyph.x, glyph.y) for glyph in line.glyphs]
    found = [letter_of(line.text, glyph.start, ink) for glyph, ink in zip(line.glyphs, placed, strict=True)]
    return [letter for letter in found if letter is not None]


def as_region(geometry: BaseGeometry) -> MultiPolygon:
    """Return a geometry's areas as a valid MultiPolygon; lines and points are left out."""
    region = filled_parts(geometry)
    if region.is_valid:
        return region
    # Moving and turning rounds points, so that outlines which met may cross by a last digit.
    return as_region(shapely.make_valid(region, method="structure", keep_collapsed=False))


def disc(radius: float, tolerance: float) -> Polygon:
    """Return a circle about (0, 0) whose chords stray from it by ``tolerance`` at most, both ways, mm.

    >>> round(disc(10.0, 0.001).area, 3)  # pi r^2 = 314.159
    314.159
    """
    half_step = math.acos(max(1.0 - 2 * tolerance / radius, 0.5))
    count = 4 * max(4, math.ceil(math.pi / half_step / 4))
    angles = np.arange(count) * 2 * math.pi / count
    # Corners a little outside, so that the area is the circle's own.
    reach = radius * math.sqrt(2 * math.pi / count / math.sin(2 * math.pi / count))
    return Polygon(np.stack([np.cos(angles), np.sin(angles)], axis=1) * reach)

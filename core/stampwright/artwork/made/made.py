"""What making one piece gives, and the forms that several pieces share."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import groupby
from pathlib import Path

import numpy as np
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon

from ...findings import Finding
from ...plane.circles import chords_in
from ...plane.overlays import all_joined
from ...plane.regions import sound_parts
from ..artwork import Code
from ..fonts import SetLine
from ..letters import Letter, letter_of


@dataclass(frozen=True)
class Setup:
    """What pieces are made for.

    ``folder``: where files that pieces name are looked for. ``tolerance``: how far a flattened curve may stray, mm.
    ``read``: the files that pieces named, by the names they have there, as they are read.
    """

    folder: Path
    tolerance: float
    read: dict[str, bytes] = field(default_factory=dict)


@dataclass(frozen=True)
class Made:
    """A piece as ink, mm, about its own place.

    ``codes``: in whose places no other piece may print. ``letters``: the characters that are set in it. ``plain``: what
    of its ink takes no texture.
    """

    inked: MultiPolygon
    codes: tuple[Code, ...] = ()
    findings: tuple[Finding, ...] = ()
    letters: tuple[Letter, ...] = ()
    plain: MultiPolygon = field(default_factory=MultiPolygon)

    def moved(self, x: float, y: float, turn: float) -> Made:
        """Return the piece turned about its place, in degrees, and moved to (x, y)."""
        cosine, sine = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        return self.through((cosine, -sine, sine, cosine, x, y))

    def through(self, matrix: tuple[float, float, float, float, float, float]) -> Made:
        """Return the piece taken through ``matrix`` (shapely's six-number affine form)."""
        inked = sound_parts(affinity.affine_transform(self.inked, matrix))
        whole = self.plain is self.inked
        return Made(
            inked=inked,
            codes=tuple(code.moved(matrix) for code in self.codes),
            findings=tuple(finding.moved(matrix) for finding in self.findings),
            letters=tuple(letter.moved(matrix) for letter in self.letters),
            plain=inked if whole else sound_parts(affinity.affine_transform(self.plain, matrix)),
        )


def letters_of(line: SetLine) -> list[Letter]:
    """Return the letters of a line of type, about the start of its baseline, as they are read."""
    letters = []
    for start, cluster in groupby(sorted(line.glyphs, key=lambda glyph: glyph.start), key=lambda glyph: glyph.start):
        glyphs = list(cluster)
        ink = all_joined([affinity.translate(glyph.outline, glyph.x, glyph.y) for glyph in glyphs])
        letters.append(letter_of(line.text, start, ink, glyphs[0].end))
    return [letter for letter in letters if letter is not None]


def disc(radius: float, tolerance: float) -> Polygon:
    """Return a circle about (0, 0) whose chords stray from it by ``tolerance`` at most, both ways, mm.

    >>> round(disc(10.0, 0.001).area, 3)  # pi r^2 = 314.159
    314.159
    """
    count = 4 * chords_in(math.pi / 2, radius, 2 * tolerance, least=4)
    angles = np.arange(count) * 2 * math.pi / count
    # Corners a little outside, so that the area is the circle's own.
    reach = radius * math.sqrt(2 * math.pi / count / math.sin(2 * math.pi / count))
    return Polygon(np.stack([np.cos(angles), np.sin(angles)], axis=1) * reach)

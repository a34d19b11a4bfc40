"""Lettering in lines, in a block, and round a circle."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache
from itertools import groupby

import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...errors import ArtworkError
from ...findings import Finding
from ...job.pieces import Lettering, RoundLettering, Typeset
from ...plane.axes.middle_lines import drawn_with_pen
from ...plane.overlays import all_joined
from ...plane.regions import sound_parts
from ..fonts import Font, SetLine, cap_height, find_font, joined, read_font, set_line, stand_ins_in
from ..letters import Letter, letter_of
from .made import Made, Setup, letters_of

MOST_NAMED = 10
"""Characters that one finding names."""


def make_lettering(piece: Lettering, setup: Setup) -> Made:
    """Set lines of text, broken at a width when one is given.

    Raises :class:`~stampwright.errors.ArtworkError` when there is no text, or too much.
    """
    _demand_text("lettering.text", piece.text)
    font, findings = choose_font(piece, setup)
    lines = [part for line in piece.text.splitlines() for part in _broken(line, piece, font, setup)]
    set_lines = [set_piece(line, piece, font, setup) for line in lines]
    step = piece.leading * piece.cap_height
    lowest = -((len(lines) - 1) * step + piece.cap_height) / 2
    regions: list[BaseGeometry] = []
    letters: list[Letter] = []
    for number, line in enumerate(reversed(set_lines)):
        outlines = line.outlines
        findings += (*line.findings, *_overlaps(line, outlines.area))
        if outlines.is_empty:
            continue
        left, _, right, _ = outlines.bounds
        shift = {"left": -left, "centre": -(left + right) / 2, "right": -right}[piece.align]
        regions.append(affinity.translate(outlines, shift, lowest + number * step))
        letters[:0] = [letter.moved((1, 0, 0, 1, shift, lowest + number * step)) for letter in letters_of(line)]
    return Made(sound_parts(joined(regions)), findings=findings, letters=tuple(letters))


def make_round_lettering(piece: RoundLettering, setup: Setup) -> Made:
    """Set text round a circle: each letter upright on its own radius, distances kept along the circle.

    Raises :class:`~stampwright.errors.ArtworkError` when there is no text, or too much.
    """
    _demand_text("round lettering.text", piece.text)
    font, findings = choose_font(piece, setup)
    line, spacing, length = _round_line(piece, font, setup)
    sign = 1 if piece.side == "outside" else -1
    regions: list[MultiPolygon] = []
    letters: list[tuple[int, Letter]] = []
    for start, cluster in groupby(line.glyphs, key=lambda glyph: glyph.start):
        glyphs = list(cluster)
        # An accent that is set apart stays on the radius of its letter.
        upright = glyphs[0].x + (sum(glyph.advance for glyph in glyphs) - spacing) / 2
        turn = sign * math.degrees((length / 2 - upright) / piece.radius)
        turned = math.radians(turn if sign > 0 else turn + 180)
        matrix = (math.cos(turned), -math.sin(turned), math.sin(turned), math.cos(turned), 0.0, 0.0)
        inks = [affinity.translate(glyph.outline, glyph.x - upright, glyph.y + sign * piece.radius) for glyph in glyphs]
        regions += [affinity.affine_transform(ink, matrix) for ink in inks]
        letter = letter_of(line.text, start, all_joined(inks), glyphs[0].end)
        letters += [(start, letter.moved(matrix))] if letter is not None else []
    inked = sound_parts(joined(regions))
    findings += line.findings
    if length > 2 * math.pi * piece.radius + 1e-6:
        findings += (_too_long(piece, length),)
    elif sum(region.area for region in regions) > inked.area * (1 + 1e-4):
        findings += (_crowded(piece.text),)
    as_read = [letter for _, letter in sorted(letters, key=lambda each: each[0])]
    return Made(inked, findings=findings, letters=tuple(as_read))


def _round_line(piece: RoundLettering, font: Font, setup: Setup) -> tuple[SetLine, float, float]:
    """Return text set for a circle, what stands between its letters, and its length along the circle, mm."""
    if not piece.span:
        line = set_piece(piece.text, piece, font, setup)
        return line, piece.spacing, line.advance - piece.spacing
    # Letters that are to be spaced do not join, so that the room is shared out among as many as there will be.
    line = set_piece(piece.text, piece, font, setup, ligatures=False)
    count = len({glyph.start for glyph in line.glyphs})
    if count < 2:
        return line, piece.spacing, line.advance - piece.spacing
    length = math.radians(piece.span) * piece.radius
    room = length - (line.advance - piece.spacing)
    spacing = piece.spacing + room / (count - (0 if piece.span == 360 else 1))
    return set_piece(piece.text, piece, font, setup, spacing=spacing, ligatures=False), spacing, length


def choose_font(piece: Typeset, setup: Setup) -> tuple[Font, tuple[Finding, ...]]:
    """Return a piece's font, and what had to be substituted."""
    if piece.font_file:
        path = setup.folder / piece.font_file
        font = read_font(path, piece.weight)
        if piece.font_file not in setup.read:
            setup.read[piece.font_file] = path.read_bytes()
        return font, ()
    return find_font(piece.font or "sans-serif", piece.weight, "italic" if piece.italic else "normal")


def set_piece(
    text: str, piece: Typeset, font: Font, setup: Setup, *, spacing: float | None = None, ligatures: bool = True
) -> SetLine:
    """Set one line in a piece's type, letters that its font lacks in another at hand that has them."""
    stand_ins = stand_ins_in(text, replace(font, weight=piece.weight))
    line = set_line(
        text,
        font,
        piece.cap_height / cap_height(font),
        kerning=piece.kerning,
        spacing=piece.spacing if spacing is None else spacing,
        ligatures=ligatures,
        tolerance=setup.tolerance,
        stand_ins=stand_ins,
    )
    line = replace(line, findings=(*line.findings, *_substituted(text, font, stand_ins)))
    if piece.drawn == "outlines":
        return line
    drawn = (replace(glyph, outline=_with_pen(shapely.to_wkb(glyph.outline), piece.stroke)) for glyph in line.glyphs)
    return replace(line, glyphs=tuple(drawn))


def _substituted(text: str, font: Font, stand_ins: Mapping[int, Font]) -> Iterator[Finding]:
    """Yield a finding for each font that stands in for another."""
    for family in dict.fromkeys(other.family for other in stand_ins.values()):
        letters = sorted({text[at] for at, other in stand_ins.items() if other.family == family})[:MOST_NAMED]
        named = ", ".join(f"{letter!r} (U+{ord(letter):04X})" for letter in letters)
        yield Finding(
            kind="font substituted",
            severity="warns",
            stage="artwork",
            message=f"{font.family} has no {named}; {family} stands in for it",
            remedy="Choose a font that has these characters.",
        )


@lru_cache(maxsize=1024)
def _with_pen(outline: bytes, stroke: float) -> MultiPolygon:
    """Return a glyph, given as it is kept in files, drawn by its middle lines: a text has each of its letters often."""
    glyph = sound_parts(shapely.from_wkb(outline))
    return glyph if glyph.is_empty else sound_parts(drawn_with_pen(glyph, stroke))


def _demand_text(figure: str, text: str) -> None:
    if not text.strip():
        raise ArtworkError(f"{figure} is empty; give it text to set")


def _broken(line: str, piece: Lettering, font: Font, setup: Setup) -> list[str]:
    """Break a line between words where it would grow wider than the piece allows."""
    if not piece.width:
        return [line]
    space = set_piece(" ", piece, font, setup).advance
    lines: list[str] = []
    reached = 0.0
    for word in line.split():
        wide = set_piece(word, piece, font, setup).advance
        if lines and reached + space + wide - piece.spacing <= piece.width:
            lines[-1] += f" {word}"
            reached += space + wide
        else:
            lines.append(word)
            reached = wide
    return lines or [""]


def _overlaps(line: SetLine, inked: float) -> tuple[Finding, ...]:
    apart = sum(glyph.outline.area for glyph in line.glyphs)
    return (_crowded(line.text),) if apart > inked * (1 + 1e-4) else ()


def _crowded(text: str) -> Finding:
    return Finding(
        kind="letters overlap",
        severity="warns",
        stage="artwork",
        message=f"Letters of {text[:40]!r} run into each other.",
        remedy="Give more spacing, or a larger radius.",
    )


def _too_long(piece: RoundLettering, length: float) -> Finding:
    around = 2 * math.pi * piece.radius
    return Finding(
        kind="lettering too long",
        severity="blocks",
        stage="artwork",
        message=f"{piece.text[:40]!r} is {length:.1f} mm long, more than once round its circle of {around:.1f} mm.",
        remedy=f"Make the letters smaller, or the radius {length / 2 / math.pi:.1f} mm or more.",
        measured=length,
        limit=around,
    )

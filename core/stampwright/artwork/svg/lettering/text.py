"""Text as marks: its glyphs in their places, and the lines that decorate them, painted like any outline."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby, pairwise

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from ....plane.overlays import all_joined
from ...letters import letter_of
from ...outlines.curves import Polylines
from ...outlines.filling import united
from ...outlines.stroking import stroked
from ..painting.shaping import on_paper, painting_order, pen_for
from ..painting.sheet import Sheet
from ..paints.colours import BLACK, share
from ..paints.laying import laid
from ..placing.place import Place
from ..seeing.marks import Item, Painted
from ..source.document import Element
from .baselines import decoration, heights
from .casing import recased
from .characters import LINES, Character, characters_of, collapsed
from .chunks import Glyph, set_chunks
from .painted import painted_items
from .standing_in import with_stand_ins

_LINE = 0.6
"""What is put this share of the type size above or below what was before is another line; an index is nearer."""


def text_items(sheet: Sheet, element: Element, place: Place) -> list[Item]:
    """Return what a ``text`` element lays on the page."""
    characters = collapsed(characters_of(sheet, element, place))
    characters = with_stand_ins(sheet, element, recased(sheet, element, characters))
    if not characters or place.magnification == 0:
        return []
    a, b, c, d, _, _ = place.matrix
    if place.purpose == "paint" and a * d - b * c > 0:
        sheet.notes.add(
            "already reversed",
            "text reads mirrored, as if the art had been reversed for stamping already",
            element,
            remedy="If it was, set layout.mirror = true: the die itself is reversed once, when it is built.",
        )
    glyphs = set_chunks(sheet, element, characters, place.style["direction"])
    items: list[Item] = []
    if place.purpose == "paint":
        _note_letters(sheet, characters, glyphs)
        for word in LINES[:-1]:
            items += _lines_painted(sheet, element, glyphs, word)
    for run in _runs(glyphs):
        items += _painted(sheet, element, run)
    if place.purpose == "paint":
        items += _lines_painted(sheet, element, glyphs, LINES[-1])
    return items


def _note_letters(sheet: Sheet, characters: Sequence[Character], glyphs: Sequence[Glyph]) -> None:
    """Keep where each character stands on the page, upright in its box before text and page turn it, as it is read."""
    text = "".join(character.text for character in characters)
    at = {id(character): number for number, character in enumerate(characters)}
    in_order = sorted(glyphs, key=lambda glyph: at[id(glyph.first)])
    breaks = _line_starts(in_order, at)
    for start, cluster in groupby(in_order, key=lambda glyph: at[id(glyph.first)]):
        first, *accents = cluster
        ink = all_joined([first.outline, *(_beside(accent, first) for accent in accents)])
        letter = letter_of(text, start, ink, start + first.count, breaks)
        if letter is not None and first.first.place.style["visibility"] == "visible":
            box = on_paper(_placed(letter.place, first), first.first.place.matrix)
            sheet.letters.append(replace(letter, place=box))


def _beside(accent: Glyph, letter: Glyph) -> BaseGeometry:
    """Return an accent's outline about the origin of the letter that it belongs to."""
    moved = affinity.translate(_placed(accent.outline, accent), -letter.x, -letter.y)
    return affinity.rotate(moved, -letter.turn, origin=(0, 0)) if letter.turn else moved


def _line_starts(glyphs: Sequence[Glyph], at: dict[int, int]) -> list[int]:
    """Return which characters begin lines: those that are put back to where a line begins, or well above or below."""
    starts = []
    for before, glyph in pairwise(glyphs):
        put = glyph.first.x is not None or glyph.first.y is not None
        if put and glyph.first.path is None:
            off, on = abs(glyph.y - before.y), glyph.x - before.x
            if off > _LINE * glyph.first.place.font_size or (on < 0 and glyph.first.place.style["direction"] == "ltr"):
                starts.append(at[id(glyph.first)])
    return starts


def _runs(glyphs: Sequence[Glyph]) -> list[list[Glyph]]:
    """Return glyphs that are painted alike, in order."""
    return [list(run) for _, run in groupby(glyphs, key=lambda g: (id(g.first.place), id(g.first.owner)))]


def _painted(sheet: Sheet, element: Element, run: Sequence[Glyph]) -> list[Item]:
    place = run[0].first.place
    if place.measuring:
        cells = _cells(run)
        if place.purpose == "extent" and place.style["stroke"] != "none":
            cells = cells.buffer((place.length(place.style["stroke-width"]) or 0.0) / 2, join_style="mitre")
        return [Painted(on_paper(cells, place.matrix), BLACK)]
    outlines = [_placed(glyph.outline, glyph) for glyph in run if not glyph.outline.is_empty]
    if place.purpose == "paint" and any(glyph.layers or glyph.painting for glyph in run):
        return _coloured(sheet, element, place, run)
    if place.purpose == "clip":
        region = united(outlines)
        shown = not region.is_empty and place.style["visibility"] == "visible"
        return [Painted(on_paper(region, place.matrix), BLACK, place.clip)] if shown else []
    return _laid(sheet, element, place, outlines)


def _coloured(sheet: Sheet, element: Element, place: Place, run: Sequence[Glyph]) -> list[Item]:
    """Return glyphs of a colour font, each laid of its layers; what has one colour only is painted as other text."""
    if place.style["visibility"] != "visible" or place.style["fill"] == "none":
        return []
    items: list[Item] = []
    opacity = share(place.style["fill-opacity"])
    for glyph in run:
        if glyph.painting:
            items += painted_items(sheet, place, glyph, opacity)
        elif not glyph.layers:
            items += _laid(sheet, element, place, [_placed(glyph.outline, glyph)])
        for part, tint in glyph.layers:
            region = on_paper(_placed(part, glyph), place.matrix)
            if tint is None:
                items += laid(sheet, element, place, "fill", region)
            else:
                items.append(Painted(region, (*tint[:3], tint[3] * opacity), place.clip))
    return items


def _lines_painted(sheet: Sheet, element: Element, glyphs: Sequence[Glyph], word: str) -> list[Item]:
    """Return the lines of one sort that decorate glyphs, each in the paint of what asked for it."""
    items: list[Item] = []
    asked = {id(place): place for glyph in glyphs for line, place in glyph.first.lines if line == word}
    for place in asked.values():
        lines = [
            _placed(shapely.box(0, top, glyph.advance, bottom), glyph)
            for glyph in glyphs
            if any(line == word and decorated is place for line, decorated in glyph.first.lines)
            for top, bottom in decoration(glyph.font, [word], glyph.first.place.font_size)
        ]
        items += _laid(sheet, element, place, lines)
    return items


def _placed(region: BaseGeometry, glyph: Glyph) -> BaseGeometry:
    turned = affinity.rotate(region, glyph.turn, origin=(0, 0)) if glyph.turn else region
    return affinity.translate(turned, glyph.x, glyph.y)


def _laid(sheet: Sheet, element: Element, place: Place, outlines: Sequence[BaseGeometry]) -> list[Item]:
    """Return outlines in user units, filled and stroked as ``place`` asks."""
    region = united(outlines)
    if region.is_empty or place.style["visibility"] != "visible":
        return []
    sheet.points += shapely.get_num_coordinates(region)
    items: list[Item] = []
    for part in painting_order(place.style["paint-order"]):
        if part == "fill" and place.style["fill"] != "none":
            items += laid(sheet, element, place, part, on_paper(region, place.matrix))
        elif part == "stroke" and place.style["stroke"] != "none":
            outline = _stroked(sheet, element, place, outlines)
            if not outline.is_empty:
                items += laid(sheet, element, place, part, on_paper(outline, place.matrix))
    return items


def _cells(run: Sequence[Glyph]) -> BaseGeometry:
    """Return the cells of glyphs, advance by ascent and descent, which bound text (SVG 2, section 8.10)."""
    cells = []
    for glyph in run:
        of, size = heights(glyph.font), glyph.first.place.font_size
        cells.append(_placed(shapely.box(0, -of.ascent * size, glyph.advance, -of.descent * size), glyph))
    return all_joined(cells)


def _stroked(sheet: Sheet, element: Element, place: Place, outlines: Sequence[BaseGeometry]) -> BaseGeometry:
    """Return the stroke round glyphs, user units."""
    width = place.length(place.style["stroke-width"])
    if width is None or width <= 0:
        return shapely.MultiPolygon()
    rings = [
        shapely.get_coordinates(ring)
        for outline in outlines
        for part in shapely.get_parts(outline)
        for ring in (part.exterior, *part.interiors)
    ]
    lengths = [len(ring) for ring in rings]
    lines = Polylines(
        np.concatenate(rings),
        np.concatenate(([0], np.cumsum(lengths))),
        np.ones(len(rings), dtype=bool),
        np.zeros(sum(lengths), dtype=bool),
    )
    tolerance = sheet.tolerance / place.magnification
    pen = pen_for(sheet, element, place, lines, width=width, tolerance=tolerance)
    return stroked(lines, pen, sheet.limits)

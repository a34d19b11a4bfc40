"""Text as marks: characters shaped in runs, placed in chunks about their anchors, and painted like any outline."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import groupby

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from ....errors import ArtworkError
from ...fonts import Font, find_font, set_line
from ..outlines.curves import Polylines
from ..outlines.filling import united
from ..outlines.stroking import Pen, stroked
from ..painting.place import Place
from ..painting.shaping import on_paper, painting_order
from ..painting.sheet import Sheet
from ..paints.colours import BLACK
from ..paints.laying import laid
from ..seeing.marks import Item, Mark
from ..source.document import Element
from ..styling.values import length, number
from .baselines import baseline_offset, decorations, heights
from .characters import Character, characters_of, collapsed
from .pathway import Pathway, pathway_of

_WEIGHTS = {"normal": 400.0, "bold": 700.0, "bolder": 700.0, "lighter": 300.0}
_ANCHORS = {"start": 0.0, "middle": 0.5, "end": 1.0}


@dataclass
class _Glyph:
    """A glyph in its place: its outline about its own origin with y down, user units."""

    outline: BaseGeometry
    x: float
    y: float
    advance: float
    turn: float
    first: Character


def text_items(sheet: Sheet, element: Element, place: Place) -> list[Item]:
    """Return what a ``text`` element lays on the page."""
    characters = collapsed(characters_of(sheet, element, place))
    if not characters or place.magnification == 0:
        return []
    if place.style["writing-mode"] not in {"horizontal-tb", "lr", "lr-tb", "rl", "rl-tb"}:
        sheet.notes.add("text direction", "vertical text is set horizontally", element)
    a, b, c, d, _, _ = place.matrix
    if place.purpose == "paint" and a * d - b * c > 0:
        sheet.notes.add(
            "already reversed",
            "text reads mirrored, as if the art had been reversed for stamping already",
            element,
            remedy="If it was, mirror it back in the drawing program: the die is reversed once when it is built.",
        )
    glyphs: list[_Glyph] = []
    x = y = 0.0
    for chunk in _chunks(characters):
        first = chunk[0]
        x, y = x if first.x is None else first.x, y if first.y is None else first.y
        chunk_glyphs, x, y = _set_chunk(sheet, element, chunk, x, y)
        glyphs += chunk_glyphs
    return [item for place, run in _runs(glyphs) for item in _painted(sheet, element, place, run)]


def _chunks(characters: list[Character]) -> list[list[Character]]:
    """Split where a character is put at a place of its own, or a path begins or ends (SVG 2, section 11.5)."""
    chunks: list[list[Character]] = []
    for character in characters:
        fresh = character.x is not None or character.y is not None or not chunks
        if fresh or character.path is not chunks[-1][-1].path:
            chunks.append([])
        chunks[-1].append(character)
    return chunks


def _set_chunk(
    sheet: Sheet, element: Element, chunk: list[Character], x: float, y: float
) -> tuple[list[_Glyph], float, float]:
    """Set one chunk from (x, y); returns its glyphs and where the next one follows."""
    glyphs: list[_Glyph] = []
    start_x, start_y = x, y
    for _, group in groupby(chunk, key=lambda character: id(character.place)):
        run = list(group)
        set_run, x, y = _set_run(sheet, element, run, x, y)
        glyphs += set_run
    _stretch_to_length(element, chunk, glyphs)
    advance = (glyphs[-1].x + glyphs[-1].advance if glyphs else x) - start_x
    anchor = _ANCHORS.get(chunk[0].place.style["text-anchor"], 0.0)
    if chunk[0].place.style["direction"] == "rtl":
        anchor = 1.0 - anchor
    for glyph in glyphs:
        glyph.x -= anchor * advance
    first = chunk[0]
    path = first.path
    if path is None:
        return glyphs, start_x + (1 - anchor) * advance, y
    pathway = pathway_of(sheet, path, first.place)
    if pathway is None:
        return [], start_x, start_y
    return _along(pathway, glyphs, (-start_x if first.x is None else 0.0, -start_y)), x, y


def _set_run(
    sheet: Sheet, element: Element, run: list[Character], x: float, y: float
) -> tuple[list[_Glyph], float, float]:
    """Shape characters of one style together, then move each glyph as its characters ask."""
    place = run[0].place
    size = place.font_size
    if size <= 0:
        return [], x, y
    font = _font(sheet, element, place)
    spacing = _spacing(place, "letter-spacing")
    word_spacing = _spacing(place, "word-spacing")
    try:
        line = set_line(
            "".join(character.text for character in run),
            font,
            size,
            spacing=spacing,
            kerning=place.style["font-kerning"] != "none",
            tolerance=sheet.tolerance / place.magnification,
        )
    except ArtworkError as error:
        raise ArtworkError(f"{element.described()}: {error}") from error
    for finding in line.findings:
        sheet.notes.add(finding.kind, finding.message.rstrip("."), element, remedy=finding.remedy)
    raised = baseline_offset(font, place, size) + run[0].shift
    glyphs: list[_Glyph] = []
    standing = 0.0
    used = 0
    for at, glyph in enumerate(line.glyphs):
        after = line.glyphs[at + 1].start if at + 1 < len(line.glyphs) else len(run)
        moved = run[used : max(after, used)] if after > used else []
        x += sum(character.dx for character in moved)
        y += sum(character.dy for character in moved)
        used = max(after, used)
        first = run[glyph.start]
        outline = affinity.scale(glyph.outline, 1, -1, origin=(0, 0))
        advance = glyph.advance + (word_spacing if first.text in " \u00a0" else 0.0)
        glyphs.append(_Glyph(outline, x + glyph.x - standing, y - glyph.y - raised, advance, first.turn, first))
        standing += glyph.advance
        x += advance
    return glyphs, x, y


def _font(sheet: Sheet, element: Element, place: Place) -> Font:
    style = place.style
    word = style["font-weight"].lower()
    weight = _WEIGHTS.get(word) or number(word, 400.0)
    font, findings = find_font(style["font-family"], min(max(weight, 1.0), 1000.0), style["font-style"].split(" ")[0])
    for finding in findings:
        sheet.notes.add(
            finding.kind, finding.message.rstrip("."), element, remedy=finding.remedy, severity=finding.severity
        )
    return font


def _spacing(place: Place, name: str) -> float:
    text = place.style[name]
    return 0.0 if text == "normal" else length(text, whole=place.font_size, font_size=place.font_size) or 0.0


def _stretch_to_length(element: Element, chunk: list[Character], glyphs: list[_Glyph]) -> None:
    """Spread or squeeze a chunk to the textLength that its element states (SVG 2, section 11.4)."""
    owner = chunk[0].owner if "textLength" in chunk[0].owner.attrib else element
    wanted = chunk[0].place.length(owner.attrib.get("textLength"), "x")
    if wanted is None or wanted <= 0 or len(glyphs) < 1:
        return
    begin = glyphs[0].x
    natural = glyphs[-1].x + glyphs[-1].advance - begin
    if natural <= 0:
        return
    if owner.attrib.get("lengthAdjust") == "spacingAndGlyphs":
        scale = wanted / natural
        for glyph in glyphs:
            glyph.x = begin + (glyph.x - begin) * scale
            glyph.outline = affinity.scale(glyph.outline, scale, 1, origin=(0, 0))
            glyph.advance *= scale
    elif len(glyphs) > 1:
        extra = (wanted - natural) / (len(glyphs) - 1)
        for at, glyph in enumerate(glyphs):
            glyph.x += at * extra


def _along(pathway: Pathway, glyphs: list[_Glyph], moved: tuple[float, float]) -> list[_Glyph]:
    """Put glyphs on a path, each turned as the path runs at its middle; those beyond its ends are left out."""
    placed = []
    for glyph in glyphs:
        found = pathway.at(pathway.offset + glyph.x + moved[0] + glyph.advance / 2)
        if found is None:
            continue
        middle_x, middle_y, turn = found
        cos, sin = math.cos(turn), math.sin(turn)
        back, off = -glyph.advance / 2, glyph.y + moved[1]
        glyph.x, glyph.y = middle_x + cos * back - sin * off, middle_y + sin * back + cos * off
        glyph.turn += math.degrees(turn)
        placed.append(glyph)
    return placed


def _runs(glyphs: list[_Glyph]) -> list[tuple[Place, list[_Glyph]]]:
    """Return glyphs that are painted alike, in order."""
    runs = []
    for _, group in groupby(glyphs, key=lambda glyph: (id(glyph.first.place), id(glyph.first.owner))):
        run = list(group)
        runs.append((run[0].first.place, run))
    return runs


def _painted(sheet: Sheet, element: Element, place: Place, run: list[_Glyph]) -> list[Item]:
    outlines = [
        affinity.translate(
            affinity.rotate(glyph.outline, glyph.turn, origin=(0, 0)) if glyph.turn else glyph.outline, glyph.x, glyph.y
        )
        for glyph in run
        if not glyph.outline.is_empty
    ]
    font = _font(sheet, element, place)
    if place.purpose == "measure":
        return [Mark(on_paper(_cells(run, font, place.font_size), place.matrix), BLACK)]
    outlines += [
        shapely.box(run[0].x, run[0].y + top, run[-1].x + run[-1].advance, run[0].y + top + thickness)
        for top, thickness in decorations(font, place)
        if run[0].first.path is None
    ]
    region = united(outlines)
    if region.is_empty:
        return []
    if place.style["visibility"] != "visible":
        return []
    if place.purpose == "clip":
        return [Mark(on_paper(region, place.matrix), BLACK, place.clip)]
    sheet.points += shapely.get_num_coordinates(region)
    items: list[Item] = []
    for part in painting_order(place.style["paint-order"]):
        if part == "fill" and place.style["fill"] != "none":
            items += laid(sheet, element, place, part, on_paper(region, place.matrix))
        elif part == "stroke" and place.style["stroke"] != "none":
            outline = _stroked(sheet, place, outlines)
            if not outline.is_empty:
                items += laid(sheet, element, place, part, on_paper(outline, place.matrix))
    return items


def _cells(run: list[_Glyph], font: Font, size: float) -> BaseGeometry:
    """Return the cells of glyphs, advance by ascent and descent, which bound text (SVG 2, section 8.10)."""
    top, bottom = (-height * size for height in heights(font)[:2])
    return shapely.union_all(
        [shapely.box(glyph.x, glyph.y + top, glyph.x + glyph.advance, glyph.y + bottom) for glyph in run]
    )


def _stroked(sheet: Sheet, place: Place, outlines: list[BaseGeometry]) -> BaseGeometry:
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
    style = place.style
    pen = Pen(
        width=width,
        join=style["stroke-linejoin"],
        miter_limit=max(1.0, number(style["stroke-miterlimit"], 4.0)),
        tolerance=sheet.tolerance / place.magnification,
    )
    return stroked(lines, pen, sheet.limits)

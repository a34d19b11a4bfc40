"""Chunks of text: characters shaped in runs, spread to their length, anchored, put along a path or down a column."""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import groupby

from shapely import affinity
from shapely.geometry.base import BaseGeometry

from ....errors import ArtworkError
from ...fonts import Font, GlyphLayer, Wash, reading_levels, set_line, stretches
from ..painting.sheet import Sheet
from ..placing.place import Place
from ..seeing.marks import Colour
from ..source.document import Element
from ..styling.cascade import own_value
from .baselines import baseline_offset, heights
from .casing import capitals_features
from .characters import Character
from .choosing import features_of, font_of
from .pathway import Pathway, pathway_of

_ANCHORS = {"start": 0.0, "middle": 0.5, "end": 1.0}
_ACROSS = frozenset(("horizontal-tb", "lr", "lr-tb", "rl", "rl-tb"))


@dataclass
class Glyph:
    """A glyph in its place: its outline about its own origin with y down, user units.

    ``font``: the one that was asked for, whose heights hold for the line, also where another stands in for it.
    ``advance``: to the next glyph's origin. ``spacing``: what of it letter-spacing added. ``turn``: deg.
    ``first``: of the characters that it stands for, of which there are ``count``.
    ``layers``: what a glyph of a colour font is laid of; None for the colour of the text. ``painting``: how it is
    painted, in type sizes, ``broader`` by a factor than it is high.
    """

    outline: BaseGeometry
    font: Font
    x: float
    y: float
    advance: float
    spacing: float
    turn: float
    first: Character
    count: int = 1
    layers: list[tuple[BaseGeometry, Colour | None]] = field(default_factory=list)
    painting: tuple[Wash | GlyphLayer, ...] = ()
    broader: float = 1.0


@dataclass(frozen=True)
class _Manner:
    """What characters must share to be shaped together; kerning then goes on from span to span.

    ``font``: the one that was asked for; ``drawn``: the one that the letters are taken from.
    """

    font: Font
    drawn: Font
    size: float
    spacing: float
    kerning: bool
    leftward: bool
    features: tuple[tuple[str, int], ...]


def set_chunks(sheet: Sheet, element: Element, characters: Sequence[Character], base: str = "ltr") -> list[Glyph]:
    """Return the glyphs of a ``text`` element in their places (SVG 2, sections 11.5 and 11.6).

    ``base``: the direction of the whole.

    Raises :class:`~stampwright.errors.ArtworkError` when some of it cannot be set, naming its element.
    """
    glyphs: list[Glyph] = []
    x = y = 0.0
    chunks = _chunks(characters)
    for chunk in chunks:
        first = chunk[0]
        x, y = x if first.x is None else first.x, y if first.y is None else first.y
        chunk_glyphs, x, y = _set_chunk(sheet, element, chunk, (x, y), base)
        glyphs += chunk_glyphs
    return glyphs


def _chunks(characters: Sequence[Character]) -> list[list[Character]]:
    """Split where a character is put at a place of its own, or a path begins or ends (SVG 2, section 11.5)."""
    chunks: list[list[Character]] = []
    for character in characters:
        fresh = character.x is not None or character.y is not None or not chunks
        if fresh or character.path is not chunks[-1][-1].path:
            chunks.append([])
        chunks[-1].append(character)
    return chunks


def _set_chunk(
    sheet: Sheet, element: Element, chunk: list[Character], start: tuple[float, float], base: str
) -> tuple[list[Glyph], float, float]:
    """Set one chunk from ``start``; returns its glyphs and where the next one follows."""
    first = chunk[0]
    style = first.place.style
    upright = style["writing-mode"] in _ACROSS or first.path is not None
    glyphs: list[Glyph] = []
    x, y = start
    for stretch, leftward in _in_order(sheet, element, chunk, base):
        for manner, group in _alike(sheet, element, stretch, leftward):
            run, x, y = _set_run(sheet, element, group, manner, (x, y, upright))
            glyphs += run
    if not glyphs:
        return [], x, y
    # Spacing parts letters: none follows the last (CSS Text 3, section 8.2).
    glyphs[-1].advance -= glyphs[-1].spacing
    glyphs[-1].spacing = 0.0
    _stretch_to_lengths(element, chunk, glyphs)
    advance = glyphs[-1].x + glyphs[-1].advance - start[0]
    anchor = _ANCHORS.get(style["text-anchor"], 0.0)
    if style["direction"] == "rtl":
        anchor = 1.0 - anchor
    for glyph in glyphs:
        glyph.x -= anchor * advance
    if not upright:
        _turn_down(glyphs, start)
        return glyphs, start[0], start[1] + (1 - anchor) * advance
    if first.path is None:
        return glyphs, start[0] + (1 - anchor) * advance, y
    pathway = pathway_of(sheet, first.path, first.place)
    if pathway is None:
        return [], *start
    placed = _along(pathway, glyphs, (-start[0] if first.x is None else 0.0, -start[1]))
    if not placed:
        return [], x, y
    turn = math.radians(placed[-1].turn)
    reach = placed[-1].advance
    return placed, placed[-1].x + reach * math.cos(turn), placed[-1].y + reach * math.sin(turn)


def _in_order(sheet: Sheet, text: Element, chunk: list[Character], base: str) -> list[tuple[list[Character], bool]]:
    """Return the stretches of a chunk that are read one way, from left to right, and whether each is read leftward.

    ``base``: direction of the whole text. What spans embed, override or isolate is marked for the reading order as
    plain text marks it (CSS Writing Modes 4, section 2.4.3).
    """
    said: list[str] = []
    places: list[int] = []
    opened: list[tuple[Element, str]] = []
    for character in chunk:
        spans = _spans_round(character.owner, text)[::-1]
        while opened and opened[-1][0] not in spans:
            said.append(opened.pop()[1])
        direction = base
        for span in spans:
            declared = sheet.cascade.declared(span)
            direction = declared.get("direction", direction).strip()
            if all(span is not element for element, _ in opened):
                begin, end = _marks_of(own_value(declared, {}, "unicode-bidi"), direction, whole=span is text)
                said.append(begin)
                opened.append((span, end))
        places.append(sum(map(len, said)))
        said.append(character.text)
    said += [end for _, end in reversed(opened)]
    levels = reading_levels("".join(said), base == "rtl")
    ordered = stretches([levels[place] for place in places])
    return [(chunk[part.start : part.end], part.leftward) for part in ordered]


def _marks_of(asked: str, direction: str, *, whole: bool) -> tuple[str, str]:
    """Return the marks that begin and end a span; ``whole``: it is the text itself, which can only override."""
    leftward = direction == "rtl"
    override, isolate = "\u202e" if leftward else "\u202d", "\u2067" if leftward else "\u2066"
    if asked in {"bidi-override", "isolate-override"} and (whole or asked == "bidi-override"):
        return override, "\u202c"
    if whole:
        return "", ""
    marks = {
        "embed": ("\u202b" if leftward else "\u202a", "\u202c"),
        "isolate": (isolate, "\u2069"),
        "isolate-override": (isolate + override, "\u202c\u2069"),
        "plaintext": ("\u2068", "\u2069"),
    }
    return marks.get(asked, ("", ""))


def _alike(
    sheet: Sheet, element: Element, stretch: list[Character], leftward: bool
) -> list[tuple[_Manner, list[Character]]]:
    """Return the characters of a stretch that are shaped together, from left to right."""
    manners = groupby(stretch, key=lambda character: _manner(sheet, element, character, leftward))
    runs = [(manner, list(group)) for manner, group in manners]
    return runs[::-1] if leftward else runs


def _manner(sheet: Sheet, element: Element, character: Character, leftward: bool) -> _Manner:
    place = character.place
    style = place.style
    # Neither a length of 0 in SVG 1.1's own property nor "none" in CSS's lets a font kern.
    kerning = style["font-kerning"] != "none" and place.length(style["kerning"]) != 0
    spacing = _spacing(place, "letter-spacing") + sheet.text_spacing * place.font_size
    font = font_of(sheet, element, place)
    # Letters that are spaced do not join, but where a feature is set by its name (CSS Fonts 4, section 7.2).
    named, stated = features_of(place)
    joined = {tag: 0 for tag in ("liga", "clig", "dlig", "hlig") if spacing and named.get(tag)}
    capitals = dict.fromkeys(capitals_features(sheet, element, character), 1)
    features = tuple({**named, **joined, **capitals, **stated}.items())
    size = place.font_size * character.shrunk
    return _Manner(font, character.stand_in or font, size, spacing, kerning, leftward, features)


def _spacing(place: Place, name: str) -> float:
    return place.length(place.style[name]) or 0.0


def _set_run(
    sheet: Sheet, element: Element, run: list[Character], manner: _Manner, start: tuple[float, float, bool]
) -> tuple[list[Glyph], float, float]:
    """Shape characters together, then move each glyph as its characters ask.

    ``start``: where, and whether text runs across; down a column, what moves it on is ``dy``.
    """
    x, y, upright = start
    font, size = manner.font, manner.size
    if size <= 0:
        return [], x, y
    try:
        line = set_line(
            "".join(character.text for character in run),
            manner.drawn,
            size,
            spacing=manner.spacing,
            kerning=manner.kerning,
            tolerance=sheet.tolerance / run[0].place.magnification,
            leftward=manner.leftward,
            features=dict(manner.features),
        )
    except ArtworkError as error:
        raise ArtworkError(f"{element.described()}: {error}") from error
    for finding in line.findings:
        sheet.notes.add(finding.kind, finding.message.rstrip("."), element, remedy=finding.remedy)
    glyphs: list[Glyph] = []
    standing = 0.0
    moved: set[int] = set()
    last_of = {glyph.start: number for number, glyph in enumerate(line.glyphs)}
    for number, glyph in enumerate(line.glyphs):
        first = run[glyph.start]
        # What moves a mark or a letter inside a ligature has no effect, as renderers have it.
        along, off = (0.0, 0.0) if glyph.start in moved else (first.dx or 0.0, first.dy or 0.0)
        moved.add(glyph.start)
        if not upright:
            along, off = off, -along
        x, y = x + along, y + off
        advance = glyph.advance + (_spacing(first.place, "word-spacing") if first.text in " \u00a0" else 0.0)
        # A column keeps to its middle, whatever the baseline that is asked for.
        raised = first.shift + (baseline_offset(font, first.place, first.place.font_size) if upright else 0.0)
        outline = affinity.scale(glyph.outline, 1, -1, origin=(0, 0))
        layers = [(affinity.scale(part, 1, -1, origin=(0, 0)), tint) for part, tint in glyph.layers]
        place = x + glyph.x - standing, y - glyph.y - raised
        spacing = manner.spacing if last_of[glyph.start] == number else 0.0
        turn, count = first.turn or 0.0, glyph.end - glyph.start
        glyphs.append(Glyph(outline, font, *place, advance, spacing, turn, first, count, layers, glyph.painting))
        standing += glyph.advance
        x += advance
    return glyphs, x, y


def _stretch_to_lengths(text: Element, chunk: list[Character], glyphs: list[Glyph]) -> None:
    """Spread or squeeze what has a textLength to it, inner spans first (SVG 2, section 11.4)."""
    owners: dict[int, Element] = {}
    for character in chunk:
        for outer in _spans_round(character.owner, text):
            if "textLength" in outer.attrib:
                owners.setdefault(id(outer), outer)
    deepest_first = sorted(owners.values(), key=lambda owner: -len(_spans_round(owner, text)))
    for owner in deepest_first:
        inside = [at for at, glyph in enumerate(glyphs) if owner in _spans_round(glyph.first.owner, text)]
        wanted = chunk[0].place.length(owner.attrib["textLength"], "x")
        if not inside or wanted is None or wanted <= 0:
            continue
        longer = _stretch(glyphs[inside[0] : inside[-1] + 1], wanted, owner.attrib.get("lengthAdjust") or "spacing")
        for glyph in glyphs[inside[-1] + 1 :]:
            glyph.x += longer


def _spans_round(owner: Element, text: Element) -> list[Element]:
    """Return an element inside a text and all that hold it, up to the text."""
    found = [owner]
    while found[-1] is not text and found[-1].parent is not None:
        found.append(found[-1].parent)
    return found


def _stretch(glyphs: Sequence[Glyph], wanted: float, manner: str) -> float:
    """Bring glyphs to the length wanted, by the room between them or with their shapes.

    Returns by how much what follows is moved: as renderers have it, by as much room after the last glyph, too.
    """
    begin = glyphs[0].x
    natural = glyphs[-1].x + glyphs[-1].advance - begin
    if natural <= 0:
        return 0.0
    if manner == "spacingAndGlyphs":
        scale = wanted / natural
        for glyph in glyphs:
            glyph.x = begin + (glyph.x - begin) * scale
            glyph.outline = affinity.scale(glyph.outline, scale, 1, origin=(0, 0))
            glyph.layers = [(affinity.scale(part, scale, 1, origin=(0, 0)), tint) for part, tint in glyph.layers]
            glyph.advance *= scale
            glyph.broader *= scale
    elif len(glyphs) > 1:
        extra = (wanted - natural) / (len(glyphs) - 1)
        for at, glyph in enumerate(glyphs):
            glyph.x += at * extra
        return extra * len(glyphs)
    else:
        return 0.0
    return wanted - natural


def _along(pathway: Pathway, glyphs: list[Glyph], moved: tuple[float, float]) -> list[Glyph]:
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


def _turn_down(glyphs: Sequence[Glyph], start: tuple[float, float]) -> None:
    """Turn a line about its start to run down the page (CSS Writing Modes 4, section 5).

    Letters of the scripts that are written so stay upright, others lie on their side; the column runs through the
    middle of both, halfway between ascent and descent.
    """
    for glyph in glyphs:
        of = heights(glyph.font)
        central = (of.ascent + of.descent) / 2 * glyph.first.place.font_size
        along, off = glyph.x - start[0], glyph.y - start[1]
        if unicodedata.east_asian_width(glyph.first.text) in "WF":
            glyph.x = start[0] - off - glyph.advance / 2
            glyph.y = start[1] + along + glyph.advance / 2 + central
        else:
            glyph.x, glyph.y = start[0] - off - central, start[1] + along
            glyph.turn += 90

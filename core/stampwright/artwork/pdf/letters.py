"""Letters of a PDF page's text: its characters, and where they stand, as far as they are seen on the page."""

from __future__ import annotations

import ctypes
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np
import pypdfium2.raw as pdfium
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon

from ...plane.overlays import common
from ..letters import Letter, letter_of
from .objects import DEEPEST, address_of, letter_matrix, objects_in, objects_on

if TYPE_CHECKING:
    from .objects import Matrix

_SEEN_AT = 1600
"""Pixels of the longer side at which a page is rendered with its text and without."""

_SEEN = 12
"""Steps of 255 by which a pixel differs at the least where text is seen in it."""

_UNSEEN_MODES = {3, 7}
"""Rendering modes of text that lay nothing (ISO 32000-1, table 106)."""

_NAMELESS = {"Cc", "Cn", "Co", "Cs"}
"""Kinds of character that have no name to a reader: controls, unassigned, private ones and halves of others."""

_UNKNOWN = "\N{REPLACEMENT CHARACTER}"

_SAME = 1e-3
"""Share of the type size within which characters stand on one spot."""


@dataclass(frozen=True)
class _Sign:
    """A character as it is laid: ``item``, the text object that it is of; ``box``: points, x and y of two corners."""

    index: int
    text: str
    item: Any
    matrix: Matrix
    size: float
    box: tuple[float, float, float, float]


@dataclass
class _Word:
    """A word as it is laid: ``signs``, those that are one letter together, such as a ligature's."""

    signs: list[list[_Sign]] = field(default_factory=list)

    def in_reading_order(self) -> list[list[_Sign]]:
        """Return its letters as they are read; what is read from the right may be laid from either side."""
        kinds = [unicodedata.bidirectional(sign.text[0]) for letter in self.signs for sign in letter]
        if not any(kind in ("R", "AL") for kind in kinds) or any(kind in ("L", "EN", "AN") for kind in kinds):
            return self.signs
        a, b, *_ = self.signs[0][0].matrix
        return sorted(self.signs, key=lambda letter: -(a * letter[0].matrix[4] + b * letter[0].matrix[5]))


def letters_on(page: Any, placed: Matrix, inked: MultiPolygon, unit: float) -> tuple[Letter, ...]:
    """Return the letters of a page's text that are seen in its ink, in the order in which they are read.

    ``placed``: from the page's own points to those of the shown page, y down; ``inked``: the artwork, y up, ``unit``
    mm a point. Text that is hidden, covered, clipped away, laid invisibly over a scan or of the colour of what it lies
    on has no letters, nor has a character whose file does not tell what it stands for.
    """
    text = pdfium.FPDFText_LoadPage(page)
    try:
        words = list(_words(text))
        if not words:
            return ()
        shown = _shown_text(page, placed)
        to_paper = _on_paper(placed, page.get_height(), unit)
        shapely.prepare(inked)
        return tuple(
            letter for word in words for letter in _letters_of(word, to_paper, inked, shown) if letter is not None
        )
    finally:
        pdfium.FPDFText_ClosePage(text)


def _on_paper(placed: Matrix, height: float, unit: float) -> list[float]:
    """Return the matrix from a page's own points to the paper frame, mm (shapely's six-number affine form)."""
    a, b, c, d, e, f = placed
    return [unit * a, unit * c, -unit * b, -unit * d, unit * e, unit * (height - f)]


def _words(text: Any) -> Iterator[_Word]:
    word = _Word()
    for sign in _signs(text):
        if sign is None:
            if word.signs:
                yield word
            word = _Word()
        elif word.signs and _stands_with(sign, word.signs[-1][-1]):
            word.signs[-1].append(sign)
        else:
            word.signs.append([sign])
    if word.signs:
        yield word


def _stands_with(sign: _Sign, before: _Sign) -> bool:
    """Say whether a character is one letter with that before it: of one ligature, or an accent of it."""
    if unicodedata.combining(sign.text[0]):
        return True
    off = max(abs(one - other) for one, other in zip(sign.matrix, before.matrix, strict=True))
    return address_of(sign.item) == address_of(before.item) and off <= _SAME * max(sign.size, _SAME)


def _signs(text: Any) -> Iterator[_Sign | None]:
    """Yield the characters of a page's text that are laid so that they may be seen; None between words."""
    size = ctypes.c_float()
    high = ""
    for index in range(max(pdfium.FPDFText_CountChars(text), 0)):
        character = _character(text, index)
        # A character beyond the first 65,536 comes as two halves where the system has letters of two bytes.
        if "\ud800" <= character <= "\udbff":
            high = character
            continue
        character, high = (high + character).encode("utf-16", "surrogatepass").decode("utf-16", "replace"), ""
        item = pdfium.FPDFText_GetTextObject(text, index)
        if pdfium.FPDFText_IsGenerated(text, index) or character.isspace() or not address_of(item):
            yield None
            continue
        if pdfium.FPDFTextObj_GetTextRenderMode(item) in _UNSEEN_MODES:
            continue
        pdfium.FPDFTextObj_GetFontSize(item, size)
        yield _Sign(index, character, item, letter_matrix(text, index), size.value, _char_box(text, index))


def _character(text: Any, index: int) -> str:
    if pdfium.FPDFText_IsHyphen(text, index) == 1:
        return "-"
    code = pdfium.FPDFText_GetUnicode(text, index)
    known = code and code < 0x110000 and pdfium.FPDFText_HasUnicodeMapError(text, index) != 1
    return chr(code) if known else _UNKNOWN


def _char_box(text: Any, index: int) -> tuple[float, float, float, float]:
    left, right, bottom, top = (ctypes.c_double() for _ in range(4))
    pdfium.FPDFText_GetCharBox(text, index, left, right, bottom, top)
    return left.value, bottom.value, right.value, top.value


def _letters_of(word: _Word, to_paper: Sequence[float], inked: MultiPolygon, shown: _Shown) -> Iterator[Letter | None]:
    letters = word.in_reading_order()
    said = ["".join(sign.text for sign in letter) for letter in letters]
    whole, at = "".join(said), 0
    for letter, text in zip(letters, said, strict=True):
        begin, at = at, at + len(text)
        if any(unicodedata.category(each) in _NAMELESS or each == _UNKNOWN for each in text):
            continue
        place = _place(letter)
        if place is None or not shown.within(place.bounds):
            continue
        on_paper = affinity.affine_transform(place, list(to_paper))
        # What has no ink, or nothing else, shows no letter.
        if shapely.intersects(inked, on_paper) and not shapely.contains_properly(inked, on_paper):
            named = letter_of(whole, begin, on_paper, at)
            yield None if named is None else Letter(named.character, named.word, on_paper)


def _place(letter: Sequence[_Sign]) -> Polygon | None:
    """Return the box round a letter, turned with the text, on the page; None where it has no extent."""
    boxes = np.array([sign.box for sign in letter])
    hull = shapely.box(*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0))
    if hull.area <= 0:
        return None
    a, b, c, d, _, _ = letter[0].matrix
    least = 1e-3 * max(abs(a), abs(b), abs(c), abs(d))
    upright = max(abs(b), abs(c)) <= least or max(abs(a), abs(d)) <= least
    turned = None if upright or len(letter) > 1 else _turned(letter[0])
    # Of some fonts the library gives the outlines of others.
    if turned is None or common(shapely.box(*turned.bounds), hull).area <= 0.5 * hull.area:
        return hull
    return turned


def _turned(sign: _Sign) -> Polygon | None:
    """Return the box round a letter's outline as it is turned; None where it has no outline."""
    font = pdfium.FPDFTextObj_GetFont(sign.item)
    glyph = pdfium.FPDFFont_GetGlyphPath(font, ord(sign.text[0]), ctypes.c_float(1.0))
    count = pdfium.FPDFGlyphPath_CountGlyphSegments(glyph) if glyph else 0
    x, y, points = ctypes.c_float(), ctypes.c_float(), []
    for number in range(max(count, 0)):
        pdfium.FPDFPathSegment_GetPoint(pdfium.FPDFGlyphPath_GetGlyphPathSegment(glyph, number), x, y)
        points.append((x.value, y.value))
    if not points:
        return None
    ends = np.array(points)
    box = shapely.box(*ends.min(axis=0), *ends.max(axis=0))
    a, b, c, d, e, f = sign.matrix
    size = sign.size
    return affinity.affine_transform(box, [size * a, size * c, size * b, size * d, e, f])


@dataclass(frozen=True, eq=False)
class _Shown:
    """Where a page shows its text: ``changed``, (rows, columns) sums over pixels that differ, from the top left.

    ``to_pixels``: from the page's own points.
    """

    changed: NDArray[np.int64]
    to_pixels: list[float]

    def within(self, bounds: tuple[float, float, float, float]) -> bool:
        """Say whether text is seen anywhere in a box on the page."""
        left, top, right, bottom = affinity.affine_transform(shapely.box(*bounds), self.to_pixels).bounds
        rows, columns = (side - 1 for side in self.changed.shape)
        x, far_x = (int(np.clip(each, 0, columns)) for each in (np.floor(left), np.ceil(right)))
        y, far_y = (int(np.clip(each, 0, rows)) for each in (np.floor(top), np.ceil(bottom)))
        table = self.changed
        return bool(table[far_y, far_x] - table[y, far_x] - table[far_y, x] + table[y, x])


def _shown_text(page: Any, placed: Matrix) -> _Shown:
    """Return where a page looks otherwise without its text."""
    scale = _SEEN_AT / max(page.get_size())
    texts = [item for each in objects_on(page) for item in _texts(each, 0)]
    with_text = page.render(scale=scale).to_numpy().astype(np.int16)
    for item in texts:
        pdfium.FPDFPageObj_SetIsActive(item, 0)
    try:
        without = page.render(scale=scale).to_numpy()
    finally:
        for item in texts:
            pdfium.FPDFPageObj_SetIsActive(item, 1)
    changed = np.abs(with_text - without).reshape(*with_text.shape[:2], -1).max(axis=2) >= _SEEN
    sums = np.pad(changed, ((1, 0), (1, 0))).astype(np.int64).cumsum(axis=0).cumsum(axis=1)
    a, b, c, d, e, f = placed
    return _Shown(sums, [scale * each for each in (a, c, b, d, e, f)])


def _texts(item: Any, depth: int) -> Iterable[Any]:
    match pdfium.FPDFPageObj_GetType(item):
        case pdfium.FPDF_PAGEOBJ_TEXT:
            yield item
        case pdfium.FPDF_PAGEOBJ_FORM if depth < DEEPEST:
            for each in objects_in(item):
                yield from _texts(each, depth + 1)

"""A PDF page's objects as an SVG drawing: paths and letters with their paint and clips, in the order they are laid."""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any
from xml.sax.saxutils import quoteattr

import pypdfium2.raw as pdfium

from ...errors import ArtworkError
from ...job.written.texts import as_line
from ..limits import Limits, beyond

Matrix = tuple[float, float, float, float, float, float]

_DEEPEST = 12
"""How far forms may lie inside one another."""

HAIRLINE = 0.1 / 25.4 * 72
"""Points; how wide a line of width 0 is taken, the thinnest that a device has (ISO 32000-1, section 8.4.3.2)."""

_LONGEST_NAME = 500
"""Halves of UTF-16 in the name of a layer."""

_CAPS, _JOINS = ("butt", "round", "square"), ("miter", "round", "bevel")

_LETTERS_FILLED, _LETTERS_STROKED = {0, 2, 4, 6}, {1, 2, 5, 6}
"""Rendering modes of text that fill, and that stroke (ISO 32000-1, table 106)."""


class Pictured(Exception):
    """Raised where a page holds what is no outline: an image, a shading, a letter without one."""


class Photographed(Pictured):
    """Raised where that is an image, which may be a scan."""


@dataclass
class _Drawing:
    """What is drawn so far.

    ``letters``: which letters of the page's text each text object has, by its address. ``hidden``: layers not shown.
    """

    document: Any
    limits: Limits
    text: Any
    letters: dict[int, list[int]]
    hidden: frozenset[str] = frozenset()
    defs: list[str] = field(default_factory=list)
    body: list[str] = field(default_factory=list)
    clips: dict[str, int] = field(default_factory=dict)
    points: int = 0
    drawn: int = 0

    def count(self, points: int) -> None:
        """Count one more thing drawn; raises :class:`ArtworkError` past a limit."""
        self.points += points
        self.drawn += 1
        if self.points > self.limits.most_points:
            raise beyond("most_points", f"the page has over {self.points:,} points", self.limits)
        if self.drawn > self.limits.most_drawn:
            raise beyond("most_drawn", f"the page draws over {self.drawn:,} outlines", self.limits)


def page_as_svg(
    document: Any, page: Any, placed: Matrix, size: tuple[float, float], limits: Limits, *, hidden: frozenset[str]
) -> str:
    """Return a page as an SVG document; ``placed``: from the page's own points to ``size`` points, y down.

    Layers (optional content, ISO 32000-1, section 8.11) become groups of their name; ``hidden``: those not shown.

    Raises :class:`Pictured` where it holds more than outlines, :class:`ArtworkError` past a limit.
    """
    text = pdfium.FPDFText_LoadPage(page)
    try:
        letters: dict[int, list[int]] = {}
        for index in range(max(pdfium.FPDFText_CountChars(text), 0)):
            letters.setdefault(_address(pdfium.FPDFText_GetTextObject(text, index)), []).append(index)
        drawing = _Drawing(document, limits, text, letters, hidden)
        for each in objects_on(page):
            _draw(drawing, each, (1.0, 0.0, 0.0, 1.0, 0.0, 0.0), 0)
    finally:
        pdfium.FPDFText_ClosePage(text)
    width, height = size
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}pt" height="{height}pt" viewBox="0 0 {width} {height}">'
        f'<defs>{"".join(drawing.defs)}</defs><g transform="{_written(placed)}">{"".join(drawing.body)}</g></svg>'
    )


def _draw(drawing: _Drawing, item: Any, outer: Matrix, depth: int) -> None:
    if pdfium.FPDFPageObj_HasTransparency(item) and pdfium.FPDFPageObj_GetType(item) == pdfium.FPDF_PAGEOBJ_FORM:
        raise Pictured("a group with transparency")
    layer = layer_of(item)
    if layer:
        display = ' display="none"' if layer in drawing.hidden else ""
        drawing.body.append(f"<g data-name={quoteattr(layer)}{display}>")
    match pdfium.FPDFPageObj_GetType(item):
        case pdfium.FPDF_PAGEOBJ_PATH:
            _draw_path(drawing, item, outer)
        case pdfium.FPDF_PAGEOBJ_TEXT:
            _draw_text(drawing, item, outer)
        case pdfium.FPDF_PAGEOBJ_FORM:
            if depth >= _DEEPEST:
                raise ArtworkError(f"its forms lie more than {_DEEPEST} deep inside one another; flatten the drawing")
            own = _times(outer, _matrix_of(item))
            inside = [
                pdfium.FPDFFormObj_GetObject(item, n) for n in range(max(pdfium.FPDFFormObj_CountObjects(item), 0))
            ]
            opened = _open_clip(drawing, item, outer)
            for each in inside:
                _draw(drawing, each, own, depth + 1)
            drawing.body.append("</g>" * opened)
        case pdfium.FPDF_PAGEOBJ_IMAGE:
            raise Photographed("an image")
        case _:
            raise Pictured("a shading")
    if layer:
        drawing.body.append("</g>")


def objects_on(page: Any) -> list[Any]:
    """Return the objects that a page draws, in their order."""
    return [pdfium.FPDFPage_GetObject(page, number) for number in range(pdfium.FPDFPage_CountObjects(page))]


def layer_of(item: Any) -> str:
    """Return the name of the layer that an object of a page is marked as lying on, "" for none."""
    for number in range(max(pdfium.FPDFPageObj_CountMarks(item), 0)):
        mark = pdfium.FPDFPageObj_GetMark(item, number)
        if _text_of(pdfium.FPDFPageObjMark_GetName, mark) == "OC":
            return as_line(_text_of(pdfium.FPDFPageObjMark_GetParamStringValue, mark, b"Name"))
    return ""


def _text_of(read: Any, *of: Any) -> str:
    """Return text that the library writes as UTF-16, cut off where it is very long."""
    held, length = (pdfium.FPDF_WCHAR * _LONGEST_NAME)(), ctypes.c_ulong()
    read(*of, held, ctypes.sizeof(held), length)
    return bytes(held)[: length.value].decode("utf-16-le", "replace").rstrip("\0")


def _draw_path(drawing: _Drawing, item: Any, outer: Matrix) -> None:
    mode, stroked = ctypes.c_int(), ctypes.c_int()
    pdfium.FPDFPath_GetDrawMode(item, mode, stroked)
    if not mode.value and not stroked.value:
        return
    count = pdfium.FPDFPath_CountSegments(item)
    drawing.count(count)
    course = _course(pdfium.FPDFPath_GetPathSegment(item, n) for n in range(count))
    rule = ' fill-rule="evenodd"' if mode.value == pdfium.FPDF_FILLMODE_ALTERNATE else ""
    whole = _times(outer, _matrix_of(item))
    matrix = _written(whole)
    paint = _paint(item, whole, filled=bool(mode.value), stroked=bool(stroked.value))
    opened = _open_clip(drawing, item, outer)
    drawing.body.append(f'<path d="{course}" transform="{matrix}"{rule}{paint}/>{"</g>" * opened}')


def _draw_text(drawing: _Drawing, item: Any, outer: Matrix) -> None:
    mode = pdfium.FPDFTextObj_GetTextRenderMode(item)
    filled, stroked = mode in _LETTERS_FILLED, mode in _LETTERS_STROKED
    if not filled and not stroked:
        return
    font, size = pdfium.FPDFTextObj_GetFont(item), ctypes.c_float()
    pdfium.FPDFTextObj_GetFontSize(item, size)
    paint = _paint(item, outer, filled=filled, stroked=stroked)
    opened = _open_clip(drawing, item, outer)
    for index in drawing.letters.get(_address(item), ()):
        letter = pdfium.FPDFText_GetUnicode(drawing.text, index)
        if pdfium.FPDFText_IsGenerated(drawing.text, index) or letter in (0x20, 0xA0, 0x0A, 0x0D):
            continue
        glyph = pdfium.FPDFFont_GetGlyphPath(font, letter, ctypes.c_float(1.0))
        count = pdfium.FPDFGlyphPath_CountGlyphSegments(glyph) if glyph else -1
        if count <= 0:
            raise Pictured("a letter without an outline")
        drawing.count(count)
        course = _course(pdfium.FPDFGlyphPath_GetGlyphPathSegment(glyph, n) for n in range(count))
        # Letters stand on the page itself, whatever form they lie in.
        matrix = _times(_letter_matrix(drawing.text, index), (size.value, 0.0, 0.0, size.value, 0.0, 0.0))
        drawing.body.append(f'<path d="{course}" transform="{_written(matrix)}"{paint}/>')
    drawing.body.append("</g>" * opened)


def _letter_matrix(text: Any, index: int) -> Matrix:
    held, x, y = pdfium.FS_MATRIX(), ctypes.c_double(), ctypes.c_double()
    pdfium.FPDFText_GetMatrix(text, index, held)
    pdfium.FPDFText_GetCharOrigin(text, index, x, y)
    return held.a, held.b, held.c, held.d, x.value, y.value


def _open_clip(drawing: _Drawing, item: Any, outer: Matrix) -> int:
    """Open a group for each outline that an object is clipped by; returns how many."""
    clip = pdfium.FPDFPageObj_GetClipPath(item)
    count = pdfium.FPDFClipPath_CountPaths(clip) if clip else -1
    for number in range(max(count, 0)):
        segments = pdfium.FPDFClipPath_CountPathSegments(clip, number)
        drawing.count(max(segments, 0))
        course = _course(pdfium.FPDFClipPath_GetPathSegment(clip, number, n) for n in range(max(segments, 0)))
        written = f'<path d="{course}" transform="{_written(outer)}"/>'
        if written not in drawing.clips:
            drawing.clips[written] = len(drawing.clips)
            drawing.defs.append(f'<clipPath id="c{drawing.clips[written]}">{written}</clipPath>')
        drawing.body.append(f'<g clip-path="url(#c{drawing.clips[written]})">')
    return max(count, 0)


def _paint(item: Any, matrix: Matrix, *, filled: bool, stroked: bool) -> str:
    paint = ' fill="none"'
    if filled:
        colour, opacity = _colour(pdfium.FPDFPageObj_GetFillColor, item)
        paint = f' fill="{colour}" fill-opacity="{opacity}"'
    if not stroked:
        return paint
    colour, opacity = _colour(pdfium.FPDFPageObj_GetStrokeColor, item)
    width, phase = ctypes.c_float(), ctypes.c_float()
    pdfium.FPDFPageObj_GetStrokeWidth(item, width)
    a, b, c, d, _, _ = matrix
    across = width.value or HAIRLINE / max(abs(a * d - b * c) ** 0.5, 1e-9)
    paint += f' stroke="{colour}" stroke-opacity="{opacity}" stroke-width="{across}" stroke-miterlimit="10"'
    paint += f' stroke-linecap="{_CAPS[pdfium.FPDFPageObj_GetLineCap(item) % 3]}"'
    paint += f' stroke-linejoin="{_JOINS[pdfium.FPDFPageObj_GetLineJoin(item) % 3]}"'
    count = pdfium.FPDFPageObj_GetDashCount(item)
    if count > 0:
        dashes = (ctypes.c_float * count)()
        pdfium.FPDFPageObj_GetDashArray(item, dashes, count)
        pdfium.FPDFPageObj_GetDashPhase(item, phase)
        paint += f' stroke-dasharray="{" ".join(map(str, dashes))}" stroke-dashoffset="{phase.value}"'
    return paint


def _colour(read: Any, item: Any) -> tuple[str, float]:
    """Return a colour and its opacity; where a pattern paints, there is none to be told."""
    red, green, blue, opacity = (ctypes.c_uint() for _ in range(4))
    if not read(item, red, green, blue, opacity):
        raise Pictured("a pattern")
    return f"rgb({red.value},{green.value},{blue.value})", opacity.value / 255


def _course(segments: Iterator[Any]) -> str:
    """Return segments as SVG path data; three points make a curve."""
    course: list[str] = []
    bends = 0
    x, y = ctypes.c_float(), ctypes.c_float()
    for segment in segments:
        pdfium.FPDFPathSegment_GetPoint(segment, x, y)
        kind = pdfium.FPDFPathSegment_GetType(segment)
        if kind == pdfium.FPDF_SEGMENT_BEZIERTO:
            course.append(f"{'' if bends else 'C'}{x.value} {y.value} ")
            bends = (bends + 1) % 3
        else:
            bends = 0
            course.append(f"{'M' if kind == pdfium.FPDF_SEGMENT_MOVETO else 'L'}{x.value} {y.value} ")
        if pdfium.FPDFPathSegment_GetClose(segment):
            course.append("Z ")
    return "".join(course)


def _matrix_of(item: Any) -> Matrix:
    held = pdfium.FS_MATRIX()
    pdfium.FPDFPageObj_GetMatrix(item, held)
    return held.a, held.b, held.c, held.d, held.e, held.f


def _times(outer: Matrix, inner: Matrix) -> Matrix:
    """Return the matrix that takes points first through ``inner``, then through ``outer``."""
    a, b, c, d, e, f = outer
    p, q, r, s, t, u = inner
    return a * p + c * q, b * p + d * q, a * r + c * s, b * r + d * s, a * t + c * u + e, b * t + d * u + f


def _written(matrix: Matrix) -> str:
    return f"matrix({' '.join(map(repr, matrix))})"


def _address(item: Any) -> int:
    return ctypes.cast(item, ctypes.c_void_p).value or 0

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

DEEPEST = 12
"""How far forms may lie inside one another."""

HAIRLINE = 0.1 / 25.4 * 72
"""Points; how wide a line of width 0 is taken, the thinnest that a device has (ISO 32000-1, section 8.4.3.2)."""

_NAMELESS = "a layer without a name"

_LONGEST_NAME, _LONGEST_WORD = 1000, 50
"""Bytes in the name of a layer, halves of UTF-16 in what a mark is called."""

_SHORTEST_DASH = 0.1
"""Points; how long a dash of no length, a dot by its round ends, is drawn (from memory)."""

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

    ``letters``: which letters of the page's text each text object has, by its address. ``hidden``: the addresses of
    the marks of layers, and of the forms, that are not shown.
    """

    document: Any
    limits: Limits
    text: Any
    letters: dict[int, list[int]]
    hidden: frozenset[int] = frozenset()
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
    document: Any, page: Any, placed: Matrix, size: tuple[float, float], limits: Limits, *, hidden: frozenset[int]
) -> str:
    """Return a page as an SVG document; ``placed``: from the page's own points to ``size`` points, y down.

    Layers (optional content, ISO 32000-1, section 8.11) become groups of their name; ``hidden``: the addresses
    of the marks of those not shown, and of forms that are not.

    Raises :class:`Pictured` where it holds more than outlines, :class:`ArtworkError` past a limit.
    """
    text = pdfium.FPDFText_LoadPage(page)
    try:
        letters: dict[int, list[int]] = {}
        for index in range(max(pdfium.FPDFText_CountChars(text), 0)):
            letters.setdefault(address_of(pdfium.FPDFText_GetTextObject(text, index)), []).append(index)
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


def _draw(drawing: _Drawing, item: Any, outer: Matrix, depth: int, *, hidden: bool = False) -> None:
    opened = 0
    for address, name in (layers_of(item) | {address_of(item): ""}).items():
        hides = address in drawing.hidden
        if name or hides:
            display = ' display="none"' * hides
            drawing.body.append(f"<g data-name={quoteattr(name or _NAMELESS)}{display}>")
            opened += 1
        hidden |= hides
    match pdfium.FPDFPageObj_GetType(item):
        case pdfium.FPDF_PAGEOBJ_PATH:
            _draw_path(drawing, item, outer)
        case pdfium.FPDF_PAGEOBJ_TEXT:
            _draw_text(drawing, item, outer)
        case pdfium.FPDF_PAGEOBJ_FORM:
            if depth >= DEEPEST:
                raise ArtworkError(f"its forms lie more than {DEEPEST} deep inside one another; flatten the drawing")
            own = _times(outer, _matrix_of(item))
            clips = _open_clip(drawing, item, outer)
            for each in objects_in(item):
                _draw(drawing, each, own, depth + 1, hidden=hidden)
            drawing.body.append("</g>" * clips)
        case _ if hidden:
            pass
        case pdfium.FPDF_PAGEOBJ_IMAGE:
            raise Photographed("an image")
        case _:
            raise Pictured("a shading")
    drawing.body.append("</g>" * opened)


def objects_on(page: Any) -> list[Any]:
    """Return the objects that a page draws, in their order."""
    return [pdfium.FPDFPage_GetObject(page, number) for number in range(pdfium.FPDFPage_CountObjects(page))]


def objects_in(form: Any) -> list[Any]:
    """Return the objects that a form draws, in their order."""
    count = pdfium.FPDFFormObj_CountObjects(form)
    return [pdfium.FPDFFormObj_GetObject(form, number) for number in range(max(count, 0))]


def layers_of(item: Any) -> dict[int, str]:
    """Return the names of the layers that an object is marked as lying on, the outermost first, by their marks.

    A mark, which all that stands between its beginning and end has in common, is told by its address; a layer that
    hangs on others by a rule has no name.
    """
    layers = {}
    for number in range(max(pdfium.FPDFPageObj_CountMarks(item), 0)):
        mark = pdfium.FPDFPageObj_GetMark(item, number)
        if _word_of(mark) == "OC":
            layers[address_of(mark)] = _name_in(mark)
    return layers


def _word_of(mark: Any) -> str:
    held, length = (pdfium.FPDF_WCHAR * _LONGEST_WORD)(), ctypes.c_ulong()
    pdfium.FPDFPageObjMark_GetName(mark, held, ctypes.sizeof(held), length)
    return bytes(held)[: length.value].decode("utf-16-le", "replace").rstrip("\0")


def _name_in(mark: Any) -> str:
    """Return the name in a mark's properties: a text string (ISO 32000-1, section 7.9.2.2), cut off where very long.

    The library's own reading of it takes all for UTF-8.
    """
    length = ctypes.c_ulong()
    pdfium.FPDFPageObjMark_GetParamBlobValue(mark, b"Name", None, 0, length)
    held = (ctypes.c_ubyte * length.value)()
    pdfium.FPDFPageObjMark_GetParamBlobValue(mark, b"Name", held, length.value, length)
    text = bytes(held)[:_LONGEST_NAME]
    if text.startswith((b"\xfe\xff", b"\xff\xfe")):
        return as_line(text.decode("utf-16", "replace"))
    try:
        return as_line(text.decode("utf-8-sig"))
    except UnicodeDecodeError:
        return as_line(text.decode("latin-1"))


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
    opened = _open_clip(drawing, item, outer)
    for index in drawing.letters.get(address_of(item), ()):
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
        matrix = letter_matrix(drawing.text, index)
        # A line is as wide as it is where the text stands: in a type size of 1, that is in its matrix.
        around = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0) if size.value == 1.0 else matrix
        whole = _times(matrix, (size.value, 0.0, 0.0, size.value, 0.0, 0.0))
        paint = _paint(item, whole, filled=filled, stroked=stroked, wider=_stretch(around) / _stretch(whole))
        drawing.body.append(f'<path d="{course}" transform="{_written(whole)}"{paint}/>')
    drawing.body.append("</g>" * opened)


def letter_matrix(text: Any, index: int) -> Matrix:
    """Return the matrix from a character's own axes, in type sizes, to the page that its text is on, points."""
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


def _paint(item: Any, matrix: Matrix, *, filled: bool, stroked: bool, wider: float = 1.0) -> str:
    """Return how an object is painted, as attributes; ``matrix``: that it is drawn in, where lines are ``wider``."""
    paint = ' fill="none"'
    if filled:
        colour, opacity = _colour(pdfium.FPDFPageObj_GetFillColor, item)
        paint = f' fill="{colour}" fill-opacity="{opacity}"'
    if not stroked:
        return paint
    colour, opacity = _colour(pdfium.FPDFPageObj_GetStrokeColor, item)
    width, phase = ctypes.c_float(), ctypes.c_float()
    pdfium.FPDFPageObj_GetStrokeWidth(item, width)
    across = wider * width.value or HAIRLINE / _stretch(matrix)
    paint += f' stroke="{colour}" stroke-opacity="{opacity}" stroke-width="{across}" stroke-miterlimit="10"'
    paint += f' stroke-linecap="{_CAPS[pdfium.FPDFPageObj_GetLineCap(item) % 3]}"'
    paint += f' stroke-linejoin="{_JOINS[pdfium.FPDFPageObj_GetLineJoin(item) % 3]}"'
    count = pdfium.FPDFPageObj_GetDashCount(item)
    if count > 0:
        dashes = (ctypes.c_float * count)()
        pdfium.FPDFPageObj_GetDashArray(item, dashes, count)
        # A dash of no length is drawn with some by the library, which what is read is held against.
        dashes[::2] = [max(dash, _SHORTEST_DASH) for dash in dashes[::2]]
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


def _stretch(matrix: Matrix) -> float:
    a, b, c, d, _, _ = matrix
    return float(max(abs(a * d - b * c) ** 0.5, 1e-9))


def _written(matrix: Matrix) -> str:
    return f"matrix({' '.join(map(repr, matrix))})"


def address_of(item: Any) -> int:
    """Return the address of an object or mark, which tells it from all others of its page."""
    return ctypes.cast(item, ctypes.c_void_p).value or 0

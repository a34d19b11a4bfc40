"""Prints beside their stamp on one sheet: what is missing, light, stray and spread, and what to do."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import shapely
from shapely.geometry import MultiPolygon

from ...errors import OutputError
from ...files import png_bytes
from ...looks.colours import BLUE, HAIRLINE, INK, MADDER, MUSTARD, PURPLE, QUIET, RULE
from ...output.sketches.as_pdf import sketch_pdf
from ...output.sketches.as_pixels import sketch_picture
from ...output.sketches.as_svg import sketch_svg
from ...output.sketches.marks import Area, InSketch, Sketch, SketchMark, Words
from ...output.sketches.wrapping import wrapped
from ...plane.overlays import common
from .comparing import PrintComparison
from .differences import PrintDifferences

FORMS = (".svg", ".png", ".pdf")
"""Endings that a sheet's file may have."""

_WIDE, _EDGE, _GAP = 190.0, 8.0, 6.0  # of the sheet, mm
_ACROSS = 84.0  # of each picture, mm
_TYPE, _LINE = 3.2, 4.6
_MOST_SHOWN = 6  # prints that have a picture of their own
_MOST_TOLD = 14  # findings that are told
_PIXELS = 2000  # across a sheet as a picture
_PRINTED = "#c9ccd2"  # ink of the print, pale enough for the colours on it
_KEY = (
    (MADDER, "missing"),
    (MUSTARD, "light"),
    (PURPLE, "stray"),
    (BLUE, "spread more"),
    (_PRINTED, "printed as it should"),
)


def check_form(path: Path) -> None:
    """Check that a sheet can be written under a name; raises :class:`~stampwright.errors.OutputError`."""
    if path.suffix.lower() not in FORMS:
        raise OutputError(f"{path}: a comparison is drawn as {', '.join(FORMS)}; give it one of these endings")


def comparison_file(path: Path, comparison: PrintComparison) -> bytes:
    """Return the sheet of a comparison in the form that a name asks for.

    Raises :class:`~stampwright.errors.OutputError` when there is no such form.
    """
    check_form(path)
    sketch, title = comparison_sketch(comparison), f"Prints beside their stamp: {comparison.job.name}"
    match path.suffix.lower():
        case ".svg":
            return sketch_svg(sketch, title=title).encode("utf-8")
        case ".pdf":
            return sketch_pdf(sketch, title=title)
    return png_bytes(sketch_picture(sketch, columns=_PIXELS), dpi=_PIXELS / sketch.width * 25.4)


def comparison_sketch(comparison: PrintComparison) -> Sketch:
    """Return the sheet: the art, every print on it, what all have in common, and what to do."""
    left, bottom, right, top = comparison.face.bounds
    scale = _ACROSS / max(right - left, top - bottom)
    tall = (top - bottom) * scale
    marks: list[SketchMark] = [
        Words(_EDGE, _EDGE + 5.0, f"Prints beside their stamp: {comparison.job.name}"[:90], 5.0, heading=True),
        *_told(comparison.in_words(), _EDGE, _EDGE + 11.0, QUIET),
    ]
    down = _EDGE + 11.0 + _LINE * len(_lines(comparison.in_words(), _WIDE - 2 * _EDGE)) + 2.0
    pictures = [("the art as given", [(comparison.given.inked, INK)])]
    pictures += [(_named(each), _layers(comparison.face, each)) for each in comparison.prints[:_MOST_SHOWN]]
    if len(comparison.prints) > 1:
        common = [(comparison.face, HAIRLINE), (comparison.sometimes, MUSTARD), (comparison.always, MADDER)]
        pictures.append(("lacking on nearly all (red) and on some (yellow)", common))
    for index, (name, layers) in enumerate(pictures):
        across, row = index % 2, index // 2
        x = _EDGE + across * (_ACROSS + _GAP)
        y = down + row * (tall + 9.0)
        frame = InSketch(x - left * scale, y + top * scale, scale)
        for region, colour in layers:
            marks.extend(frame.filled(region, colour))
        marks.append(Words(x, y + tall + 4.5, name[:60], _TYPE, QUIET))
    down += (len(pictures) + 1) // 2 * (tall + 9.0) + 3.0
    marks += list(_key(down))
    down += 8.0
    for finding in comparison.findings[:_MOST_TOLD]:
        for text, colour in ((f"{finding.kind}: {finding.message}", INK), (finding.remedy, QUIET)):
            lines = _lines(text, _WIDE - 2 * _EDGE)
            marks += list(_told(text, _EDGE, down, colour))
            down += _LINE * len(lines)
        down += 1.2
    if not comparison.findings:
        marks.append(Words(_EDGE, down, "Nothing to say against these prints.", _TYPE))
        down += _LINE
    return Sketch(_WIDE, down + _EDGE, tuple(marks))


def _layers(face: MultiPolygon, each: PrintDifferences) -> list[tuple[shapely.Geometry, str]]:
    return [
        (each.printed, _PRINTED),
        (each.spread, BLUE),
        (each.stray, PURPLE),
        (common(each.light, face), MUSTARD),
        (common(each.missing, face), MADDER),
    ]


def _named(each: PrintDifferences) -> str:
    return f"{Path(each.registered.name).name}: ink spreads by {max(each.mean_spread, 0.0):.2f} mm"


def _key(down: float) -> Iterator[SketchMark]:
    x = _EDGE
    for colour, name in _KEY:
        yield Area(x, down - 2.6, 4.0, 3.0, RULE if colour == _PRINTED else colour)
        yield Area(x + 0.2, down - 2.4, 3.6, 2.6, colour)
        yield Words(x + 5.2, down, name, _TYPE)
        x += 9.0 + 1.9 * len(name)


def _lines(text: str, width: float) -> list[str]:
    return wrapped(text, _TYPE, width) if text else []


def _told(text: str, x: float, y: float, colour: str) -> Iterator[SketchMark]:
    for index, line in enumerate(_lines(text, _WIDE - 2 * _EDGE)):
        yield Words(x, y + index * _LINE, line, _TYPE, colour)

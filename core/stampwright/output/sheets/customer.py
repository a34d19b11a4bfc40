"""The page for the customer: the clean impression in the ink's colour, what it is, and a line to sign."""

from __future__ import annotations

import math
from collections.abc import Iterator

from ...job.labels import choice_label
from ...looks.colours import QUIET, RULE
from ...looks.numbers import spoken
from ...stamp import Stamp
from ..origin import Origin
from ..paper.bend_words import bend_in_words, ground_in_words
from ..sketches.marks import Area, DrawnLine, InSketch, Sketch, Words, stacked
from .dating import version_of
from .signs import bar_marks
from .tones import tones_of
from .writing import Column

_EDGE = 12.0  # margin, mm
_PAGES = ((148.0, 210.0), (210.0, 297.0))  # A5 and A4 (ISO 216), mm
_GAP = 6.0  # between head, impressions and foot, mm
_BESIDE = 12.0  # above and below the enlarged impression, mm
_TALLEST = 78.0  # the enlarged impression at most, mm
_LEAST = 1.5  # what is shown less enlarged than that is not worth showing twice


def customer_sketch(stamp: Stamp, origin: Origin) -> Sketch:
    """Return the page for the customer, mm; nothing on it tells of findings."""
    left, _, right, _ = _shown(stamp)
    # On a page that is a little too tall it would be printed smaller, or cut off.
    tried = [(_laid_out(stamp, origin, max(wide, right - left + 2 * _EDGE), tall), wide, tall) for wide, tall in _PAGES]
    fitting = [each for each in tried if each[0][0].width <= each[1] and each[0][0].height <= each[2]]
    twice = [each for each in fitting if each[0][1]]
    (page, _), _, tall = (twice or fitting or tried[-1:])[0]
    return Sketch(page.width, max(page.height, tall), page.marks)


def _laid_out(stamp: Stamp, origin: Origin, wide: float, tall: float) -> tuple[Sketch, bool]:
    """Return the page's contents, and whether it has room ``tall`` mm high for the impression enlarged, too."""
    head, foot = _head(stamp, wide - 2 * _EDGE), _foot(stamp, origin, wide - 2 * _EDGE)
    room = tall - 2 * _EDGE - 2 * _GAP - head.down - foot.down
    body, enlarged = _impressions(stamp, wide - 2 * _EDGE, room)
    return stacked([head.sketch(), body.sketch(), foot.sketch()], _GAP, _EDGE), enlarged


def _head(stamp: Stamp, width: float) -> Column:
    column = Column(width)
    column.write(stamp.job.name or "stamp", 6.5, heading=True)
    column.write("The impression of your stamp, for you to approve", 3.2, colour=QUIET)
    return column


def _impressions(stamp: Stamp, width: float, room: float) -> tuple[Column, bool]:
    """Return the impression at true size and, where it gains by it and ``room`` mm of height hold it, enlarged, too."""
    column = Column(width)
    left, bottom, right, top = _shown(stamp)
    wide, high = max(right - left, 1.0), max(top - bottom, 1.0)
    _print(column, stamp, 1.0)
    column.put(bar_marks(0.0, column.down + 2.0, 10.0, "10 mm when printed at true size (100 %)"))
    column.down += 4.0
    tallest = min(_TALLEST, room - column.down - _BESIDE)
    factor = math.floor(2.0 * min(width / wide, tallest / high, 10.0)) / 2.0
    if factor >= _LEAST:
        column.down += 5.0
        _print(column, stamp, factor)
        column.write(f"{spoken(factor)} times as large", 2.5, colour=QUIET)
    return column, factor >= _LEAST


def _print(column: Column, stamp: Stamp, scale: float) -> None:
    left, bottom, right, top = _shown(stamp)
    frame = InSketch((column.width - scale * (left + right)) / 2.0, column.down + scale * top, scale)
    if stamp.face is None:
        column.put(frame.filled(stamp.impression.outlines, stamp.job.ink.colour))
    else:
        # A textured face prints in tones, most of them lighter than full ink.
        for region, colour in tones_of(stamp.impression, stamp.job.ink.colour):
            column.put(frame.filled(region, colour))
    column.down += scale * (top - bottom) + 3.0


def _foot(stamp: Stamp, origin: Origin, width: float) -> Column:
    """Return what the stamp is, in words, and the lines to sign."""
    column = Column(width)
    column.put([DrawnLine(((0.0, 0.0), (width, 0.0)), RULE, 0.2)])
    column.down = 1.5
    names = []
    for name, value in _facts(stamp, origin):
        names.append(Words(0.0, column.down + 3.2, name, 3.0, QUIET))
        column.write(value, 3.0, x=26.0)
    column.put(names)
    column.put([Area(0.0, column.down + 2.0, 4.0, 3.0, stamp.job.ink.colour)])
    column.down += 1.0
    column.write(
        "Shown in the colour of the ink. Ink, paper and push differ: edges print a little fuller or softer than here.",
        2.5,
        colour=QUIET,
        x=6.0,
    )
    column.down += 13.0
    for start, share, told in ((0.0, 0.62, "To be made as shown: name and signature"), (0.66, 0.34, "Date")):
        x = start * width
        column.put([DrawnLine(((x, column.down), (x + share * width, column.down)), QUIET, 0.2)])
        column.put([Words(x, column.down + 3.4, told, 2.5, QUIET)])
    column.down += 5.0
    return column


def _facts(stamp: Stamp, origin: Origin) -> Iterator[tuple[str, str]]:
    yield "Artwork", f"{origin.artwork}, version {origin.version}"
    left, bottom, right, top = stamp.layout.base.bounds
    if not stamp.impression.outlines.is_empty:
        yield "Impression", _size(stamp.impression.outlines.bounds)
    outline = choice_label(stamp.job.laid_on.outline).lower()
    yield ground_in_words(stamp).capitalize(), f"{_size((left, bottom, right, top))}, {outline}"
    if stamp.bend is not None:
        yield "Face", bend_in_words(stamp)
    yield "Stamp", f"version {version_of(stamp)}"
    yield "Date", origin.day.isoformat()


def _shown(stamp: Stamp) -> tuple[float, float, float, float]:
    printed = stamp.impression.outlines
    left, bottom, right, top = (stamp.layout.base if printed.is_empty else printed).bounds
    return float(left), float(bottom), float(right), float(top)


def _size(bounds: tuple[float, float, float, float]) -> str:
    return f"{bounds[2] - bounds[0]:.1f} × {bounds[3] - bounds[1]:.1f} mm"

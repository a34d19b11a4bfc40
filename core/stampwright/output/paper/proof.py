"""The proof: the impression at true size with its key and the findings in words, for the customer to sign off."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from html import escape
from textwrap import wrap

from ...job.written.texts import as_line
from ...likeness import likeness_in_words
from ...looks.colours import ADDED, INK, PAPER, QUIET, REMOVED, RULE
from ...looks.typefaces import SERIF
from ...stamp import Stamp
from ..origin import Origin
from ..sketches.as_svg import opening, text
from ..sketches.wrapping import titled
from .bend_words import ground_in_words
from .drawing import BAR_ROOM, Drawing, draw_impression, scale_bar, sign_svg, tell
from .face_words import face_in_words, push_in_words
from .marks import FindingMark

MOST_LISTED = 40
"""Kinds of finding told in words on the proof; the report has all of them."""

ENLARGED_UNDER = 30.0
"""A stamp that is nowhere so long, mm, is shown enlarged as well, with its marks there."""

_ENLARGED = 80.0  # how long it may then be, mm
_TITLE_SIZES = (5.2, 4.2, 3.4)  # mm


def proof_svg(stamp: Stamp, origin: Origin | None = None) -> str:
    """Return the proof as an SVG document at true size: one unit is one millimetre.

    Small stamps are shown enlarged as well. ``origin``: told where known.
    """
    drawings = _drawings(stamp)
    margin = 8.0
    width = max(96.0, *(drawing.width for drawing, _ in drawings)) + 2 * margin
    columns = int((width - 2 * margin) / 1.32)
    title = stamp.job.name or "stamp"
    y = margin + 5.0
    lines = []
    size, named = titled(title, width - 2 * margin, _TITLE_SIZES)
    for line in named:
        lines.append(text(margin, y, line, size=size, family=SERIF))
        y += 1.15 * size
    y += 5.2 - 1.15 * size
    caption = _caption(stamp) if origin is None else f"{_caption(stamp)}. Artwork: {origin.in_words()}"
    for line in wrap(caption, columns):
        lines.append(text(margin, y, line, size=2.7, fill=QUIET))
        y += 3.7
    for drawing, told in drawings:
        bar = "" if told else scale_bar(drawing)
        lines.append(
            f'<g transform="translate({(width - drawing.width) / 2:.3f} {y + 1.0:.3f})">{drawing.body}{bar}</g>'
        )
        y += 1.0 + drawing.height + (4.0 if told else BAR_ROOM)
        lines.append(text(width / 2, y, told, size=2.7, fill=QUIET, look=' text-anchor="middle"'))
    y += 6.0
    for piece, deeper in _told(stamp, drawings[-1][0].marks, margin, y, columns):
        lines.append(piece)
        y = deeper
    height = y + margin
    content = "\n".join(lines)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f"{opening(width, height)}\n"
        f"<title>{escape(as_line(title))}: proof at true size</title>\n"
        f'<rect width="{width:.3f}" height="{height:.3f}" fill="{PAPER}"/>\n{content}\n</svg>\n'
    )


def _drawings(stamp: Stamp) -> list[tuple[Drawing, str]]:
    """Return the drawings, the marked one last, each with what is said of its size where that is not the true one."""
    left, bottom, right, top = stamp.layout.base.bounds
    if max(right - left, top - bottom) >= ENLARGED_UNDER:
        return [(draw_impression(stamp), "")]
    by = float(max(2, math.floor(min(_ENLARGED / (right - left), _ENLARGED / (top - bottom)))))
    clean = draw_impression(replace(stamp, findings=(), repair=None))
    return [(clean, ""), (draw_impression(stamp, magnified=by), f"{by:g} times as large")]


def _told(stamp: Stamp, marks: Sequence[FindingMark], x: float, y: float, columns: int) -> Iterator[tuple[str, float]]:
    """Yield the key and the findings in words, each with the height that the next line goes to."""
    for sample, words in _key(stamp):
        yield f'<g transform="translate({x:.3f} {y - 2.2:.3f})">{sample}</g>{text(x + 6, y, words, size=2.6)}', y + 4.2
        y += 4.2
    y += 1.6
    told = tell(marks)
    for each in told[:MOST_LISTED]:
        piece = sign_svg(each.severity, each.number, x + 2.1, y - 0.9)
        for line in wrap(each.words, columns - 4) or [""]:
            piece += text(x + 6, y, line, size=2.6)
            y += 3.5
        y += 1.3
        yield piece, y
    if len(told) > MOST_LISTED:
        more = f"and {len(told) - MOST_LISTED} more; the report lists all of them"
        yield text(x + 6, y, more, size=2.6, fill=QUIET), y + 3.5


def _key(stamp: Stamp) -> Iterator[tuple[str, str]]:
    """Yield a sample of each sort of line or area that is on the drawing, and what it stands for."""
    edge = f'<path d="M0 1.2H4.2" stroke="{RULE}" stroke-width="0.18" stroke-dasharray="1.2 0.8"/>'
    yield edge, f"edge of the {ground_in_words(stamp)}"
    yield f'<rect width="4.2" height="2.4" fill="{INK}"/>', "ink on paper"
    if stamp.repair is not None and not stamp.repair.added.is_empty:
        yield f'<rect width="4.2" height="2.4" fill="{ADDED}"/>', f"added by repair, {stamp.repair.added.area:.2f} mm²"
    if stamp.repair is not None and not stamp.repair.removed.is_empty:
        sample = f'<rect width="4.2" height="2.4" fill="url(#taken)" stroke="{REMOVED}" stroke-width="0.1"/>'
        yield sample, f"removed by repair, {stamp.repair.removed.area:.2f} mm²"


def _caption(stamp: Stamp) -> str:
    left, bottom, right, top = stamp.layout.base.bounds
    size = f"{_likeness(stamp)}Proof at true size; {ground_in_words(stamp)} {right - left:.1f} by {top - bottom:.1f} mm"
    if stamp.face is not None:
        return f"{size}; face of {face_in_words(stamp)}; shown as {push_in_words(stamp)} print it"
    spread = stamp.job.ink.spread
    return size + (f"; shown with {spread:g} mm of ink spread on every edge" if spread else "; no ink spread shown")


def _likeness(stamp: Stamp) -> str:
    if stamp.judgement is None:
        return ""
    return f"Prints {likeness_in_words(stamp.judgement.likeness, stamp.job.ink.spread)}. "

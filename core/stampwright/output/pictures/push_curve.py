"""The push curve as a drawing: how much of the face prints at which push, beside what a hand can push."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from textwrap import wrap

import numpy as np
from numpy.typing import NDArray

from ...job.written.texts import as_line
from ...looks.colours import BAND, CURVES, INK, QUIET, RULE
from ...looks.numbers import newtons, percent
from ...press import WHOLE, HandForce, PushCurve
from ..paper.drawing import shortened
from ..sketches.as_pixels import sketch_picture
from ..sketches.as_svg import sketch_svg
from ..sketches.marks import Area, Dot, DrawnLine, Sketch, Words

Drawn = Area | DrawnLine | Dot | Words
NamedCurve = tuple[str, PushCurve]

_LEAST, _MOST = 2.0, 300.0  # ends of the scale of pushes, N
MOST_CURVES = len(CURVES)


@dataclass(frozen=True)
class _Field:
    """Where the field of the curves lies on the drawing, its size, where its key begins, and the size of words, mm."""

    left: float
    top: float
    wide: float
    high: float
    key: float
    words: float
    ticks: tuple[int, ...]
    never: str

    @property
    def right(self) -> float:
        return self.left + self.wide

    @property
    def bottom(self) -> float:
        return self.top + self.high

    def across(self, force: float) -> float:
        """Return where a push lies on the logarithmic scale, held within its ends."""
        share = math.log(max(force, 1e-9) / _LEAST) / math.log(_MOST / _LEAST)
        return self.left + self.wide * min(max(share, 0.0), 1.0)

    def up(self, share: float) -> float:
        return self.top + self.high * (1.0 - share)


_PAGE = _Field(
    left=16.0,
    top=17.0,
    wide=124.0,
    high=62.0,
    key=16.0,
    words=2.7,
    ticks=(2, 5, 10, 20, 50, 100, 200, 300),
    never="no push that it bears prints it whole",
)
_PANEL = _Field(
    left=13.0,
    top=8.0,
    wide=60.0,
    high=46.0,
    key=2.0,
    words=3.4,
    ticks=(2, 5, 10, 20, 50, 100, 300),
    never="never whole",
)


def push_curve_svg(
    curves: Sequence[NamedCurve], hand: HandForce, *, force: float | None = None, title: str = "Push curve"
) -> str:
    """Return push curves as an SVG document, one unit a millimetre; at most ``MOST_CURVES``, each with its name.

    The push runs on a logarithmic scale. The shaded part is within what ``hand`` should push, the upright line the push
    ``force`` that is worked with; where a curve meets the share that passes for whole it has a dot.

    >>> from ...press.pushing.hands import FINGERS
    >>> push_curve_svg([("dressed", PushCurve((5.0, 20.0), (0.4, 1.0), 12.0))], FINGERS).count("<circle")
    1
    """
    return sketch_svg(_page(curves, hand, force, title), title=title)


def push_curve_page(
    curves: Sequence[NamedCurve],
    hand: HandForce,
    *,
    force: float | None = None,
    title: str = "Push curve",
    columns: int = 1200,
) -> NDArray[np.uint8]:
    """Return the drawing of :func:`push_curve_svg` as a picture: (rows, columns, 3) uint8, top row first."""
    return sketch_picture(_page(curves, hand, force, title), columns=columns)


def push_curve_panel(
    curves: Sequence[NamedCurve],
    hand: HandForce,
    *,
    force: float | None = None,
    columns: int = 480,
    told: Callable[[str], str] = str,
) -> NDArray[np.uint8]:
    """Return push curves as a small square picture with large words, for a panel: (columns, columns, 3) uint8.

    ``told`` says each of its English texts in another language.
    """
    field, side = _PANEL, _PANEL.left + _PANEL.wide + 4.0
    body = [*_scales(field, hand, force), *_curves(field, curves), *_key(field, curves, field.bottom + 15.5)]
    return sketch_picture(Sketch(side, side, tuple(_told(body, told))), columns=columns)


def _told(body: Sequence[Drawn], told: Callable[[str], str]) -> list[Drawn]:
    return [replace(each, said=told(each.said)) if isinstance(each, Words) else each for each in body]


_KEY_LINE = 4.8  # mm


def _page(curves: Sequence[NamedCurve], hand: HandForce, force: float | None, title: str) -> Sketch:
    field = _PAGE
    heading = Words(field.left - 8.0, 8.5, shortened(as_line(title), 60), size=5.0, heading=True)
    body: list[Drawn] = [heading, *_scales(field, hand, force), *_curves(field, curves)]
    below = field.bottom + 15.0
    body += _key(field, curves, below)
    below += _KEY_LINE * len(curves[:MOST_CURVES])
    note = f"Shaded: {str(hand)[:1].lower()}{str(hand)[1:]}, by {hand.source}. Ink and paper are assumed."
    for line in wrap(note, 92):
        body.append(Words(field.left, below, line, size=2.5, colour=QUIET))
        below += 3.6
    return Sketch(148.0, below + 2.0, tuple(body))


def _scales(field: _Field, hand: HandForce, force: float | None) -> Iterator[Drawn]:
    """Yield the field that the curves are drawn on, with its scales."""
    size, small = field.words, field.words * 0.35
    yield Area(field.left, field.top, field.across(hand.newtons) - field.left, field.high, BAND)
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        y = field.up(share)
        yield DrawnLine(((field.left, y), (field.right, y)), RULE, 0.12)
        yield Words(field.left - 1.5, y + small, percent(share), size=size, colour=QUIET, anchor="end")
    for push in field.ticks:
        x = field.across(push)
        yield DrawnLine(((x, field.bottom), (x, field.bottom + 1.2)), INK, 0.2)
        yield Words(x, field.bottom + 1.6 * size, str(push), size=size, colour=QUIET, anchor="middle")
    corners = ((field.left, field.top), (field.left, field.bottom), (field.right, field.bottom))
    yield DrawnLine(corners, INK, 0.2)
    y = field.up(WHOLE)
    yield DrawnLine(((field.left, y), (field.right, y)), INK, 0.2, (0.8, 0.8))
    yield Words(field.left + 1.5, y + 1.3 * size, f"whole: {percent(WHOLE)}", size=size)
    yield Words(
        max(1.0, field.left - 14.0),
        field.top - 0.9 * size,
        "share of the face that prints solid",
        size=size,
        colour=QUIET,
    )
    below = field.bottom + 3.0 * size
    yield Words(field.right, below, "push, N (logarithmic)", size=size, colour=QUIET, anchor="end")
    if force is not None and _LEAST <= force <= _MOST:
        x = field.across(force)
        yield DrawnLine(((x, field.top), (x, field.bottom)), INK, 0.25)
        yield Words(x - 0.8, field.bottom - 0.5 * size, f"{force:.0f} N", size=size, anchor="end")


def _curves(field: _Field, curves: Sequence[NamedCurve]) -> Iterator[Drawn]:
    for (_, curve), (colour, dashes) in zip(curves, CURVES, strict=False):
        points = dict(zip(curve.forces, curve.shares, strict=True))
        if curve.whole_at is not None:
            points.setdefault(curve.whole_at, WHOLE)
        shown = [(force, share) for force, share in sorted(points.items()) if _LEAST <= force <= _MOST]
        yield DrawnLine(tuple((field.across(force), field.up(share)) for force, share in shown), colour, 0.7, dashes)
        if curve.whole_at is not None and _LEAST <= curve.whole_at <= _MOST:
            yield Dot(field.across(curve.whole_at), field.up(WHOLE), 1.1, colour)


def _key(field: _Field, curves: Sequence[NamedCurve], below: float) -> Iterator[Drawn]:
    """Yield a line for each curve: how it looks, its name, and where it prints whole."""
    for (name, curve), (colour, dashes) in zip(curves, CURVES, strict=False):
        whole = field.never if curve.whole_at is None else f"whole at {newtons(curve.whole_at)}"
        y = below - 0.35 * field.words
        yield DrawnLine(((field.key, y), (field.key + 9.0, y)), colour, 0.7, dashes)
        yield Words(field.key + 12.0, below, f"{shortened(as_line(name), 60)}: {whole}", size=field.words)
        below += _KEY_LINE

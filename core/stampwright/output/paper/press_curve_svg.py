"""The press curve as a drawing: how much of the face prints at which push, beside what a hand can push."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from html import escape
from textwrap import wrap

from ...press import WHOLE, HandForce, PressCurve
from .drawing import INK, QUIET, RULE, SERIF, opening, plain, shortened, text

_LEFT, _TOP, _WIDE, _HIGH = 16.0, 17.0, 124.0, 62.0  # where the field lies on the drawing, and its size, mm
_WIDTH = 148.0
_LEAST, _MOST = 2.0, 300.0  # ends of the scale of pushes, N
_TICKS = (2, 5, 10, 20, 50, 100, 200, 300)
_LOOKS = (
    ("#8c3b3b", ""),
    ("#1f7a4d", ' stroke-dasharray="4 0.9"'),
    ("#2b5c93", ' stroke-dasharray="1.7 1.2"'),
    ("#9a6200", ' stroke-dasharray="0.7 1"'),
    ("#5f6672", ' stroke-dasharray="2.4 1 0.6 1"'),
)
"""Colour and dashes, so that curves are told apart in grey too."""

MOST_CURVES = len(_LOOKS)


def press_curve_svg(curves: Sequence[tuple[str, PressCurve]], hand: HandForce, *, title: str = "Press curve") -> str:
    """Return press curves as an SVG document, one unit a millimetre; at most ``MOST_CURVES``, each with its name.

    The push runs on a logarithmic scale. The shaded part is what ``hand`` pushes in comfort; where a curve meets the
    share that passes for whole it has a dot.

    >>> from ...press.pushing.hands import FINGERS
    >>> press_curve_svg([("dressed", PressCurve((5.0, 20.0), (0.4, 1.0), 12.0))], FINGERS).count("<polyline")
    1
    """
    shown = list(zip(curves, _LOOKS, strict=False))
    below = _TOP + _HIGH + 15.0
    body = [
        text(_LEFT - 8.0, 8.5, shortened(plain(title), 60), size=5.0, family=SERIF),
        *_field(hand),
        *(_curve(curve, look) for (_, curve), look in shown),
    ]
    for (name, curve), (colour, dashes) in shown:
        body.append(f'<path d="M{_LEFT} {below - 0.9:.1f}h9" stroke="{colour}" stroke-width="0.7"{dashes}/>')
        body.append(text(_LEFT + 12.0, below, f"{shortened(plain(name), 60)}: {_said(curve)}", size=2.9))
        below += 4.8
    note = f"Shaded: comfortable, {hand.newtons:.0f} N, {hand.posture} ({hand.source}). Ink and paper are assumed."
    for line in wrap(note, 92):
        body.append(text(_LEFT, below, line, size=2.5, fill=QUIET))
        below += 3.6
    height, content = below + 2.0, "\n".join(body)
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n{opening(_WIDTH, height)}\n<title>{escape(plain(title))}</title>\n'
        f'<rect width="{_WIDTH}" height="{height:.3f}" fill="#fff"/>\n{content}\n</svg>\n'
    )


def _field(hand: HandForce) -> Iterator[str]:
    """Yield the field that the curves are drawn on, with its scales."""
    comfortable = min(max(_across(hand.newtons), _LEFT), _LEFT + _WIDE)
    bottom, right = _TOP + _HIGH, _LEFT + _WIDE
    yield f'<rect x="{_LEFT}" y="{_TOP}" width="{comfortable - _LEFT:.3f}" height="{_HIGH}" fill="#f1ede5"/>'
    for percent in (0, 25, 50, 75, 100):
        y = _up(percent / 100.0)
        yield f'<path d="M{_LEFT} {y:.3f}H{right}" stroke="{RULE}" stroke-width="0.12"/>'
        yield text(_LEFT - 1.5, y + 0.9, f"{percent} %", size=2.6, fill=QUIET, look=' text-anchor="end"')
    for force in _TICKS:
        x = _across(force)
        yield f'<path d="M{x:.3f} {bottom}v1.2" stroke="{INK}" stroke-width="0.2"/>'
        yield text(x, bottom + 4.2, str(force), size=2.6, fill=QUIET, look=' text-anchor="middle"')
    yield f'<path d="M{_LEFT} {_TOP}V{bottom}H{right}" stroke="{INK}" stroke-width="0.2" fill="none"/>'
    y = _up(WHOLE)
    yield f'<path d="M{_LEFT} {y:.3f}H{right}" stroke="{INK}" stroke-width="0.2" stroke-dasharray="0.8 0.8"/>'
    yield text(_LEFT + 1.5, y + 3.4, f"whole: {WHOLE:.0%}", size=2.6)
    yield text(_LEFT - 8.0, _TOP - 3.0, "share of the face that prints solid", size=2.6, fill=QUIET)
    yield text(right, bottom + 8.4, "push, N (logarithmic)", size=2.6, fill=QUIET, look=' text-anchor="end"')


def _curve(curve: PressCurve, look: tuple[str, str]) -> str:
    points = dict(zip(curve.forces, curve.shares, strict=True))
    dot = ""
    if curve.whole_at is not None:
        points.setdefault(curve.whole_at, WHOLE)
        if _LEAST <= curve.whole_at <= _MOST:
            dot = f'<circle cx="{_across(curve.whole_at):.3f}" cy="{_up(WHOLE):.3f}" r="1.1" fill="{look[0]}"/>'
    line = " ".join(
        f"{_across(force):.3f},{_up(share):.3f}" for force, share in sorted(points.items()) if _LEAST <= force <= _MOST
    )
    return f'<polyline points="{line}" fill="none" stroke="{look[0]}" stroke-width="0.7"{look[1]}/>{dot}'


def _said(curve: PressCurve) -> str:
    return "no push that it bears prints it whole" if curve.whole_at is None else f"whole at {curve.whole_at:.0f} N"


def _across(force: float) -> float:
    return _LEFT + _WIDE * math.log(max(force, 1e-9) / _LEAST) / math.log(_MOST / _LEAST)


def _up(share: float) -> float:
    return _TOP + _HIGH * (1.0 - share)

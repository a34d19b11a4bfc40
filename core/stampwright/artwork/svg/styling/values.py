"""Single values: lengths, numbers, colours and transforms, read from their text."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from functools import lru_cache, partial
from typing import Any

import tinycss2

from ...outlines.numerals import NUMBER
from .calculating import calculated
from .tokens import words_of

Matrix = tuple[float, float, float, float, float, float]
"""(a, b, c, d, e, f): x' = a x + c y + e, y' = b x + d y + f, as SVG writes it."""

IDENTITY: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)

PX_TO_MM = 25.4 / 96
"""CSS Values and Units 4, section 6.2: 1 in = 96 px = 25.4 mm."""

_PX_PER_UNIT = {
    "": 1.0,
    "px": 1.0,
    "pt": 96 / 72,
    "pc": 16.0,
    "mm": 96 / 25.4,
    "cm": 96 / 2.54,
    "q": 96 / 101.6,
    "in": 96.0,
}

RELATIVE_UNITS = frozenset(("rem", "ch", "vw", "vh", "vmin", "vmax"))
"""Units that depend on the root, the font or the page (CSS Values and Units 4, sections 6.1.1 and 6.1.2)."""

_TURN = {"": 1.0, "deg": 1.0, "rad": 180 / math.pi, "grad": 0.9, "turn": 360.0}

_LENGTH = re.compile(rf"\s*({NUMBER})([a-zA-Z]*|%)\s*\Z")
_SPACE_BEFORE_BRACKET = re.compile(r"\s+\(")
_NAMES = "matrix|translate|scale|rotate|skewX|skewY"
_BETWEEN = r"(?:\s*,\s*|\s+|(?=[-+.]))"
_CALL = rf"(?:{_NAMES})\s*\(\s*{NUMBER}(?:{_BETWEEN}{NUMBER})*\s*\)"
_ATTRIBUTE_LIST = re.compile(rf"\s*{_CALL}(?:\s*,?\s*{_CALL})*\s*,?\s*")
"""A transform attribute; a comma may stand at its end, as renderers have it."""

_CSS_ARGUMENT = rf"\s*{NUMBER}(?:[a-z]+|%)?\s*"
_CSS_NAMES = "translateX|translateY|translateZ|translate3d|scaleX|scaleY|scaleZ|scale3d|rotateZ|matrix3d|skew"
_CSS_CALL = rf"(?:{_NAMES}|{_CSS_NAMES})\({_CSS_ARGUMENT}(?:,{_CSS_ARGUMENT})*\)"
_CSS_LIST = re.compile(rf"\s*(?:{_CSS_CALL}\s*)+")


def length(
    text: str | None,
    *,
    whole: float = 0.0,
    font_size: float = 16.0,
    per_unit: Callable[[str], float | None] = lambda _: None,
) -> float | None:
    """Return a length in px, or None when the text is no length.

    ``whole``: what per cent refers to, px. ``font_size``: of the element, px, for em and ex (ex taken as half an em).
    ``per_unit``: px for each of a unit that depends on more than these: rem, ch and shares of the page.

    >>> length("1in"), length("25%", whole=80)
    (96.0, 20.0)
    """
    if text is None:
        return None
    matched = _LENGTH.match(text)
    if matched is None:
        return calculated(text, partial(length, whole=whole, font_size=font_size, per_unit=per_unit))
    amount, unit = float(matched[1]), matched[2].lower()
    if not math.isfinite(amount):
        return None
    if unit in _PX_PER_UNIT:
        return amount * _PX_PER_UNIT[unit]
    known = {"%": whole / 100, "em": font_size, "ex": font_size / 2}
    each = known[unit] if unit in known else per_unit(unit)
    return None if each is None else amount * each


def is_length(text: str) -> bool:
    """Say whether a text is a length or a percentage, in any unit that is known."""
    return length(text, per_unit=lambda unit: 1.0 if unit in RELATIVE_UNITS else None) is not None


def number(text: str | None, default: float) -> float:
    """Return a plain number or a percentage as a share; ``default`` when the text is neither."""
    if text is None:
        return default
    matched = _LENGTH.match(text)
    if matched is None or matched[2] not in {"", "%"}:
        return default
    value = float(matched[1]) / (100 if matched[2] else 1)
    return value if math.isfinite(value) else default


def multiplied(outer: Matrix, inner: Matrix) -> Matrix:
    """Return the matrix that applies ``inner`` first, then ``outer``."""
    a, b, c, d, e, f = outer
    g, h, i, j, k, m = inner
    return (a * g + c * h, b * g + d * h, a * i + c * j, b * i + d * j, a * k + c * m + e, b * k + d * m + f)


def inverted(matrix: Matrix) -> Matrix | None:
    """Return the matrix that undoes ``matrix``; None when it flattens everything to a line."""
    a, b, c, d, e, f = matrix
    twist = a * d - b * c
    if twist == 0 or not math.isfinite(1 / twist):
        return None
    return d / twist, -b / twist, -c / twist, a / twist, (c * f - d * e) / twist, (b * e - a * f) / twist


def about(x: float, y: float, matrix: Matrix) -> Matrix:
    """Return ``matrix`` applied about the point (x, y) instead of the origin."""
    return multiplied(multiplied((1.0, 0.0, 0.0, 1.0, x, y), matrix), (1.0, 0.0, 0.0, 1.0, -x, -y))


def stretch(matrix: Matrix) -> float:
    """Return the largest factor by which the matrix lengthens anything (its greatest singular value)."""
    a, b, c, d, _, _ = matrix
    half = (a * a + b * b + c * c + d * d) / 2
    twist = a * d - b * c
    return math.sqrt(max(half + math.sqrt(max(half * half - twist * twist, 0.0)), 0.0))


@lru_cache(maxsize=4096)
def transform(
    text: str, width: float = 0.0, height: float = 0.0, font_size: float = 16.0, *, units: bool = False
) -> Matrix | None:
    """Return the matrix of a transform list; None when it does not follow the grammar.

    ``width``, ``height``: of the box that percentages refer to, px. ``units``: whether it is the CSS property, whose
    numbers may have units and are parted by commas, or the attribute (CSS Transforms 1, sections 8 and 10).

    >>> transform("translate(5,,5)"), transform("translate(5 5)", units=True), transform("Scale(2)")
    (None, None, None)
    """
    if not text.strip() or text.strip() == "none":
        return IDENTITY
    if not (_CSS_LIST if units else _ATTRIBUTE_LIST).fullmatch(text):
        return None
    matrix = IDENTITY
    for token in tinycss2.parse_component_value_list(_SPACE_BEFORE_BRACKET.sub("(", text), skip_comments=True):
        if token.type == "function":
            single = _single_transform(token, width, height, font_size)
            if single is None:
                return None
            matrix = multiplied(matrix, single)
    return matrix if all(math.isfinite(part) for part in matrix) else None


def degrees(text: str) -> float:
    """Return an angle, in degrees where it has no unit; 0 when the text is none (CSS Values 4, section 7.1)."""
    matched = _LENGTH.match(text)
    if matched is None or matched[2].lower() not in _TURN:
        return 0.0
    angle = float(matched[1]) * _TURN[matched[2].lower()]
    return angle if math.isfinite(angle) else 0.0


def _single_transform(function: Any, width: float, height: float, font_size: float) -> Matrix | None:
    values = _arguments(function.arguments)
    if values is None:
        return None
    name, count = function.lower_name, len(values)
    if name.startswith("translate"):
        wholes = (height,) if name.endswith("y") else (width, height)
        moves = [
            length(f"{amount!r}{unit}", whole=whole, font_size=font_size) or 0.0
            for (amount, unit), whole in zip(values, wholes, strict=False)
        ]
        return _FORMS.get((name, count), _no_form)(moves)
    if name.startswith("scale"):
        return _FORMS.get((name, count), _no_form)([amount / (100 if unit == "%" else 1) for amount, unit in values])
    if name.startswith(("rotate", "skew")):
        # The centre of a rotation is plain numbers; only angles have units.
        angles = [math.radians(amount * _TURN.get(unit, 1.0)) for amount, unit in values]
        centre = [amount for amount, _ in values[1:]] if name == "rotate" else angles[1:]
        return _FORMS.get((name, count), _no_form)([*angles[:1], *centre])
    return _FORMS.get((name, count), _no_form)([amount for amount, _ in values])


def _rotation(turn: float, x: float = 0.0, y: float = 0.0) -> Matrix:
    cos, sin = math.cos(turn), math.sin(turn)
    return about(x, y, (cos, sin, -sin, cos, 0.0, 0.0))


def _no_form(_: list[float]) -> None:
    return None


_FORMS: dict[tuple[str, int], Callable[[list[float]], Matrix | None]] = {
    ("matrix", 6): lambda v: (v[0], v[1], v[2], v[3], v[4], v[5]),
    ("translate", 1): lambda v: (1, 0, 0, 1, v[0], 0),
    ("translate", 2): lambda v: (1, 0, 0, 1, v[0], v[1]),
    ("translatex", 1): lambda v: (1, 0, 0, 1, v[0], 0),
    ("translatey", 1): lambda v: (1, 0, 0, 1, 0, v[0]),
    ("scale", 1): lambda v: (v[0], 0, 0, v[0], 0, 0),
    ("scale", 2): lambda v: (v[0], 0, 0, v[1], 0, 0),
    ("scalex", 1): lambda v: (v[0], 0, 0, 1, 0, 0),
    ("scaley", 1): lambda v: (1, 0, 0, v[0], 0, 0),
    ("rotate", 1): lambda v: _rotation(v[0]),
    ("rotate", 3): lambda v: _rotation(*v),
    # What leaves the plane is seen from straight above.
    ("translatez", 1): lambda _: IDENTITY,
    ("translate3d", 3): lambda v: (1, 0, 0, 1, v[0], v[1]),
    ("scalez", 1): lambda _: IDENTITY,
    ("scale3d", 3): lambda v: (v[0], 0, 0, v[1], 0, 0),
    ("rotatez", 1): lambda v: _rotation(v[0]),
    ("matrix3d", 16): lambda v: (v[0], v[1], v[4], v[5], v[12], v[13]),
    ("skewx", 1): lambda v: (1, 0, math.tan(v[0]), 1, 0, 0),
    ("skewy", 1): lambda v: (1, math.tan(v[0]), 0, 1, 0, 0),
    ("skew", 1): lambda v: (1, 0, math.tan(v[0]), 1, 0, 0),
    ("skew", 2): lambda v: (1, math.tan(v[1]), math.tan(v[0]), 1, 0, 0),
}


def _arguments(tokens: list[Any]) -> list[tuple[float, str]] | None:
    values = []
    for token in words_of(tokens):
        if token.type == "number":
            values.append((float(token.value), ""))
        elif token.type == "percentage":
            values.append((float(token.value), "%"))
        elif token.type == "dimension":
            values.append((float(token.value), token.lower_unit))
        elif token.type != "literal" or token.value != ",":
            return None
    return values if all(math.isfinite(amount) for amount, _ in values) else None

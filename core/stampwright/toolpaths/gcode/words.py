"""Words of G-code, a letter and a number each (ISO 6983-1), taken from many lines at once.

Left out are comments in parentheses and after semicolons (or a colon or slash, as machines pass over them, too),
checksums, white space and NUL; small letters count as capitals.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

MOST_DIGITS = 17
"""Characters of a number that are read together; a longer one is read by itself."""

_IN_PARENTHESES = re.compile(rb"\([^)\n]*\)?")
_TO_THE_END = {sign: re.compile(re.escape(sign) + rb"[^\n]*") for sign in (b";", b"*", b":", b"/")}
# A number as programs write very small ones, 1.5e-05 or 4e-7: one digit before the point, and five places or more.
# Else a small letter tells the feed at once after another word: x10e-2, g1e-.8.
_SMALL_POWER = re.compile(rb"(?<![\d.GMTNgmtn])(\d(?:\.\d+)?)e(-(?:[5-9]|\d{2,3})(?![\d.]))")
_BLANKS = b" \t\0\v\f"
_CAPITALS = bytes.maketrans(b"abcdefghijklmnopqrstuvwxyz", b"ABCDEFGHIJKLMNOPQRSTUVWXYZ")

_NUMBER = re.compile(rb"[+-]?(?:\d+\.?\d*|\.\d+)(?:\^[+-]\d{1,3})?")
_NEWLINE, _DOT, _PLUS, _MINUS = b"\n.+-"

_POWERS = 10.0 ** np.arange(MOST_DIGITS + 1)
_BOUND = np.zeros(256, dtype=np.bool_)
_BOUND[[_NEWLINE, *range(ord("A"), ord("Z") + 1)]] = True

Longs = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class LineWords:
    """Words in their order, (n,) each.

    ``letter``: uint8, its code. ``value``: float64, NaN where what follows the letter is no number. ``decimals``:
    int8, digits after the point. ``line``: int64, the line that it stands in, the first being 0. ``lines``: how
    many there are.
    """

    letter: NDArray[np.uint8]
    value: NDArray[np.float64]
    decimals: NDArray[np.int8]
    line: Longs
    lines: int


def plain_text(text: bytes) -> bytes:
    r"""Return lines without what no machine reads: comments, checksums, blanks.

    >>> plain_text(b"N7 g1 X 10 ; out*\n(in) G1 Y2*71")
    b'N7G1X10\nG1Y2'
    """
    if b"e-" in text:
        text = _SMALL_POWER.sub(rb"\1^\2", text)
    if b"\r" in text:
        text = text.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    if b"(" in text:
        text = _IN_PARENTHESES.sub(b"", text)
    for sign, rest in _TO_THE_END.items():
        if sign in text:
            text = rest.sub(b"", text)
    return text.translate(_CAPITALS, _BLANKS)


def read_words(plain: bytes) -> LineWords:
    r"""Return the words in lines as :func:`plain_text` leaves them; what stands before a first letter is dropped.

    >>> read_words(b"G1X-1.25E.5\nM117HI").value.tolist()
    [1.0, -1.25, 0.5, 117.0, nan, nan]
    """
    text = np.frombuffer(plain + b"\n", dtype=np.uint8)
    bounds = np.flatnonzero(_BOUND[text])
    at_line_end = text[bounds] == _NEWLINE
    line = np.cumsum(at_line_end)
    word = np.flatnonzero(~at_line_end)
    start = bounds[word] + 1
    # The last bound is the line end that was put there.
    length = bounds[word + 1] - start if len(word) else start
    value, decimals = _numbers(text, start, length)
    # Words of any length may be no number; only where a power was found may a short one be one after all.
    alone = np.isnan(value) if b"^" in plain else length > MOST_DIGITS
    for at in np.flatnonzero(alone).tolist():
        value[at] = _long_number(bytes(text[start[at] : start[at] + length[at]]))
    return LineWords(text[bounds[word]], value, decimals, line[word], int(line[-1]))


def _numbers(text: NDArray[np.uint8], start: Longs, length: Longs) -> tuple[NDArray[np.float64], NDArray[np.int8]]:
    """Return the numbers that begin at ``start`` and are ``length`` characters long, and how many decimals each has."""
    count = len(start)
    whole, digits, dots = np.zeros(count, dtype=np.int64), np.zeros(count, np.int8), np.zeros(count, np.int8)
    decimals, negative, signed = np.zeros(count, np.int8), np.zeros(count, np.bool_), np.zeros(count, np.bool_)
    short = length <= MOST_DIGITS
    for place in range(int(length[short].max(initial=0))):
        # Past its end a word is taken for a space, which is no digit, no point and no sign.
        character = np.where(length > place, text.take(start + place, mode="clip"), np.uint8(0))
        digit = character - np.uint8(ord("0"))
        is_digit, is_dot = digit < 10, character == _DOT
        whole = np.where(is_digit & short, whole * 10 + digit, whole)
        digits += is_digit
        decimals += is_digit & (dots > 0)
        dots += is_dot
        if place == 0:
            negative = character == _MINUS
            signed = negative | (character == _PLUS)
    readable = short & (digits > 0) & (dots <= 1) & (digits + dots + signed == length)
    value = whole / _POWERS[decimals]
    np.negative(value, out=value, where=negative)
    value[~readable] = np.nan
    return value, decimals


def _long_number(text: bytes) -> float:
    """Return a number of any length; NaN for none, and for one that no double holds."""
    value = float(text.replace(b"^", b"e")) if _NUMBER.fullmatch(text) else math.nan
    return value if math.isfinite(value) else math.nan

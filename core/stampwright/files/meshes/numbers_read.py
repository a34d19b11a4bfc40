"""Numbers in a text read all at once: as exactly as one by one, several times as fast."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Bytes = NDArray[np.uint8]
Wholes = NDArray[np.int64]

_MOST_DIGITS = 15
"""A whole number of so many digits, and ten to the power of as many, are doubles: their quotient is rounded once, which
is what reading the decimal is."""

_ZERO, _DOT, _MINUS = b"0.-"


def whole_numbers(text: Bytes, begins: Wholes, ends: Wholes) -> Wholes | None:
    """Return the whole numbers, (n,), that stand in a text from ``begins`` to ``ends``, (n,) each.

    None when one of them is anything but one to fifteen digits.
    """
    numbers, plain = _digits(text, begins, ends)
    return numbers if plain.all() and (ends > begins).all() else None


def decimal_numbers(text: Bytes, begins: Wholes, ends: Wholes) -> NDArray[np.float64] | None:
    """Return the numbers, (n,), that stand in a text from ``begins`` to ``ends``, (n,) each, as ``float`` reads them.

    None when one of them is no number.
    """
    if not (ends > begins).all():
        return None
    dots, negative = ends.copy(), text[begins] == _MINUS
    found = np.flatnonzero(text == _DOT)
    holders = np.searchsorted(begins, found, side="right") - 1
    dots[holders] = np.minimum(found, ends[holders])
    before, plain = _digits(text, begins + negative, dots)
    after, plain_too = _digits(text, np.minimum(dots + 1, ends), ends)
    places = np.maximum(ends - dots - 1, 0)
    shift = 10 ** np.minimum(places, _MOST_DIGITS)
    numbers: NDArray[np.float64] = (before * shift + after) / shift
    np.negative(numbers, out=numbers, where=negative)
    digits = dots - begins - negative + places
    for number in np.flatnonzero(~(plain & plain_too & (digits > 0) & (digits <= _MOST_DIGITS))):
        try:
            numbers[number] = float(text[begins[number] : ends[number]].tobytes())
        except ValueError:
            return None
    return numbers


def _digits(text: Bytes, begins: Wholes, ends: Wholes) -> tuple[Wholes, NDArray[np.bool_]]:
    """Return the numbers, (n,), that digits make, and which of them are nothing but fifteen digits or fewer."""
    lengths = ends - begins
    numbers, plain = np.zeros(len(begins), dtype=np.int64), lengths <= _MOST_DIGITS
    for place in range(min(int(lengths.max(initial=0)), _MOST_DIGITS)):
        # Bytes below "0" come round to large ones. NumPy 1 would multiply bytes as bytes.
        digit = text[ends - (1 + place)] - np.uint8(_ZERO)
        within = lengths > place
        plain &= (digit <= 9) | ~within
        numbers += np.where(within, digit, 0).astype(np.int64) * 10**place
    return numbers, plain

"""Numbers in a text read all at once: as exactly as one by one, many times as fast."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Bytes = NDArray[np.uint8]
Wholes = NDArray[np.int64]
Eights = NDArray[np.uint64]

_MOST_DIGITS = 15
"""A whole number of so many digits, and ten to the power of as many, are doubles: their quotient is rounded once, which
is what reading the decimal is."""

_TENS = 10 ** np.arange(_MOST_DIGITS + 1)
_OF_NUMBERS = b"0123456789+-.e"
_DOT, _MINUS = b".-"

_EIGHT = 8  # bytes that are worked on together, the first of them the lowest
_ZEROS, _OVER_NINE, _HIGH = (np.uint64(byte * 0x0101010101010101) for byte in (0x30, 0x76, 0x80))
_JOINED = tuple(
    (np.uint64(mask), np.uint64(factor), np.uint64(shift))
    for mask, factor, shift in (
        (0x0F0F0F0F0F0F0F0F, 10 * 2**8 + 1, 8),
        (0x00FF00FF00FF00FF, 100 * 2**16 + 1, 16),
        (0x0000FFFF0000FFFF, 10_000 * 2**32 + 1, 32),
    )
)
"""How digits in bytes become pairs, pairs fours, and fours a number: each time, the first of two counts for so much."""


def eights_of(text: Bytes) -> Eights:
    """Return the eights of bytes, (n,), that begin at each byte of a text, with zeros after its end."""
    padded = np.concatenate((text, np.zeros(_EIGHT, np.uint8)))
    # A view: only those that are asked for are ever put together.
    return np.ndarray((len(text),), "<u8", padded, 0, (1,))


def whole_numbers(text: Bytes, begins: Wholes, ends: Wholes) -> Wholes | None:
    """Return the whole numbers, (n,), that stand in a text from ``begins`` to ``ends``, (n,) each.

    None when one of them is anything but one to fifteen digits.
    """
    numbers, plain = _digits(eights_of(text), begins, ends)
    return numbers if plain.all() and (ends > begins).all() else None


def decimal_numbers(text: Bytes, begins: Wholes, ends: Wholes) -> NDArray[np.float64] | None:
    """Return the numbers, (n,), that stand in a text from ``begins`` to ``ends``, (n,) each, as ``float`` reads them.

    None when one of them is no number, or is written with anything but digits, signs, a dot and an e.
    """
    if not (ends > begins).all():
        return None
    dots, negative = ends.copy(), text[begins] == _MINUS
    found = np.flatnonzero(text == _DOT)
    holders = np.searchsorted(begins, found, side="right") - 1
    dots[holders] = np.minimum(found, ends[holders])
    eights = eights_of(text)
    before, plain = _digits(eights, begins + negative, dots)
    after, plain_too = _digits(eights, np.minimum(dots + 1, ends), ends)
    places = np.maximum(ends - dots - 1, 0)
    shift = _TENS[np.minimum(places, _MOST_DIGITS)]
    numbers: NDArray[np.float64] = (before * shift + after) / shift
    np.negative(numbers, out=numbers, where=negative)
    digits = dots - begins - negative + places
    for number in np.flatnonzero(~(plain & plain_too & (digits > 0) & (digits <= _MOST_DIGITS))):
        word = text[begins[number] : ends[number]].tobytes()
        try:
            numbers[number] = float(word)
        except ValueError:
            return None
        if word.translate(None, _OF_NUMBERS):
            return None
    return numbers


def _digits(eights: Eights, begins: Wholes, ends: Wholes) -> tuple[Wholes, NDArray[np.bool_]]:
    """Return the numbers, (n,), that digits make, and which of them are nothing but fifteen digits or fewer."""
    lengths = ends - begins
    first = np.minimum(lengths, _EIGHT)
    numbers, plain = _digits_of_eight(eights, begins, first)
    plain &= lengths <= _MOST_DIGITS
    longer = np.flatnonzero((lengths > _EIGHT) & plain)
    if len(longer):
        rest = lengths[longer] - _EIGHT
        more, plain[longer] = _digits_of_eight(eights, begins[longer] + _EIGHT, rest)
        numbers[longer] = numbers[longer] * _TENS[rest] + more
    return numbers, plain


def _digits_of_eight(eights: Eights, begins: Wholes, lengths: Wholes) -> tuple[Wholes, NDArray[np.bool_]]:
    """Return the numbers, (n,), that up to eight digits from ``begins`` on make, and which of them are digits."""
    # One that begins where the text ends is empty, whatever is looked at.
    word = eights[np.minimum(begins, len(eights) - 1)] ^ _ZEROS
    # What comes after the digits is pushed out: they are then the last of eight, and zeros come before them.
    word <<= ((_EIGHT - lengths) * 8).astype(np.uint64)
    # A shift by all 64 bits is no shift on some machines.
    word[lengths == 0] = 0
    plain = ((word + _OVER_NINE) | word) & _HIGH == 0
    for mask, factor, shift in _JOINED:
        word = ((word & mask) * factor) >> shift
    return word.astype(np.int64), plain

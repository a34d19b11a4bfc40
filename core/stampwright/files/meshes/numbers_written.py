"""Numbers put into lines of text all at once, several times as fast as one by one."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

Letters = NDArray[np.uint8]
"""(n, width) bytes, a number in each row; zeros among them are no letters and are left out."""

_ROWS = 10_000  # lines laid out at a time: they stay in the cache
_FOUR = 10_000
_PLACES = 12  # behind the dot, at most
_LEAST, _MOST = -16, 13  # powers of two, from which on and below which no more are needed, nor five before the dot
_BIAS, _MANTISSA = 127, 23  # of a 32-bit float: its exponent is stored with that added, above so many bits
_TENS = 10.0 ** np.arange(_PLACES + 1)
_NEEDED = np.array(
    [
        math.ceil((_MANTISSA - exponent) * math.log10(2.0)) if _LEAST <= exponent < _MOST else 0
        for exponent in range(-_BIAS, _BIAS + 2)
    ]
)
"""Places behind the dot that tell a number from its neighbours among 32-bit floats, by its exponent as it is stored."""


def _four_letters() -> Iterator[NDArray[np.uint32]]:
    """Yield the four digits of every number below ten thousand: all, those from the first and those to the last but 0.

    Four letters are handled as one number of 32 bits.
    """
    digits = (np.arange(_FOUR)[:, None] // (1000, 100, 10, 1) % 10 + ord("0")).astype(np.uint8)
    yield digits.view(np.uint32).ravel()
    for way in (slice(None), slice(None, None, -1)):
        begun = np.logical_or.accumulate(digits[:, way] != ord("0"), axis=1)[:, way]
        yield np.where(begun, digits, 0).astype(np.uint8).view(np.uint32).ravel()


_ALL, _LEADING, _TRAILING = _four_letters()

_POINTED = _TRAILING[:1000].copy()
_POINTED[1:].view(np.uint8)[::4] = ord(".")
"""What stands behind a whole number, dot and all, for every number of thousandths."""


def in_lines(
    form: Sequence[bytes], rows: NDArray[Any], letters_of: Callable[[NDArray[Any]], Letters]
) -> Iterator[bytes]:
    """Yield lines of text, many at a time: before, between and after the numbers of a row stand the words of a form.

    ``rows``: (n, len(form) - 1) numbers. ``letters_of``: puts a column of them into letters.

    >>> b"".join(in_lines((b"<", b" ", b">"), np.array([[7, 12345], [0, 80]]), whole_letters))
    b'<7 12345><0 80>'
    """
    for start in range(0, len(rows), _ROWS):
        some = rows[start : start + _ROWS]
        columns = [letters_of(np.ascontiguousarray(column)) for column in some.T]
        blank = [word + bytes(column.shape[1]) for word, column in zip(form, columns, strict=False)]
        line = np.frombuffer(b"".join((*blank, form[-1])), np.uint8)
        lines = np.empty((len(some), len(line)), np.uint8)
        lines[:] = line
        end = 0
        for part, column in zip(blank, columns, strict=True):
            end += len(part)
            lines[:, end - column.shape[1] : end] = column
        yield lines.tobytes().translate(None, b"\0")


def whole_letters(numbers: NDArray[np.int32]) -> Letters:
    r"""Return whole numbers, (n,), not negative, in letters.

    >>> whole_letters(np.array([0, 907, 10_000])).tobytes().translate(None, b"\0")
    b'090710000'
    """
    groups: list[NDArray[np.int32]] = []
    rest = numbers
    while not groups or rest.any():
        # The remainder of a division costs several times the division.
        rest, whole = rest // _FOUR, rest
        groups.insert(0, whole - rest * _FOUR)
    fours = np.empty((len(numbers), len(groups)), np.uint32)
    begun = np.zeros(len(numbers), np.bool_)
    for at, group in enumerate(groups):
        fours[:, at] = np.where(begun, _ALL[group], _LEADING[group])
        begun |= group > 0
    letters = fours.view(np.uint8)
    letters[~begun, -1] = ord("0")
    return letters


def decimal_letters(numbers: NDArray[np.float32]) -> Letters:
    r"""Return 32-bit floats, (n,), in letters that give just these back, mostly in the fewest that do.

    >>> decimal_letters(np.array([0.1, -2.0, 17.25], np.float32)).tobytes().translate(None, b"\0")
    b'0.1-217.25'
    """
    exponents = numbers.view(np.uint32) >> np.uint32(_MANTISSA) & np.uint32(0xFF)
    sizes, needed = np.abs(numbers).astype(np.float64), _NEEDED[exponents]
    whole, behind = _parted(sizes, np.maximum(needed - 1, 0))
    # One place less than always suffices often does; what it comes to is tried.
    short = (whole + behind / _TENS[_PLACES]).astype(np.float32) != sizes
    whole[short], behind[short] = _parted(sizes[short], needed[short])
    # Sign, whole number, dot, and the places, four letters each.
    fours = np.zeros((len(numbers), 3 + _PLACES // 4), np.uint32)
    fours[:, 0] = np.signbit(numbers) * np.uint32(ord("-"))
    fours[:, 1] = whole_letters(np.minimum(whole, _FOUR - 1).astype(np.int32)).view(np.uint32).ravel()
    fours[:, 2] = (behind > 0.0) * np.uint32(ord("."))
    rest, ended = behind.astype(np.int64), np.ones(len(numbers), np.bool_)
    for at in range(fours.shape[1] - 1, 2, -1):
        rest, group = rest // _FOUR, rest - rest // _FOUR * _FOUR
        if group.any() or not ended.all():
            fours[:, at] = np.where(ended, _TRAILING[group], _ALL[group])
            ended &= group == 0
    letters = fours.view(np.uint8)
    for odd in np.flatnonzero((needed == 0) & (sizes != 0.0)):
        told = b"%.9g" % numbers[odd]
        letters[odd] = np.frombuffer(told.ljust(letters.shape[1], b"\0"), np.uint8)
    return letters


def thousandth_letters(numbers: NDArray[np.float64]) -> Letters:
    r"""Return numbers, (n,), below ten million in size, to the thousandth in letters.

    >>> thousandth_letters(np.array([0.1, -2.0004, 17.25])).tobytes().translate(None, b"\0")
    b'0.1-217.25'
    """
    counted = np.rint(numbers * 1000.0).astype(np.int64)
    sizes = np.abs(counted)
    whole = sizes // 1000
    before = whole_letters(whole)
    letters = np.zeros((len(numbers), 4 + before.shape[1] + 4), np.uint8)
    letters[:, 0] = (counted < 0) * np.uint8(ord("-"))
    letters[:, 4:-4] = before
    # The dot takes the place of the first of four digits.
    letters[:, -4:] = _POINTED[sizes - whole * 1000].view(np.uint8).reshape(-1, 4)
    return letters


def _parted(sizes: NDArray[np.float64], places: NDArray[np.intp]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return sizes, (n,), rounded to places behind the dot: the whole numbers before it, and what stands behind it."""
    units = _TENS[places]
    counted = np.rint(sizes * units)
    whole = np.floor(counted / units)
    return whole, (counted - whole * units) * _TENS[_PLACES - places]

"""Blocks of G-code: a command and its words, many at once; what is neither a command nor a move is left out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .words import LineWords, Longs

G, M, N, T = b"GMNT"
AXIS_LETTERS = "XYZE"
CARRIED = "XYZEFIJRSPTD"
"""Letters whose numbers are kept for every block."""

MOTIONS = (0.0, 1.0, 2.0, 3.0)
"""Rapid, line, arc clockwise, arc counter-clockwise (ISO 6983-1)."""

_MODAL = np.zeros(256, dtype=np.bool_)
_MODAL[[*b"XYZEFIJR"]] = True
_KEPT = np.zeros(256, dtype=np.bool_)
_KEPT[[*CARRIED.encode()]] = True


@dataclass(frozen=True, eq=False)
class TextBlocks:
    """Blocks in their order, (n,) each.

    ``letter``: uint8, G, M or T; ``code``: float64, the number after it. ``line``: int64, where it stands.
    ``words``: float64 for each of ``CARRIED``, NaN where there is none. ``said``: the same, bool, also where a
    letter stands alone. ``spoiled``: bool, whether one of its words is no number. ``decimals``: most digits after
    the point of an E.
    """

    letter: NDArray[np.uint8]
    code: NDArray[np.float64]
    line: Longs
    words: dict[str, NDArray[np.float64]]
    said: dict[str, NDArray[np.bool_]]
    spoiled: NDArray[np.bool_]
    decimals: int

    def is_g(self, *codes: float) -> NDArray[np.bool_]:
        """Return which blocks are one of these G codes, (n,) bool."""
        return np.asarray((self.letter == G) & np.isin(self.code, codes))

    def is_m(self, *codes: float) -> NDArray[np.bool_]:
        """Return which blocks are one of these M codes, (n,) bool."""
        return np.asarray((self.letter == M) & np.isin(self.code, codes))


def read_blocks(words: LineWords, motion: float) -> tuple[TextBlocks, float]:
    """Return the blocks that words make, and the motion in force after them; ``motion``: that in force before, or NaN.

    A line begins a block; a further G within a line that begins with one begins another. A line of coordinates
    alone goes on with the motion in force.
    """
    numbered = words.letter == N
    letter, value = words.letter[~numbered], words.value[~numbered]
    line, decimals = words.line[~numbered], words.decimals[~numbered]
    opens = np.ones(len(line), dtype=np.bool_)
    opens[1:] = line[1:] != line[:-1]
    first = np.maximum.accumulate(np.where(opens, np.arange(len(line)), 0))
    starts = opens | ((letter == G) & (letter[first] == G) & ~np.isnan(value[first]))
    block, at = np.cumsum(starts) - 1, np.flatnonzero(starts)
    count = len(at)
    head, code = letter[at].copy(), value[at].copy()

    spoiled = np.zeros(count, dtype=np.bool_)
    spoiled[block[np.isnan(value)]] = True
    modal = _MODAL[head] & ~spoiled
    moves = (head == G) & np.isin(code, MOTIONS)
    held, last = held_at(np.flatnonzero(moves), code[moves], count, motion)
    head[modal], code[modal] = G, held[modal]
    known = (head == G) | (head == M) | (head == T)
    # A letter that only begins a word, as in STAMP_NOW, is no command.
    known &= ~np.isnan(code)

    number = np.cumsum(known) - 1
    kept = known[block] & _KEPT[letter]
    said, carried = {}, {}
    for name in CARRIED:
        those = np.flatnonzero(kept & (letter == ord(name)))
        said[name], carried[name] = np.zeros(int(known.sum()), np.bool_), np.full(int(known.sum()), np.nan)
        said[name][number[block[those]]] = True
        carried[name][number[block[those]]] = value[those]
    digits = decimals[kept & (letter == ord("E"))]
    blocks = TextBlocks(
        head[known], code[known], line[at][known], carried, said, spoiled[known], int(digits.max(initial=0))
    )
    return blocks, last


def held_at(
    at: NDArray[np.int64], values: NDArray[np.float64], count: int, before: float
) -> tuple[NDArray[np.float64], float]:
    """Return, for each of ``count`` places, the last of ``values`` that was set ``at`` or before it, and the very last.

    >>> held_at(np.array([1, 3]), np.array([5.0, 7.0]), 5, 0.0)[0].tolist()
    [0.0, 5.0, 5.0, 7.0, 7.0]
    """
    lengths = np.diff(np.concatenate(([0], at, [count])))
    held = np.repeat(np.concatenate(([before], values)), lengths)
    return held, float(values[-1]) if len(values) else before

"""Blocks of vertices and triangles in a 3MF model that are in just the form written here, read many at a time.

A parser calls back for every element; most of a model's are numbers in one form. Blocks of that form are taken out
before the parser sees the model. Whatever differs from it, in a single byte, is left to the parser.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from .numbers_read import Eights, decimal_numbers, eights_of, whole_numbers
from .zipped import PackedPiece

BlockNumbers = NDArray[np.float64] | NDArray[np.int64]
Bytes = NDArray[np.uint8]
Wholes = NDArray[np.int64]
ReadMesh = tuple[NDArray[np.float64], NDArray[np.int32]]

VERTEX = (b'<vertex x="', b'" y="', b'" z="', b'"/>\n')
TRIANGLE = (b'<triangle v1="', b'" v2="', b'" v3="', b'"/>\n')
"""What stands before, between and after the numbers of each vertex and each triangle that is written here."""

_QUOTE = ord('"')
_WORD = 8  # bytes compared together


@dataclass(frozen=True, eq=False)
class Block:
    """The numbers of one block: (n, 3) float vertices or (n, 3) int corners of triangles."""

    kind: str
    numbers: BlockNumbers


@dataclass
class Known:
    """What is known of files of the same parts: pieces that they may hold, what was read of these, and meshes.

    ``pieces``: as they were packed for the files. ``taken``: what :func:`take_blocks` gives of those that were found in
    a file and unpack to what they should. A mesh is known by the numbers that it came from, which are kept here, and
    how it was turned.
    """

    pieces: Collection[PackedPiece] = ()
    taken: dict[PackedPiece, Taken | None] = field(default_factory=dict)
    meshes: dict[tuple[int, int, bytes], ReadMesh] = field(default_factory=dict)


Taken = tuple[bytes, list[Block]]
"""A model's XML without its blocks of numbers, and these in order."""


def take_blocks(model: bytes) -> Taken | None:
    """Return a model's XML without the blocks of numbers, and these in order; None when one is in another form."""
    left: list[bytes] = []
    blocks: list[Block] = []
    place = 0
    while True:
        opening = [(at, kind) for kind in ("vertices", "triangles") if (at := _find(model, kind, place)) >= 0]
        if not opening:
            break
        at, kind = min(opening)
        begin = at + len(kind) + 3
        end = model.find(b"</%s>" % kind.encode(), begin)
        numbers = None if end < 0 else _numbers(model[begin:end], kind)
        if numbers is None:
            return None
        left.append(model[place:begin])
        blocks.append(Block(kind, numbers))
        place = end
    return b"".join([*left, model[place:]]), blocks


def _find(model: bytes, kind: str, place: int) -> int:
    return model.find(b"<%s>\n" % kind.encode(), place)


def _numbers(body: bytes, kind: str) -> BlockNumbers | None:
    """Return the numbers of a block's body, (n, 3), or None when it is not lines of just one form."""
    text = np.frombuffer(body, np.uint8)
    found = np.flatnonzero(text == _QUOTE)
    if not len(found) or len(found) % 6:
        return None
    quotes = found.reshape(-1, 6)
    if not _of_form(eights_of(text), quotes, VERTEX if kind == "vertices" else TRIANGLE):
        return None
    begins, ends = quotes[:, 0::2].reshape(-1) + 1, quotes[:, 1::2].reshape(-1)
    numbers = whole_numbers(text, begins, ends) if kind == "triangles" else decimal_numbers(text, begins, ends)
    return None if numbers is None else numbers.reshape(-1, 3)


def _of_form(eights: Eights, quotes: Wholes, form: Sequence[bytes]) -> bool:
    """Say whether the words of a form stand round the numbers of lines, whose quotes are at (n, 6) places.

    ``eights``: those of the whole text, from each of its bytes on.
    """
    last = quotes[:, 5] + len(form[3])
    begins = np.stack((np.concatenate(([0], last[:-1])), quotes[:, 1], quotes[:, 3], quotes[:, 5]))
    ends = np.stack((quotes[:, 0] + 1, quotes[:, 2] + 1, quotes[:, 4] + 1, last))
    if last[-1] != len(eights) or (ends - begins != [[len(word)] for word in form]).any():
        return False
    return all(
        bool((eights[begin + at] & mask == meant).all())
        for word, begin in zip(form, begins, strict=True)
        for at, meant, mask in _pieces(word)
    )


def _pieces(word: bytes) -> Iterator[tuple[int, np.uint64, np.uint64]]:
    """Yield eight bytes of a word at a time: where they begin, what they are, and which bits of them count."""
    for at in range(0, len(word), _WORD):
        piece = word[at : at + _WORD]
        yield at, np.uint64(int.from_bytes(piece, "little")), np.uint64(2 ** (8 * len(piece)) - 1)

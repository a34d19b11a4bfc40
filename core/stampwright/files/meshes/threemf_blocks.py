"""Blocks of vertices and triangles in a 3MF model that are in just the form written here, read many at a time.

A parser calls back for every element; most of a model's are numbers in one form. Blocks of that form are taken out
before the parser sees the model. Whatever differs from it, in a single byte, is left to the parser.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from hashlib import sha256

import numpy as np
from numpy.typing import NDArray

from .numbers_read import decimal_numbers, whole_numbers

BlockNumbers = NDArray[np.float64] | NDArray[np.int64]
Bytes = NDArray[np.uint8]
Wholes = NDArray[np.int64]
ReadMesh = tuple[NDArray[np.float64], NDArray[np.int32]]

_VERTEX = (b'<vertex x="', b'" y="', b'" z="', b'"/>\n')
_QUOTE = ord('"')
_TRIANGLE = (b'<triangle v1="', b'" v2="', b'" v3="', b'"/>\n')


@dataclass(frozen=True, eq=False)
class Block:
    """The numbers of one block: (n, 3) float vertices or (n, 3) int corners of triangles."""

    kind: str
    numbers: BlockNumbers


@dataclass
class Known:
    """What was read of other files of the same parts: the numbers of blocks, by the digest of their bytes, and meshes.

    A mesh is known by the numbers that it came from, which are kept here, and how it was turned.
    """

    blocks: dict[bytes, BlockNumbers] = field(default_factory=dict)
    meshes: dict[tuple[int, int, bytes], ReadMesh] = field(default_factory=dict)


def take_blocks(model: bytes, known: Known) -> tuple[bytes, list[Block]] | None:
    """Return a model's XML without the blocks of numbers, and these in order; None when one is in another form.

    ``known``: what was read before, to which the numbers that are read now are added.
    """
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
        numbers = None if end < 0 else _known_numbers(model[begin:end], kind, known.blocks)
        if numbers is None:
            return None
        left.append(model[place:begin])
        blocks.append(Block(kind, numbers))
        place = end
    return b"".join([*left, model[place:]]), blocks


def _known_numbers(body: bytes, kind: str, known: dict[bytes, BlockNumbers]) -> BlockNumbers | None:
    digest = sha256(body, usedforsecurity=False).digest()
    numbers = known.get(digest)
    if numbers is None:
        numbers = _numbers(body, kind)
        if numbers is not None:
            known[digest] = numbers
    return numbers


def _find(model: bytes, kind: str, place: int) -> int:
    return model.find(b"<%s>\n" % kind.encode(), place)


def _numbers(body: bytes, kind: str) -> BlockNumbers | None:
    """Return the numbers of a block's body, (n, 3), or None when it is not lines of just one form."""
    form, digits = (_VERTEX, b"0123456789+-.e") if kind == "vertices" else (_TRIANGLE, b"0123456789")
    count = body.count(b"\n")
    if body.translate(None, digits) != _bare(form, digits) * count:
        return None
    text = np.frombuffer(body, np.uint8)
    quotes = np.flatnonzero(text == _QUOTE).reshape(count, 6)
    if not _of_form(text, quotes, form, digits):
        return None
    begins, ends = quotes[:, 0::2].reshape(-1) + 1, quotes[:, 1::2].reshape(-1)
    numbers = whole_numbers(text, begins, ends) if kind == "triangles" else decimal_numbers(text, begins, ends)
    return None if numbers is None else numbers.reshape(-1, 3)


def _bare(form: Sequence[bytes], digits: bytes) -> bytes:
    return b"".join(form).translate(None, digits)


def _of_form(text: Bytes, quotes: Wholes, form: Sequence[bytes], digits: bytes) -> bool:
    """Say whether nothing but the words of a form stands round the numbers of lines, whose quotes are at (n, 6) places.

    Bytes other than ``digits`` are known to be those of the form in their order, so that a word that is as long as it
    should be can differ only in these.
    """
    if not len(quotes):
        return False
    last = quotes[:, 5] + len(form[3])
    begins = np.stack((np.concatenate(([0], last[:-1])), quotes[:, 1], quotes[:, 3], quotes[:, 5]))
    ends = np.stack((quotes[:, 0] + 1, quotes[:, 2] + 1, quotes[:, 4] + 1, last))
    if last[-1] != len(text) or (ends - begins != [[len(word)] for word in form]).any():
        return False
    return all(
        bool((text[begin + at] == byte).all())
        for word, begin in zip(form, begins, strict=True)
        for at, byte in enumerate(word)
        if byte in digits
    )

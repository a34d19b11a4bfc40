"""Blocks of vertices and triangles in a 3MF model that are in just the form written here, read many at a time.

A parser calls back for every element; most of a model's are numbers in one form. Blocks of that form are taken out
before the parser sees the model. Whatever differs from it, in a single byte, is left to the parser.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64] | NDArray[np.int64]
KnownBlocks = dict[bytes, Numbers]

_VERTEX = (b'<vertex x="', b'" y="', b'" z="', b'"/>\n')
_TRIANGLE = (b'<triangle v1="', b'" v2="', b'" v3="', b'"/>\n')


@dataclass(frozen=True, eq=False)
class Block:
    """The numbers of one block: (n, 3) float vertices or (n, 3) int corners of triangles."""

    kind: str
    numbers: Numbers


def take_blocks(model: bytes, known: KnownBlocks | None = None) -> tuple[bytes, list[Block]] | None:
    """Return a model's XML without the blocks of numbers, and these in order; None when one is in another form.

    ``known``: numbers of blocks that were read before, by the digest of their bytes; those read now are added.
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
        numbers = None if end < 0 else _known_numbers(model[begin:end], kind, {} if known is None else known)
        if numbers is None:
            return None
        left.append(model[place:begin])
        blocks.append(Block(kind, numbers))
        place = end
    return b"".join([*left, model[place:]]), blocks


def _known_numbers(body: bytes, kind: str, known: KnownBlocks) -> Numbers | None:
    digest = sha256(body, usedforsecurity=False).digest()
    numbers = known.get(digest)
    if numbers is None:
        numbers = _numbers(body, kind)
        if numbers is not None:
            known[digest] = numbers
    return numbers


def _find(model: bytes, kind: str, place: int) -> int:
    return model.find(b"<%s>\n" % kind.encode(), place)


def _numbers(body: bytes, kind: str) -> Numbers | None:
    """Return the numbers of a block's body, (n, 3), or None when it is not lines of just one form."""
    form, digits = (_VERTEX, b"0123456789+-.e") if kind == "vertices" else (_TRIANGLE, b"0123456789")
    count = body.count(b"\n")
    if body.translate(None, digits) != _bare(form, digits) * count:
        return None
    for part in form:
        body = body.replace(part, b" ")
    if kind == "triangles":
        # Nothing but digits and spaces is left, which the array library reads by itself; what is too large it cuts off.
        corners = np.fromstring(body, dtype=np.int64, sep=" ")
        whole = len(corners) == 3 * count and corners.max(initial=0) < np.iinfo(np.int64).max
        return corners.reshape(-1, 3) if whole else None
    words = body.split()
    if len(words) != 3 * count:
        return None
    try:
        return np.fromiter(map(float, words), np.float64, len(words)).reshape(-1, 3)
    except ValueError:
        return None


def _bare(form: Sequence[bytes], digits: bytes) -> bytes:
    return b"".join(form).translate(None, digits)

"""QR symbols seen in artwork, however it came: where they are, how fine, and whether they read only in a mirror.

A symbol's three finder patterns look the same in a mirror. Its format information does not: fifteen bits with a
Bose-Chaudhuri-Hocquenghem code, kept twice, whose words are at least seven bits apart (ISO/IEC 18004:2015, section
7.9). Read along the rows they make a word of that code, or do so only when rows and columns change places. Bar codes
are not looked at: their readers take them from either side, in a mirror too.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from ..findings import Finding
from .artwork import Code

FINDER = 7
"""Modules across a finder pattern; its paper is 5 across and its core 3 (ISO/IEC 18004:2015, section 6.3.3)."""

QUIET = 4
"""Modules of bare paper round a symbol (ISO/IEC 18004:2015, section 6.3.8)."""

MOST_FINDERS = 60
"""Finder patterns that are looked at; artwork with more is a pattern of its own."""

MOST_WRONG = 3
"""Bits of both copies of the format information that may be wrong: fewer than tell a symbol from its mirror image."""


@dataclass(frozen=True)
class _Finder:
    """A finder pattern: its middle and the side of its square, mm."""

    middle: NDArray[np.float64]
    side: float


def see_codes(inked: MultiPolygon) -> tuple[tuple[Code, ...], tuple[Finding, ...]]:
    """Return the QR symbols in the ink, and a finding for each that reads only in a mirror."""
    finders = _finders(inked)
    if len(finders) < 3:
        return (), ()
    codes: list[Code] = []
    findings: list[Finding] = []
    shapely.prepare(inked)
    for corners in _corners(finders):
        symbol = _laid_out(corners)
        if symbol is None:
            continue
        straight, mirrored = _wrong_bits(inked, symbol), _wrong_bits(inked, symbol.transposed)
        if min(straight, mirrored) > MOST_WRONG or straight == mirrored:
            continue
        codes.append(Code("qr", symbol.module, symbol.place))
        if mirrored < straight:
            findings.append(_reads_mirrored(symbol.place))
    return tuple(codes), tuple(findings)


def _reads_mirrored(place: Polygon) -> Finding:
    return Finding(
        kind="already reversed",
        severity="warns",
        stage="artwork",
        message="a QR code reads only in a mirror, as if the art had been reversed for stamping already",
        remedy="If it was, set layout.mirror = true: the die itself is reversed once, when it is built.",
        place=place,
    )


def _finders(inked: MultiPolygon) -> list[_Finder]:
    """Return the finder patterns: rings of ink, each with an island in its middle, all in the right proportion."""
    parts = np.array(inked.geoms, dtype=object)
    with_holes = [part for part in parts if len(part.interiors) == 1]
    if len(with_holes) < 3:
        return []
    outer = shapely.area(shapely.polygons([part.exterior for part in with_holes]))
    holes = shapely.polygons([part.interiors[0] for part in with_holes])
    shares = shapely.area(holes) / outer
    right = np.flatnonzero(np.abs(shares - 25 / 49) < 0.12)
    tree = shapely.STRtree(parts)
    found = []
    for at in right[: MOST_FINDERS * 10].tolist():
        inside = tree.query(holes[at], predicate="contains_properly")
        if len(inside) != 1:
            continue
        core = parts[inside[0]]
        side = float(outer[at]) ** 0.5
        middle = shapely.get_coordinates(with_holes[at].centroid)[0]
        off = np.hypot(*(shapely.get_coordinates(core.centroid)[0] - middle))
        if abs(core.area / outer[at] - 9 / 49) < 0.08 and off < side / FINDER:
            found.append(_Finder(middle, side))
    return found[:MOST_FINDERS]


def _corners(finders: Sequence[_Finder]) -> Iterator[tuple[_Finder, _Finder, _Finder]]:
    """Yield three finders at a time that stand as in a symbol: the one at its corner, then those right and below of it.

    Right and below are told apart by turning clockwise on paper, as in a symbol that is not mirrored.
    """
    middles = np.array([finder.middle for finder in finders])
    sides = np.array([finder.side for finder in finders])
    # Every finder as a corner (first axis), with every one right (second) and below of it (third).
    away = middles[None] - middles[:, None]
    far = np.hypot(away[..., 0], away[..., 1])
    wide, high = far[:, :, None], far[:, None, :]
    turn = away[:, :, None, 0] * away[:, None, :, 1] - away[:, :, None, 1] * away[:, None, :, 0]
    stands = (np.abs(wide - high) < 0.1 * wide) & (turn < -0.95 * wide * high)
    three = np.stack(np.broadcast_arrays(sides[:, None, None], sides[:, None], sides))
    stands &= three.max(axis=0) <= 1.3 * three.min(axis=0)
    for corner, right, below in np.argwhere(stands).tolist():
        yield finders[corner], finders[right], finders[below]


@dataclass(frozen=True)
class _Symbol:
    """A symbol as its finders lay it out: ``count`` modules a side, of ``module`` mm; ``place`` has the quiet zone.

    ``first``: the outer corner, (2,) mm; ``across``, ``down``: steps of a module along rows and columns, (2,) mm.
    """

    count: int
    module: float
    first: NDArray[np.float64]
    across: NDArray[np.float64]
    down: NDArray[np.float64]
    place: Polygon

    @property
    def transposed(self) -> _Symbol:
        """The symbol with rows and columns changed."""
        return replace(self, across=self.down, down=self.across)


def _laid_out(corners: tuple[_Finder, _Finder, _Finder]) -> _Symbol | None:
    """Return the symbol of which three finders are the corners; None where they stand too near or too far."""
    corner, right, below = corners
    across, down = right.middle - corner.middle, below.middle - corner.middle
    reach = (float(np.hypot(*across)) + float(np.hypot(*down))) / 2
    finder = sum(one.side for one in corners) / 3
    # Middles of finders stand 7 modules less apart than the symbol is wide, which is 17 and 4 for each version.
    version = round((reach / finder * FINDER + FINDER - 17) / 4)
    if not 1 <= version <= 40:
        return None
    count = 17 + 4 * version
    across, down = across / (count - FINDER), down / (count - FINDER)
    first = corner.middle - (across + down) * (FINDER / 2)
    edges = (-QUIET, count + QUIET)
    around = [(edges[0], edges[0]), (edges[1], edges[0]), (edges[1], edges[1]), (edges[0], edges[1])]
    place = Polygon([first + x * across + y * down for x, y in around])
    return _Symbol(count, reach / (count - FINDER), first, across, down, place)


def _wrong_bits(inked: MultiPolygon, symbol: _Symbol) -> int:
    """Return by how many bits both copies of the format information miss the word that is nearest to both."""
    count = symbol.count
    # From the highest bit down (ISO/IEC 18004:2015, figure 25): round the corner's finder, and beside the other two.
    first = [(8, column) for column in (0, 1, 2, 3, 4, 5, 7, 8)] + [(row, 8) for row in (7, 5, 4, 3, 2, 1, 0)]
    second = [(count - 1 - row, 8) for row in range(7)] + [(8, count - 8 + column) for column in range(8)]
    rows, columns = np.array([first, second]).transpose(2, 0, 1) + 0.5
    spots = symbol.first + columns[..., None] * symbol.across + rows[..., None] * symbol.down
    copies = shapely.contains_xy(inked, spots[..., 0], spots[..., 1])
    return int((copies[:, None] != _WORDS[None]).sum(axis=(0, 2)).min())


def _words() -> NDArray[np.bool_]:
    """Return the 32 words of format information, (32, 15): BCH (15, 5) by 10100110111, masked by 101010000010010."""
    words = []
    for data in range(32):
        rest = data << 10
        for bit in range(14, 9, -1):
            if rest >> bit & 1:
                rest ^= 0b10100110111 << (bit - 10)
        word = (data << 10 | rest) ^ 0b101010000010010
        words.append([bool(word >> bit & 1) for bit in range(14, -1, -1)])
    return np.array(words)


_WORDS = _words()

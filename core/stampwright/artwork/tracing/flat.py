"""Flat colours: pictures of a few even colours, as drawing programs write them, told from scans and photographs."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ...job.sections.tracing import TracingSection
from ..colours import is_ink

FlatColours = NDArray[np.uint8]

MOST_COLOURS = 12
LEAST_SHARE = 0.002
"""Share of all pixels that a colour of its own covers; edges between two colours have less of any one."""

EVEN = 0.94
"""Share of pixels that are one of the flat colours; the rest are soft edges. A photograph has a fraction of that."""

NEAR = 12
"""Pixels whose channels differ from a colour by no more than this are that colour, of 255."""

ITSELF, LEAST_ITSELF = 4, 0.5
"""Of the pixels near a flat colour so many differ from it by no more than this, of 255; of even tones a third do."""

_MOST_CANDIDATES = 64
"""Colours that are looked at, most of them of soft edges."""

_BESIDE = 0.8
"""Share of the pixels of a soft edge that lie near both of its colours; a sharp tip has no pixel of its own colour."""

_FEW = 0.05
"""Share of the pixels of a soft edge that may lie inside it, with their own colour all round."""

REACH = 3
"""Pixels within which both colours of a soft edge are found: as far as ordinary smoothing and JPEG draw one out."""

UNSEEN = 2.0 * NEAR
"""How much better, of 255, a mixture with a colour must be that is nowhere within reach; a hairline has no pixel of
its own colour."""


class Palette(NamedTuple):
    """The flat colours of a picture, (n, 3) uint8, the most frequent first, and the share of pixels of each, (n,)."""

    colours: FlatColours
    shares: NDArray[np.float64]

    @property
    def paper(self) -> int:
        """Which of them is the paper: the lightest of those that cover a tenth, else the lightest of all."""
        light = self.colours.astype(np.float64).sum(axis=1)
        broad = self.shares >= 0.1
        return int(np.where(broad, light, -1.0).argmax()) if broad.any() else int(light.argmax())


def find_palette(colours: FlatColours) -> Palette | None:
    """Return the flat colours of a picture, (rows, columns, 3) uint8, or None when it is no such picture."""
    pixels = colours.reshape(-1, 3)
    packed = pixels.astype(np.uint32) @ np.array([1 << 16, 1 << 8, 1], dtype=np.uint32)
    values, counts = np.unique(packed, return_counts=True)
    order = np.argsort(-counts)
    found: list[NDArray[np.int64]] = []
    for at in order[: 50 * MOST_COLOURS]:
        if counts[at] < LEAST_SHARE / 4 * len(pixels):
            break
        colour = np.array([values[at] >> 16, values[at] >> 8 & 255, values[at] & 255], dtype=np.int64)
        if all(np.abs(colour - other).max() > 2 * NEAR for other in found):
            found.append(colour)
        if len(found) > _MOST_CANDIDATES:
            return None
    found = _without_soft_edges(colours, found)
    if not 2 <= len(found) <= MOST_COLOURS:
        return None
    unpacked = np.stack([values >> 16, values >> 8 & 255, values & 255], axis=1).astype(np.int64)
    apart = np.stack([np.abs(unpacked - colour).max(axis=1) for colour in found], axis=1)
    nearest, near = apart.argmin(axis=1), apart.min(axis=1) <= NEAR
    shares = np.bincount(nearest[near], weights=counts[near], minlength=len(found)) / len(pixels)
    itself = apart.min(axis=1) <= ITSELF
    even = np.bincount(nearest[itself], weights=counts[itself], minlength=len(found)) / len(pixels)
    # Tones and noise lie as much round a colour as at it.
    shares = np.where(even >= LEAST_ITSELF * shares, shares, 0.0)
    if shares.sum() < EVEN:
        return None
    own = shares >= LEAST_SHARE
    return Palette(np.array(found, dtype=np.uint8)[own], shares[own]) if own.sum() >= 2 else None


def _without_soft_edges(colours: FlatColours, found: list[NDArray[np.int64]]) -> list[NDArray[np.int64]]:
    """Return colours without those that only edges between two others have; the most frequent come first.

    Such a colour is a mixture of both, has hardly a pixel that is surrounded by its own, and lies beside both.
    """
    kept: list[NDArray[np.int64]] = []
    masks: list[NDArray[np.bool_]] = []
    for colour in found:
        mask = np.abs(colours.astype(np.int16) - colour.astype(np.int16)).max(axis=2) <= NEAR
        pairs = ((one, other) for one, other in combinations(range(len(kept)), 2))
        if not any(
            _is_between(colour, kept[one], kept[other]) and _is_edge(mask, masks[one], masks[other])
            for one, other in pairs
        ):
            kept.append(colour)
            masks.append(mask)
    return kept


def _is_between(colour: NDArray[np.int64], one: NDArray[np.int64], other: NDArray[np.int64]) -> bool:
    """Say whether a colour may be a mixture of two others."""
    way = (other - one).astype(np.float64)
    share = float((colour - one) @ way / (way @ way))
    return 0.0 < share < 1.0 and float(np.abs(colour - one - share * way).max()) <= 2 * NEAR


def _is_edge(mask: NDArray[np.bool_], one: NDArray[np.bool_], other: NDArray[np.bool_]) -> bool:
    """Say whether pixels are the soft edge between two colours: hardly any inside, nearly all beside both."""
    inside = mask[1:-1, 1:-1] & mask[2:, 1:-1] & mask[:-2, 1:-1] & mask[1:-1, 2:] & mask[1:-1, :-2]
    count = np.count_nonzero(mask)
    return bool(
        np.count_nonzero(inside) < _FEW * count and np.count_nonzero(mask & _near(one) & _near(other)) > _BESIDE * count
    )


class Mixtures(NamedTuple):
    """Of which two flat colours the ``soft`` pixels of a picture, (rows, columns) bool, are mixed.

    ``first`` and ``second``: their numbers in the palette, (n,) each; ``share``: of the second, (n,) float32, 0 to 1.
    """

    soft: NDArray[np.bool_]
    first: NDArray[np.int64]
    second: NDArray[np.int64]
    share: NDArray[np.float32]


def find_mixtures(colours: FlatColours, palette: Palette) -> Mixtures:
    """Return of which two flat colours each soft pixel of a picture, (rows, columns, 3) uint8, is mixed.

    Those near it come first into question: on the edge of blue on white there may be grey, and yet no grey ink.
    """
    solid = [
        np.abs(colours.astype(np.int16) - colour).max(axis=2) <= NEAR for colour in palette.colours.astype(np.int16)
    ]
    soft = ~np.logical_or.reduce(solid)
    absent = np.stack([~_near(mask)[soft] for mask in solid])
    pixels = colours[soft].astype(np.float32)
    first, second = (np.zeros(len(pixels), dtype=np.int64) for _ in range(2))
    share, least = np.zeros(len(pixels), dtype=np.float32), np.full(len(pixels), np.inf, dtype=np.float32)
    for one, other in combinations(range(len(solid)), 2):
        start = palette.colours[one].astype(np.float32)
        way = palette.colours[other].astype(np.float32) - start
        along = np.clip((pixels - start) @ way / (way @ way), 0.0, 1.0)
        off = np.linalg.norm(pixels - start - along[:, None] * way, axis=1)
        off += np.float32(UNSEEN) * (absent[one].astype(np.float32) + absent[other])
        better = off < least
        first[better], second[better] = one, other
        share[better], least[better] = along[better], off[better]
    return Mixtures(soft, first, second, share)


def inkness(
    colours: FlatColours, palette: Palette, inked: NDArray[np.bool_], mixtures: Mixtures
) -> NDArray[np.float32]:
    """Return how bright a picture is where its flat colours are black or white, (rows, columns), 0 ink to 1 paper.

    A soft edge between ink and paper has the brightness of its share of either, so that its middle is 0.5; one between
    two inks, or two papers, has that of both.
    """
    pixels = colours.astype(np.float32)
    to_ink = _distance(pixels, palette.colours[inked])
    to_paper = _distance(pixels, palette.colours[~inked])
    bright = np.asarray(to_ink / np.maximum(to_ink + to_paper, 1e-6), dtype=np.float32)
    paper = (~inked).astype(np.float32)
    bright[mixtures.soft] = (1 - mixtures.share) * paper[mixtures.first] + mixtures.share * paper[mixtures.second]
    return bright


def _near(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return where a mask holds within :data:`REACH` pixels, each way."""
    for _ in range(REACH):
        grown = mask.copy()
        grown[1:] |= mask[:-1]
        grown[:-1] |= mask[1:]
        mask = grown.copy()
        mask[:, 1:] |= grown[:, :-1]
        mask[:, :-1] |= grown[:, 1:]
    return mask


def inked_colours(palette: Palette, tracing: TracingSection) -> NDArray[np.bool_]:
    """Say of each flat colour whether it is ink, as a job tells it; the paper is none, whatever its colour, (n,).

    Raises :class:`~stampwright.errors.ArtworkError` when a colour that is named is none.
    """
    seen = palette.colours / 255.0
    inked = is_ink(seen, tracing)
    if tracing.ink_by != "colours":
        inked = inked & (np.arange(len(seen)) != palette.paper)
    return inked


def boxes_of(colours: FlatColours, palette: Palette) -> Iterator[tuple[float, float, float, float]]:
    """Yield for each flat colour the box of its pixels: left, top, right, bottom, in pixels."""
    for colour in palette.colours:
        rows, columns = np.nonzero(np.abs(colours.astype(np.int16) - colour.astype(np.int16)).max(axis=2) <= NEAR)
        yield float(columns.min()), float(rows.min()), float(columns.max() + 1), float(rows.max() + 1)


def _distance(pixels: NDArray[np.float32], colours: FlatColours) -> NDArray[np.float32]:
    nearest = np.full(pixels.shape[:2], np.inf, dtype=np.float32)
    for colour in colours:
        np.minimum(nearest, np.linalg.norm(pixels - colour.astype(np.float32), axis=2), out=nearest)
    return nearest

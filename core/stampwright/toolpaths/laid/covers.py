"""The areas that layers cover, each reckoned when it is first asked for, and only as many as are worth their time."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.geometry import MultiPolygon

from ...errors import ToolpathError
from ...plane.overlays import all_joined
from ...plane.regions import filled_parts
from .areas import cover, together
from .plate import LaidLayer, Thing

MOST_BEADS = 100_000
"""Beads of which areas are made besides the face: 100,000 take a second or two."""

MOST_OF_A_LAYER = 1_000_000
"""Beads of one layer; those of a die have some thousands."""

BEAD_HAIR = 0.1
"""Gaps narrower than this, mm, are none: beads meet there (an eye sees none, and ink fills it)."""


class Covers:
    """Areas of a thing's layers by their place in it, 0 at the bed; machine's frame, mm."""

    def __init__(self, thing: Thing) -> None:
        self.thing = thing
        self._known: dict[int, MultiPolygon] = {}

    def __getitem__(self, at: int) -> MultiPolygon:
        """Return the area that a layer covers.

        Raises :class:`~stampwright.errors.ToolpathError` when it is laid of too many beads.
        """
        if at not in self._known:
            layer: LaidLayer = self.thing.layers[at]
            if len(layer.beads) > MOST_OF_A_LAYER:
                raise ToolpathError(
                    f"layer {layer.number} is laid of {len(layer.beads):,} beads, more than can be looked at "
                    f"({MOST_OF_A_LAYER:,}); slice the die alone, and not so fine"
                )
            self._known[at] = cover(layer.beads, layer.height)
        return self._known[at]

    def outline(self, at: int) -> MultiPolygon:
        """Return the area that a layer covers with its holes filled, as a sparse one has many."""
        return filled_parts(all_joined([shapely.Polygon(part.exterior) for part in self[at].geoms]))

    def worth_while(self, order: Sequence[int]) -> tuple[int, ...]:
        """Return as many of these layers, in their order, as may be asked for; the first always may."""
        taken: list[int] = []
        beads = 0
        for at in order:
            beads += len(self.thing.layers[at].beads)
            if taken and beads > MOST_BEADS:
                break
            taken.append(at)
        return tuple(taken)


def without_hairs(region: MultiPolygon, width: float = BEAD_HAIR) -> MultiPolygon:
    """Return a region with what in it is narrower than ``width``, mm, closed."""
    closed = region.buffer(width / 2, quad_segs=2).buffer(-width / 2, quad_segs=2)
    return together(closed, region)

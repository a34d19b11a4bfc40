"""Coloured artwork as data."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...errors import ArtworkError
from ...plane.overlays import side_by_side
from ...plane.regions import sound_parts
from ..artwork import Artwork
from ..cleaning import without_slivers


@dataclass(frozen=True)
class Patch:
    """What of artwork is seen in one colour.

    ``colour``: on white paper, #rrggbb. ``region``: valid, mm, same frame as the artwork; no two patches overlap.
    ``source``: the layer that it lies on, or the ink that its pieces name, where art is told apart by these.
    """

    colour: str
    region: MultiPolygon
    source: str = ""


@dataclass(frozen=True)
class Coloured:
    """Artwork with all that is not white as its ink, and the patches that this is made of, the largest first.

    ``paper``: the colour, #rrggbb, of the patches that lie all round the page, which is its paper unless an ink names
    it; "" where there is none.
    """

    whole: Artwork
    patches: tuple[Patch, ...]
    paper: str = ""


def coloured_artwork(whole: Artwork, patches: Iterable[Patch], *, sliver: float, paper: str = "") -> Coloured:
    """Return patches as artwork, all of them its ink, without islands nowhere wider than ``sliver``, mm.

    Those are the seams between colours, which no eye sees. ``paper`` as in :class:`Coloured`. Raises
    :class:`ArtworkError` when nothing is left.
    """
    kept: list[Patch] = []
    for patch in patches:
        region = without_slivers(patch.region, sliver)
        if not region.is_empty:
            kept.append(replace(patch, region=region))
    if not kept:
        raise ArtworkError("nothing in it is another colour than the paper: there is nothing to print")
    kept.sort(key=lambda patch: -patch.region.area)
    return Coloured(replace(whole, inked=joined_patches(patch.region for patch in kept)), tuple(kept), paper)


def joined_patches(regions: Iterable[BaseGeometry]) -> MultiPolygon:
    """Return the union of regions that lie side by side, valid and oriented."""
    whole: MultiPolygon = shapely.orient_polygons(sound_parts(side_by_side(list(regions))))
    return whole

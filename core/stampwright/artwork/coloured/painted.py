"""Art that is drawn elsewhere with several paints: what is seen of each, and the drawing that a folder keeps of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import groupby
from xml.sax.saxutils import quoteattr

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...errors import ArtworkError
from ...looks.colours import rgb
from ...plane.overlays import joined, without
from ...plane.regions import made_valid, sound_parts
from ..artwork import Artwork
from ..colours import NEAR_PAPER
from ..drawn import Shape
from ..outlines.filling import united
from ..sources import SourceFile, Sources
from .patches import Coloured, Patch, coloured_artwork


def draw_painted(
    shapes: Sequence[Shape], paints: Mapping[str, str], *, name: str = "", tolerance: float, magnification: float
) -> Coloured:
    """Return what is seen of each paint, as a patch whose ``source`` is that paint's name.

    ``shapes``: as they lie over one another, the lowest first; those that are left out hide nothing. ``paints``:
    colours, #rrggbb, by name; what is painted white shows paper, and so do shapes that say so. Other arguments are
    those of :func:`~stampwright.artwork.drawn.draw_artwork`. Raises :class:`ArtworkError` when nothing would print.
    """
    shapes = [shape for shape in shapes if not shape.left_out]
    if not all(np.isfinite(shape.points()).all() for shape in shapes):
        raise ArtworkError(f"{name or 'the drawing'} has points that are nowhere (not a number); draw it anew")
    seen: dict[str, list[BaseGeometry]] = {}
    covered: BaseGeometry = MultiPolygon()
    try:
        # From the top down: what lies under another is not seen.
        for (paint, paper), alike in groupby(reversed(shapes), key=lambda shape: (shape.paint, shape.paper)):
            laid = made_valid(united([shape.region(tolerance, magnification) for shape in alike]))
            if not paper:
                seen.setdefault(paint, []).append(without(laid, covered))
            covered = joined(covered, laid)
        patches = [
            Patch(paints[paint], sound_parts(united(regions)), source=paint)
            for paint, regions in seen.items()
            if not is_paper(paints[paint])
        ]
    except shapely.errors.GEOSException as error:
        raise ArtworkError(f"the outlines could not be resolved ({error}); simplify the drawing") from error
    patches = [patch for patch in patches if not patch.region.is_empty]
    if not patches:
        raise ArtworkError(f"{name or 'the drawing'} shows no ink from above: all of it is white, or has no area")
    left, bottom, right, top = shapely.total_bounds([patch.region for patch in patches]).tolist()
    moved = [replace(patch, region=affinity.translate(patch.region, -left, -bottom)) for patch in patches]
    whole = Artwork(MultiPolygon(), (right - left, top - bottom), name=name, tolerance=tolerance)
    coloured = coloured_artwork(whole, moved, sliver=2 * tolerance)
    kept = SourceFile(f"{name or 'drawing'}.svg", painted_drawing(coloured))
    return replace(coloured, whole=replace(coloured.whole, sources=Sources(kept)))


def is_paper(colour: str) -> bool:
    """Whether a colour, #rrggbb, is that of the paper.

    >>> is_paper("#fdfdfb"), is_paper("#f2c230")
    (True, False)
    """
    return 1.0 - min(rgb(colour)) <= NEAR_PAPER


def painted_drawing(coloured: Coloured) -> bytes:
    """Return patches as an SVG drawing at true size: a layer for each, named for its paint."""
    wide, tall = coloured.whole.page_size
    layers = "".join(
        f'<g id={quoteattr(patch.source)}><path fill="{patch.colour}" fill-rule="evenodd" d="{_path(patch, tall)}"/>'
        "</g>\n"
        for patch in coloured.patches
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.9f}mm" height="{tall:.9f}mm" '
        f'viewBox="0 0 {wide:.9f} {tall:.9f}">\n{layers}</svg>\n'
    ).encode()


def _path(patch: Patch, tall: float) -> str:
    rings = shapely.get_rings(shapely.get_parts(patch.region))
    placed = (shapely.get_coordinates(ring)[:-1] * (1.0, -1.0) + (0.0, tall) for ring in rings)
    return "".join("M" + "L".join(f"{x:.9f} {y:.9f}" for x, y in ring.tolist()) + "Z" for ring in placed)

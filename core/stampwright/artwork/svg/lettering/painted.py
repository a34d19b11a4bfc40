"""Painted letters of colour fonts: their gradients and layers as marks on the page."""

from __future__ import annotations

import math

from shapely import affinity

from ...fonts import GlyphLayer, Wash
from ..painting.sheet import Sheet
from ..paints.bands import Run, cut_linear, cut_radial, cut_sweep
from ..paints.colours import BLACK, plain_colour
from ..paints.gradients import bands_of
from ..placing.place import Place
from ..seeing.marks import Colour, Item, Painted, PaintedGroup
from ..styling.values import Matrix, inverted, multiplied
from .chunks import Glyph

_MODES = {"src-over": "normal", "hsl-hue": "hue", "hsl-saturation": "saturation", "hsl-color": "color"}
_MODES["hsl-luminosity"] = "luminosity"
"""What composition is called in CSS, where fonts call it otherwise (OpenType, PaintComposite)."""


def painted_items(sheet: Sheet, place: Place, glyph: Glyph, opacity: float) -> list[Item]:
    """Return what a glyph of a colour font lays on the page, by its own gradients and layers.

    ``opacity``: of the whole glyph. What paints in the colour of the text takes that of ``place``.
    """
    size = place.font_size * glyph.first.shrunk
    cos, sin = math.cos(math.radians(glyph.turn)), math.sin(math.radians(glyph.turn))
    # From type sizes, y up, to user units, y down.
    across, up = glyph.broader * size, -size
    placed = (cos * across, sin * across, -sin * up, cos * up, glyph.x, glyph.y)
    to_paper = multiplied(place.matrix, placed)
    if inverted(to_paper) is None:
        return []
    own = plain_colour(place.style["fill"], place) or BLACK
    solid = place.solid and opacity == 1
    items = [item for one in glyph.painting for item in _items(sheet, place, one, (to_paper, own, solid))]
    return items if opacity == 1 else [PaintedGroup(opacity=opacity, items=items)]


def _items(sheet: Sheet, place: Place, one: Wash | GlyphLayer, laid: tuple[Matrix, Colour, bool]) -> list[Item]:
    """Return marks; ``laid``: the way to the paper, the colour of the text, whether only dark and light count."""
    to_paper, own, solid = laid
    if isinstance(one, GlyphLayer):
        inner = [item for each in one.items for item in _items(sheet, place, each, (to_paper, own, False))]
        return [PaintedGroup(blend=_MODES.get(one.mode, one.mode), items=inner)]
    a, b, c, d, e, f = to_paper
    region = affinity.affine_transform(one.region, (a, c, b, d, e, f))
    stops = [(stop.offset, (*own[:3], own[3] * stop.tint[3]) if stop.own else stop.tint) for stop in one.stops]
    if one.kind == "plain":
        return [Painted(region, stops[0][1], place.clip)]
    exact = solid and all(colour[3] == 1 for _, colour in stops)
    sheet.two_toned |= exact
    run = Run(bands_of(stops, 1.0, exact), one.extend, multiplied(to_paper, one.matrix), sheet.tolerance)
    if inverted(run.to_paper) is None:
        return []
    shape = one.shape
    if one.kind == "linear":
        pieces = cut_linear(run, region, shape)
    elif one.kind == "radial":
        pieces = cut_radial(run, region, (shape[3], shape[4], shape[5]), (shape[0], shape[1], shape[2]))
    else:
        pieces = cut_sweep(run, region, (shape[0], shape[1]), (shape[2], shape[3]))
    return [Painted(piece, colour, place.clip) for piece, colour in pieces if colour[3] > 0 and not piece.is_empty]

"""Sheets photographed on a table: what is dark all round the sheet is the table, and no ink."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from ...findings import Finding
from ...looks.numbers import percent
from ...plane.overlays import common, joined, without
from ...plane.rasters.raster import MM_PER_INCH, picture_of
from ...plane.regions import filled_parts
from .thresholds import Greys

TABLE = "table left out"

ALONG = 0.6
"""Share of a picture's edge along which a table lies: all of it, or all but the side where the sheet is cut off."""

LEAST_SHEET, STRAIGHT_SIDED = 0.15, 0.95
"""Share of the picture that a sheet covers, and of its convex hull, as a sheet seen from above is a quadrangle."""

OTHER_TONE = 0.08
"""By how much of white the ink on a sheet is darker or lighter than the table; a frame that is drawn has the tone
of its ink."""

SQUARE_TO_IT = 0.97
"""Share of the box round it that a sheet fills, at the most, to be told from a frame by how it lies."""

RIM = 0.01
"""Breadth of a sheet's edge, with its shadow, as a share of its size."""

_LOOKED_AT = 600
"""Pixels of the longer side at which tones are compared."""


def without_table(
    inked: MultiPolygon, grey: Greys, pixel: tuple[float, float]
) -> tuple[MultiPolygon, tuple[Finding, ...]]:
    """Return ink without the table round the sheet that it stands on, and the finding that says so, if there is one.

    ``inked``: mm from the lower-left corner of the picture; ``grey``: the picture, (rows, columns), top row first;
    ``pixel``: width and height of one, mm.
    """
    rows, columns = grey.shape
    page = shapely.box(0.0, 0.0, columns * pixel[0], rows * pixel[1])
    reach = 1.5 * max(pixel)
    edge = without(page, page.buffer(-reach, join_style="mitre"))
    parts = list(inked.geoms)
    along = [common(part, edge).area if part.intersects(edge) else 0.0 for part in parts]
    if not parts or max(along) < ALONG * edge.area:
        return inked, ()
    table = parts.pop(int(np.argmax(along)))
    # The seam along the picture's edge, where nothing is traced, is none of the sheet.
    middle = page.buffer(-2 * reach, join_style="mitre")
    sheet = max(shapely.get_parts(without(middle, table)), key=lambda part: part.area, default=Polygon())
    whole = Polygon(sheet.exterior) if not sheet.is_empty else sheet
    hull = whole.convex_hull
    if whole.area < LEAST_SHEET * page.area or whole.area < STRAIGHT_SIDED * hull.area:
        return inked, ()
    on_it = [part for part in parts if hull.contains(part.representative_point())]
    # What reaches over the sheet's edge is one with the table.
    inside = hull.buffer(-RIM * hull.area**0.5)
    over: BaseGeometry = common(table, inside)
    if not on_it or (
        hull.area > SQUARE_TO_IT * hull.envelope.area
        and abs(_tone(table, grey, pixel) - _tone(MultiPolygon(on_it), grey, pixel)) < OTHER_TONE
    ):
        return inked, ()
    left = filled_parts(joined(MultiPolygon(on_it), over)) if not over.is_empty else MultiPolygon(on_it)
    share = table.area / page.area
    told = Finding(
        kind=TABLE,
        severity="warns",
        stage="artwork",
        message=f"{percent(share)} of the picture, all round the sheet, is taken for what it lies on and left out.",
        remedy="Crop the picture to the drawing. If it shall print, set tracing.flatten_light = false.",
        place=table,
        measured=share,
        unit="",
    )
    return left, (told,)


def _tone(region: BaseGeometry, grey: Greys, pixel: tuple[float, float]) -> float:
    """Return the median brightness of a picture inside a region, without its edges."""
    step = max(1, round(max(grey.shape) / _LOOKED_AT))
    small = grey[::step, ::step]
    scaled = shapely.transform(region, lambda points: points / pixel / step)
    covered = picture_of(scaled, small.shape, (0.0, 0.0), MM_PER_INCH) < 64
    inner = covered[1:-1, 1:-1] & covered[:-2, 1:-1] & covered[2:, 1:-1] & covered[1:-1, :-2] & covered[1:-1, 2:]
    chosen = small[1:-1, 1:-1][inner] if inner.any() else small[covered]
    return float(np.median(chosen)) if len(chosen) else 0.0

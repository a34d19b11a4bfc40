"""The line that text on a path runs along (SVG 2, section 11.8)."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ...outlines.curves import Points, transformed
from ...outlines.pathdata import read_path
from ..painting.sheet import SHAPES, Sheet, outline_of
from ..placing.place import Place
from ..placing.transforms import transform_of
from ..source.document import Element
from ..styling.values import IDENTITY, length


@dataclass(frozen=True)
class Pathway:
    """Points along a path, how far along each lies, and where the text begins; user units."""

    points: Points
    along: Points
    offset: float

    def at(self, distance: float) -> tuple[float, float, float] | None:
        """Return x, y and direction (rad) at a distance along the path; None beyond its ends."""
        if not 0 <= distance <= self.along[-1]:
            return None
        # Steps of no length, as from one subpath to the next, are never chosen.
        step = int(np.searchsorted(self.along, max(distance, 1e-9 * self.along[-1]))) - 1
        leg = self.points[step + 1] - self.points[step]
        share = (distance - self.along[step]) / max(self.along[step + 1] - self.along[step], 1e-12)
        x, y = self.points[step] + share * leg
        return float(x), float(y), math.atan2(leg[1], leg[0])


def pathway_of(sheet: Sheet, text_path: Element, place: Place) -> Pathway | None:
    """Return the line of a ``textPath``: its own ``path``, or the shape that it refers to; None without either."""
    given = text_path.attrib.get("path")
    shape = text_path if given is not None else sheet.referred(text_path.href)
    if shape is None or (given is None and shape.name not in SHAPES):
        return None
    outline = outline_of(sheet, shape, place) if given is None else read_path(given)[0]
    own = transform_of(sheet, shape, place) if given is None else IDENTITY
    if own is None or len(outline.kinds) < 2:
        return None
    outline = transformed(outline, own)
    fine = sheet.tolerance / max(place.magnification, 1e-12)
    sheet.placed(outline, place.matrix, shape)  # refuses one that runs off beyond all measure
    lines = sheet.flat(outline, fine)
    legs = np.hypot(*np.diff(lines.points, axis=0).T)
    legs[lines.starts[1:-1] - 1] = 0.0
    along = np.concatenate(([0.0], np.cumsum(legs)))
    whole = float(along[-1])
    if whole == 0:
        return None
    start = text_path.attrib.get("startOffset") or "0"
    stated = length(shape.attrib.get("pathLength")) if given is None else None
    offset = length(start, whole=whole, font_size=place.font_size) or 0.0
    if stated and stated > 0 and not start.strip().endswith("%"):
        offset *= whole / stated
    return Pathway(lines.points, along, offset)

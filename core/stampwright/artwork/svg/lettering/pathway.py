"""The line that text on a path runs along (SVG 2, section 11.8)."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..outlines.curves import Points, count_pieces, flattened, transformed
from ..painting.place import Place
from ..painting.sheet import SHAPES, Sheet, outline_of
from ..source.document import Element
from ..styling.values import IDENTITY, length, transform


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
        step = int(np.clip(np.searchsorted(self.along, distance) - 1, 0, len(self.points) - 2))
        leg = self.points[step + 1] - self.points[step]
        share = (distance - self.along[step]) / max(self.along[step + 1] - self.along[step], 1e-12)
        x, y = self.points[step] + share * leg
        return float(x), float(y), math.atan2(leg[1], leg[0])


def pathway_of(sheet: Sheet, text_path: Element, place: Place) -> Pathway | None:
    """Return the line of a ``textPath``; None when it refers to no shape."""
    shape = sheet.referred(text_path.href)
    if shape is None or shape.name not in SHAPES:
        return None
    outline = outline_of(sheet, shape, place)
    own = transform(sheet.cascade.geometry(shape, "transform") or "") or IDENTITY
    outline = transformed(outline, own)
    if len(outline.kinds) < 2:
        return None
    fine = sheet.tolerance / max(place.magnification, 1e-12)
    lines = flattened(outline, count_pieces(outline, fine))
    points = lines.points
    legs = np.hypot(*np.diff(points, axis=0).T)
    keep = np.append(True, legs > 0)
    points = points[keep]
    if len(points) < 2:
        return None
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))))
    whole = float(along[-1])
    start = text_path.attrib.get("startOffset") or "0"
    stated = length(shape.attrib.get("pathLength"))
    offset = length(start, whole=whole, font_size=place.font_size) or 0.0
    if stated and stated > 0 and not start.strip().endswith("%"):
        offset *= whole / stated
    return Pathway(points, along, offset)

"""Tone: what of a drawing is neither dark nor light, screened into dots or lines."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from PIL import Image, ImageDraw
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from ....job.sections.tracing import TracingSection
from ...limits import Limits
from ...outlines.crossing import united_faces
from ...outlines.filling import united
from ...tracing import choose_screen, screen_tones
from .inking import Cells, faces_and_tones, luminance, seen_ink, within
from .marks import Item, Painted

BLACKEST, WHITEST = 0.1, 0.9
"""Luminance up to which a colour is solid ink, and from which it is paper; drawings seldom use pure black and white."""

ACROSS = 16
"""Pixels from one dot of the screen to the next, over which tones are averaged."""

MOST_TONE_PIXELS = 4_000_000

FRAME = 2
"""Rulings of paper round the page, which let the screen run over its edges."""


def toned_ink(
    items: Sequence[Item], size: tuple[float, float], tracing: TracingSection, limits: Limits
) -> tuple[BaseGeometry, bool]:
    """Return what is dark once ``items`` are painted on white paper, tones as a screen, and whether there are any.

    ``size``: of the page, mm. ``tracing``: form and limits of the screen, mm at the drawing's own size.
    """
    if all(isinstance(item, Painted) and item.colour[3] == 1 and _is_plain(luminance(item.colour)) for item in items):
        return seen_ink(items, limits), False
    faces, tones = faces_and_tones(items, limits)
    between = np.array([not _is_plain(tone) for tone in tones.tolist()], dtype=np.bool_)
    solid = united_faces(faces[tones <= BLACKEST])
    if not between.any():
        return solid, False
    screen = choose_screen(tracing)
    grey, pixel = _drawn(faces, tones, size, screen.spacing)
    off = -FRAME * screen.spacing
    dots = affinity.translate(screen_tones(grey, (pixel, pixel), screen), off, off)
    toned = united_faces(faces[between])
    parts = shapely.get_parts(dots)
    small = shapely.area(parts) < 2 * screen.spacing**2
    shapely.prepare(toned)
    # A dot whose middle lies in the tone stays whole; half a dot would be too thin to print.
    kept = parts[small & shapely.contains(toned, shapely.centroid(parts))]
    large = [within(part, toned) for part in parts[~small]]
    return united([solid, *kept, *large]), True


def _is_plain(tone: float) -> bool:
    return not BLACKEST < tone < WHITEST


def _drawn(
    faces: Cells, tones: np.ndarray[tuple[int], np.dtype[np.float64]], size: tuple[float, float], spacing: float
) -> tuple[np.ndarray[tuple[int, int], np.dtype[np.float32]], float]:
    """Return faces drawn in their tones on white, with a frame round the page, and the width of a pixel, mm."""
    wide, high = (side + 2 * FRAME * spacing for side in size)
    pixel = max(spacing / ACROSS, math.sqrt(wide * high / MOST_TONE_PIXELS))
    columns, rows = math.ceil(wide / pixel), math.ceil(high / pixel)
    picture = Image.new("L", (columns, rows), 255)
    brush = ImageDraw.Draw(picture)

    def points(ring: BaseGeometry) -> list[tuple[float, float]]:
        placed = (shapely.get_coordinates(ring) + FRAME * spacing) / pixel
        return [(x, rows - y) for x, y in placed.tolist()]

    # Faces inside a hole are smaller than what has it, and are drawn after it.
    for at in np.argsort([-shapely.Polygon(face.exterior).area for face in faces]).tolist():
        brush.polygon(points(faces[at].exterior), fill=round(float(np.clip(tones[at], 0, 1)) * 255))
        for hole in faces[at].interiors:
            brush.polygon(points(hole), fill=255)
    return np.asarray(picture, dtype=np.float32) / np.float32(255.0), pixel

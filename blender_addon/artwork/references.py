"""Images as references: what of a picture that stands in the scene is ink, traced as a scan is, where it stands."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

from ..scene.greys import grey_of_image
from ..stampwright.artwork.drawn import Filled, Shape, joined, polyline
from ..stampwright.artwork.tracing import TracedPicture, trace_picture
from ..stampwright.job import Job

if TYPE_CHECKING:
    from bpy.types import Object

PIXEL = 25.4 / 300.0
"""What a pixel counts for as a picture is traced, mm: that of a usual scan; it then comes as large as it stands."""

MOST_KEPT = 8

_kept: dict[tuple[Any, ...], TracedPicture] = {}


def is_reference(drawn: Object) -> bool:
    """Whether an object is an image that stands in the scene as a reference."""
    return drawn.type == "EMPTY" and drawn.empty_display_type == "IMAGE" and drawn.data is not None


def trace_reference(seen: Object, values: dict[str, Any]) -> TracedPicture:
    """Return what a reference's image shows as ink, mm at :data:`PIXEL`, from its lower left corner.

    ``values``: the settings of the stamp's job, by path, of which those of tracing count. Raises
    :class:`StampwrightError` when the image has no pixels, or no ink.
    """
    image: Any = seen.data
    grey = grey_of_image(image)
    traced = {path: value for path, value in values.items() if path.startswith("tracing.")}
    pixels = hashlib.blake2b(np.ascontiguousarray(grey).tobytes(), digest_size=12).hexdigest()
    key = (image.name_full, grey.shape, pixels, tuple(sorted(traced.items(), key=str)))
    if key not in _kept:
        while len(_kept) >= MOST_KEPT:
            del _kept[next(iter(_kept))]
        _kept[key] = trace_picture(grey, (PIXEL, PIXEL), Job().with_values(traced).tracing, name=seen.name)
    return _kept[key]


def reference_points(seen: Object) -> Any:
    """Return the corners of a reference's picture, (4, 3) float, the object's own units."""
    left, bottom, unit = _placing(seen)
    columns, rows = seen.data.size
    right, top = left + unit * columns, bottom + unit * rows
    return np.array([(left, bottom, 0.0), (right, bottom, 0.0), (right, top, 0.0), (left, top, 0.0)])


def reference_shapes(seen: Object, traced: TracedPicture, matrix: Any) -> list[Shape]:
    """Return a picture's ink as the reference shows it, taken through a matrix to mm as seen."""
    left, bottom, unit = _placing(seen)
    rings = shapely.get_rings(shapely.get_parts(traced.inked))
    placed = []
    for ring in rings:
        flat = shapely.get_coordinates(ring)[:-1] * (unit / PIXEL) + (left, bottom)
        placed.append(polyline(flat @ matrix[:2, :2].T + matrix[:2, 3], closed=True))
    return [Filled(joined(placed))] if placed else []


def _placing(seen: Object) -> tuple[float, float, float]:
    """Return where a reference's lower left corner is, and how large a pixel, the object's own units."""
    columns, rows = seen.data.size
    unit = seen.empty_display_size / max(columns, rows, 1)
    across, up = seen.empty_image_offset
    return across * unit * columns, up * unit * rows, unit

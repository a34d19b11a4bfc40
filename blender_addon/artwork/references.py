"""Pictures that stand in the scene, as references or on planes: what of them is ink, traced as a scan is."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

from ..scene.greys import grey_of_image
from ..scene.images import picture_on
from ..stampwright.artwork.drawn import Filled, Shape, joined, polyline
from ..stampwright.artwork.tracing import TracedPicture, trace_picture
from ..stampwright.job import Job
from .choosing import Look

if TYPE_CHECKING:
    from bpy.types import Object

PIXEL = 25.4 / 300.0
"""What a pixel counts for as a picture is traced, mm: that of a usual scan; it then comes as large as it stands."""

MOST_KEPT = 8
WHOLE = 1e-3
"""By how much the picture on a plane may miss its corners, as a share of it."""

_kept: dict[tuple[Any, ...], TracedPicture] = {}


@dataclass(frozen=True, eq=False)
class PlacedPicture:
    """A picture that stands in the scene: ``image``, and how it is placed.

    ``placing``: (4, 4) float, from mm on the picture at :data:`PIXEL`, from its lower left corner, to the object's own
    coordinates.
    """

    image: Any
    placing: Any

    @property
    def corners(self) -> Any:
        """The corners of the picture, (4, 3) float, the object's own units."""
        right, top = (PIXEL * side for side in self.image.size)
        flat = np.array([(0.0, 0.0), (right, 0.0), (right, top), (0.0, top)])
        return flat @ self.placing[:3, :2].T + self.placing[:3, 3]


def picture_in(drawn: Object) -> PlacedPicture | None:
    """Return the picture that an object is there to show, as a reference or a plane that bears all of it, or None."""
    if drawn.type == "EMPTY" and drawn.empty_display_type == "IMAGE" and drawn.data is not None:
        image: Any = drawn.data
        columns, rows = image.size
        unit = drawn.empty_display_size / max(columns, rows, 1)
        across, up = drawn.empty_image_offset
        placing = np.diag((unit / PIXEL, unit / PIXEL, 1.0, 1.0))
        placing[:2, 3] = across * unit * columns, up * unit * rows
        return PlacedPicture(image, placing)
    return _on_plane(drawn) if drawn.type == "MESH" else None


def _on_plane(drawn: Object) -> PlacedPicture | None:
    """Return the picture on a mesh of one square that bears it from corner to corner, as images come as planes."""
    mesh: Any = drawn.data
    if len(mesh.polygons) != 1 or len(mesh.vertices) != 4 or mesh.uv_layers.active is None:
        return None
    image = picture_on(drawn)
    if image is None or not min(image.size):
        return None
    flat = np.empty(8, dtype=np.float32)
    mesh.uv_layers.active.data.foreach_get("uv", flat)
    known = np.column_stack((flat.reshape(4, 2), np.ones(4))).astype(np.float64)
    places = np.array([mesh.vertices[loop.vertex_index].co[:] for loop in mesh.loops], dtype=np.float64)
    is_whole = all(sorted(np.round(side / WHOLE)) == [0, 0, 1 / WHOLE, 1 / WHOLE] for side in known[:, :2].T)
    found, *_ = np.linalg.lstsq(known, places, rcond=None)
    missed = np.abs(known @ found - places).max()
    if not is_whole or missed > WHOLE * float(np.ptp(places, axis=0).max()):
        return None
    placing = np.eye(4)
    for axis in (0, 1):
        placing[:3, axis] = found[axis] / (PIXEL * image.size[axis])
    placing[:3, 3] = found[2]
    return PlacedPicture(image, placing)


def trace_placed(picture: PlacedPicture, name: str, values: dict[str, Any]) -> TracedPicture:
    """Return what a picture shows as ink, mm at :data:`PIXEL`, from its lower left corner; ``name``: of its object.

    ``values``: the settings of the stamp's job, by path, of which those of tracing count. Raises
    :class:`StampwrightError` when the image has no pixels, or no ink.
    """
    image = picture.image
    grey = grey_of_image(image)
    traced = {path: value for path, value in values.items() if path.startswith("tracing.")}
    pixels = hashlib.blake2b(np.ascontiguousarray(grey).tobytes(), digest_size=12).hexdigest()
    key = (image.name_full, grey.shape, pixels, tuple(sorted(traced.items(), key=str)))
    if key not in _kept:
        while len(_kept) >= MOST_KEPT:
            del _kept[next(iter(_kept))]
        _kept[key] = trace_picture(grey, (PIXEL, PIXEL), Job().with_values(traced).tracing, name=name)
    return _kept[key]


def picture_shapes(picture: PlacedPicture, traced: TracedPicture, matrix: Any, look: Look) -> list[Shape]:
    """Return a picture's ink where it stands, taken through a matrix to mm as seen; ``look``: how it is taken."""
    to_seen = matrix @ picture.placing
    rings = shapely.get_rings(shapely.get_parts(traced.inked))
    placed = []
    for ring in rings:
        flat = shapely.get_coordinates(ring)[:-1]
        placed.append(polyline(flat @ to_seen[:2, :2].T + to_seen[:2, 3], closed=True))
    return [Filled(joined(placed), **look._asdict())] if placed else []

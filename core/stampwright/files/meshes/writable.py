"""What a mesh file can hold: a check of solids before they are written."""

from __future__ import annotations

from typing import Any

import numpy as np

from ...errors import OutputError
from ...solids.solid import Solid


def check_writable(solid: Any) -> None:
    """Check that what is to be written is a mesh that can be read again; raises :class:`OutputError` naming it."""
    if not isinstance(solid, Solid):
        raise OutputError(f"a part to write is a Solid, not {type(solid).__name__}; take one out of a stamp's parts")
    vertices, triangles = np.asarray(solid.vertices), np.asarray(solid.triangles)
    if not triangles.size:
        raise OutputError(f"{solid.name}: has no triangles, so there is nothing to write; leave this part out")
    if vertices.ndim != 2 or vertices.shape[1] != 3 or triangles.ndim != 2 or triangles.shape[1] != 3:
        raise OutputError(f"{solid.name}: is no mesh of (n, 3) vertices and (m, 3) triangles; build it again")
    if triangles.min() < 0 or triangles.max() >= len(vertices):
        raise OutputError(f"{solid.name}: has triangles that name vertices which are not there; build it again")
    if not np.isfinite(vertices.astype(np.float32)).all():
        raise OutputError(f"{solid.name}: has places that are no numbers, or too large for a file; build it again")

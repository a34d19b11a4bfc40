"""Meshes for the tests of the press, straight from outlines."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
import shapely
from shapely.geometry import MultiPolygon, Polygon, box
from stampwright.plane.frames import paper_to_die
from stampwright.plane.rasters.raster import picture_grid, picture_of
from stampwright.press.impression import HeightMap
from stampwright.solids import extrude, unite
from stampwright.solids.solid import Solid

RaiseDie = Callable[[MultiPolygon], Solid]
StandFace = Callable[..., HeightMap]


@pytest.fixture(scope="session")
def raise_die() -> RaiseDie:
    """Return a function from ink in the paper frame to a die: 2 mm of floor and 2.2 mm of straight relief."""

    def die_of(inked: MultiPolygon) -> Solid:
        turned = paper_to_die(inked)
        left, bottom, right, top = turned.bounds
        floor = extrude(box(left - 3, bottom - 3, right + 3, top + 3), 0.0, 2.0, name="floor")
        return unite([floor, extrude(turned, 1.0, 4.2, name="relief")], name="die")

    return die_of


@pytest.fixture(scope="session")
def lettered() -> MultiPolygon:
    """An R-like mark with a counter, an island in a ring, and nothing symmetric about it."""
    ring = Polygon([(0, 0), (14, 0), (14, 10), (0, 10)], [[(2, 2), (2, 8), (12, 8), (12, 2)]])
    leg = Polygon([(16, 0), (18, 0), (21, 5), (18, 10), (16, 10)], [[(17, 6), (17, 9), (18, 9), (19, 7)]])
    return shapely.union_all([ring, box(5, 4, 7, 6), leg])


@pytest.fixture(scope="session")
def stand_face() -> StandFace:
    """Return a function from ink in the paper frame to its flat face, 2 mm over a floor 3 mm wider all round."""

    def face_of(inked: MultiPolygon, dpi: float = 254.0) -> HeightMap:
        left, bottom, right, top = inked.bounds
        shape, corner = picture_grid((left - 3, bottom - 3, right + 3, top + 3), dpi)
        meant = picture_of(inked, shape, corner, dpi)[::-1] < 128
        height = np.where(meant, 0.0, -2.0).astype(np.float32)
        return HeightMap(height, meant, 25.4 / dpi, corner, 2.0)

    return face_of

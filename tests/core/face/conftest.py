"""What the tests of textured faces share: one die with a dense face, and maps drawn by formula."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Point, box
from stampwright.face import DenseDie, FaceMap, raise_dense, untouched
from stampwright.plane.frames import paper_to_die
from stampwright.solids import ReliefHeights

BASE = box(-15, -15, 15, 15)
# A plate with a round hole, off centre so that a face turned the wrong way round shows, and a narrow line beside it.
FACE = MultiPolygon([box(-10, -8, 6, 8).difference(Point(-3, 2).buffer(2)), box(8, -8, 8.7, 8)])
HEIGHTS = ReliefHeights(floor=2.0, face=4.0, top=4.2)
DEPTH, SPACING = 0.6, 0.2

Formula = Callable[[NDArray[np.float64], NDArray[np.float64]], NDArray[np.float64]]


def raised(face: MultiPolygon = FACE, *, spacing: float = SPACING, shoulder: float = 15.0) -> DenseDie:
    """Return the dense die that prints ``face``, mm, paper frame."""
    return raise_dense(paper_to_die(face), BASE, HEIGHTS, depth=DEPTH, shoulder=shoulder, spacing=spacing, name="die")


def drawn(formula: Formula, dense: DenseDie) -> FaceMap:
    """Return the map of a formula of x and y, mm, paper frame, in samples as fine as the face."""
    blank = untouched((-12.0, -12.0, 12.0, 12.0), dense.spacing)
    heights = formula(*blank.samples.T).astype(np.float32).reshape(blank.heights.shape)
    return FaceMap(heights, blank.corner, blank.spacing)


@pytest.fixture(scope="session")
def dense() -> DenseDie:
    return raised()

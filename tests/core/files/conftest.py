"""Solids for the tests of files."""

from __future__ import annotations

import pytest
from shapely.geometry import Point, box
from stampwright.solids import extrude, unite
from stampwright.solids.solid import Solid


@pytest.fixture(scope="session")
def plate() -> Solid:
    """A plate 50 mm across and 2 mm thick with a bar of 2 mm relief on it, off the middle."""
    floor = extrude(Point(0, 0).buffer(25), 0.0, 2.0, name="floor")
    return unite([floor, extrude(box(-12, 3, 4, 9), 1.0, 4.0, name="bar")], name="die")


@pytest.fixture(scope="session")
def block() -> Solid:
    """A plain block, 40 by 30 by 12 mm."""
    return extrude(box(-20, -15, 20, 15), 0.0, 12.0, name="handle")

"""Stamps for the tests of what is written."""

from __future__ import annotations

import pytest
import shapely
from shapely.geometry import MultiPolygon, Point, box
from stampwright.artwork import Artwork
from stampwright.job import Job
from stampwright.stamp import Stamp
from stampwright.workshop import make_stamp


@pytest.fixture(scope="session")
def artwork() -> Artwork:
    """An F with a dot and a counter: nothing about it is symmetric, and one bar is too thin for a 0.4 mm nozzle."""
    letter = shapely.union_all([box(5, 2, 9, 30), box(5, 26, 24, 30), box(5, 15, 18, 19), box(18, 16.9, 23, 17.1)])
    ring = Point(21, 6).buffer(4).difference(Point(21, 6).buffer(2))
    return Artwork(inked=MultiPolygon([letter, ring]), page_size=(30.0, 32.0), name="letter")


@pytest.fixture(scope="session")
def job() -> Job:
    """A small stamp that mends its artwork."""
    return Job().with_values(
        {"name": "Mossgate", "layout.size_by": "page", "preflight.repair": True, "handle.index": "none"}
    )


@pytest.fixture(scope="session")
def stamp(job: Job, artwork: Artwork) -> Stamp:
    return make_stamp(job, artwork)


@pytest.fixture(scope="session")
def blocked_stamp(job: Job, artwork: Artwork) -> Stamp:
    """The same without repair: the thin bar blocks it."""
    return make_stamp(job.with_value("preflight.repair", False), artwork)

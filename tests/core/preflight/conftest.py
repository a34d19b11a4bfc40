"""Ink laid on a base as it stands, for tests that look at preflight alone."""

from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry
from stampwright.job import Job
from stampwright.layout import Layout, outline_base


def laid(ink: BaseGeometry, job: Job | None = None) -> Layout:
    """Return a layout that leaves the ink where and as large as it is."""
    inked = ink if isinstance(ink, MultiPolygon) else MultiPolygon([ink])
    return Layout(inked=inked, base=outline_base((job or Job()).base), scale=1.0, matrix=(1, 0, 0, 1, 0, 0))

"""A small die to be sliced: a letter, a ring and a bar."""

import pytest
from stampwright.toolpaths import expected_of

from .dies import small_stamp
from .slicing import slice_mesh

ART = """<path d="M2 2h6v2h-4v2h3v2h-3v4h-2z"/><path d="M10 1h2v1.5h-2z"/>
<circle cx="14" cy="7" r="3.5" fill="none" stroke="black" stroke-width="1.2"/>"""


@pytest.fixture(scope="session")
def stamp(tmp_path_factory):
    """Return the stamp of the small die."""
    return small_stamp(ART, tmp_path_factory.mktemp("art"))


@pytest.fixture(scope="session")
def expected(stamp):
    """Return what its toolpath shall print."""
    return expected_of(stamp)


@pytest.fixture(scope="session")
def paths(stamp):
    """Return its paths as they should be."""
    return slice_mesh(stamp.die)

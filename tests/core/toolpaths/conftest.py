"""A small die to be sliced: a letter, a ring and a bar."""

import pytest
import stampwright
from stampwright.toolpaths import expected_of

from .slicing import slice_mesh

ART = """<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="14mm" viewBox="0 0 20 14">
<path d="M2 2h6v2h-4v2h3v2h-3v4h-2z"/><path d="M10 1h2v1.5h-2z"/>
<circle cx="14" cy="7" r="3.5" fill="none" stroke="black" stroke-width="1.2"/></svg>"""

JOB = {
    "base.outline": "rectangle",
    "base.width": 24.0,
    "base.height": 18.0,
    "die.floor": 0.8,
    "die.relief": 1.0,
    "backing.form": "none",
    "handle.form": "none",
    "layout.size_by": "page",
}


@pytest.fixture(scope="session")
def stamp(tmp_path_factory):
    """Return the stamp of the small die."""
    drawing = tmp_path_factory.mktemp("art") / "small.svg"
    drawing.write_text(ART, encoding="utf-8")
    return stampwright.make_stamp(stampwright.Job().with_values(JOB), stampwright.read_artwork(drawing))


@pytest.fixture(scope="session")
def expected(stamp):
    """Return what its toolpath shall print."""
    return expected_of(stamp)


@pytest.fixture(scope="session")
def paths(stamp):
    """Return its paths as they should be."""
    return slice_mesh(stamp.die)

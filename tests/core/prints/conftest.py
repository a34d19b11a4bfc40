"""A small stamp that the tests of prints compare prints with."""

import pytest
import stampwright
from stampwright import Job


@pytest.fixture(scope="module")
def stamp(tmp_path_factory):
    """Return the folder of a small stamp with lettering, and what its die prints."""
    folder = tmp_path_factory.mktemp("stamp") / "own"
    pieces = (
        stampwright.Lettering(text="SEED\nLIBRARY", cap_height=4.0, y=1.0),
        stampwright.Ring(diameter=30.0, line=1.2),
        stampwright.Rule(y=-9.0, length=14.0, line=1.0),
    )
    job = Job(pieces=pieces).with_values({"base.width": 34.0, "handle.form": "none", "name": "Seed Library"})
    made, written = stampwright.make_files(job, stampwright.make_artwork(pieces), folder)
    assert written is not None, made.blocked
    return folder, stampwright.impress(folder / "die.stl", depth=0.2).outlines

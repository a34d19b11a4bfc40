"""What the tests of pictures ask for: the rooms of pictures, and a stamp."""

import importlib

import pytest
from picturing import MODULE, make_stamp


@pytest.fixture
def mockup(extension):
    """Return a function from the name of a room to that room of the pictures."""
    return lambda room: importlib.import_module(f"{MODULE}.mockup.{room}")


@pytest.fixture
def stamp(scene):
    """Return the root of a stamp of the letter F, with small pictures set."""
    return make_stamp()

"""Small stamps for the tests of this folder."""

import pytest


@pytest.fixture(autouse=True)
def of_small_stamps(small_stamps):
    """Take small stamps in all tests of this folder."""

"""Files of small stamps: what is tried here hangs on no size, and a smaller print is made in half the time."""

import importlib

import pytest
from names import MODULE


@pytest.fixture(autouse=True)
def small_stamps(extension, monkeypatch):
    """Have new stamps begin with a base of 25 mm."""
    making = importlib.import_module(f"{MODULE}.operators.stamps.making")
    usual = making.start_job
    monkeypatch.setattr(making, "start_job", lambda *about: usual(*about).with_value("base.width", 25.0))

"""What a Python user needs is there under one name, and costs nothing until it is used."""

import subprocess
import sys

import pytest
import stampwright


@pytest.mark.parametrize("name", stampwright.__all__)
def test_every_public_name_is_there_and_documented(name):
    value = getattr(stampwright, name)
    assert name in dir(stampwright)
    if callable(value):
        assert value.__doc__


def test_names_and_rooms_agree():
    names = [name for names in stampwright._ROOMS.values() for name in names]
    assert sorted([*names, "__version__"]) == stampwright.__all__
    assert len(set(names)) == len(names)
    with pytest.raises(AttributeError, match="make_stump"):
        _ = stampwright.make_stump


def test_importing_loads_nothing_that_is_slow():
    code = "import sys, stampwright; print([n for n in sys.modules if n.split('.')[0] in ('numpy', 'shapely', 'PIL')])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True)
    assert done.stdout == "[]\n"

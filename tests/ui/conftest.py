"""The Blender that tests of the window run, and a folder that it sees with the package in it.

With ``BLENDER=/path/to/blender`` it is that one; as root on a machine with debootstrap Debian's own.
"""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import NoReturn

import pytest
from distribution import NotHere
from running import ARTWORK, Host, distribution_of, package_here


@pytest.fixture(scope="module")
def host(tmp_path_factory) -> Iterator[Host]:
    """A Blender with a folder of its own, in which are the package and the demo artwork."""
    package = package_here()
    if package is None:
        _give_up("there is no package for this machine: 'python3 build.py package' makes it")
    blender = os.environ.get("BLENDER")
    system = None if blender else _distribution()
    # In a system of its own, the place has to lie within it.
    place = system / "tmp" / f"tour-{os.getpid()}" if system else tmp_path_factory.mktemp("tour")
    place.mkdir(parents=True)
    for path in (package, ARTWORK):
        shutil.copy(path, place)
    seen = Path("/tmp") / place.name if system else place
    yield Host(blender or "blender", system, place, seen, package.name)
    shutil.rmtree(place, ignore_errors=True)


def _distribution() -> Path:
    try:
        return distribution_of()
    except NotHere as lacking:
        pytest.skip(str(lacking))
    except RuntimeError as failed:
        return _give_up(str(failed))


def _give_up(reason: str) -> NoReturn:
    if os.environ.get("CI"):
        pytest.fail(reason)
    pytest.skip(reason)

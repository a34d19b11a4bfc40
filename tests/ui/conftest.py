"""The Blender that tests of the window run, and a folder that it sees with the package in it.

With ``BLENDER=/path/to/blender`` it is that one; as root on a machine with debootstrap Debian's own.
"""

import os
import platform
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from distribution import NotHere, in_system, make_system

ROOT = Path(__file__).resolve().parents[2]
ARTWORK = ROOT / "shared" / "artwork" / "ownership-mark.svg"


@dataclass(frozen=True)
class Host:
    """A Blender: ``place`` is a folder of this machine, and ``seen`` the same as that Blender sees it."""

    blender: str
    system: Path | None
    place: Path
    seen: Path
    package: str

    def inside(self, *command: str | Path) -> list[str]:
        """Return the command that runs another where the Blender is."""
        return in_system(self.system, command) if self.system else [str(part) for part in command]

    def run(self, *arguments: str | Path, **settings: str) -> subprocess.CompletedProcess:
        """Run Blender with nothing of this machine's own about it; what it says is in ``stdout``."""
        own = {"BLENDER_USER_RESOURCES": str(self.seen / "user"), "HOME": str(self.seen)}
        return subprocess.run(
            self.inside(self.blender, *arguments),
            env={**os.environ, **own, **settings},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            # A guard against a hang, not a measure: beside other suites on a slow machine it takes its time.
            timeout=1800,
            check=False,
        )


@pytest.fixture(scope="module")
def host(tmp_path_factory) -> Iterator[Host]:
    """A Blender with a folder of its own, in which are the package and the demo artwork."""
    package = next(iter((ROOT / "out" / "package").glob(f"*-{_platform()}.zip")), None)
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
    folder = Path(os.environ.get("STAMPWRIGHT_SYSTEM", ROOT / ".build" / "debian"))
    try:
        make_system(folder)
    except NotHere as lacking:
        pytest.skip(str(lacking))
    except RuntimeError as failed:
        _give_up(str(failed))
    return folder


def _give_up(reason: str) -> None:
    if os.environ.get("CI"):
        pytest.fail(reason)
    pytest.skip(reason)


def _platform() -> str:
    machine = platform.machine().lower().replace("x86_64", "x64").replace("amd64", "x64")
    system = {"Darwin": "macos"}.get(platform.system(), platform.system().lower())
    return f"{system}_{machine}"

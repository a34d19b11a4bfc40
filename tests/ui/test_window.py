"""The extension in a real window: the newcomer's way, every panel, and pictures to look at.

With ``BLENDER=/path/to/blender`` in that Blender; as root on a machine with debootstrap in Debian's own.
"""

import json
import os
import platform
import shutil
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from distribution import NotHere, in_system, make_system
from PIL import Image

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
PICTURES = ROOT / "out" / "ui"
ARTWORK = ROOT / "shared" / "artwork" / "ownership-mark.svg"
SCREEN = f":{100 + os.getpid() % 900}"
"""A number that another run at the same time is unlikely to have."""


@pytest.fixture(scope="module")
def toured(tmp_path_factory) -> Iterator[dict]:
    """What the tour told, what the console said, and the folder of the pictures."""
    package = next(iter((ROOT / "out" / "package").glob(f"*-{_platform()}.zip")), None)
    if package is None:
        _give_up("there is no package for this machine: 'python3 build.py package' makes it")
    blender = os.environ.get("BLENDER")
    system = None if blender else _distribution()
    # In a system of its own, the place for the tour has to lie within it.
    place = system / "tmp" / "tour" if system else tmp_path_factory.mktemp("tour")
    shutil.rmtree(place, ignore_errors=True)
    place.mkdir(parents=True)
    for path in (package, HERE / "tour.py", ARTWORK):
        shutil.copy(path, place)
    seen = Path("/tmp/tour") if system else place
    command = _tour(blender or "blender", seen, package.name)
    settings = {"BLENDER_USER_RESOURCES": str(seen / "user"), "HOME": str(seen), "LIBGL_ALWAYS_SOFTWARE": "1"}
    screen = _screen(system)
    try:
        if screen:
            settings["DISPLAY"] = SCREEN
        done = subprocess.run(
            _inside(system, command),
            env={**os.environ, **settings},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            timeout=400,
            check=False,
        )
    finally:
        if screen:
            screen.terminate()
            screen.wait()
    assert (place / "tour.json").is_file(), done.stdout[-3000:]
    shutil.rmtree(PICTURES, ignore_errors=True)
    PICTURES.mkdir(parents=True)
    for picture in place.glob("*.png"):
        shutil.copy(picture, PICTURES)
    yield {**json.loads((place / "tour.json").read_text(encoding="utf-8")), "console": done.stdout}
    shutil.rmtree(place, ignore_errors=True)


def test_the_whole_tour_is_made(toured):
    assert toured["errors"] == []
    assert {"stamp", "die", "backing", "handle"} <= set(toured["roles"])
    assert {"die.stl", "stamp.3mf", "proof.svg", "ticket.html"} <= set(toured["files"])


def test_stamp_follows_an_edit_by_itself(toured):
    # A relief of 1 mm more.
    assert toured["followed"] == pytest.approx(1.0, abs=0.01)


def test_every_panel_draws_without_a_word_on_the_console(toured):
    assert len(toured["panels"]) >= 10
    signs = ("Traceback", "Error", "error:", "rna_uiItem", "not found", "unknown", "Warning: ")
    said = [line for line in toured["console"].splitlines() if any(sign in line for sign in signs)]
    assert said == []


def test_every_picture_shows_something(toured):
    for name in toured["pictures"]:
        picture = np.asarray(Image.open(PICTURES / name).convert("L"))
        assert len(np.unique(picture)) > 50, name


def _tour(blender: str, seen: Path, package: str) -> list[str]:
    window = ["--factory-startup", "--window-geometry", "0", "0", "1600", "1000"]
    arguments = [seen / package, seen / ARTWORK.name, seen]
    return [blender, *window, "--python", str(seen / "tour.py"), "--", *map(str, arguments)]


def _inside(system: Path | None, command: list[str]) -> list[str]:
    return in_system(system, command) if system else command


def _screen(system: Path | None) -> subprocess.Popen | None:
    """Start a screen without a screen, in a system of its own or where this machine has no other; return it."""
    if not system and (platform.system() != "Linux" or os.environ.get("DISPLAY") or not shutil.which("Xvfb")):
        return None
    xvfb = ["Xvfb", SCREEN, "-screen", "0", "1600x1000x24", "-nolisten", "tcp"]
    screen = subprocess.Popen(_inside(system, xvfb), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    time.sleep(3)
    assert screen.poll() is None, f"Xvfb {SCREEN} does not start"
    return screen


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

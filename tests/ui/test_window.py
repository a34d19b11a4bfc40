"""The extension in a real window: what an artist does with it, every panel, and pictures to look at.

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
SCRIPTS = ("tour.py", "window.py", "drawn.py")
SCREEN = f":{100 + os.getpid() % 900}"
"""A number that another run at the same time is unlikely to have."""


@pytest.fixture(scope="module")
def toured(tmp_path_factory) -> Iterator[dict]:
    """What the tour told, what the console said, and the names of the pictures."""
    package = next(iter((ROOT / "out" / "package").glob(f"*-{_platform()}.zip")), None)
    if package is None:
        _give_up("there is no package for this machine: 'python3 build.py package' makes it")
    blender = os.environ.get("BLENDER")
    system = None if blender else _distribution()
    # In a system of its own, the place for the tour has to lie within it.
    place = system / "tmp" / f"tour-{os.getpid()}" if system else tmp_path_factory.mktemp("tour")
    place.mkdir(parents=True)
    for path in (package, ARTWORK, *(HERE / name for name in SCRIPTS)):
        shutil.copy(path, place)
    seen = Path("/tmp") / place.name if system else place
    try:
        console = _run_tour(system, blender or "blender", seen, package.name)
        assert (place / "tour.json").is_file(), console[-3000:]
        shutil.rmtree(PICTURES, ignore_errors=True)
        PICTURES.mkdir(parents=True)
        for picture in place.glob("*.png"):
            shutil.copy(picture, PICTURES)
        yield {**json.loads((place / "tour.json").read_text(encoding="utf-8")), "console": console}
    finally:
        shutil.rmtree(place, ignore_errors=True)


def test_the_whole_tour_is_made(toured):
    assert toured["errors"] == []


def test_newcomer_makes_a_stamp_in_four_presses_or_fewer(toured):
    # N for the sidebar, the tab, the button; the curve is selected as it was drawn.
    assert toured["presses"] <= 4
    assert {"die", "backing", "handle"} <= set(toured["first"])


def test_stamp_comes_at_the_size_asked_for(toured):
    # The usual round base is 50 mm across; whatever the size of the drawing.
    assert toured["across"] == pytest.approx(50.0, abs=0.01)


def test_stamp_follows_a_dragged_figure_and_a_moved_point_by_itself(toured):
    assert toured["dragged"] > 0
    assert toured["follows the slider"]
    assert toured["mode"] == "EDIT_CURVE"
    assert toured["follows the point"]


def test_repair_is_pressed_in_the_list_of_findings(toured):
    assert toured["repaired"]
    assert toured["message"] == ""


def test_handle_asks_for_its_curve_and_is_turned_from_it(toured):
    assert "handle's profile" in toured["asked for"]
    assert toured["with a profile"] == ""


def test_long_build_is_stopped_with_esc_and_leaves_the_stamp_as_it_was(toured):
    assert toured["long"]
    assert toured["stopped"]
    assert toured["after stopping"]


def test_files_are_written(toured):
    assert {"die.stl", "stamp.3mf", "proof.svg", "ticket.html"} <= set(toured["files"])


def test_opened_again_everything_is_as_it_was_and_goes_on(toured):
    assert toured["as it was"]
    assert toured["follows again"]


def test_every_panel_draws_without_a_word_on_the_console(toured):
    assert len(toured["panels"]) >= 10
    signs = ("Traceback", "Error", "error:", "rna_uiItem", "not found", "unknown", "Warning: ")
    said = [line for line in toured["console"].splitlines() if any(sign in line for sign in signs)]
    # The host's own word on its online repository, to which nobody has said yes.
    assert [line for line in said if "blender_org" not in line] == []


def test_every_picture_shows_something(toured):
    assert len(toured["pictures"]) > 20
    for name in toured["pictures"]:
        picture = np.asarray(Image.open(PICTURES / name).convert("L"))
        assert len(np.unique(picture)) > 50, name


def _run_tour(system: Path | None, blender: str, seen: Path, package: str) -> str:
    """Run the tour in Blender, on a screen of its own where there is no other, and return what the console said."""
    settings = {"BLENDER_USER_RESOURCES": str(seen / "user"), "HOME": str(seen), "LIBGL_ALWAYS_SOFTWARE": "1"}
    screen = _screen(system)
    try:
        if screen:
            settings["DISPLAY"] = SCREEN
        return subprocess.run(
            _inside(system, _tour(blender, seen, package)),
            env={**os.environ, **settings},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            timeout=600,
            check=False,
        ).stdout
    finally:
        if screen:
            screen.terminate()
            screen.wait()


def _tour(blender: str, seen: Path, package: str) -> list[str]:
    window = ["--factory-startup", "--enable-event-simulate", "--window-geometry", "0", "0", "1600", "1000"]
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

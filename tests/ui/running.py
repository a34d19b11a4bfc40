"""Running a Blender, in a window where that is asked for: on a screen of its own where there is no other."""

import os
import platform
import shutil
import subprocess
import time
from dataclasses import dataclass
from pathlib import Path

from distribution import in_system, make_system

ROOT = Path(__file__).resolve().parents[2]
ARTWORK = ROOT / "shared" / "artwork" / "ownership-mark.svg"
SCREEN = f":{100 + os.getpid() % 900}"
"""A number that another run at the same time is unlikely to have."""


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


def run_in_window(host: Host, script: str) -> str:
    """Run a script in Blender, on a screen of its own where there is no other, and return what the console said."""
    settings = {"LIBGL_ALWAYS_SOFTWARE": "1"}
    screen = _screen(host)
    try:
        if screen:
            settings["DISPLAY"] = SCREEN
        window = ("--factory-startup", "--enable-event-simulate", "--window-geometry", "0", "0", "1600", "1000")
        arguments = (host.seen / host.package, host.seen / ARTWORK.name, host.seen)
        return host.run(*window, "--python", host.seen / script, "--", *arguments, **settings).stdout
    finally:
        if screen:
            screen.terminate()
            screen.wait()


def _screen(host: Host) -> subprocess.Popen | None:
    """Start a screen without a screen, in a system of its own or where this machine has no other; return it."""
    if not host.system and (platform.system() != "Linux" or os.environ.get("DISPLAY") or not shutil.which("Xvfb")):
        return None
    xvfb = ("Xvfb", SCREEN, "-screen", "0", "1600x1000x24", "-nolisten", "tcp")
    screen = subprocess.Popen(host.inside(*xvfb), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    time.sleep(3)
    assert screen.poll() is None, f"Xvfb {SCREEN} does not start"
    return screen


def package_here() -> Path | None:
    """Return the package for this machine, or None where there is none yet."""
    return next(iter((ROOT / "out" / "package").glob(f"*-{_platform()}.zip")), None)


def distribution_of() -> Path:
    """Return the folder of a system with Blender, made where it is not there yet.

    Raises :class:`distribution.NotHere` where that cannot be, RuntimeError when it does not come about.
    """
    folder = Path(os.environ.get("STAMPWRIGHT_SYSTEM", ROOT / ".build" / "debian"))
    make_system(folder)
    return folder


def _platform() -> str:
    machine = platform.machine().lower().replace("x86_64", "x64").replace("amd64", "x64")
    system = {"Darwin": "macos"}.get(platform.system(), platform.system().lower())
    return f"{system}_{machine}"

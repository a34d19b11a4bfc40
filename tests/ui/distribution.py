"""Debian's own Blender in a folder of its own, for machines that have none: made once, with ``debootstrap``.

As root: ``python3 tests/ui/distribution.py FOLDER`` makes it without running a test.
"""

import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

SUITE = "trixie"
"""Debian 13, whose Blender 4.3 runs a Python that the package has wheels for."""

PACKAGES = (
    "blender",
    "python3-numpy",
    "python3-requests",
    "python3-cattr",
    "libgl1-mesa-dri",
    "libegl1",
    "xvfb",
    "imagemagick",
)
"""Blender, what it loads when it starts, a screen that needs no monitor, and what takes pictures of it."""


class NotHere(Exception):
    """This machine cannot make a system of its own; the message says what it takes."""


def make_system(folder: Path) -> None:
    """Make a folder hold a small Debian with Blender, unless it does already.

    Raises :class:`NotHere` without what this takes, RuntimeError when it does not come about.
    """
    ready = folder / "ready"
    if ready.is_file():
        return
    if not hasattr(os, "geteuid") or os.geteuid() != 0 or shutil.which("debootstrap") is None:
        raise NotHere("BLENDER names no Blender, and making Debian's own takes root and debootstrap")
    print(f"Making a Debian {SUITE} with Blender in {folder} (once, some minutes, 2 GB)", flush=True)
    shutil.rmtree(folder, ignore_errors=True)
    folder.parent.mkdir(parents=True, exist_ok=True)
    _do(["debootstrap", "--variant=minbase", SUITE, folder])
    # No program that a package brings is started while packages are set up.
    (folder / "usr/sbin/policy-rc.d").write_text("#!/bin/sh\nexit 101\n")
    (folder / "usr/sbin/policy-rc.d").chmod(0o755)
    install = ["apt-get", "install", "-y", "-qq", "--no-install-recommends", *PACKAGES]
    _do(in_system(folder, ["env", "DEBIAN_FRONTEND=noninteractive", *install]))
    _do(in_system(folder, ["apt-get", "clean"]))
    # Written last, so that a folder without it is known to be half-made.
    ready.touch()


def in_system(folder: Path, command: Sequence[str | Path]) -> list[str]:
    """Return the command that runs another in a system, with its devices; nothing stays mounted afterwards."""
    mounts = f'mount --bind /dev "{folder}/dev" && mount -t proc proc "{folder}/proc" && exec chroot "{folder}" "$@"'
    return ["unshare", "--mount", "sh", "-c", mounts, "sh", *map(str, command)]


def _do(command: Sequence[str | Path]) -> None:
    result = subprocess.run(
        [str(part) for part in command], check=False, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    )
    if result.returncode:
        raise RuntimeError(f"{command[0]} failed: {' '.join(result.stdout.splitlines()[-3:])}")


if __name__ == "__main__":
    try:
        make_system(Path(sys.argv[1]).resolve())
    except (NotHere, RuntimeError) as failed:
        sys.exit(str(failed))

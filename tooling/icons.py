"""Open icon sets that the tests read, fetched with npm at the versions of ``pyproject.toml``."""

import json
import shutil

from tooling import machine

ICONS = machine.BUILD / "icons"


def fetch_icons() -> None:
    """Fetch the pinned icon sets into ``.build/icons`` unless they are there; raises :class:`~machine.SetupError`."""
    sets: dict[str, str] = machine.read_project()["tool"]["stampwright"]["icons"]
    missing = [f"{name}@{version}" for name, version in sets.items() if _fetched_version(name) != version]
    if not missing:
        return
    npm = shutil.which("npm")
    if npm is None:
        raise machine.SetupError(
            "the icon sets for the tests come through npm, which is not on this machine: install Node.js"
        )
    print(f"Fetching {len(sets)} icon sets for the tests (once): {', '.join(sets)}", flush=True)
    ICONS.mkdir(parents=True, exist_ok=True)
    # A package file of its own keeps npm from taking a folder further up for the one to install into.
    (ICONS / "package.json").write_text('{"private": true}\n', encoding="utf-8")
    quiet = ["--ignore-scripts", "--no-audit", "--no-fund", "--no-package-lock", "--save-exact"]
    wanted = [f"{name}@{version}" for name, version in sets.items()]
    result = machine.capture([npm, "install", *quiet, "--prefix", ICONS, *wanted])
    if result.returncode:
        log = machine.keep_log("npm.log", result.stdout)
        raise machine.SetupError(f"npm could not fetch the icon sets (is there a network?); its words are in {log}")


def _fetched_version(name: str) -> str | None:
    try:
        about = (ICONS / "node_modules" / name / "package.json").read_text(encoding="utf-8")
        return str(json.loads(about)["version"])
    except (OSError, ValueError, KeyError):
        return None

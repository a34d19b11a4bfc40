"""What every test may ask for: the demo artwork, the example jobs, and the icon sets that build.py fetches."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent

# Where each package of tool.stampwright.icons keeps its SVG files.
ICON_FOLDERS = {
    "bootstrap-icons": "icons",
    "@mapbox/maki": "icons",
    "temaki": "icons",
    "feather-icons": "dist/icons",
    "ionicons": "dist/svg",
    "@carbon/icons": "svg/32",
}


@pytest.fixture(scope="session")
def artwork_folder() -> Path:
    """Where the demo artwork lies."""
    return ROOT / "shared" / "artwork"


@pytest.fixture(scope="session")
def jobs_folder() -> Path:
    """Where the example jobs lie."""
    return ROOT / "shared" / "jobs"


@pytest.fixture(scope="session")
def icon_files() -> Callable[[str], list[Path]]:
    """Return a function from a package's name to its SVG files, sorted; without them, skip (on CI: fail)."""

    def files_of(package: str) -> list[Path]:
        files = sorted((ROOT / ".build/icons/node_modules" / package / ICON_FOLDERS[package]).glob("*.svg"))
        if not files:
            missing = f"{package} is not there: 'python3 build.py test' fetches it with npm"
            if os.environ.get("CI"):
                pytest.fail(missing)
            pytest.skip(missing)
        return files

    return files_of

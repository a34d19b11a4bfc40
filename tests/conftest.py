"""What every test may ask for: the demo artwork, the example jobs, the icon sets that build.py fetches, and sweeps.

A sweep tries one promise on many cases: with ``--all`` on every one, otherwise on as many as are quick, spread evenly.
Cases of ``parametrize`` are thinned by the mark ``sweep``, things that a test goes through itself by the fixture of
that name, and what Hypothesis draws by its profile, unless a test says how many examples it takes.
"""

import os
from collections.abc import Callable, Sequence
from importlib.util import find_spec
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

# Sets in several colours; the others are drawn in one.
COLOURED_FOLDERS = {"@twemoji/svg": "."}

QUICK_EXAMPLES = 25
"""How many examples Hypothesis draws without ``--all``; with it, its own number, 100."""


def pytest_addoption(parser: pytest.Parser) -> None:
    """Let sweeps be asked for in full."""
    parser.addoption("--all", action="store_true", help="every sweep in full, not only the part that is quick")


def pytest_configure(config: pytest.Config) -> None:
    """Make the mark known and tell Hypothesis, where it is, how much to draw."""
    config.addinivalue_line("markers", "sweep(cases): many cases of one promise; without --all so many, spread evenly")
    if find_spec("hypothesis"):
        from hypothesis import settings

        settings.register_profile("all", deadline=None)
        settings.register_profile("quick", deadline=None, max_examples=QUICK_EXAMPLES)
        settings.load_profile("all" if config.option.all else "quick")


# Last, so that what was chosen by name or mark is thinned, not the other way round.
@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Thin the cases of sweeps unless all are asked for."""
    if config.option.all:
        return
    sweeps: dict[tuple[str, str], list[pytest.Item]] = {}
    for item in items:
        if item.get_closest_marker("sweep") and isinstance(item, pytest.Function):
            sweeps.setdefault((item.parent.nodeid, item.originalname), []).append(item)
    kept = {item for cases in sweeps.values() for item in spread(cases, *cases[0].get_closest_marker("sweep").args)}
    left_out = {item for cases in sweeps.values() for item in cases if item not in kept}
    if left_out:
        config.hook.pytest_deselected(items=[item for item in items if item in left_out])
        items[:] = [item for item in items if item not in left_out]


def spread(things: Sequence, count: int) -> list:
    """Return as many of these things, or all if there are no more, spread evenly from the first to the last."""
    if len(things) <= count:
        return list(things)
    return [things[round(place * (len(things) - 1) / max(count - 1, 1))] for place in range(count)]


@pytest.fixture(scope="session")
def sweep(pytestconfig) -> Callable[..., list]:
    """Return a function from things and how many of them are quick to those to try: with ``--all`` to all of them."""
    return lambda things, *, quick: list(things) if pytestconfig.option.all else spread(things, quick)


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
        inside = {**ICON_FOLDERS, **COLOURED_FOLDERS}[package]
        files = sorted((ROOT / ".build/icons/node_modules" / package / inside).glob("*.svg"))
        if not files:
            missing = f"{package} is not there: 'python3 build.py test' fetches it with npm"
            if os.environ.get("CI"):
                pytest.fail(missing)
            pytest.skip(missing)
        return files

    return files_of

"""The extension inside a real ``bpy``: enabled from source, or from the zip that STAMPWRIGHT_ZIP names.

Collected only where ``bpy`` can be imported; one process holds one Blender, so these tests run by a pytest call of
their own.
"""

import importlib
import os
import sys
import tempfile
from importlib.util import find_spec
from pathlib import Path

import pytest
from names import MODULE, ROOT

collect_ignore_glob = [] if find_spec("bpy") else ["test_*.py", "*/test_*.py"]

# Before anything imports bpy: nothing of this machine's own Blender is read or changed.
RESOURCES = Path(os.environ.setdefault("BLENDER_USER_RESOURCES", tempfile.mkdtemp(prefix="stampwright-blender-")))


def pytest_sessionfinish(session, exitstatus):
    """Note how it went, for the end of the process."""
    session.config.went = int(exitstatus)


@pytest.hookimpl(trylast=True)
def pytest_unconfigure(config):
    """End without Python's own clearing away: after anything that draws or listens, Blender 4.2 crashes or hangs in it.

    A panel of three lines is enough, also one that was taken back before.
    """
    if "bpy" in sys.modules and hasattr(config, "went"):
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(config.went)


@pytest.fixture(scope="session")
def extension():
    """Return the extension's package, enabled as the host does it; disabled again at the end."""
    import addon_utils
    import bpy

    archive = os.environ.get("STAMPWRIGHT_ZIP")
    if archive:
        bpy.ops.extensions.package_install_files(filepath=archive, repo="user_default", enable_on_install=True)
    else:
        home = RESOURCES / "extensions" / "user_default"
        home.mkdir(parents=True, exist_ok=True)
        (home / "stampwright").symlink_to(ROOT / "blender_addon")
        addon_utils.modules_refresh()
        bpy.ops.preferences.addon_enable(module=MODULE)
    yield importlib.import_module(MODULE)
    bpy.ops.preferences.addon_disable(module=MODULE)


@pytest.fixture
def scene(extension):
    """Return an empty scene of a new file."""
    import bpy

    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=False)
    return bpy.context.scene


@pytest.fixture
def live(extension):
    """Return the room that keeps stamps up to date."""
    return importlib.import_module(f"{MODULE}.live.following")


@pytest.fixture
def noticing(extension):
    """Return the room that notices edits."""
    return importlib.import_module(f"{MODULE}.live.noticing")


@pytest.fixture
def benches(extension):
    """Return what is known of stamps while the program runs."""
    return importlib.import_module(f"{MODULE}.building.benches")


@pytest.fixture
def scheduler(extension):
    """Return what takes up and shows what goes on beside Blender."""
    return importlib.import_module(f"{MODULE}.live.scheduler")


@pytest.fixture(scope="session")
def core(extension):
    """Return a function from the name of a room to that room of the core that the extension holds."""
    return lambda room: importlib.import_module(f"{MODULE}.stampwright.{room}")


@pytest.fixture
def artwork_folder() -> Path:
    """Where the demo artwork lies."""
    return ROOT / "shared" / "artwork"


@pytest.fixture
def small_stamps(extension, monkeypatch):
    """Have new stamps begin with a base of 25 mm, made in half the time, where what is tried hangs on no size."""
    making = importlib.import_module(f"{MODULE}.operators.stamps.making")
    usual = making.start_job
    monkeypatch.setattr(making, "start_job", lambda *about: usual(*about).with_value("base.width", 25.0))

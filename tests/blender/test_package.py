"""The package as a newcomer has it: installed into a clean user folder by the host's own means."""

import json
import os
import platform
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import bpy
import numpy as np
import pytest
from PIL import Image, ImageDraw

ROOT = Path(__file__).resolve().parents[2]
PACKAGES = ROOT / "out" / "package"
PACKER = ROOT / "blender_addon" / "packing" / "pack.py"

PLATFORMS = {"windows-x64", "macos-arm64", "macos-x64", "linux-x64"}
HERE = {
    "Linux": "linux-x64",
    "Windows": "windows-x64",
    "Darwin": f"macos-{platform.machine().replace('x86_64', 'x64')}",
}

PACKED = ("shapely", "manifold3d", "PIL")
"""Modules of the package that making and exporting a stamp loads."""


@pytest.fixture(scope="module")
def packages() -> dict[str, Path]:
    """The zips that build.py made, by platform; without them, skip (on CI: fail)."""
    found = {path.stem.rpartition("-")[2].replace("_", "-"): path for path in PACKAGES.glob("stampwright-*.zip")}
    if not found:
        missing = "there are no packages: 'python3 build.py package' makes them"
        if os.environ.get("CI"):
            pytest.fail(missing)
        pytest.skip(missing)
    return found


@pytest.fixture(scope="module")
def tool() -> Path:
    """The host's own extension tool."""
    return next(Path(bpy.utils.resource_path("LOCAL")).glob("scripts/addons_core/bl_pkg/cli/blender_ext.py"))


@pytest.fixture(scope="module")
def package(packages, tool, tmp_path_factory) -> Path:
    """The package for this system, made from the sources as they are now."""
    return _packed(tool, tmp_path_factory.mktemp("package"))


@pytest.fixture(scope="module")
def came(package, tmp_path_factory) -> dict:
    """What came of it when a newcomer used the package, and the folder that they exported to."""
    site, resources, files = (tmp_path_factory.mktemp(name) for name in ("site", "resources", "files"))
    _bare_host(site)
    result = subprocess.run(
        [sys.executable, "-S", "-I", Path(__file__).with_name("newcomer.py"), site, package, files / "stamp"],
        env={**os.environ, "BLENDER_USER_RESOURCES": str(resources)},
        check=False,
        capture_output=True,
        text=True,
        timeout=300,
    )
    assert result.returncode == 0, result.stdout + result.stderr
    return {
        **json.loads(result.stdout.splitlines()[-1]),
        "files": next((files / "stamp").iterdir()),
        "errors": result.stderr,
    }


def test_there_is_a_valid_package_for_each_platform(packages, tool):
    assert set(packages) == PLATFORMS
    for name, package in packages.items():
        subprocess.run([sys.executable, tool, "validate", package], check=True, capture_output=True)
        with zipfile.ZipFile(package) as held:
            manifest = tomllib.loads(held.read("blender_manifest.toml").decode())
            wheels = {each for each in held.namelist() if each.endswith(".whl")}
        assert manifest["platforms"] == [name]
        assert {wheel.removeprefix("./") for wheel in manifest["wheels"]} == wheels
        # Hosts up to 5.0 run Python 3.11, later ones 3.13; numpy is the host's own.
        for python in ("cp311-cp311", "cp313-cp313"):
            assert any("/shapely-" in each and python in each for each in wheels)
        assert not any("/numpy-" in each for each in wheels)


def test_package_holds_the_extension_the_core_and_the_licence(package):
    with zipfile.ZipFile(package) as held:
        names = set(held.namelist())
    for source in (ROOT / "core", ROOT / "blender_addon"):
        files = {path.relative_to(source) for path in source.rglob("*.py")}
        packed = {path.as_posix() for path in files if path.parts[0] not in ("packing", "__pycache__")}
        assert packed <= names
    assert "LICENSE" in names
    assert not [each for each in names if each.startswith("packing/") or "__pycache__" in each]


def test_same_sources_make_the_same_package(package, tool, tmp_path):
    # The zone of the clock is one of the things that must not show.
    assert _packed(tool, tmp_path, TZ="PST8").read_bytes() == package.read_bytes()


def test_package_installs_and_registers(came):
    assert came["installed"] == ["FINISHED"]
    assert came["enabled"]


def test_nothing_heavy_is_loaded_before_it_is_needed(came):
    assert came["loaded at start"] == []


def test_newcomer_makes_a_stamp_of_a_curve(came):
    assert came["made"] == ["FINISHED"]
    assert {"stamp", "die", "backing", "handle"} <= set(came["parts"])


def test_libraries_are_those_of_the_package(came):
    assert set(came["libraries"]) == set(PACKED)
    for name, file in came["libraries"].items():
        assert Path(file).is_relative_to(came["resources"]), name


def test_exported_die_prints_what_was_drawn(came):
    assert came["exported"] == ["FINISHED"]
    printed = _print_of(came["files"] / "die.stl")
    drawn = _picture([came["drawn"]], came["drawn"])
    assert printed.shape == drawn.shape
    assert (printed & drawn).sum() / (printed | drawn).sum() >= 0.99


def test_disabled_extension_leaves_no_trace(came):
    assert came["left when disabled"] == []
    assert came["enabled again"]


def test_uninstalled_package_leaves_no_trace(came):
    assert came["left when uninstalled"] == []
    assert came["files left"] == []


def test_console_stays_clean(came):
    assert "Traceback" not in came["errors"]
    assert "Warning" not in came["errors"]


def _packed(tool: Path, folder: Path, **settings: str) -> Path:
    """Return the package for this system, packed into a folder."""
    command = [sys.executable, PACKER, "--tool", tool, "--out", folder, "--platform", HERE[platform.system()]]
    subprocess.run(command, check=True, capture_output=True, env={**os.environ, **settings})
    return next(folder.iterdir())


def _bare_host(site: Path) -> None:
    """Fill a folder with the packages of this environment that a host has too, and none that the package brings."""
    packages = Path(np.__file__).parent.parent
    brought = (
        *PACKED,
        "segno",
        "tinycss2",
        "webencodings",
        "cssselect2",
        "uharfbuzz",
        "contourpy",
    )
    for path in packages.iterdir():
        if not path.name.lower().startswith((*map(str.lower, brought), "pillow", "barcode", "python_barcode")):
            (site / path.name).symlink_to(path)


def _print_of(file: Path) -> np.ndarray:
    """Return what the highest face of a binary STL prints, seen from the paper's side, as a picture."""
    record = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("extra", "<u2")])
    corners = np.frombuffer(file.read_bytes(), record, offset=84)["corners"]
    face = corners[(corners[:, :, 2] > corners[:, :, 2].max() - 1e-4).all(axis=1)][:, :, :2]
    # A stamp is turned over to print: left becomes right.
    mirrored = face * (-1, 1)
    return _picture(mirrored, mirrored.reshape(-1, 2))


def _picture(polygons, extent, height: int = 1000) -> np.ndarray:
    """Return polygons, filled, as a picture of their extent."""
    low, high = np.min(extent, axis=0), np.max(extent, axis=0)
    scale = height / (high - low)[1]
    picture = Image.new("1", (round((high - low)[0] * scale), height))
    for polygon in polygons:
        ImageDraw.Draw(picture).polygon([tuple(point) for point in (np.asarray(polygon) - low) * scale], fill=1)
    return np.asarray(picture)

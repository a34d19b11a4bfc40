"""Packs the extension: one zip for each platform, with the core and the wheels that it needs, by the host's own tool.

Nothing that is kept in the repository is changed: each zip is put together in a folder under ``.build``. The wheels are
those of the package index, unmodified, named with their hashes in ``wheels.toml`` beside this file. The same sources
give the same bytes.
"""

import argparse
import hashlib
import json
import shutil
import subprocess
import sys
import tempfile
import tomllib
import zipfile
from itertools import product
from pathlib import Path
from typing import Any

from pages import write_pages

ADDON = Path(__file__).resolve().parent.parent
ROOT = ADDON.parent
CORE_FOLDER = ROOT / "core" / "stampwright"
LOCK = Path(__file__).with_name("wheels.toml")
STORE = ROOT / ".build"
WHEELS = STORE / "wheels"
LOG = STORE / "wheels.log"

PYTHONS = ("3.11", "3.13")
"""Versions of Python inside the hosts: 3.11 up to Blender 5.0, 3.13 from 5.1 on."""

PLATFORMS = {
    "windows-x64": ("win_amd64",),
    "macos-arm64": ("macosx_11_0_arm64",),
    # macOS 10.15 is the oldest that the hosts for this processor ask for.
    "macos-x64": ("macosx_10_15_x86_64",),
    # glibc 2.28, which the hosts ask for, and older ones; manylinux2014 alone would give an older shapely.
    "linux-x64": ("manylinux_2_28_x86_64", "manylinux_2_17_x86_64"),
}
"""The host's name of each platform, and the newest wheels' platforms that run there."""

LEFT_OUT = ("__pycache__", "packing", "stampwright", ".*")
"""What lies in the extension's folder and is not packed as it is; the core comes from where it lives."""

Wheels = dict[str, dict[str, str]]
"""File names and hashes of wheels by platform; ``any`` holds those that run everywhere."""


class PackError(Exception):
    """What keeps a zip from being made; one line that says what to do."""


def main() -> int:
    """Pack for the platforms asked for, or renew the hashes, and say what came of it."""
    parser = argparse.ArgumentParser(prog="package", description="Make the zips that Blender installs.")
    parser.add_argument("--out", type=Path, default=ROOT / "out" / "package", help="folder that the zips come into")
    parser.add_argument("--tool", type=Path, action="append", default=[], help="blender_ext.py; further ones validate")
    parser.add_argument("--platform", choices=PLATFORMS, action="append", help="one platform only; may be repeated")
    parser.add_argument("--renew", action="store_true", help="write the hashes of the wheels at the pinned versions")
    asked = parser.parse_args()
    try:
        if asked.renew:
            renew_hashes()
        elif not asked.tool:
            parser.error("--tool is needed, unless --renew is given")
        else:
            pack_all(asked.platform or list(PLATFORMS), asked.tool, asked.out)
    except PackError as error:
        print(f"package: {error}", file=sys.stderr)
        return 1
    return 0


def pack_all(platforms: list[str], tools: list[Path], folder: Path) -> None:
    """Write the zips for some platforms into a folder, and say how large each is; all bring the same pages.

    Raises :class:`PackError` when a wheel is missing or the host's tool refuses.
    """
    STORE.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory(dir=STORE) as name:
        pages = Path(name) / "pages"
        write_pages(ROOT / "shared" / "guide", pages)
        for platform in platforms:
            made = pack(platform, pages, tools, folder)
            print(f"  {made.stat().st_size / 1e6:6.1f} MB  {made.name}", flush=True)


def pack(platform: str, pages: Path, tools: list[Path], folder: Path) -> Path:
    """Return the zip for a platform, built with the first of the host's tools and validated with all.

    ``pages``: the guide, as the zip brings it. Raises :class:`PackError` when a wheel is missing or the host's tool
    refuses.
    """
    wheels = gather_wheels(platform)
    folder.mkdir(parents=True, exist_ok=True)
    manifest = _read_toml(ADDON / "blender_manifest.toml")
    made = folder / f"{manifest['id']}-{manifest['version']}-{platform.replace('-', '_')}.zip"
    with tempfile.TemporaryDirectory(dir=STORE) as name:
        staged = Path(name) / "staged"
        stage(platform, wheels, pages, staged)
        _ask(tools[0], "build", "--source-dir", staged, "--output-filepath", made)
    settle(made)
    for tool in tools:
        _ask(tool, "validate", made)
    return made


def gather_wheels(platform: str) -> list[Path]:
    """Return the wheels of a platform, each of the hash that is locked, fetched if they are not there yet."""
    locked = _read_lock()
    expected = locked["any"] | locked[platform]
    for python, (package, version) in product(PYTHONS, _pins().items()):
        if not any(_fits(name, package, version, python) for name in expected):
            raise PackError(f"no wheel of {package} {version} for {platform}, Python {python}: package --renew")
    if any(_hash(WHEELS / name) != digest for name, digest in expected.items()):
        for python in PYTHONS:
            _fetch(platform, python, expected)
    for name, digest in expected.items():
        if _hash(WHEELS / name) != digest:
            raise PackError(f"{name} is missing or is not what its hash says; remove {WHEELS} and try again")
    return [WHEELS / name for name in sorted(expected)]


def stage(platform: str, wheels: list[Path], pages: Path, folder: Path) -> None:
    """Put together, in a new folder, what the zip of a platform holds."""
    shutil.copytree(ADDON, folder, ignore=shutil.ignore_patterns(*LEFT_OUT))
    shutil.copytree(CORE_FOLDER, folder / "stampwright", ignore=shutil.ignore_patterns("__pycache__", ".*"))
    shutil.copy(ROOT / "LICENSE", folder)
    shutil.copytree(pages, folder / "pages")
    (folder / "wheels").mkdir()
    for wheel in wheels:
        shutil.copy(wheel, folder / "wheels")
    manifest = folder / "blender_manifest.toml"
    filled = fill_manifest(manifest.read_text(encoding="utf-8"), platform, [wheel.name for wheel in wheels])
    manifest.write_text(filled, encoding="utf-8")


def fill_manifest(source: str, platform: str, wheels: list[str]) -> str:
    """Return a manifest with the platform and its wheels filled in.

    Raises :class:`PackError` when the result does not read as the source with just these added.
    """
    added = {"platforms": [platform], "wheels": [f"./wheels/{wheel}" for wheel in wheels]}
    # Strings of JSON are strings of TOML, and a list may go over several lines.
    lines = "".join(f"{key} = {json.dumps(value, indent=2)}\n" for key, value in added.items())
    # Keys of the manifest itself stand before its first table.
    head, opening, tables = source.partition("\n[")
    filled = f"{head.rstrip()}\n{lines}{opening}{tables}"
    if tomllib.loads(filled) != tomllib.loads(source) | added or added.keys() & tomllib.loads(source):
        raise PackError("the manifest names platforms or wheels itself: leave them to this script")
    return filled


def settle(made: Path) -> None:
    """Write a zip anew in the order of its names, without times: the host's tool packs as the file system lists."""
    settled = made.with_suffix(".part")
    with zipfile.ZipFile(made) as source, zipfile.ZipFile(settled, "w") as target:
        for about in sorted(source.infolist(), key=lambda about: about.filename):
            # Without a time of its own, an entry has the first that a zip can hold.
            entry = zipfile.ZipInfo(about.filename)
            entry.compress_type, entry.external_attr, entry.create_system = about.compress_type, 0o644 << 16, 3
            target.writestr(entry, source.read(about), compresslevel=9)
    settled.replace(made)


def renew_hashes() -> None:
    """Fetch every wheel at the pinned versions and write the names and hashes down anew."""
    locked: Wheels = {group: {} for group in ("any", *PLATFORMS)}
    for package, version in _pins().items():
        pin = [f"{package}=={version}"]
        # One that runs everywhere, where it is offered, is smaller than one for each Python, and seen by more people.
        everywhere = _download(pin, "--platform", "any", "--implementation", "py", "--abi", "none")
        locked["any"] |= everywhere
        for platform, python in () if everywhere else product(PLATFORMS, PYTHONS):
            fetched = _download(pin, *_target(platform, python))
            if not fetched:
                raise PackError(f"the index has no wheel of {package} {version} for {platform}, Python {python}")
            locked[platform] |= fetched
    lines = ["# Wheels that are packed, and their SHA-256; written by `python3 build.py package --renew`."]
    for group, wheels in locked.items():
        lines += ["", f"[{group}]", *(f'"{name}" = "{digest}"' for name, digest in sorted(wheels.items()))]
    LOCK.write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(f"{sum(map(len, locked.values()))} wheels written to {LOCK.relative_to(ROOT)}")


def _fetch(platform: str, python: str, expected: dict[str, str]) -> None:
    """Fetch the wheels for a platform and Python; raises :class:`PackError`."""
    print(f"Fetching the wheels for {platform}, Python {python}", flush=True)
    # Told all hashes that will do, pip chooses among the wheels of these hashes only.
    hashes = " ".join(f"--hash=sha256:{digest}" for digest in expected.values())
    pins = [f"{package}=={version} {hashes}" for package, version in _pins().items()]
    if not _download(pins, "--require-hashes", *_target(platform, python)):
        log = LOG.relative_to(ROOT)
        raise PackError(f"the wheels for {platform}, Python {python} could not be fetched; pip's words are in {log}")


def _download(pins: list[str], *options: str) -> dict[str, str]:
    """Return names and hashes of the wheels that pip fetched for pins, now in the store; none when one is lacking."""
    WHEELS.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=STORE) as name:
        folder = Path(name)
        (folder / "pins.txt").write_text("\n".join(pins) + "\n", encoding="utf-8")
        command = [sys.executable, "-m", "pip", "download", "--no-deps", "--only-binary", ":all:", "--no-input"]
        command += ["--disable-pip-version-check", "--dest", name, "--requirement", f"{name}/pins.txt", *options]
        result = subprocess.run(command, check=False, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
        if result.returncode:
            LOG.write_bytes(result.stdout)
            return {}
        return {path.name: _hash(path.replace(WHEELS / path.name)) for path in sorted(folder.glob("*.whl"))}


def _target(platform: str, python: str) -> list[str]:
    systems = [option for system in PLATFORMS[platform] for option in ("--platform", system)]
    return [*systems, "--implementation", "cp", "--python-version", python]


def _fits(wheel: str, package: str, version: str, python: str) -> bool:
    """Whether a wheel is of a package and runs on a Python, by its name (PEP 427), if it runs on the platform."""
    name, of, *_, tag, abi, _platform = wheel.removesuffix(".whl").split("-")
    if (name.replace("_", "-").lower(), of) != (package, version):
        return False
    minor = int(python.removeprefix("3."))
    stable = abi == "abi3" and int(tag.removeprefix("cp3")) <= minor
    return stable or tag == f"cp3{minor}" or "py3" in tag.split(".")


def _pins() -> dict[str, str]:
    """Return the pinned versions of what the core needs in a host, which has a numpy of its own."""
    return dict(pin.split("==") for pin in _read_toml(ROOT / "pyproject.toml")["dependency-groups"]["core"])


def _read_lock() -> Wheels:
    locked: Wheels = _read_toml(LOCK)
    return locked


def _read_toml(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


def _hash(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else ""


def _ask(tool: Path, *arguments: str | Path) -> None:
    """Run the host's extension tool; raises :class:`PackError` with its own words when it refuses."""
    result = subprocess.run(
        [sys.executable, str(tool), *map(str, arguments)],
        check=False,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        errors="replace",
    )
    if result.returncode:
        raise PackError(f"the host's tool refuses to {arguments[0]}: {' '.join(result.stdout.split())}")


if __name__ == "__main__":
    sys.exit(main())

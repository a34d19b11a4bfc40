"""Environments of Python: the project's own, and one for each Blender that is tested, at the versions of the pins."""

import hashlib
import json
import os
import platform
import re
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from tooling import PYTHONS, machine

BEGINS = ("Collecting ", "Processing ")
"""How pip opens the line for a package that it fetches, or finds on this machine."""


@dataclass(frozen=True)
class Interpreter:
    """A Python that environments are made with."""

    executable: str
    version: str
    prefix: str


@dataclass(frozen=True)
class Environment:
    """A folder with a Python and packages of its own."""

    folder: Path
    interpreter: Interpreter

    @property
    def python(self) -> Path:
        """The Python in it."""
        return self.folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")

    @property
    def ready(self) -> Path:
        """The file that tells what it holds."""
        return self.folder / "ready.json"


MAIN = Environment(machine.ROOT / ".venv", Interpreter(sys.executable, platform.python_version(), sys.base_prefix))


def prepare_environment(*groups: str, environment: Environment | None = None) -> None:
    """Make an environment hold the pinned packages of these groups of ``pyproject.toml``, the main one the package too.

    Does nothing when that is so already. An environment that was left half-made, was damaged or moved, or was made
    from other pins is made anew. Raises :class:`~machine.SetupError` when something that this takes is missing.
    """
    environment = environment or MAIN
    pins = {group: _pins_of(group) for group in groups}
    ready = _read_ready(environment)
    wanted = {group: _fingerprint(pins[group]) for group in groups}
    if ready is not None and wanted.items() <= ready["groups"].items():
        return
    if ready is None or any(ready["groups"].get(group, mark) != mark for group, mark in wanted.items()):
        _make_venv(environment)
        ready = {"groups": {}}
    missing = [group for group in groups if group not in ready["groups"]]
    environment.ready.unlink(missing_ok=True)
    _install(environment, [pin for group in missing for pin in pins[group]])
    if environment is MAIN and not ready["groups"]:
        print("Installing Stampwright itself", flush=True)
        _pip(environment, "install", "--no-deps", "--no-build-isolation", "--editable", str(machine.ROOT))
    _write_ready(environment, {**ready["groups"], **wanted})


def prepare_hosts(*, newest: bool = False) -> dict[str, Environment]:
    """Return the environments with Blender as a module, made where they are not there, by Blender's version.

    With ``newest`` it is the newest that can be had here, alone. One that cannot be had here is left out with a line
    that says why; on CI that is an error, unless it is for want of its Python.
    """
    hosts: dict[str, Environment] = {}
    known = list(machine.read_project()["tool"]["stampwright"]["hosts"].items())
    for version, python in reversed(known) if newest else known:
        interpreter = find_python(python)
        if interpreter is None:
            print(f"build.py: Blender {version} is left out: there is no Python {python} here", file=sys.stderr)
            continue
        host = Environment(machine.ROOT / f".venv-blender-{version}", interpreter)
        with machine.optional(f"Blender {version} is left out"):
            prepare_environment(f"blender-{version}", environment=host)
            hosts[version] = host
        if newest and hosts:
            break
    return hosts


def host_here() -> Environment | None:
    """Return the newest environment with Blender that is here already."""
    ready = max(machine.ROOT.glob(".venv-blender-*/ready.json"), default=None)
    return Environment(ready.parent, MAIN.interpreter) if ready else None


def find_python(version: str) -> Interpreter | None:
    """Return a Python of a version such as ``3.13``: this one, one on the path, or one that a version manager keeps."""
    found = [[sys.executable], [f"python{version}"], ["py", f"-{version}"]]
    for ask in (["pyenv", "root"], ["uv", "python", "find", version]):
        answer = machine.ask(ask)
        if answer and ask[0] == "pyenv":
            found += [[str(path)] for path in sorted(Path(answer, "versions").glob(f"{version}.*/bin/python"))]
        elif answer:
            found.append([answer])
    tell = "import platform, sys; print(sys._base_executable, platform.python_version(), sys.base_prefix, sep='\\n')"
    for command in found:
        lines = (machine.ask([*command, "-c", tell]) or "").splitlines()
        if len(lines) == 3 and lines[1].startswith(f"{version}."):
            return Interpreter(*lines)
    return None


def _make_venv(environment: Environment) -> None:
    folder = environment.folder
    print(f"Making {folder.name} with Python {environment.interpreter.version} ...", flush=True)
    try:
        if folder.is_symlink() or folder.is_file():
            folder.unlink()
        elif folder.exists():
            shutil.rmtree(folder)
    except OSError as error:
        raise machine.SetupError(
            f"{folder} is damaged and cannot be removed ({error.strerror}); remove it by hand"
        ) from error
    result = machine.capture([environment.interpreter.executable, "-m", "venv", folder])
    if result.returncode:
        if "ensurepip" in result.stdout:
            raise machine.SetupError(
                "this Python cannot make environments; on Debian and Ubuntu: apt install python3-venv"
            )
        log = machine.keep_log("venv.log", result.stdout)
        raise machine.SetupError(f"Python could not make {folder}; its words are in {log}")


def _install(environment: Environment, pins: list[str]) -> None:
    """Install pinned packages, with a line of progress for each."""
    print(f"Installing {len(pins)} packages", flush=True)
    # Ready-built packages only: a compiler is not something that a newcomer should need. The pins are complete.
    quiet = ["--only-binary", ":all:", "--progress-bar", "off", "--no-deps"]
    _pip(environment, "install", *quiet, *pins, count=len(pins))


def _pip(environment: Environment, *arguments: str, count: int = 0) -> None:
    settings = ["--disable-pip-version-check", "--no-input", "--retries", "2", "--timeout", "30"]
    command = [str(environment.python), "-m", "pip", *arguments, *settings]
    said: list[str] = []
    with subprocess.Popen(
        command,
        cwd=machine.ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        errors="replace",
    ) as pip:
        assert pip.stdout is not None
        for line in pip.stdout:
            said.append(line)
            if count:
                _show_progress(line, sum(earlier.startswith(BEGINS) for earlier in said), count)
    if pip.returncode:
        raise _pip_error("".join(said))


def _show_progress(line: str, begun: int, count: int) -> None:
    """Turn one line of pip's into a line of progress, if it says that something has begun."""
    if line.startswith(BEGINS):
        name = re.sub(r"^([^-]+)-([^-]+)-.*", r"\1 \2", Path(line.split()[1]).name).replace("==", " ")
        print(f"  [{begun}/{count}] {name}", flush=True)
    elif line.startswith("Installing collected packages"):
        print("  unpacking ...", flush=True)
    else:
        # The size of what takes long, so that a slow line is not taken for a hang.
        large = re.match(r"\s+Downloading .*\((.* MB)\)", line)
        if large:
            print(f"          {large.group(1)} ...", flush=True)


def _pip_error(said: str) -> machine.SetupError:
    """Put pip's words into one line that says what to do."""
    log = machine.keep_log("pip.log", said)
    network = ("NewConnectionError", "NameResolutionError", "ConnectTimeout", "ReadTimeout", "ProxyError", "SSLError")
    if any(sign in said for sign in (*network, "Connection aborted", "Network is unreachable", "Max retries exceeded")):
        return machine.SetupError(
            f"no package could be fetched: the network does not answer (pip's words are in {log})"
        )
    if "No space left on device" in said:
        return machine.SetupError("the disk is full; make room (about 1 GB) and run it again")
    lacking = re.search(r"No matching distribution found for ([\w.-]+==[\w.]+)", said)
    if lacking:
        here = f"Python {platform.python_version()} on {platform.system()} {platform.machine()}"
        package = lacking.group(1).replace("==", " ")
        return machine.SetupError(
            f"there is no ready-built {package} for {here}; run it with {PYTHONS}, 64-bit CPython"
        )
    return machine.SetupError(f"pip could not install the pinned packages; its words are in {log}")


def _read_ready(environment: Environment) -> dict[str, dict[str, str]] | None:
    """Return what an environment holds, or None when there is none or it is damaged, moved or from another Python."""
    try:
        ready = json.loads(environment.ready.read_text(encoding="utf-8"))
        whole = set(ready["packages"]) <= set(_packages(environment)) and environment.python.exists()
        sound = whole and ready["made_by"] == _maker(environment)
    except (OSError, ValueError, KeyError, TypeError):
        return None
    if not sound or machine.capture([environment.python, "-c", ""]).returncode:
        return None
    return {"groups": ready["groups"]}


def _write_ready(environment: Environment, groups: dict[str, str]) -> None:
    # Written last, so that an environment without it is known to be half-made.
    held = {"made_by": _maker(environment), "groups": groups, "packages": _packages(environment)}
    environment.ready.write_text(json.dumps(held, indent=1) + "\n", encoding="utf-8")


def _maker(environment: Environment) -> str:
    """Name the Python, the place and, for the main environment, the package description that it was made from."""
    project = _fingerprint(machine.read_project()["project"]) if environment is MAIN else ""
    return f"{environment.interpreter.version} {environment.interpreter.prefix} {machine.ROOT} {project}".rstrip()


def _packages(environment: Environment) -> list[str]:
    return sorted(path.name for path in environment.folder.glob("[Ll]ib*/**/site-packages/*.dist-info"))


def _pins_of(group: str) -> list[str]:
    """Return the pins of a group of ``pyproject.toml`` and of the groups that it includes."""
    listed = machine.read_project()["dependency-groups"][group]
    parts = [[entry] if isinstance(entry, str) else _pins_of(entry["include-group"]) for entry in listed]
    return [pin for part in parts for pin in part]


def _fingerprint(described: object) -> str:
    return hashlib.sha256(json.dumps(described, sort_keys=True).encode()).hexdigest()[:16]

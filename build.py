"""Sets the project up and runs it: the demo stamp, the tests, the bench, the checks.

Needs nothing but Python: everything else goes into ``.venv`` and ``.build`` beside this file, once, at the versions
that ``pyproject.toml`` pins. Deleting either folder is always safe.
"""

import hashlib
import json
import os
import platform
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

PYTHONS = "Python 3.11, 3.12, 3.13 or 3.14"

# Up to here, and in its grammar, this file suits older Pythons too: they get this line instead of a traceback.
if sys.version_info < (3, 11):  # noqa: UP036
    sys.exit(f"build.py: Python {platform.python_version()} is too old for Stampwright; run it with {PYTHONS}")

import tomllib  # noqa: E402

ROOT = Path(__file__).resolve().parent
BUILD = ROOT / ".build"
ICONS = BUILD / "icons"
OUT = ROOT / "out"
PACKAGE = OUT / "package"
PACKER = ROOT / "blender_addon" / "packing" / "pack.py"
HOST_TOOL = "bl_pkg/cli/blender_ext.py"
TESTS = ROOT / "tests"
HOST_TYPES = TESTS / "types" / "host.py"
HOST_SUITES = ("blender", "ui")
DEMO_JOB = ROOT / "shared" / "jobs" / "ownership-mark.toml"
PICTURES = ROOT / "shared" / "guide" / "product_pictures.py"
DEMO_ARTWORK = ROOT / "shared" / "artwork" / "ownership-mark.svg"

PRODUCTS = {
    "die.stl": "the die, face up, to print in flexible filament",
    "backing.stl": "the plate that the die is glued to",
    "handle.stl": "what the hand holds",
    "stamp.3mf": "all parts in one file, named and with their materials",
    "impression.png": "what the stamp prints, 600 dpi",
    "proof.svg": "the proof at true size",
    "picture.png": "the finished stamp beside its impression, before it exists",
    "ticket.html": "how to print, glue, dress and ink it",
    "job.json": "every figure of this stamp",
    "report.json": "everything that was found and measured",
}
"""What ``stampwright make`` may write, and a picture by Blender, and what each file is for."""

BENCHES = {"icons": "tests.bench.icons", "faces": "tests.bench.faces", "fuzz": "tests.bench.fuzz"}
"""Parts of the bench that can be run by themselves; these are modules."""

OWN_OPTIONS = ("-rs", "-o", "addopts=")
"""Pytest's options outside the core: what is skipped is told, and modules that import bpy are not read for examples."""

BEGINS = ("Collecting ", "Processing ")
"""How pip opens the line for a package that it fetches, or finds on this machine."""


class SetupError(Exception):
    """Something that the machine lacks; the message is one line and says what to do."""


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


MAIN = Environment(ROOT / ".venv", Interpreter(sys.executable, platform.python_version(), sys.base_prefix))
PYTHON = MAIN.python
PROGRAM = PYTHON.with_name("stampwright.exe" if os.name == "nt" else "stampwright")


def main(arguments: list[str]) -> int:
    """Run one command and return the exit code; without a command, print the help."""
    if not arguments or arguments[0] in ("-h", "--help", "help"):
        print(_help())
        return 0
    name, *rest = arguments
    if name not in COMMANDS:
        print(f"build.py: there is no command {name!r}; there are: {', '.join(COMMANDS)}", file=sys.stderr)
        return 2
    try:
        return COMMANDS[name](rest)
    except SetupError as error:
        print(f"build.py: {error}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("build.py: stopped; run it again to go on", file=sys.stderr)
        return 130


def make_demo(arguments: list[str]) -> int:
    """Make the demo stamp, or one of your own FILE.svg, and say where its files are; --picture renders it, too."""
    wants_picture = "--picture" in arguments
    arguments = [argument for argument in arguments if argument != "--picture"]
    if len(arguments) > 1 or any(argument.startswith("-") for argument in arguments):
        raise SetupError(
            "demo takes one SVG file or nothing, and --picture; `stampwright make` in .venv has all options"
        )
    if arguments:
        artwork = Path(arguments[0]).resolve()
        folder, job = OUT / artwork.stem, list[str | Path]()
        if not artwork.is_file():
            raise SetupError(f"{arguments[0]}: there is no such file")
    else:
        artwork, folder, job = DEMO_ARTWORK, OUT / "demo", ["--job", DEMO_JOB]
    prepare_environment("run")
    code = _run([PROGRAM, "make", artwork, "--out", folder, "--force", *job])
    if code == 0:
        (folder / "picture.png").unlink(missing_ok=True)
        _picture(artwork, folder, fetch=wants_picture)
        print(f"\nThe stamp is made. Its files, in {folder}:")
        for name, purpose in PRODUCTS.items():
            if (folder / name).is_file():
                print(f"  {name:<15} {purpose}")
    return code


def run_tests(arguments: list[str]) -> int:
    """Run every test, or those asked for: what follows goes to pytest."""
    prepare_environment("run", "test")
    chosen = _by_suite(arguments)
    codes = []
    if "core" in chosen:
        # Without the icons the other tests still hold; the ones that need them say so and are skipped.
        with _optional("tests that read icon sets are skipped"):
            fetch_icons()
        codes.append(_run([PYTHON, "-m", "pytest", *chosen["core"]]))
    if chosen.keys() & {"blender", "ui"}:
        hosts = prepare_hosts()
        with _optional("tests that install the package are skipped"):
            _pack(hosts)
    if "blender" in chosen:
        codes += [_test_in(version, host, chosen["blender"]) for version, host in hosts.items()]
    if "ui" in chosen:
        print("\nBlender in a window", flush=True)
        codes.append(_run([PYTHON, "-m", "pytest", *OWN_OPTIONS, *chosen["ui"]]))
    # Not one test chosen (5) is no failure where what was chosen goes to several suites.
    return next((code for code in codes if code and (code != 5 or len(codes) == 1)), 0)


def make_package(arguments: list[str]) -> int:
    """Make the zips that Blender installs, one for each platform, into out/package."""
    prepare_environment("run")
    return _pack(prepare_hosts(), *arguments)


def run_bench(arguments: list[str]) -> int:
    """Time every stage beside its peers, and read every icon; `icons [SET]`, `faces`, `fuzz SECONDS [SEED]` alone."""
    prepare_environment("run", "test")
    alone = arguments[:1] and BENCHES.get(arguments[0])
    with _optional("icon sets are left out"):
        fetch_icons()
    if alone:
        return _run([PYTHON, "-m", alone, *arguments[1:]])
    code = _run([PYTHON, TESTS / "bench" / "bench.py", *arguments])
    code = _run([PYTHON, TESTS / "bench" / "pressing.py", *arguments]) or code
    code = _run([PYTHON, "-m", BENCHES["faces"]]) or code
    code = _run([PYTHON, "-m", BENCHES["icons"]]) or code
    # A bench alone is no reason to fetch Blender.
    host = _host_here()
    if host is None:
        print("build.py: Blender is left out: 'python3 build.py test' brings it", file=sys.stderr)
        return code
    return code or _run([host.python, TESTS / "bench" / "in_blender.py"])


def run_checks(arguments: list[str]) -> int:
    """Lint, check the format, check the types; every check runs even when an earlier one fails."""
    if arguments:
        raise SetupError("check takes no arguments")
    prepare_environment("run", "test", "check")
    # Last, as what mypy has kept of the host from before a change of host.py is put right by the run over everything.
    scripts = ["--no-namespace-packages", "build.py", str(HOST_TYPES.relative_to(ROOT))]
    checks = (["ruff", "check", "."], ["ruff", "format", "--check", "."], ["mypy"], ["mypy", "--strict", *scripts])
    codes = []
    for check in checks:
        print("$ " + " ".join(check), flush=True)
        codes.append(_run([PYTHON, "-m", *check]))
    return int(any(codes))


COMMANDS = {"demo": make_demo, "test": run_tests, "bench": run_bench, "check": run_checks, "package": make_package}


def prepare_environment(*groups: str, environment: Environment = MAIN) -> None:
    """Make an environment hold the pinned packages of these groups of ``pyproject.toml``, the main one the package too.

    Does nothing when that is so already. An environment that was left half-made, was damaged or moved, or was made
    from other pins is made anew. Raises :class:`SetupError` when something that this takes is missing.
    """
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
        _pip(environment, "install", "--no-deps", "--no-build-isolation", "--editable", str(ROOT))
    _write_ready(environment, {**ready["groups"], **wanted})


def prepare_hosts(*, newest: bool = False) -> dict[str, Environment]:
    """Return the environments with Blender as a module, made where they are not there, by Blender's version.

    With ``newest`` it is the newest that can be had here, alone. One that cannot be had here is left out with a line
    that says why; on CI that is an error, unless it is for want of its Python.
    """
    hosts: dict[str, Environment] = {}
    known = list(_read_project()["tool"]["stampwright"]["hosts"].items())
    for version, python in reversed(known) if newest else known:
        interpreter = find_python(python)
        if interpreter is None:
            print(f"build.py: Blender {version} is left out: there is no Python {python} here", file=sys.stderr)
            continue
        host = Environment(ROOT / f".venv-blender-{version}", interpreter)
        with _optional(f"Blender {version} is left out"):
            prepare_environment(f"blender-{version}", environment=host)
            hosts[version] = host
        if newest and hosts:
            break
    return hosts


def find_python(version: str) -> Interpreter | None:
    """Return a Python of a version such as ``3.13``: this one, one on the path, or one that a version manager keeps."""
    found = [[sys.executable], [f"python{version}"], ["py", f"-{version}"]]
    for ask in (["pyenv", "root"], ["uv", "python", "find", version]):
        answer = _ask(ask)
        if answer and ask[0] == "pyenv":
            found += [[str(path)] for path in sorted(Path(answer, "versions").glob(f"{version}.*/bin/python"))]
        elif answer:
            found.append([answer])
    tell = "import platform, sys; print(sys._base_executable, platform.python_version(), sys.base_prefix, sep='\\n')"
    for command in found:
        lines = (_ask([*command, "-c", tell]) or "").splitlines()
        if len(lines) == 3 and lines[1].startswith(f"{version}."):
            return Interpreter(*lines)
    return None


def fetch_icons() -> None:
    """Fetch the pinned icon sets into ``.build/icons`` unless they are there; raises :class:`SetupError`."""
    sets: dict[str, str] = _read_project()["tool"]["stampwright"]["icons"]
    missing = [f"{name}@{version}" for name, version in sets.items() if _fetched_version(name) != version]
    if not missing:
        return
    npm = shutil.which("npm")
    if npm is None:
        raise SetupError("the icon sets for the tests come through npm, which is not on this machine: install Node.js")
    print(f"Fetching {len(sets)} icon sets for the tests (once): {', '.join(sets)}", flush=True)
    ICONS.mkdir(parents=True, exist_ok=True)
    # A package file of its own keeps npm from taking a folder further up for the one to install into.
    (ICONS / "package.json").write_text('{"private": true}\n', encoding="utf-8")
    quiet = ["--ignore-scripts", "--no-audit", "--no-fund", "--no-package-lock", "--save-exact"]
    wanted = [f"{name}@{version}" for name, version in sets.items()]
    result = _capture([npm, "install", *quiet, "--prefix", ICONS, *wanted])
    if result.returncode:
        log = _keep_log("npm.log", result.stdout)
        raise SetupError(f"npm could not fetch the icon sets (is there a network?); its words are in {log}")


def _by_suite(arguments: list[str]) -> dict[str, list[str]]:
    """Return pytest's arguments for each suite that holds a path among them; without a path, for all suites."""
    options: list[str] = []
    paths: dict[str, list[str]] = {}
    for argument in arguments:
        path = Path(argument.partition("::")[0]).resolve()
        if argument.startswith("-") or not path.exists():
            options.append(argument)
        elif path != TESTS:
            suite = next((suite for suite in HOST_SUITES if path.is_relative_to(TESTS / suite)), "core")
            paths.setdefault(suite, []).append(argument)
    everything = {"core": [], **{suite: [str(TESTS / suite)] for suite in HOST_SUITES}}
    return {suite: [*options, *chosen] for suite, chosen in (paths or everything).items()}


def _pack(hosts: dict[str, Environment], *arguments: str) -> int:
    """Pack with the extension tools of these hosts, into ``out/package``; raises :class:`SetupError` without any."""
    tools = [str(tool) for host in hosts.values() for tool in host.folder.glob(f"**/{HOST_TOOL}")]
    if not tools:
        raise SetupError("packing takes Blender's own extension tool, and no Blender can be had here")
    code = _run([PYTHON, PACKER, "--out", PACKAGE, *(f"--tool={tool}" for tool in tools), *arguments])
    if code:
        raise SetupError("the extension was not packed: see the line above")
    return code


def _picture(artwork: Path, folder: Path, *, fetch: bool) -> None:
    """Render the stamp in a folder with the newest Blender that is here, or fetch one; without any, say how to."""
    host = _host_here()
    if host is None and fetch:
        host = next(iter(prepare_hosts(newest=True).values()), None)
    if host is None:
        print("build.py: no picture, for want of Blender: 'demo --picture' fetches it once, 1 GB", file=sys.stderr)
    elif _run([host.python, PICTURES, artwork, folder / "job.json", folder / "picture.png"]):
        print("build.py: the picture was not rendered: see above", file=sys.stderr)


def _host_here() -> Environment | None:
    """Return the newest environment with Blender that is here already."""
    ready = max(ROOT.glob(".venv-blender-*/ready.json"), default=None)
    return Environment(ready.parent, MAIN.interpreter) if ready else None


def _test_in(version: str, host: Environment, arguments: list[str]) -> int:
    """Run the extension's tests in a host, away from this user's own settings."""
    print(f"\nBlender {version}, Python {host.interpreter.version}", flush=True)
    with tempfile.TemporaryDirectory() as resources:
        return _run([host.python, "-m", "pytest", *OWN_OPTIONS, *arguments], BLENDER_USER_RESOURCES=resources)


@contextmanager
def _optional(otherwise: str) -> Iterator[None]:
    """Turn something that the machine lacks into a line on standard error, but on CI let it be an error."""
    try:
        yield
    except SetupError as error:
        if os.environ.get("CI"):
            raise
        print(f"build.py: {error}; {otherwise}", file=sys.stderr)


def _help() -> str:
    purposes = {name: (command.__doc__ or "").strip() for name, command in COMMANDS.items()}
    lines = [f"  {name:<7} {purpose}" for name, purpose in purposes.items()]
    return "\n".join(
        [
            "usage: python3 build.py COMMAND",
            "",
            "The first run sets everything up in .venv beside this file.",
            "",
            *lines,
        ]
    )


def _make_venv(environment: Environment) -> None:
    folder = environment.folder
    print(f"Making {folder.name} with Python {environment.interpreter.version} ...", flush=True)
    try:
        if folder.is_symlink() or folder.is_file():
            folder.unlink()
        elif folder.exists():
            shutil.rmtree(folder)
    except OSError as error:
        raise SetupError(f"{folder} is damaged and cannot be removed ({error.strerror}); remove it by hand") from error
    result = _capture([environment.interpreter.executable, "-m", "venv", folder])
    if result.returncode:
        if "ensurepip" in result.stdout:
            raise SetupError("this Python cannot make environments; on Debian and Ubuntu: apt install python3-venv")
        log = _keep_log("venv.log", result.stdout)
        raise SetupError(f"Python could not make {folder}; its words are in {log}")


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
        cwd=ROOT,
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


def _pip_error(said: str) -> SetupError:
    """Put pip's words into one line that says what to do."""
    log = _keep_log("pip.log", said)
    network = ("NewConnectionError", "NameResolutionError", "ConnectTimeout", "ReadTimeout", "ProxyError", "SSLError")
    if any(sign in said for sign in (*network, "Connection aborted", "Network is unreachable", "Max retries exceeded")):
        return SetupError(f"no package could be fetched: the network does not answer (pip's words are in {log})")
    if "No space left on device" in said:
        return SetupError("the disk is full; make room (about 1 GB) and run it again")
    lacking = re.search(r"No matching distribution found for ([\w.-]+==[\w.]+)", said)
    if lacking:
        here = f"Python {platform.python_version()} on {platform.system()} {platform.machine()}"
        package = lacking.group(1).replace("==", " ")
        return SetupError(f"there is no ready-built {package} for {here}; run it with {PYTHONS}, 64-bit CPython")
    return SetupError(f"pip could not install the pinned packages; its words are in {log}")


def _read_ready(environment: Environment) -> dict[str, dict[str, str]] | None:
    """Return what an environment holds, or None when there is none or it is damaged, moved or from another Python."""
    try:
        ready = json.loads(environment.ready.read_text(encoding="utf-8"))
        whole = set(ready["packages"]) <= set(_packages(environment)) and environment.python.exists()
        sound = whole and ready["made_by"] == _maker(environment)
    except (OSError, ValueError, KeyError, TypeError):
        return None
    if not sound or _capture([environment.python, "-c", ""]).returncode:
        return None
    return {"groups": ready["groups"]}


def _write_ready(environment: Environment, groups: dict[str, str]) -> None:
    # Written last, so that an environment without it is known to be half-made.
    held = {"made_by": _maker(environment), "groups": groups, "packages": _packages(environment)}
    environment.ready.write_text(json.dumps(held, indent=1) + "\n", encoding="utf-8")


def _maker(environment: Environment) -> str:
    """Name the Python, the place and, for the main environment, the package description that it was made from."""
    project = _fingerprint(_read_project()["project"]) if environment is MAIN else ""
    return f"{environment.interpreter.version} {environment.interpreter.prefix} {ROOT} {project}".rstrip()


def _packages(environment: Environment) -> list[str]:
    return sorted(path.name for path in environment.folder.glob("[Ll]ib*/**/site-packages/*.dist-info"))


def _fetched_version(name: str) -> str | None:
    try:
        about = (ICONS / "node_modules" / name / "package.json").read_text(encoding="utf-8")
        return str(json.loads(about)["version"])
    except (OSError, ValueError, KeyError):
        return None


def _read_project() -> dict[str, Any]:
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def _pins_of(group: str) -> list[str]:
    """Return the pins of a group of ``pyproject.toml`` and of the groups that it includes."""
    listed = _read_project()["dependency-groups"][group]
    parts = [[entry] if isinstance(entry, str) else _pins_of(entry["include-group"]) for entry in listed]
    return [pin for part in parts for pin in part]


def _fingerprint(described: object) -> str:
    return hashlib.sha256(json.dumps(described, sort_keys=True).encode()).hexdigest()[:16]


def _keep_log(name: str, said: str) -> Path:
    BUILD.mkdir(exist_ok=True)
    log = BUILD / name
    log.write_text(said, encoding="utf-8")
    return log


def _capture(command: Sequence[str | Path]) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [str(part) for part in command],
        check=False,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        errors="replace",
    )


def _ask(command: Sequence[str | Path]) -> str | None:
    """Return what a program prints, or None when there is no such program or it fails."""
    try:
        result = _capture(command)
    except OSError:
        return None
    return None if result.returncode else result.stdout.strip()


def _run(command: Sequence[str | Path], **settings: str) -> int:
    """Run a program with further settings in its environment, and return its exit code."""
    return subprocess.run(
        [str(part) for part in command], cwd=ROOT, env={**os.environ, **settings}, check=False
    ).returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

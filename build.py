"""Sets the project up and runs it: the demo stamp, the tests, the bench, the checks.

Needs nothing but Python: everything else goes into ``.venv`` and ``.build`` beside this file, once, at the versions
that ``pyproject.toml`` pins. Deleting either folder is always safe.
"""

import os
import sys
from pathlib import Path

from tooling import PYTHONS

# Up to here, and in its grammar, this file suits older Pythons too: they get this line instead of a traceback.
if sys.version_info < (3, 11):  # noqa: UP036
    sys.exit(f"build.py: Python {sys.version.split()[0]} is too old for Stampwright; run it with {PYTHONS}")

from tooling import environments, icons, machine, suites
from tooling.environments import Environment
from tooling.machine import SetupError

ROOT = machine.ROOT
OUT = ROOT / "out"
PACKAGE = OUT / "package"
PACKER = ROOT / "blender_addon" / "packing" / "pack.py"
HOST_TOOL = "bl_pkg/cli/blender_ext.py"
TESTS = ROOT / "tests"
HOST_TYPES = TESTS / "types" / "host.py"
DEMO_JOB = ROOT / "shared" / "jobs" / "ownership-mark.toml"
DEMO_PRINTER = ROOT / "shared" / "jobs" / "synthetic-printer.toml"
PICTURES = ROOT / "shared" / "guide" / "product_pictures.py"
DEMO_ARTWORK = ROOT / "shared" / "artwork" / "ownership-mark.svg"

PRODUCTS = {
    "die.stl": "the die, face up, to print in flexible filament",
    "backing.stl": "the plate that the die is glued to",
    "handle.stl": "what the hand holds",
    "stamp.3mf": "all parts in one file, named and with their materials",
    "impression.png": "what the stamp prints, 600 dpi",
    "proof.svg": "the proof at true size",
    "customer.svg": "the page for the customer to sign",
    "picture.png": "the finished stamp beside its impression, before it exists",
    "ticket.html": "how to print, glue, dress and ink it",
    "job.json": "every figure of this stamp",
    "report.json": "everything that was found and measured",
}
"""What ``stampwright make`` may write, and a picture by Blender, and what each file is for."""

BENCHES = {
    "icons": "tests.bench.icons",
    "faces": "tests.bench.faces",
    "inks": "tests.bench.inks",
    "pressing": "tests.bench.pressing",
    "start": "tests.bench.starting",
    "outlines": "tests.bench.outlines",
    "toolpaths": "tests.bench.toolpaths",
    "curved": "tests.bench.curved",
    "orders": "tests.bench.orders",
    "fuzz": "tests.bench.fuzz",
    "ways": "tests.bench.ways",
    "window": "tests.bench.window",
}
"""Parts of the bench that can be run by themselves; these are modules."""

OWN_OPTIONS = ("-rs", "-o", "addopts=")
"""Pytest's options outside the core: what is skipped is told, and modules that import bpy are not read for examples."""

PYTHON = environments.MAIN.python
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
        artwork, folder, job = DEMO_ARTWORK, OUT / "demo", ["--job", DEMO_JOB, "--with", DEMO_PRINTER]
    environments.prepare_environment("run")
    code = machine.run([PROGRAM, "make", artwork, "--out", folder, "--overwrite", *job])
    if code == 0:
        (folder / "picture.png").unlink(missing_ok=True)
        _picture(artwork, folder, fetch=wants_picture)
        print(f"\nThe stamp is made. Its files, in {folder}:")
        for name, purpose in PRODUCTS.items():
            if (folder / name).is_file():
                print(f"  {name:<15} {purpose}")
    return code


def run_tests(arguments: list[str]) -> int:
    """Run the tests, with --all every host and sweep in full; or those asked for: what follows goes to pytest."""
    environments.prepare_environment("run", "test")
    chosen = suites.by_suite(arguments)
    hosts: dict[str, Environment] = {}
    if chosen.keys() & set(suites.HOSTED):
        hosts = environments.prepare_hosts()
        with machine.optional("tests that install the package are skipped"):
            _pack(hosts)
    tests = []
    if "core" in chosen:
        # Without the icons the other tests still hold; the ones that need them say so and are skipped.
        with machine.optional("tests that read icon sets are skipped"):
            icons.fetch_icons()
        tests.append(suites.Suite("The core", [PYTHON, "-m", "pytest", *chosen["core"]]))
    # The window is the longest that one process runs: it is begun early, and waits while the others work.
    if "ui" in chosen:
        tests.append(suites.Suite("Blender in a window", [PYTHON, "-m", "pytest", *OWN_OPTIONS, *chosen["ui"]]))
    if "blender" in chosen:
        versions = suites.versions_to_try(list(hosts), arguments)
        tests += [_in_host(version, hosts[version], chosen["blender"]) for version in versions]
    return suites.worst(suites.run_beside(tests))


def make_package(arguments: list[str]) -> int:
    """Make the zips that Blender installs, one for each platform, into out/package."""
    environments.prepare_environment("run")
    return _pack(environments.prepare_hosts(), *arguments)


def run_bench(arguments: list[str]) -> int:
    """Time all stages and peers, read all icons; or one part by its name, such as orders (see BENCHES)."""
    environments.prepare_environment("run", "test")
    alone = arguments[:1] and BENCHES.get(arguments[0])
    with machine.optional("icon sets are left out"):
        icons.fetch_icons()
    if alone:
        return machine.run([PYTHON, "-m", alone, *arguments[1:]])
    code = machine.run([PYTHON, "-m", BENCHES["start"]])
    code = machine.run([PYTHON, TESTS / "bench" / "bench.py", *arguments]) or code
    code = machine.run([PYTHON, "-m", BENCHES["pressing"], *arguments]) or code
    code = machine.run([PYTHON, "-m", BENCHES["faces"]]) or code
    code = machine.run([PYTHON, "-m", BENCHES["outlines"]]) or code
    code = machine.run([PYTHON, "-m", BENCHES["icons"]]) or code
    # A bench alone is no reason to fetch Blender.
    host = environments.host_here()
    if host is None:
        print("build.py: Blender is left out: 'python3 build.py test' brings it", file=sys.stderr)
        return code
    return code or machine.run([host.python, TESTS / "bench" / "in_blender.py"])


def run_checks(arguments: list[str]) -> int:
    """Lint, check the format, check the types; every check runs even when an earlier one fails."""
    if arguments:
        raise SetupError("check takes no arguments")
    environments.prepare_environment("run", "test", "check")
    # Last, as what mypy has kept of the host from before a change of host.py is put right by the run over everything.
    own = [*sorted((ROOT / "tooling").glob("*.py")), *sorted((TESTS / "checks").glob("[!t]*.py")), HOST_TYPES]
    scripts = ["--no-namespace-packages", "build.py", *(str(path.relative_to(ROOT)) for path in own)]
    ours = [[f"tests.checks.{each}"] for each in ("imports", "names", "overlays", "raises", "sizes")]
    checks = (
        ["ruff", "check", "."],
        ["ruff", "format", "--check", "."],
        ["mypy"],
        ["mypy", "--strict", *scripts],
        *ours,
    )
    codes = []
    for check in checks:
        print("$ " + " ".join(check), flush=True)
        codes.append(machine.run([PYTHON, "-m", *check]))
    return int(any(codes))


COMMANDS = {"demo": make_demo, "test": run_tests, "bench": run_bench, "check": run_checks, "package": make_package}


def _pack(hosts: dict[str, Environment], *arguments: str) -> int:
    """Pack with the extension tools of these hosts, into ``out/package``; raises :class:`SetupError` without any."""
    tools = [str(tool) for host in hosts.values() for tool in host.folder.glob(f"**/{HOST_TOOL}")]
    if not tools:
        raise SetupError("packing takes Blender's own extension tool, and no Blender can be had here")
    code = machine.run([PYTHON, PACKER, "--out", PACKAGE, *(f"--tool={tool}" for tool in tools), *arguments])
    if code:
        raise SetupError("the extension was not packed: see the line above")
    return code


def _in_host(version: str, host: Environment, arguments: list[str]) -> suites.Suite:
    """Return the extension's tests in a host."""
    name = f"Blender {version}, Python {host.interpreter.version}"
    return suites.Suite(name, [host.python, "-m", "pytest", *OWN_OPTIONS, *arguments])


def _picture(artwork: Path, folder: Path, *, fetch: bool) -> None:
    """Render the stamp in a folder with the newest Blender that is here, or fetch one; without any, say how to."""
    host = environments.host_here()
    if host is None and fetch:
        host = next(iter(environments.prepare_hosts(newest=True).values()), None)
    if host is None:
        print("build.py: no picture, for want of Blender: 'demo --picture' fetches it once, 1 GB", file=sys.stderr)
    elif machine.run([host.python, PICTURES, artwork, folder / "job.json", folder / "picture.png"]):
        print("build.py: the picture was not rendered: see above", file=sys.stderr)


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


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

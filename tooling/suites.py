"""Suites of tests: which of them hold what was asked for, and several of them run beside each other."""

import os
import subprocess
import tempfile
import time
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from tooling import machine

TESTS = machine.ROOT / "tests"
HOSTED = ("blender", "ui")
"""Suites that take Blender, each a folder of its own; all other tests are those of the core."""

SHARED_OUT = ("-n", "auto", "--dist", "worksteal")
"""Pytest's options to use every processor; neighbours stay together, so that what they set up is set up once."""

SPARING = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "PYTHONDONTWRITEBYTECODE": ""}
"""What keeps the libraries of one process from waiting busily for a processor that another has, and each of the many
processes that tests begin from compiling all modules anew."""

NO_TESTS = 5
"""Pytest's exit code when not one test was chosen."""


@dataclass(frozen=True)
class Suite:
    """Tests that one process of pytest runs: a name to show, and the command."""

    name: str
    command: Sequence[str | Path]


def by_suite(arguments: list[str]) -> dict[str, list[str]]:
    """Return pytest's arguments for each suite that holds a path among them; without a path, for all suites.

    Without a path the core's tests are shared out to one process for each processor, unless ``-n`` says otherwise.
    """
    options: list[str] = []
    paths: dict[str, list[str]] = {}
    for argument in arguments:
        path = Path(argument.partition("::")[0]).resolve()
        if argument.startswith("-") or not path.exists():
            options.append(argument)
        elif path != TESTS:
            suite = next((suite for suite in HOSTED if path.is_relative_to(TESTS / suite)), "core")
            paths.setdefault(suite, []).append(argument)
    shared = [] if any(option.startswith(("-n", "--numprocesses")) for option in options) else list(SHARED_OUT)
    everything = {"core": shared, **{suite: [str(TESTS / suite)] for suite in HOSTED}}
    return {suite: [*options, *chosen] for suite, chosen in (paths or everything).items()}


def versions_to_try(versions: Sequence[str], arguments: list[str]) -> list[str]:
    """Return the versions of Blender to run in: all with ``--all`` or a path, else the newest."""
    if "--all" in arguments or by_suite(arguments).keys() < {"core", *HOSTED}:
        return list(versions)
    if versions[:-1]:
        print(f"Blender {', '.join(versions[:-1])}: only with --all")
    return list(versions[-1:])


def run_beside(suites: Sequence[Suite]) -> list[int]:
    """Run suites, one more at a time than there are processors, and return their exit codes.

    One of them is the window's, which waits more than it works, and with all begun early no processor is idle at the
    end. The first is heard as it goes on; what another says comes whole when both have ended, so that no lines mix.
    Each has an empty folder for Blender's settings: nothing of this user's own is read or changed.
    """
    if not suites:
        return []
    first, *others = suites
    print(f"\n{first.name}", flush=True)
    if others:
        print(f"Beside it, told when it has ended: {'; '.join(suite.name for suite in others)}", flush=True)
    with ThreadPoolExecutor((os.cpu_count() or 1) + 1) as pool:
        aloud = pool.submit(_run, first)
        begun = {pool.submit(_heard, suite): suite for suite in others}
        codes = [aloud.result()]
        for done in as_completed(begun):
            code, said, seconds = done.result()
            print(f"\n{begun[done].name}, {seconds:.0f} s\n{said}", end="", flush=True)
            codes.append(code)
    return codes


def worst(codes: Sequence[int]) -> int:
    """Return the first exit code that is none of success; not one test chosen is no failure where others were."""
    return next((code for code in codes if code and (code != NO_TESTS or len(codes) == 1)), 0)


def _heard(suite: Suite) -> tuple[int, str, float]:
    """Run a suite and return its exit code, what it said and how long it took."""
    begin = time.monotonic()
    with tempfile.TemporaryFile() as said:
        code = _run(suite, said)
        said.seek(0)
        return code, said.read().decode("utf-8", errors="replace"), time.monotonic() - begin


def _run(suite: Suite, said: IO[bytes] | None = None) -> int:
    """Run a suite, its words going into a file if there is one, and return its exit code."""
    with tempfile.TemporaryDirectory(prefix="stampwright-blender-") as resources:
        return subprocess.run(
            [str(part) for part in suite.command],
            cwd=machine.ROOT,
            env={**os.environ, **SPARING, "BLENDER_USER_RESOURCES": resources},
            check=False,
            stdout=said,
            stderr=subprocess.STDOUT if said else None,
        ).returncode

"""The machine that build.py runs on: where the project lies on it, and the programs that are started there."""

import os
import subprocess
import sys
import tomllib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
BUILD = ROOT / ".build"


class SetupError(Exception):
    """Something that the machine lacks; the message is one line and says what to do."""


def read_project() -> dict[str, Any]:
    """Return what ``pyproject.toml`` holds."""
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def keep_log(name: str, said: str) -> Path:
    """Write what a program said into a file of ``.build``, and return where that is."""
    BUILD.mkdir(exist_ok=True)
    log = BUILD / name
    log.write_text(said, encoding="utf-8")
    return log


def capture(command: Sequence[str | Path]) -> subprocess.CompletedProcess[str]:
    """Run a program that is asked nothing and whose words, errors too, come back as ``stdout``."""
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


def ask(command: Sequence[str | Path]) -> str | None:
    """Return what a program prints, or None when there is no such program or it fails."""
    try:
        result = capture(command)
    except OSError:
        return None
    return None if result.returncode else result.stdout.strip()


def run(command: Sequence[str | Path], **settings: str) -> int:
    """Run a program with further settings in its environment, and return its exit code."""
    return subprocess.run(
        [str(part) for part in command], cwd=ROOT, env={**os.environ, **settings}, check=False
    ).returncode


@contextmanager
def optional(otherwise: str) -> Iterator[None]:
    """Turn something that the machine lacks into a line on standard error, but on CI let it be an error."""
    try:
        yield
    except SetupError as error:
        if os.environ.get("CI"):
            raise
        print(f"build.py: {error}; {otherwise}", file=sys.stderr)

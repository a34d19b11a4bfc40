"""The sources that the checks read, and how a check tells what it found."""

from __future__ import annotations

import ast
import os
import sys
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True, order=True)
class Fault:
    """One line of a check: the file from the project's folder on, the line in it, and what is wrong there."""

    file: str
    line: int
    wrong: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.wrong}"


@dataclass(frozen=True)
class Source:
    """A Python file that has been read: its place, its place from the project's folder on, and its syntax tree."""

    path: Path
    name: str
    text: str
    tree: ast.Module


def settings(root: Path = ROOT) -> dict[str, Any]:
    """Return what ``pyproject.toml`` says under ``tool.stampwright``."""
    project = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))
    return dict(project["tool"]["stampwright"])


def read_sources(folder: Path, root: Path = ROOT) -> Iterator[Source]:
    """Read every Python file in a folder, sorted; what lies behind a link or in a hidden folder is not its own."""
    for name, folders, files in os.walk(folder):
        place = Path(name)
        folders[:] = sorted(each for each in folders if each[0] != "." and not (place / each).is_symlink())
        for file in sorted(file for file in files if file.endswith(".py")):
            yield read_source(place / file, root)


def read_source(path: Path, root: Path = ROOT) -> Source:
    """Read one Python file."""
    text = path.read_text(encoding="utf-8")
    return Source(path, path.relative_to(root).as_posix(), text, ast.parse(text, filename=str(path)))


def tell(found: Sequence[Fault], sound: str) -> int:
    """Print what a check found, or that it found nothing, and return the exit code."""
    for fault in sorted(found):
        print(fault)
    print(f"{len(found)} found" if found else sound)
    sys.stdout.flush()
    return int(bool(found))

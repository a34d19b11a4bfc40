"""One name, one meaning: no two public classes of one name, and no two values of one name that other files take.

What a file keeps to itself may be called as it likes, unless it is a class.

Core and extension count together. A shorthand for a type may stand in several files if it says the same in each. What
every module of a kind must define under one name is listed under ``[tool.stampwright.names]`` in ``pyproject.toml``.
"""

from __future__ import annotations

import ast
import sys
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from .sources import ROOT, Fault, Source, read_sources, settings, tell

FOLDERS = ("core", "blender_addon")


@dataclass(frozen=True)
class Definition:
    """A name that a module defines: where, whether it is a class, and the text of its value."""

    file: str
    line: int
    is_class: bool
    text: str


def find_faults(sources: Iterable[Source], shared: Iterable[str] = ()) -> list[Fault]:
    """Return every definition of a name that means something else in a file before it."""
    named: dict[str, list[Definition]] = defaultdict(list)
    taken: set[tuple[str, str]] = set()
    for source in sources:
        for name, definition in _definitions(source):
            named[name].append(definition)
        for node in ast.walk(source.tree):
            if isinstance(node, ast.ImportFrom):
                taken.update((_file_of(source, node), alias.name) for alias in node.names)
    for name in shared:
        named.pop(name, None)
    faults = []
    for name, definitions in named.items():
        known = [each for each in definitions if each.is_class or (each.file, name) in taken]
        for other in known[1:]:
            if other.text != known[0].text:
                wrong = f"{name} means something else in {known[0].file}:{known[0].line}"
                faults.append(Fault(other.file, other.line, wrong))
    return faults


def _file_of(source: Source, node: ast.ImportFrom) -> str:
    """Return the file that a module takes something from, as far as its name says; the extension holds the core."""
    inside = list(Path(source.name).parent.parts)
    inside = inside[: len(inside) - (node.level - 1)] if node.level else []
    parts = [*inside, *(node.module or "").split(".")]
    if "stampwright" in parts:
        parts = ["core", *parts[parts.index("stampwright") :]]
    return "/".join(part for part in parts if part) + ".py"


def _definitions(source: Source) -> Iterator[tuple[str, Definition]]:
    """Yield the public classes and values that a module defines at its top."""
    for node in source.tree.body:
        if isinstance(node, ast.ClassDef):
            names, text = [node.name], ast.unparse(node)
        elif isinstance(node, ast.Assign):
            names, text = (
                [target.id for target in node.targets if isinstance(target, ast.Name)],
                ast.unparse(node.value),
            )
        elif isinstance(node, ast.AnnAssign) and node.value is not None and isinstance(node.target, ast.Name):
            names, text = [node.target.id], ast.unparse(node.value)
        else:
            continue
        for name in names:
            if not name.startswith("_"):
                yield name, Definition(source.name, node.lineno, isinstance(node, ast.ClassDef), text)


def main() -> int:
    """Check the core and the extension."""
    sources = [source for folder in FOLDERS for source in read_sources(ROOT / folder)]
    return tell(find_faults(sources, settings()["names"]["shared"]), "every name has one meaning")


if __name__ == "__main__":
    sys.exit(main())

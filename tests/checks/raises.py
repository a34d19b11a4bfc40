"""A public function that raises an error of the library says so: its docstring tells which, after the word "Raises".

Found are errors raised in the function itself or in a function of the same file that it calls, unless it catches them.
"Raises as :func:`other`" says so too, where the other does.
"""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator
from pathlib import Path

from .sources import ROOT, Fault, read_sources, tell

ERRORS = ROOT / "core" / "stampwright" / "errors.py"
FOLDER = ROOT / "core" / "stampwright"

ELSEWHERE = "elsewhere"
"""Stands for what a function of another file raises, and says."""

Function = ast.FunctionDef | ast.AsyncFunctionDef


def find_faults(folder: Path, errors: Path, root: Path = ROOT) -> list[Fault]:
    """Return every public function or method that raises an error of ``errors`` and is silent about it."""
    ancestors = _ancestors(errors)
    found = []
    for source in read_sources(folder, root):
        functions = dict(_functions(source.tree))
        raised = _raised(functions, ancestors)
        for name, function in functions.items():
            told = _told(ast.get_docstring(function) or "", functions)
            silent = sorted(error for error in raised[name] if not told & {*ancestors[error], ELSEWHERE})
            if silent and _is_public(name):
                found.append(
                    Fault(source.name, function.lineno, f"{name} raises {', '.join(silent)} without saying so")
                )
    return found


def _ancestors(errors: Path) -> dict[str, set[str]]:
    """Return the library's errors by name, each with the names of all that it is."""
    known: dict[str, set[str]] = {}
    for node in ast.parse(errors.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.ClassDef):
            bases = [ast.unparse(base) for base in node.bases]
            known[node.name] = {node.name}.union(bases, *(known.get(base, set()) for base in bases))
    return known


def _functions(tree: ast.Module) -> Iterator[tuple[str, Function]]:
    """Yield the functions of a file by name and the methods of its classes as ``Class.method``."""
    for node in tree.body:
        if isinstance(node, Function):
            yield node.name, node
        elif isinstance(node, ast.ClassDef):
            yield from ((f"{node.name}.{each.name}", each) for each in node.body if isinstance(each, Function))


def _raised(functions: dict[str, Function], ancestors: dict[str, set[str]]) -> dict[str, set[str]]:
    """Return the errors that leave each function, also by way of the others, until nothing is added any more."""
    leaving: dict[str, set[str]] = {name: set() for name in functions}
    while True:
        now = {}
        for name, function in functions.items():
            own = name.rpartition(".")[0]
            now[name] = set(_leaving(function.body, own, leaving, ancestors))
        if now == leaving:
            return leaving
        leaving = now


def _leaving(
    body: list[ast.stmt], own: str, leaving: dict[str, set[str]], ancestors: dict[str, set[str]]
) -> Iterator[str]:
    """Yield the errors that leave some statements of a function, those that they call among ``leaving`` included."""
    for node in body:
        if isinstance(node, Function | ast.ClassDef):
            continue
        if isinstance(node, ast.Try):
            caught = {name for handler in node.handlers for name in _caught(handler)}
            inner = _leaving(node.body, own, leaving, ancestors)
            yield from (error for error in inner if not caught & {*ancestors[error], "BaseException", "Exception"})
            for block in (node.orelse, node.finalbody, *(handler.body for handler in node.handlers)):
                yield from _leaving(block, own, leaving, ancestors)
            continue
        for part in ast.iter_child_nodes(node):
            if isinstance(part, ast.stmt):
                yield from _leaving([part], own, leaving, ancestors)
            elif isinstance(part, ast.match_case):
                yield from _leaving(part.body, own, leaving, ancestors)
            else:
                yield from _called(part, own, leaving)
        if isinstance(node, ast.Raise) and node.exc is not None:
            yield from (name for name in _names(node.exc) if name in ancestors)


def _caught(handler: ast.ExceptHandler) -> set[str]:
    """Return the errors that a handler keeps to itself: none when it lets them go on."""
    if any(isinstance(node, ast.Raise) and node.exc is None for node in ast.walk(handler)):
        return set()
    if handler.type is None:
        return {"BaseException"}
    kinds = handler.type.elts if isinstance(handler.type, ast.Tuple) else [handler.type]
    return {ast.unparse(kind).rpartition(".")[2] for kind in kinds}


def _called(part: ast.AST, own: str, leaving: dict[str, set[str]]) -> Iterator[str]:
    """Yield what leaves the functions of the file, and the methods of the own class, that an expression calls."""
    for node in ast.walk(part):
        if isinstance(node, ast.Call):
            called = ast.unparse(node.func)
            for start in ("self.", "cls."):
                called = f"{own}.{called.removeprefix(start)}" if own and called.startswith(start) else called
            yield from leaving.get(called, ())


def _names(raised: ast.expr) -> set[str]:
    """Return the name of what is raised: ``raise JobError(...)``, ``raise errors.JobError``."""
    what = raised.func if isinstance(raised, ast.Call) else raised
    return {ast.unparse(what).rpartition(".")[2]}


def _told(docstring: str, functions: dict[str, Function]) -> set[str]:
    """Return the words after the first "raises" of a docstring, and after those of a function that it raises as."""
    _, *after = re.split(r"\b[Rr]aises?\b", docstring, maxsplit=1)
    told = set(re.findall(r"\w+", " ".join(after)))
    for name in re.findall(r"\bas\s+:func:`~?([\w.]+)`", " ".join(after)):
        told |= _told(ast.get_docstring(functions[name]) or "", functions) if name in functions else {ELSEWHERE}
    return told


def _is_public(name: str) -> bool:
    return not any(part.startswith("_") for part in name.split("."))


def main() -> int:
    """Check the core."""
    return tell(find_faults(FOLDER, ERRORS), "what public functions raise, they say")


if __name__ == "__main__":
    sys.exit(main())

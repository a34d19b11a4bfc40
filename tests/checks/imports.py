"""Imports run one way: no circle among modules, and no room takes anything from a room above it.

The order of the rooms stands in ``pyproject.toml``, ``[tool.stampwright.rooms]``, lowest first; a room is what lies
directly in the package. Imports inside functions count like all others. Imports under ``TYPE_CHECKING`` are never run:
they may point anywhere and close no circle.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import networkx

from .sources import ROOT, Fault, Source, read_sources, settings, tell


@dataclass(frozen=True)
class Import:
    """That one module takes another of the same package, on a line of its file, perhaps inside a function."""

    importer: str
    imported: str
    file: str
    line: int
    inside: bool


def find_faults(folder: Path, rooms: list[str], root: Path = ROOT) -> list[Fault]:
    """Return every import of a package that closes a circle or goes to a room above its own."""
    sources = {_module_name(source, folder): source for source in read_sources(folder, root)}
    found = [each for name, source in sources.items() for each in _imports(name, source, set(sources))]
    return [*_upward(found, sources, rooms), *_circles(found)]


def _upward(found: list[Import], sources: dict[str, Source], rooms: list[str]) -> Iterator[Fault]:
    """Tell of imports that go up, and of rooms that have no place in the order."""
    height = {room: place for place, room in enumerate(rooms)}
    for name, source in sources.items():
        if _room(name) not in height:
            yield Fault(source.name, 1, f"room {_room(name)} has no place in [tool.stampwright.rooms]")
    for each in found:
        own, other = _room(each.importer), _room(each.imported)
        if height.get(own, len(rooms)) < height.get(other, -1):
            yield Fault(each.file, each.line, f"{own} is below {other} and must not take {each.imported} from it")


def _circles(found: list[Import]) -> Iterator[Fault]:
    """Tell of circles of modules that take each other, the shortest first, no import in two of them."""
    graph = networkx.DiGraph()
    # A package is made whole before what it holds can be taken: to take a.b.c is to take a and a.b, too.
    for each in found:
        for taken in _packages_on_the_way(each):
            if taken != each.importer and not graph.has_edge(each.importer, taken):
                graph.add_edge(each.importer, taken, by=each)
    while circle := _shortest_circle(graph):
        steps = [graph.edges[edge]["by"] for edge in pairwise([*circle, circle[0]])]
        way = " > ".join(f"{each.importer} (line {each.line}{', inside a function' * each.inside})" for each in steps)
        yield Fault(steps[0].file, steps[0].line, f"a circle of imports: {way} > {circle[0]}")
        graph.remove_edges_from([*pairwise([*circle, circle[0]])])


def _shortest_circle(graph: networkx.DiGraph) -> list[str]:
    """Return the modules of the shortest circle, the first in the alphabet first, or nothing when there is none."""
    rings = [
        networkx.shortest_path(graph, taken, importer)
        for names in networkx.strongly_connected_components(graph)
        for importer, taken in graph.subgraph(names).edges
    ]
    ring: list[str] = min(rings, key=lambda ring: (len(ring), sorted(ring)), default=[])
    first = ring.index(min(ring)) if ring else 0
    return [*ring[first:], *ring[:first]]


def _packages_on_the_way(each: Import) -> list[str]:
    """Return the module that is taken and the packages around it that are not around the importer as well."""
    parts = each.imported.split(".")
    whole = [".".join(parts[: count + 1]) for count in range(len(parts))]
    return [name for name in whole if name == each.imported or not f"{each.importer}.".startswith(f"{name}.")]


def _imports(name: str, source: Source, modules: set[str]) -> Iterator[Import]:
    """Yield what a module takes from its own package when it is loaded or when its functions run."""
    package = name if source.path.name == "__init__.py" else name.rpartition(".")[0]
    for node, inside in _run_imports(source.tree.body, inside=False):
        for imported in _taken(node, package, modules):
            if imported != name:
                yield Import(name, imported, source.name, node.lineno, inside)


def _run_imports(body: list[ast.stmt], *, inside: bool) -> Iterator[tuple[ast.Import | ast.ImportFrom, bool]]:
    """Yield the imports that are run, and whether that is only when a function is called."""
    for node in body:
        if isinstance(node, ast.Import | ast.ImportFrom):
            yield node, inside
        elif isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            yield from _run_imports(node.orelse, inside=inside)
        else:
            within = inside or isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
            blocks = [getattr(node, field, []) for field in ("body", "orelse", "finalbody")]
            blocks += [handler.body for handler in getattr(node, "handlers", [])]
            blocks += [case.body for case in getattr(node, "cases", [])]
            for block in blocks:
                yield from _run_imports(block, inside=within)


def _taken(node: ast.Import | ast.ImportFrom, package: str, modules: set[str]) -> set[str]:
    """Return the modules of the same package that an import names, by their full names."""
    top = package.partition(".")[0]
    if isinstance(node, ast.Import):
        return {alias.name for alias in node.names} & modules
    base = node.module or ""
    if node.level:
        around = package.split(".")
        base = ".".join([*around[: len(around) - node.level + 1], *([base] if base else [])])
    if base != top and not base.startswith(f"{top}."):
        return set()
    names = {f"{base}.{alias.name}" for alias in node.names}
    # What is no module is a name that the module itself holds.
    return (names & modules) | ({base} & modules if names - modules else set())


def _room(module: str) -> str:
    """Return the room of a module: what lies directly in the package."""
    return module.split(".")[1] if "." in module else "__init__"


def _module_name(source: Source, folder: Path) -> str:
    parts = source.path.relative_to(folder.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def main() -> int:
    """Check each package that has an order of rooms."""
    packages = settings()["rooms"]
    found = [fault for path, rooms in packages.items() for fault in find_faults(ROOT / path, rooms)]
    return tell(found, "imports run one way, without circles")


if __name__ == "__main__":
    sys.exit(main())

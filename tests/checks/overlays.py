"""Overlays outside ``plane`` go through ``plane/overlays.py``, which answers where the plain ones fail or lose area.

What is overlaid on a grid (``grid_size=``) fails on nothing that is valid, and is let pass. Files that may overlay
plainly are listed under ``[tool.stampwright.overlays]`` in ``pyproject.toml``, each with its reason.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterable, Iterator

from .sources import ROOT, Fault, Source, read_sources, settings, tell

FOLDERS = ("core", "blender_addon")

INSTEAD = {
    "intersection": "common",
    "difference": "without",
    "union": "joined",
    "symmetric_difference": "unshared",
    "union_all": "all_joined",
    "unary_union": "all_joined",
    "disjoint_subset_union_all": "all_joined",
}
"""Plain overlays, as functions or methods, and what of ``plane/overlays.py`` stands for each."""


def find_faults(sources: Iterable[Source], plain: Iterable[str] = ()) -> list[Fault]:
    """Return every plain overlay outside ``plane`` in files that know of shapes, but for those listed as ``plain``."""
    listed = dict.fromkeys(plain, False)
    found = []
    for source in sources:
        faults = [] if "/plane/" in source.name else list(_plain_overlays(source))
        if source.name in listed:
            listed[source.name] = bool(faults)
        else:
            found += faults
    return found + [
        Fault(name, 1, f"{name} is listed as plain, and is not") for name, is_so in listed.items() if not is_so
    ]


def _plain_overlays(source: Source) -> Iterator[Fault]:
    if "shapely" not in source.text:
        return
    nodes = list(ast.walk(source.tree))
    on_grid = {
        id(node.func)
        for node in nodes
        if isinstance(node, ast.Call) and any(keyword.arg == "grid_size" for keyword in node.keywords)
    }
    for node in nodes:
        # As an attribute, called or handed on; sets have methods of the same names.
        if isinstance(node, ast.Attribute) and node.attr in INSTEAD and id(node) not in on_grid and not _of_set(node):
            wrong = f"{ast.unparse(node)} may fail or lose area; plane/overlays has {INSTEAD[node.attr]}"
            yield Fault(source.name, node.lineno, wrong)


def _of_set(node: ast.Attribute) -> bool:
    return isinstance(node.value, ast.Set | ast.SetComp) or ast.unparse(node.value) in ("set", "set()", "frozenset")


def main() -> int:
    """Check the core and the extension."""
    sources = [source for folder in FOLDERS for source in read_sources(ROOT / folder)]
    return tell(find_faults(sources, settings()["overlays"]["plain"]), "every overlay answers")


if __name__ == "__main__":
    sys.exit(main())

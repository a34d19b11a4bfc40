"""A file fits in the head and a function on a screen: no file over 400 lines, no function over 50.

Longer may be what is a table, where it would only be harder to read in pieces: those that are listed under
``[tool.stampwright.sizes]`` in ``pyproject.toml``, as ``file`` or ``file::function``. Folders with more than about ten
files are named, but are no fault.
"""

from __future__ import annotations

import ast
import sys
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from .sources import ROOT, Fault, Source, read_source, read_sources, settings, tell

FOLDERS = ("blender_addon", "core", "shared", "tests")

FILE_LINES = 400
FUNCTION_LINES = 50
FOLDER_FILES = 10


def find_faults(sources: Iterable[Source], tables: Iterable[str]) -> list[Fault]:
    """Return the files and functions that are too long and no tables, and the tables that are none any more."""
    found = []
    unused = set(tables)
    for source in sources:
        lines = len(source.text.splitlines())
        if lines > FILE_LINES:
            found.append((source.name, Fault(source.name, 1, f"{lines} lines; a file has at most {FILE_LINES}")))
        for node in ast.walk(source.tree):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                lines = (node.end_lineno or node.lineno) - node.lineno + 1
                if lines > FUNCTION_LINES:
                    wrong = f"{node.name} has {lines} lines; a function has at most {FUNCTION_LINES}"
                    found.append((f"{source.name}::{node.name}", Fault(source.name, node.lineno, wrong)))
    faults = [fault for name, fault in found if name not in unused]
    unused -= {name for name, _ in found}
    return [*faults, *(Fault(name.partition("::")[0], 1, f"{name} is listed as long, and is not") for name in unused)]


def full_folders(sources: Iterable[Source]) -> dict[str, int]:
    """Return how many files lie in each folder with more than about ten, the file that only opens it left out."""
    count = Counter(str(Path(source.name).parent) for source in sources if source.path.name != "__init__.py")
    return {folder: files for folder, files in sorted(count.items()) if files > FOLDER_FILES}


def main() -> int:
    """Check everything that is written in Python here."""
    written = [source for folder in FOLDERS for source in read_sources(ROOT / folder)]
    sources = [*written, *(read_source(path) for path in sorted(ROOT.glob("*.py")))]
    for folder, files in full_folders(sources).items():
        print(f"{folder}: {files} files (more than about ten)")
    return tell(find_faults(sources, settings()["sizes"]["tables"]), "files and functions are short enough")


if __name__ == "__main__":
    sys.exit(main())

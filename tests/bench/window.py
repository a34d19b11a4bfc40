"""Times edits in Blender's window, from a moved point to the die, the sheet and the press as they are drawn.

Three arts of 385, 4,800 and 28,000 points. Blender and its screen are those of the tests of the window. A package may
be named that is timed in place of this tree's. Drawn by software on a machine without a graphics card, the view itself
takes most of the time: it is told apart.
"""

from __future__ import annotations

import json
import os
import shutil
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
sys.path.insert(0, str(ROOT / "tests" / "ui"))

from running import ARTWORK, Host, distribution_of, package_here, run_in_window  # noqa: E402  (it lies there)

ROWS = (
    ("to die", "edit to the die as drawn, ms"),
    ("to sheet", "edit to its sheet, ms"),
    ("to press", "edit to the press, ms"),
    ("processor", "processor until the last drawing, ms"),
    ("main thread", "  of that Blender's own thread, ms"),
    ("redraws", "times that the view is drawn"),
    ("drawing", "  drawing, ms"),
    ("read", "  reading the art, ms"),
    ("build", "  building beside Blender, ms"),
    ("show parts", "  showing parts early, ms"),
    ("show all", "  showing all, ms"),
    ("sheet", "    the sheet of that, ms"),
    ("drag: dies a second", "dragging: dies a second"),
    ("drag: sheets a second", "dragging: sheets a second"),
    ("drag: drawings a second", "dragging: drawings a second"),
    ("drag: longest gap", "dragging: longest without one, ms"),
)


def main() -> int:
    """Run the edits in the window and print the table."""
    package = Path(sys.argv[1]) if len(sys.argv) > 1 else package_here()
    if package is None:
        print("There is no package for this machine: 'build.py package' makes it", file=sys.stderr)
        return 1
    blender = os.environ.get("BLENDER")
    system = None if blender else distribution_of()
    place = (system or Path("/")) / "tmp" / f"window-{os.getpid()}"
    place.mkdir(parents=True)
    try:
        for path in (package, ARTWORK, HERE / "in_window.py", HERE / "pieces.py", ROOT / "tests" / "ui" / "window.py"):
            shutil.copy(path, place)
        seen = Path("/tmp") / place.name if system else place
        console = run_in_window(Host(blender or "blender", system, place, seen, package.name), "in_window.py")
        path = place / "in_window.json"
        told = json.loads(path.read_text(encoding="utf-8")) if path.is_file() else {"errors": [console[-2000:]]}
    finally:
        shutil.rmtree(place, ignore_errors=True)
    if told["errors"]:
        print(*told["errors"], sep="\n", file=sys.stderr)
        return 1
    arts = told["arts"]
    print(f"\nIn Blender {told['host']}'s window: after a point was moved, median")
    print(f"{'outline points':<38}" + "".join(f"{art['points']:>12,}" for art in arts))
    for name, said in ROWS:
        print(f"{said:<38}" + "".join(f"{art[name]:>12g}" for art in arts))
    return 0


if __name__ == "__main__":
    sys.exit(main())

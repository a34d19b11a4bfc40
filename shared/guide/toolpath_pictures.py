"""Makes the picture of the page on toolpaths again.

    python shared/guide/toolpath_pictures.py

The die is sliced by the small slicer of the tests, one line is taken out of its face, and the program looks at it.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import stampwright
from PIL import Image
from stampwright.output.sheets.beads import beads_sketch
from stampwright.output.sketches.as_pixels import sketch_picture
from stampwright.toolpaths import examine_toolpath, expected_of, read_gcode, told_of

GUIDE = Path(__file__).resolve().parent
sys.path.insert(0, str(GUIDE.parent.parent / "tests" / "core" / "toolpaths"))

from slicing import slice_mesh, write  # noqa: E402

PIECES = (
    stampwright.Lettering(text="SEEDS", cap_height=11.0, y=3.5),
    stampwright.Rule(y=-7.5, length=42.0, line=2.4),
)
COLOURS = 64
WIDE = 900
"""Pixels across the picture."""


def main() -> None:
    """Slice a die, leave a line of its rule out, and draw what its beads print."""
    settings = {"name": "Mossgate seeds", "base.outline": "rectangle", "base.width": 56.0, "base.height": 26.0}
    job = stampwright.Job(pieces=PIECES).with_values({**settings, "handle.form": "none"})
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        stamp = stampwright.make_stamp(job, stampwright.make_artwork(PIECES))
        paths = slice_mesh(stamp.die)
        top = max(path.top for path in paths)
        # The longest wall of the finished face is one side of the rule.
        face = [path for path in paths if path.wall and abs(path.top - (top - 0.2)) < 0.01]
        lost = max(face, key=lambda path: max(x for x, _ in path.points) - min(x for x, _ in path.points))
        toolpath = folder / "die.gcode"
        toolpath.write_bytes(write([path for path in paths if path is not lost]))
        expected = expected_of(stamp)
        examined = examine_toolpath(read_gcode(toolpath), expected)
    told = told_of(examined, expected.material, spread=expected.spread)
    base = max(examined.base.geoms, key=lambda part: part.area)
    sheet = beads_sketch(examined.impression.outlines, base, examined.findings, told, title="What the beads print")
    picture = Image.fromarray(sketch_picture(sheet, columns=WIDE))
    picture.quantize(COLOURS, dither=Image.Dither.NONE).save(GUIDE / "toolpath-beads.png", optimize=True)


if __name__ == "__main__":
    main()

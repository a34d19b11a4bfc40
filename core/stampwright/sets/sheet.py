"""The examination sheet of a set: all inks in register, what was found of them together, then each ink's own sheet."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import shapely

from ..findings import Severity, gathered
from ..looks.colours import INK, QUIET, SEVERITY
from ..looks.signs import KEY
from ..output.sheets.examined import blocks_file, examination_blocks
from ..output.sheets.signs import sign_marks
from ..output.sheets.writing import Column
from ..output.sketches.marks import Area, InSketch, Sketch, Words
from ..remedy import Answer
from .making import ExaminedSet
from .picture import set_regions

_WIDTH, _TALL = 190.0, 120.0  # of a sheet, and of the picture of all inks at most, mm
_LARGEST = 4.0  # times its size that art is shown in at most


def set_sheet_file(path: str | Path, examined: ExaminedSet) -> bytes:
    """Return the sheet in the form that a file's name asks for: .svg, .png or .html.

    Raises :class:`~stampwright.errors.OutputError` for any other.
    """
    blocks = [_head(examined), _picture(examined), _found(examined)]
    for each in examined.plates.values():
        blocks += examination_blocks(Answer(each))
    return blocks_file(path, [block for block in blocks if block.height], f"{_title(examined)}: examination")


def _title(examined: ExaminedSet) -> str:
    return examined.job.name or "stamps"


def _head(examined: ExaminedSet) -> Sketch:
    column = Column(_WIDTH)
    column.write(_title(examined), 6.5, heading=True)
    count, inks = len(examined.blocked), len(examined.plates)
    stops = f"It is not made like this: {count} {'place blocks' if count == 1 else 'places block'}"
    column.write(f"{stops if count else 'It prints'} in {inks} inks.", 3.4, colour=SEVERITY["blocks"] if count else INK)
    play = examined.parted.play
    column.write(
        f"Impressions miss each other by {play.likely:.2f} mm (95 of 100) and {play.worst:.2f} mm at most: "
        f"{play.source}.",
        2.8,
        colour=QUIET,
    )
    return column.sketch()


def _picture(examined: ExaminedSet) -> Sketch:
    """Return all inks over one another in register, and which is which."""
    separations = examined.parted.trapped.separations
    regions, colours = [each.region for each in separations], [each.ink.colour for each in separations]
    left, bottom, right, top = shapely.total_bounds(regions)
    scale = min(_LARGEST, _WIDTH / (right - left), _TALL / (top - bottom))
    column = Column(_WIDTH)
    frame = InSketch((_WIDTH - scale * (left + right)) / 2.0, scale * top, scale)
    for region, colour in set_regions(regions, colours):
        column.put(frame.filled(region, colour))
    column.down = scale * (top - bottom) + 3.0
    for number, each in enumerate(separations, start=1):
        column.put([Area(0.0, column.down, 6.0, 4.0, each.ink.colour)])
        column.put([Words(8.0, column.down + 3.0, f"{number}. {each.ink.name}", 3.0)])
        column.put([Words(60.0, column.down + 3.0, f"{each.ink.colour}, {each.region.area:.0f} mm²", 2.7, QUIET)])
        column.down += 5.2
    return column.sketch()


def _found(examined: ExaminedSet) -> Sketch:
    """Return what was found of the set itself; what concerns one ink stands on that one's own sheet."""
    column = Column(_WIDTH)
    column.write("What was found of all inks together", 4.2, heading=True)
    column.write(KEY, 2.5, colour=QUIET)
    if not examined.parted.findings:
        column.write("Nothing: they meet as drawn.", 2.8)
    for number, told, severity in _told(examined):
        start = column.down
        column.down += 1.0
        column.write(told, 2.8, x=6.0)
        column.put(sign_marks(severity, number, 2.2, start + 3.4))
    return column.sketch()


def _told(examined: ExaminedSet) -> Iterator[tuple[int, str, Severity]]:
    for number, group in enumerate(gathered(examined.parted.findings), start=1):
        more = f" (and {len(group) - 1} more of this kind)" if len(group) > 1 else ""
        yield number, f"{group[0].message}{more}. {group[0].remedy}", group[0].severity

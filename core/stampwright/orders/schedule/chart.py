"""The chart of who prints what when."""

from __future__ import annotations

from collections.abc import Sequence

from ...looks.colours import INK, PAPER, QUIET, RULE
from ...looks.numbers import percent
from ...output.sketches.as_svg import sketch_svg
from ...output.sketches.marks import Area, DrawnLine, Sketch, SketchMark, Words
from ...parts.measures import in_hours
from .assigning import Schedule
from .printers import Printer

_LEFT, _WIDE, _ROW, _TOP, _EDGE = 38.0, 220.0, 9.0, 26.0, 8.0  # mm
_SHADES = ("#c9d6ea", "#dbe4cf")
_RUSHED = "#f0d2b8"


def schedule_chart(schedule: Schedule, printers: Sequence[Printer], names: Sequence[str], first: Sequence[bool]) -> str:
    """Return the schedule as a drawing, SVG: a row a printer, a box a bed; ``names`` and ``first`` are of the beds."""
    marks: list[SketchMark] = [
        Words(_EDGE, _EDGE + 4.0, "Who prints what when", 5.0, heading=True),
        Words(_EDGE, _EDGE + 9.5, summary(schedule), 3.0, QUIET),
    ]
    scale = _WIDE / max(schedule.until, 1e-9)
    foot = _TOP + _ROW * len(printers)
    for hour in _ticks(schedule.until):
        x = _LEFT + hour * 60.0 * scale
        marks += [DrawnLine(((x, _TOP), (x, foot + 1.5)), RULE, 0.15)]
        marks += [Words(x, foot + 5.0, f"{hour} h", 2.6, QUIET, "middle")]
    for number, printer in enumerate(printers):
        marks.append(Words(_EDGE, _TOP + _ROW * number + 5.6, printer.name[:22], 3.0))
    for place, run in enumerate(schedule.runs):
        x, y, wide = _LEFT + run.start * scale, _TOP + _ROW * run.printer + 1.0, (run.end - run.start) * scale
        fill = _RUSHED if first[run.bed] else _SHADES[place % 2]
        marks.append(Area(x, y, max(wide - 0.3, 0.2), _ROW - 2.0, fill))
        if wide > 1.7 * len(names[run.bed]):
            marks.append(Words(x + wide / 2.0, y + 4.6, names[run.bed], 2.8, INK, "middle"))
    marks.insert(0, Area(0.0, 0.0, _LEFT + _WIDE + _EDGE, foot + 12.0, PAPER))
    return sketch_svg(Sketch(_LEFT + _WIDE + _EDGE, foot + 12.0, tuple(marks)), title="Who prints what when")


def summary(schedule: Schedule) -> str:
    """Say when all is done and how near that is to the best there could be."""
    if not schedule.runs:
        return "There is nothing to print."
    told = f"All is done after {in_hours(schedule.until)}; no schedule is done before {in_hours(schedule.least)}"
    near = schedule.until / schedule.least - 1.0 if schedule.least else 0.0
    told += f" ({percent(near)} over that)"
    if schedule.bound is not None:
        told += f". Longest first takes at most {schedule.bound:.3f} times the best (Graham 1969)"
    return f"{told}."


def _ticks(minutes: float) -> range:
    hours = int(minutes // 60.0)
    step = next(step for step in (1, 2, 4, 6, 12, 24, 48, 120, 240, 10**9) if hours / step <= 14)
    return range(0, hours + 1, step)

"""Beds given to printers so that the last is done soonest: the longest first, each to whom is done with it first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ...job.materials import MATERIALS
from ...parts.measures import minutes_of
from ..beds.parts import PrinterBed
from .printers import Printer


@dataclass(frozen=True)
class BedRun:
    """One bed on one printer, both by their number: from when until when, minutes after the start."""

    bed: int
    printer: int
    start: float
    end: float


@dataclass(frozen=True)
class Schedule:
    """Who prints what when.

    ``runs``: in the order of their starts; ``until``: when the last is done, minutes; ``least``: no schedule is done
    before that; ``bound``: ``until`` is at most so many times the best, where that is proven, otherwise None.
    """

    runs: tuple[BedRun, ...]
    until: float
    least: float
    bound: float | None


def graham_bound(printers: int) -> float:
    """Return how many times longer than the best the longest-first rule takes at most, on printers that are alike.

    4/3 - 1/(3 m), R. L. Graham, Bounds on Multiprocessing Timing Anomalies, SIAM J. Appl. Math. 17 (1969), theorem 3.

    >>> round(graham_bound(2), 4), graham_bound(1)
    (1.1667, 1.0)
    """
    return 4.0 / 3.0 - 1.0 / (3.0 * printers)


def assign(minutes: Sequence[Sequence[float | None]], first: Sequence[bool] | None = None) -> Schedule:
    """Give beds to printers.

    ``minutes``: for each bed, how long it takes on each printer, None where that cannot print it; one can at least.
    ``first``: which beds come before all others. The bound of Graham holds where all printers are alike and no bed
    comes before others.
    """
    rush = list(first) if first is not None else [False] * len(minutes)
    count = len(minutes[0]) if minutes else 0
    busy = [0.0] * count
    runs: list[BedRun] = []
    shortest = [min(each for each in row if each is not None) for row in minutes]
    for bed in sorted(range(len(minutes)), key=lambda number: (not rush[number], -shortest[number], number)):
        may = [(busy[number] + each, number) for number, each in enumerate(minutes[bed]) if each is not None]
        end, printer = min(may)
        runs.append(BedRun(bed, printer, busy[printer], end))
        busy[printer] = end
    alike = all(len(set(row)) == 1 for row in minutes) and len(set(rush)) <= 1
    return Schedule(
        tuple(sorted(runs, key=lambda run: (run.start, run.printer))),
        max(busy, default=0.0),
        max([*shortest, sum(shortest) / count]) if minutes else 0.0,
        graham_bound(count) if alike and count else None,
    )


def bed_minutes(bed: PrinterBed, printer: Printer) -> float | None:
    """Return how long a printer takes for a bed, setting up included; None when it cannot print it."""
    free = printer.room
    fits = (
        bed.room.width <= free.width + 1e-9
        and bed.room.depth <= free.depth + 1e-9
        and all(part.part.height <= printer.bed_height + 1e-6 for part, _ in bed.parts)
    )
    if not fits or not printer.prints(bed.material):
        return None
    speeds = printer.speed_flexible, printer.speed_rigid
    material = MATERIALS[bed.material]
    laid = (
        minutes_of(part.printed, part.layers, material, line=part.line, layer=part.layer, speeds=speeds)
        for part in (held.part for held, _ in bed.parts)
    )
    return printer.setup_minutes + sum(laid)

"""All parts laid on beds, one material a bed, for the printers that there are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby, islice, takewhile

import numpy as np
import shapely

from ...plane.beds import fit_on_bed, turned
from ..making.record import PartMade
from ..schedule.printers import Printer
from .nesting import Nester, can_nest
from .parts import BedPart, PartOutline, PartPlace, PrinterBed, Room, faults_of, outline_of
from .searching import BedSearch, stands_straight

WINDOW = 500
"""Parts that are looked at for one bed, the next ones."""


@dataclass(frozen=True)
class BedLaid:
    """Beds in the order in which they should be printed.

    ``left_out``: parts that no printer has room for, with the reason; ``given_up``: how many beds stand in rows because
    nesting had taken as long as it may.
    """

    beds: tuple[PrinterBed, ...]
    left_out: tuple[tuple[BedPart, str], ...]
    given_up: int = 0


def lay_parts(parts: Sequence[BedPart], printers: Sequence[Printer], *, nest: bool | None = None) -> BedLaid:
    """Lay parts on beds, one material a bed, those in a rush on the first ones.

    ``printers``: that there are; parts lie on beds for which all of those that take their material have room, unless
    they only fit a larger one. ``nest``: whether to nest; by default when the library for it is there.
    """
    nest = can_nest() if nest is None else nest
    beds: list[PrinterBed] = []
    left_out: list[tuple[BedPart, str]] = []
    searches: dict[Room, BedSearch] = {}
    by_material = sorted(parts, key=lambda part: part.part.material)
    for material, group in groupby(by_material, key=lambda part: part.part.material):
        able = [printer for printer in printers if printer.prints(material)]
        rest = list(group)
        for room, height in _rooms(able):
            fitting = [part for part in rest if _fits(part, room, height)]
            rest = [part for part in rest if not _fits(part, room, height)]
            search = searches.setdefault(room, BedSearch(room, Nester(room) if nest else None))
            beds += _lay(material, fitting, search)
        why = "no printer takes its material" if not able else "it is larger than any bed that takes its material"
        left_out += [(part, why) for part in rest]
    given_up = sum(search.given_up for search in searches.values())
    return BedLaid(tuple(sorted(beds, key=lambda bed: not bed.rush)), tuple(left_out), given_up)


def _rooms(printers: Sequence[Printer]) -> list[tuple[Room, float]]:
    """Return the beds to lay on, each with the height over it: first one that all printers have, then larger ones."""
    if not printers:
        return []
    rooms = [(printer.room, printer.bed_height) for printer in printers]
    common = (
        Room(
            min(room.width for room, _ in rooms),
            min(room.depth for room, _ in rooms),
            max(room.margin for room, _ in rooms),
            max(room.clearance for room, _ in rooms),
        ),
        min(height for _, height in rooms),
    )
    larger = sorted(set(rooms), key=lambda each: (each[0].width * each[0].depth, each[1], repr(each)))
    return [common, *(each for each in larger if each != common)]


def _fits(part: BedPart, room: Room, height: float) -> bool:
    return part.part.height <= height + 1e-6 and _alone(part.part, room) is not None


@lru_cache(maxsize=10_000)
def _alone(part: PartMade, room: Room) -> PartPlace | None:
    """Return the place of a part in the middle of a bed of its own, turned as it must be; None where it has no room."""
    points = shapely.get_coordinates(outline_of(part).exterior)
    fit = fit_on_bed(points, (room.width, room.depth), room.margin)
    if not fit.fits:
        return None
    box = turned(points, fit.turn)
    low, high = box.min(axis=0), box.max(axis=0)
    x, y = (np.array((room.width, room.depth)) - low - high) / 2.0
    return PartPlace(fit.turn, round(float(x), 3), round(float(y), 3))


def _lay(material: str, parts: Sequence[BedPart], search: BedSearch) -> list[PrinterBed]:
    beds: list[PrinterBed] = []
    coming = iter(parts)
    rest = list(islice(coming, WINDOW))
    while rest:
        nested, places = _next_bed(rest, search)
        laid = tuple((rest[number], place) for number, place in sorted(places.items()))
        if nested and faults_of(laid, search.room):
            nested, places = _next_bed(rest, BedSearch(search.room))
            laid = tuple((rest[number], place) for number, place in sorted(places.items()))
        beds.append(PrinterBed(material, search.room, laid, nested))
        rest = [part for number, part in enumerate(rest) if number not in places]
        rest += islice(coming, WINDOW - len(rest))
    return beds


def _next_bed(parts: Sequence[BedPart], search: BedSearch) -> tuple[bool, dict[int, PartPlace]]:
    """Return whether the next bed is nested, and where its parts stand, by number."""
    outlines = [_corners(part.part) for part in parts]
    if stands_straight(outlines[0], search.room):
        return search.next_bed(outlines, sum(1 for _ in takewhile(lambda part: part.rush, parts)))
    # Beside what fits only askew nothing has room.
    alone = _alone(parts[0].part, search.room)
    return False, {} if alone is None else {0: alone}


@lru_cache(maxsize=10_000)
def _corners(part: PartMade) -> PartOutline:
    points = shapely.get_coordinates(outline_of(part).exterior)[:-1]
    return tuple((float(x), float(y)) for x, y in points)

"""All parts laid on beds: as many as find room on each, by nesting or, where that finds less, in rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

import numpy as np
import shapely

from ...plane.beds import fit_on_bed, turned
from ..schedule.printers import Printer
from .nesting import TURNS, Nester, can_nest
from .parts import BedPart, PartOutline, PartPlace, PrinterBed, Room, faults_of, outline_of
from .rows import lay_in_rows

WINDOW = 500
"""Parts that are looked at for one bed, the next ones."""

FULLEST = 0.95
"""Share of a bed that parts with their clearance are thought to cover at most: discs cover 0.91 of a plane."""


@dataclass(frozen=True)
class BedLaid:
    """Beds, in the order in which they should be printed, and parts that no printer has room for, with the reason."""

    beds: tuple[PrinterBed, ...]
    left_out: tuple[tuple[BedPart, str], ...]


def lay_parts(parts: Sequence[BedPart], printers: Sequence[Printer], *, nest: bool | None = None) -> BedLaid:
    """Lay parts on beds, one material a bed, those in a rush on the first ones.

    ``printers``: that there are; parts lie on beds for which all of those that take their material have room, unless
    they only fit a larger one. ``nest``: whether to nest; by default when the library for it is there.
    """
    nest = can_nest() if nest is None else nest
    beds: list[PrinterBed] = []
    left_out: list[tuple[BedPart, str]] = []
    by_material = sorted(parts, key=lambda part: part.part.material)
    for material, group in groupby(by_material, key=lambda part: part.part.material):
        able = [printer for printer in printers if printer.prints(material)]
        rest = list(group)
        for room, height in _rooms(able):
            fitting = [part for part in rest if _fits(part, room, height)]
            rest = [part for part in rest if not _fits(part, room, height)]
            beds += _lay(material, fitting, room, nest=nest)
        why = "no printer takes its material" if not able else "it is larger than any bed that takes its material"
        left_out += [(part, why) for part in rest]
    return BedLaid(tuple(sorted(beds, key=lambda bed: not bed.rush)), tuple(left_out))


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
    return part.part.height <= height + 1e-6 and _alone(part, room) is not None


def _alone(part: BedPart, room: Room) -> PartPlace | None:
    """Return the place of a part in the middle of a bed of its own, turned as it must be; None where it has no room."""
    points = shapely.get_coordinates(outline_of(part.part).exterior)
    fit = fit_on_bed(points, (room.width, room.depth), room.margin)
    if not fit.fits:
        return None
    box = turned(points, fit.turn)
    low, high = box.min(axis=0), box.max(axis=0)
    x, y = (np.array((room.width, room.depth)) - low - high) / 2.0
    return PartPlace(fit.turn, round(float(x), 3), round(float(y), 3))


def _lay(material: str, parts: Sequence[BedPart], room: Room, *, nest: bool) -> list[PrinterBed]:
    nester = Nester(room, turns=TURNS)
    beds: list[PrinterBed] = []
    rest = list(parts)
    while rest:
        nested, places = _next_bed(rest[:WINDOW], room, nester if nest else None)
        laid = tuple((rest[number], place) for number, place in sorted(places.items()))
        if nested and faults_of(laid, room):
            nested, places = _next_bed(rest[:WINDOW], room, None)
            laid = tuple((rest[number], place) for number, place in sorted(places.items()))
        beds.append(PrinterBed(material, room, laid, nested))
        rest = [part for number, part in enumerate(rest) if number not in places]
    return beds


def _next_bed(parts: Sequence[BedPart], room: Room, nester: Nester | None) -> tuple[bool, dict[int, PartPlace]]:
    """Return which of the parts, by number, stand on the next bed, and whether they are nested.

    They are the first ones, so that those in a rush come on the first beds and a stamp's parts stay together.
    """
    outlines = [_corners(part) for part in parts]
    straight = [number for number in range(len(parts)) if _straight(outlines[number], room)]
    if 0 not in straight:
        alone = _alone(parts[0], room)
        return False, {} if alone is None else {0: alone}
    rows = _most_in_rows(straight, outlines, room)
    if nester is None:
        return False, rows
    area, most = 0.0, 0
    whole = room.width * room.depth * FULLEST
    for number in straight:
        area += nester.grown(outlines[number]).area
        if area > whole:
            break
        most += 1
    # As many of the first as can be nested, found by halving: rows are there already.
    best, low, high = rows, len(rows), most
    nested = False
    while low < high:
        count = (low + high + 1) // 2
        places = nester.nest([outlines[number] for number in straight[:count]])
        if places is None:
            high = count - 1
        else:
            best, low, nested = dict(zip(straight, places, strict=False)), count, True
    return nested, best


def _most_in_rows(numbers: Sequence[int], outlines: Sequence[PartOutline], room: Room) -> dict[int, PartPlace]:
    """Return as many of the first outlines as rows on one bed hold, with their places."""
    best: dict[int, PartPlace] = {}
    low, high = 1, len(numbers)
    while low <= high:
        count = (low + high) // 2
        spots = lay_in_rows([outlines[number] for number in numbers[:count]], room)
        if all(bed == 0 for bed, _ in spots):
            best, low = {number: place for number, (_, place) in zip(numbers, spots, strict=False)}, count + 1
        else:
            high = count - 1
    return {number: replace(place, x=round(place.x, 3), y=round(place.y, 3)) for number, place in best.items()}


def _corners(part: BedPart) -> PartOutline:
    points = shapely.get_coordinates(outline_of(part.part).exterior)[:-1]
    return tuple((float(x), float(y)) for x, y in points)


def _straight(outline: PartOutline, room: Room) -> bool:
    """Whether an outline fits a bed as it is or at a quarter turn, so that others may stand beside it."""
    size = np.ptp(np.array(outline), axis=0)
    free = np.array((room.width, room.depth)) - 2.0 * room.margin + 1e-9
    return bool((size <= free).all() or (size[::-1] <= free).all())

"""Beds as files: one 3MF each, its parts named and in their places, and a picture with names, mass and time."""

from __future__ import annotations

from collections.abc import Callable

from shapely.geometry import Polygon

from ...errors import OrderError
from ...files import PrintedPart, threemf_bytes
from ...files.meshes.stl import stl_from
from ...job.materials import MATERIALS
from ...looks.colours import INK, PAPER, QUIET, RULE
from ...output.sketches.as_svg import sketch_svg
from ...output.sketches.marks import Area, DrawnLine, Fill, Sketch, SketchMark, Words
from ...parts.measures import in_hours
from ...plane.beds import BedPlace
from ..making.stores import STAMPS, Store
from .parts import BedPart, PrinterBed, standing

_EDGE, _HEAD = 8.0, 18.0  # mm
_LETTERS = 2.6  # mm
_FLEXIBLE, _HARD, _RUSHED = "#a9bfdd", "#c3cfae", "#e6b58a"


def bed_3mf(bed: PrinterBed, name: str, store: Store) -> bytes:
    """Return a bed as 3MF, every part by its stamp's name, where it stands.

    Raises :class:`~stampwright.errors.OrderError` when the mesh of a stamp is gone from its folder.
    """
    read: dict[tuple[str, str], bytes] = {}
    parts, spots = [], []
    for part, place in bed.parts:
        key = part.stamp, part.part.file
        if key not in read:
            content = store.read(f"{STAMPS}/{part.stamp}/{part.part.file}")
            if content is None:
                raise OrderError(f"{part.stamp}: its {part.part.file} is gone; run again, and it is made anew")
            read[key] = content
        parts.append(PrintedPart(stl_from(read[key], part.name), MATERIALS[bed.material]))
        spots.append(BedPlace(0, place.turn, place.x, place.y))
    return threemf_bytes(parts, title=name, bed=(bed.room.width, bed.room.depth), spots=spots)


def bed_picture(bed: PrinterBed, name: str, minutes: float, label: Callable[[BedPart], str]) -> str:
    """Return a bed from above as a drawing, SVG, at true size; ``label``: what a part is called on it."""
    material = MATERIALS[bed.material]
    told = (
        f"{material.label}, {len(bed.parts)} parts, {bed.mass:.0f} g, about {in_hours(minutes)}, "
        f"{100 * bed.density:.0f} % covered"
    )
    frame = ((0.0, 0.0), (bed.room.width, 0.0), (bed.room.width, bed.room.depth), (0.0, bed.room.depth), (0.0, 0.0))
    wide, high = bed.room.width + 2 * _EDGE, bed.room.depth + 2 * _EDGE + _HEAD
    marks: list[SketchMark] = [
        Area(0.0, 0.0, wide, high, PAPER),
        Words(_EDGE, _EDGE + 4.0, f"{name}{' (rush)' if bed.rush else ''}", 5.5, heading=True),
        Words(_EDGE, _EDGE + 10.0, told, 3.2, QUIET),
        DrawnLine(tuple((x + _EDGE, y + _EDGE + _HEAD) for x, y in frame), RULE, 0.4),
    ]
    for part, place in bed.parts:
        outline = _on_sheet(standing(part.part, place), bed)
        fill = _RUSHED if part.rush else _FLEXIBLE if material.flexible else _HARD
        marks.append(Fill(outline, fill))
        middle = outline.representative_point()
        room = outline.bounds[2] - outline.bounds[0]
        said = label(part)
        fits = max(3, int(room / (0.55 * _LETTERS)))
        marks.append(
            Words(middle.x, middle.y, said if len(said) <= fits else said[: fits - 1] + "…", _LETTERS, INK, "middle")
        )
        named = part.part.name + (f" {part.copy}" if part.copy > 1 else "")
        marks.append(Words(middle.x, middle.y + 3.4, named, 0.8 * _LETTERS, INK, "middle"))
    return sketch_svg(Sketch(wide, high, tuple(marks)), title=name)


def _on_sheet(outline: Polygon, bed: PrinterBed) -> Polygon:
    turned = [(x + _EDGE, bed.room.depth - y + _EDGE + _HEAD) for x, y in outline.exterior.coords]
    return Polygon(turned)

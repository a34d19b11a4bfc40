"""What each ink of a set is made from: a drawing of its own at true size, and a job like any other stamp's."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry import Polygon

from ..artwork import Artwork
from ..artwork.drawings import read_drawing
from ..artwork.letters import Letter
from ..inks import Separation
from ..job import Job
from ..job.inks import folder_of
from ..job.sections.pressing import LEAST_CONTRAST
from ..job.sections.tracing import TracingSection
from ..looks.colours import PAPER, contrast, rgb
from ..looks.light import from_linear, to_linear
from ..plane.grid import GRID
from ..press.pushing.hands import held_width

_DARKER = 0.85


def plate_drawing(separation: Separation, base: Polygon) -> bytes:
    """Return what an ink prints as an SVG drawing, the middle of its page being that of the base, one unit a mm.

    ``separation``: trapped, paper frame of the set, mm. Every place is written in full, so that reading it gives the
    same outlines.
    """
    reach = np.abs(np.concatenate((np.array(base.bounds), np.array(separation.region.bounds))))
    wide, tall = (2 * math.ceil(reach[axis::2].max()) for axis in (0, 1))
    shapes = "".join(
        _ring(ring, wide / 2, tall / 2) for ring in shapely.get_rings(shapely.get_parts(separation.region))
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{tall}mm" viewBox="0 0 {wide} {tall}">\n'
        f'<path fill-rule="evenodd" d="{shapes}"/>\n</svg>\n'
    ).encode("ascii")


def plate_artwork(separation: Separation, base: Polygon, letters: Sequence[Letter] = ()) -> Artwork:
    """Return the artwork of an ink's own drawing, named for the ink, just as reading that file gives it.

    ``letters``: those that are known to stand in the art of the set, paper frame, mm; its own drawing tells of none.
    """
    name = f"{folder_of(separation.ink.name)}.svg"
    data = plate_drawing(separation, base)
    # Drawn at true size, it is read at once as finely as a job that takes its size from the page reads it.
    artwork = read_drawing(name, fitted_to=1.0, tracing=TracingSection(), data=data)
    width, height = artwork.page_size
    return replace(artwork, letters=tuple(letter.moved((1, 0, 0, 1, width / 2, height / 2)) for letter in letters))


def plate_job(job: Job, separation: Separation, base: Polygon) -> Job:
    """Return the job of an ink's stamp: the set's own, with the art laid out already and every side keyed alike."""
    custom = {} if job.base.outline != "follow" else {"base.outline": "custom", "base.points": _corners(base)}
    keyed = job.register.gauge and job.backing.form == "plate"
    right, up = push_over(job, separation, base)
    settings = {
        "name": f"{job.name}: {separation.ink.name}"[:500],
        "layout.size_by": "page",
        "layout.centre": "page",
        "layout.mirror": False,
        "layout.turn": 0.0,
        "layout.turn_to_fit": False,
        "ink.colour": readable(separation.ink.colour),
        "backing.key": keyed or job.backing.key,
        "press.off_centre_x": right + job.press.off_centre_x,
        "press.off_centre_y": up + job.press.off_centre_y,
        **custom,
    }
    plain = replace(job, inks=(), pieces=(), artwork="", made_from=(), tracing=TracingSection())
    return plain.with_values(settings)


def push_over(job: Job, separation: Separation, base: Polygon) -> tuple[float, float]:
    """Return where a hand pushes one ink's stamp, mm right of and above the base's middle: over its mark.

    A hand feels where a face bears, and pushes there as far as the handle lets it (common practice).
    """
    left, bottom, right, top = base.bounds
    reach = held_width(job.handle, min(right - left, top - bottom)) / 2.0
    mark = separation.region.centroid
    x, y = mark.x - (left + right) / 2.0, mark.y - (bottom + top) / 2.0
    share = min(1.0, reach / max(math.hypot(x, y), 1e-9))
    return round(share * x, 1) + 0.0, round(share * y, 1) + 0.0


def readable(colour: str) -> str:
    """Return a colour as it is, or so much darker that it is seen on white paper.

    >>> readable("#26407c")
    '#26407c'
    """
    value = np.array(rgb(colour))
    while contrast(tuple(value), rgb(PAPER)) < LEAST_CONTRAST + 0.01:
        value = from_linear(_DARKER * to_linear(value))
    return colour if np.array_equal(value, np.array(rgb(colour))) else _code(value)


def _code(value: np.ndarray[tuple[int], np.dtype[np.float64]]) -> str:
    return "#" + "".join(f"{int(part):02x}" for part in np.floor(255 * value))


def _corners(base: Polygon) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(base.exterior)[:-1])


def _ring(ring: shapely.Geometry, right: float, down: float) -> str:
    points = shapely.get_coordinates(ring)[:-1] * (1, -1) + (right, down)
    # Plain numbers are told by as many digits as it takes to read the same ones again, and these lie on the grid.
    told = map(repr, (np.round(points / GRID) * GRID).ravel().tolist())
    return "M" + "L".join(f"{x} {y}" for x, y in zip(told, told, strict=True)) + "Z"

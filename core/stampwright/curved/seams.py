"""Where a roller's die is joined to itself: straight across, in a gap of its face if there is one, else through it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon, box

from ..errors import SolidError
from ..plane.grid import GRID
from ..plane.overlays import all_joined
from ..plane.regions import filled_parts
from .bend import Bend

Floats = NDArray[np.float64]

BEYOND = 1.5
"""How far a die that goes on over its seams reaches beyond where their flanks could be felt, mm."""

APART = 20.0
"""Places that are tried for a seam through ink lie further apart than the repeat over this."""

NEAR_END = 2.0
"""How far a seam through ink may lie from where the repeat ends, mm, to keep clear of corners."""

LEAST_FLOOR = 0.1
"""Plain floor between a foot of the relief and the seam at least, mm."""


def lay_seam(
    face: MultiPolygon, floor: Polygon, bend: Bend, *, reach: float, at_end: bool, attempt: int = 0
) -> tuple[MultiPolygon, Polygon, Bend]:
    """Return the face and the floor of one repeat from seam to seam, and the bend with the seam's place.

    ``face``, ``floor``: of one repeat, die frame, mm, as :meth:`Bend.turned` has them once turned; what of the face
    lies beyond a seam comes to the other end. ``reach``: how far the foot of the relief stands out, mm. ``at_end``:
    keep the seam where the repeat ends. Where no gap goes straight across, the seam goes through the relief, which is
    then laid on over both ends; ``attempt`` numbers the places that may be tried for that, the best first. Raises
    :class:`~stampwright.errors.SolidError` when the face is longer than the repeat.
    """
    quarter = (0.0, 1.0, -1.0, 0.0, 0.0, 0.0)
    turned = affinity.affine_transform(face, quarter) if bend.upward else face
    parts = shapely.get_parts(turned)
    bounds = shapely.bounds(parts)
    length = float(bounds[:, 2].max() - bounds[:, 0].min())
    if length > bend.repeat + 2.0 * GRID:
        raise SolidError(
            f"the artwork is {length:.2f} mm long and its repeat only {bend.repeat:.2f} mm, so that it cannot "
            f"close; set bend.repeat to {length:.2f} mm or more, or make the artwork smaller"
        )
    clear, seam, overlap = reach + LEAST_FLOOR, bend.repeat / 2.0, 0.0
    if not _is_clear(bounds, seam, bend.repeat, clear):
        wide = (0.0, 0.0) if at_end else max(_gaps(bounds, bend.repeat), key=lambda gap: gap[1] - gap[0])
        if wide[1] - wide[0] >= 2.0 * clear:
            seam = (wide[0] + wide[1]) / 2.0
        else:
            seam, overlap = _through(turned, bend.repeat, at_end=at_end, attempt=attempt), reach + BEYOND
        seam = round(seam / GRID) * GRID
        seam -= np.ceil((seam - bend.repeat / 2.0) / bend.repeat) * bend.repeat
    bend = replace(bend, seam=float(seam), overlap=overlap)
    laid = _going_on(parts, bend) if overlap else _moved_over(parts, bounds, bend)
    back, onward = (0.0, -1.0, 1.0, 0.0, 0.0, 0.0), bend.seam - bend.repeat / 2.0
    window = affinity.translate(floor, 0.0, onward) if bend.upward else affinity.translate(floor, onward)
    if overlap:
        left, bottom, right, top = window.bounds
        over = (0.0, overlap) if bend.upward else (overlap, 0.0)
        window = box(left - over[0], bottom - over[1], right + over[0], top + over[1])
    return (affinity.affine_transform(laid, back) if bend.upward else laid), window, bend


def _moved_over(parts: NDArray[Any], bounds: Floats, bend: Bend) -> MultiPolygon:
    """Return parts with those beyond a seam moved on by a repeat."""
    middles = (bounds[:, 0] + bounds[:, 2]) / 2.0
    shifts = -np.ceil((middles - bend.seam) / bend.repeat) * bend.repeat
    return MultiPolygon(
        [affinity.translate(part, shift) if shift else part for part, shift in zip(parts, shifts, strict=True)]
    )


def _going_on(parts: NDArray[Any], bend: Bend) -> MultiPolygon:
    """Return parts repeated from before one seam to after the other, joined where they touch."""
    low, high = bend.seam - bend.repeat - bend.overlap, bend.seam + bend.overlap
    tiles = [affinity.translate(part, turn * bend.repeat) for part in parts for turn in (-2, -1, 0, 1, 2)]
    reaching = [part for part in tiles if part.bounds[2] > low and part.bounds[0] < high]
    return filled_parts(all_joined(reaching))


def _through(face: MultiPolygon, repeat: float, *, at_end: bool, attempt: int) -> float:
    """Return where a seam goes through the ink: far from its corners, near the end of the repeat if ``at_end``.

    ``attempt``: 0 for the best place, then others that lie apart from those before.
    """
    places = np.unique(np.mod(shapely.get_coordinates(face)[:, 0], repeat))
    ahead = np.roll(places, -1)
    ahead[-1] += repeat
    middles, widths = (places + ahead) / 2.0, ahead - places
    if at_end and attempt == 0:
        away = np.abs(np.mod(middles, repeat) - repeat / 2.0)
        widths = np.where(away < NEAR_END, widths, 0.0)
        if not widths.any():
            return repeat / 2.0
    for _ in range(attempt):
        best = middles[widths.argmax()]
        away = np.abs(np.mod(middles - best + repeat / 2.0, repeat) - repeat / 2.0)
        widths = np.where(away < repeat / APART, 0.0, widths)
    return float(middles[widths.argmax()])


def _is_clear(bounds: Floats, seam: float, repeat: float, clear: float) -> bool:
    """Say whether no part of the face comes nearer to a seam, here or a repeat away, than ``clear`` mm."""
    return not any(((bounds[:, 0] < at + clear) & (bounds[:, 2] > at - clear)).any() for at in (seam - repeat, seam))


def _gaps(bounds: Floats, repeat: float) -> list[tuple[float, float]]:
    """Return where no part of the face lies, over one repeat, as pairs of x, mm; round the end, too."""
    order = np.argsort(bounds[:, 0])
    starts, ends = bounds[order, 0], np.maximum.accumulate(bounds[order, 2])
    gaps = [(float(end), float(start)) for end, start in zip(ends[:-1], starts[1:], strict=True) if start > end]
    gaps.append((float(ends[-1]), float(starts[0] + repeat)))
    return gaps

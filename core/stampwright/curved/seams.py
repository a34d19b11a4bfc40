"""Where a roller's die is joined to itself: across a gap of its face, straight from edge to edge."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon

from ..errors import SolidError
from ..plane.frames import GRID
from .bend import Bend

Floats = NDArray[np.float64]

LEAST_FLOOR = 0.1
"""Plain floor between a foot of the relief and the seam at least, mm."""


def lay_seam(
    face: MultiPolygon, floor: Polygon, bend: Bend, *, reach: float, at_end: bool
) -> tuple[MultiPolygon, Polygon, Bend]:
    """Return the face and the floor of one repeat from seam to seam, and the bend with the seam's place.

    ``face``, ``floor``: of one repeat, die frame, mm, as :meth:`Bend.turned` has them once turned; what of the face
    lies beyond a seam comes to the other end. ``reach``: how far the foot of the relief stands out, mm. ``at_end``:
    keep the seam where the repeat ends. Raises :class:`~stampwright.errors.SolidError` when the face is longer than the
    repeat, or no gap goes straight across it.
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
    clear = reach + LEAST_FLOOR
    seam = bend.repeat / 2.0
    if not _is_clear(bounds, seam, bend.repeat, clear):
        gaps = [] if at_end else _gaps(bounds, bend.repeat)
        wide = max(gaps, key=lambda gap: gap[1] - gap[0], default=(0.0, 0.0))
        if wide[1] - wide[0] < 2.0 * clear:
            raise SolidError(_no_gap(bend, clear, at_end=at_end, widest=wide[1] - wide[0]))
        seam = round((wide[0] + wide[1]) / 2.0 / GRID) * GRID
        seam -= np.ceil((seam - bend.repeat / 2.0) / bend.repeat) * bend.repeat
    middles = (bounds[:, 0] + bounds[:, 2]) / 2.0
    shifts = -np.ceil((middles - seam) / bend.repeat) * bend.repeat
    moved = [affinity.translate(part, shift) if shift else part for part, shift in zip(parts, shifts, strict=True)]
    back = (0.0, -1.0, 1.0, 0.0, 0.0, 0.0)
    laid = MultiPolygon(moved)
    onward = seam - bend.repeat / 2.0
    window = affinity.translate(floor, 0.0, onward) if bend.upward else affinity.translate(floor, onward)
    bend = replace(bend, seam=float(seam))
    return (affinity.affine_transform(laid, back) if bend.upward else laid), window, bend


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


def _no_gap(bend: Bend, clear: float, *, at_end: bool, widest: float) -> str:
    where = "where the repeat ends" if at_end else "anywhere across the repeat"
    return (
        f"there is no gap of {2.0 * clear:.1f} mm in the ink {where} for the roller's seam (the widest is "
        f"{max(widest, 0.0):.1f} mm of {bend.repeat:.1f} mm); "
        + ("set bend.seam to gap, or bend.repeat longer" if at_end else "set bend.repeat longer, or lower die.shoulder")
    )

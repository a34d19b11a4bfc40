"""Round and square brushes: drawn along a line, or set down at places of it, one by one."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from ...plane.circles import chords_in
from ...plane.overlays import all_joined, common
from ..outlines.crossing import NOTHING
from ..outlines.curves import Points

NOT_NEEDED = 0.25
"""Share of the tolerance by which a brush's edge may move where points of its line, or of the edge, are left out."""

ROUNDED_OFF = 0.01
"""Share of its radius by which the library that draws an even line round may stray from it (GEOS 3.14)."""

MOST_DABS = 100_000
"""Dabs along one line at most; more than that lie over one another wherever it is looked at."""


@dataclass(frozen=True, eq=False)
class Brushed:
    """A round brush drawn along a line, its radius changing evenly from point to point.

    ``course``: (n, 2) float, mm; ``radii``: (n,) float, mm. ``flat``: whether it begins, and whether it ends, straight
    across at its first and last point, rather than round them. For the rest see :class:`~.shapes.Filled`.
    """

    course: Points
    radii: NDArray[np.float64]
    closed: bool = False
    flat: tuple[bool, bool] = (False, False)
    plain: bool = False
    left_out: str = ""
    paint: str = ""
    paper: bool = False

    def points(self) -> Points:
        """Return points that span the shape, (n, 2) float."""
        return np.vstack((self.course - self.radii[:, None], self.course + self.radii[:, None]))

    def region(self, tolerance: float, _magnification: float) -> BaseGeometry:
        """Return the area that the brush covers: discs, and between neighbours what their outer tangents enclose."""
        shown = self.radii > 0
        if not shown.any():
            return NOTHING
        largest = float(self.radii.max())
        quarter = chords_in(math.pi / 2, largest, tolerance)
        within = tolerance * NOT_NEEDED
        needed = _needed(self.course, self.radii, within)
        course, radii, shown = self.course[needed], self.radii[needed], shown[needed]
        flat = (False, False) if self.closed or len(course) < 2 else self.flat
        if np.ptp(radii) <= within and largest * ROUNDED_OFF <= tolerance and not any(flat):
            ring = np.vstack((course, course[:1])) if self.closed else course
            line = shapely.linestrings(ring) if len(ring) > 1 else shapely.points(ring[0])
            drawn: BaseGeometry = shapely.buffer(line, float(radii.mean()), quad_segs=quarter)
        else:
            discs = shapely.buffer(shapely.points(course), np.maximum(radii, 0.0), quad_segs=quarter)
            for is_flat, order in zip(flat, (slice(None), slice(None, None, -1)), strict=True):
                if is_flat:
                    discs[order] = _cut_across(discs[order], course[order], radii[order])
            drawn = all_joined([*discs[shown], *shapely.polygons(_bands(course, radii, closed=self.closed))])
        return shapely.simplify(drawn, within)


@dataclass(frozen=True, eq=False)
class Dabs:
    """A round or square brush set down at places, one by one.

    ``places``: (n, 2) float, mm; ``radii``: (n,) float, mm, for squares half of their sides. ``along``: (n, 2) float,
    of length one, where the sides of squares run; None for discs. For the rest see :class:`~.shapes.Filled`.
    """

    places: Points
    radii: NDArray[np.float64]
    along: Points | None = None
    plain: bool = False
    left_out: str = ""
    paint: str = ""
    paper: bool = False

    def points(self) -> Points:
        """Return points that span the shape, (n, 2) float."""
        return np.vstack((self.places - self.radii[:, None], self.places + self.radii[:, None]))

    def region(self, tolerance: float, _magnification: float) -> BaseGeometry:
        """Return the area that the dabs cover together."""
        shown = self.radii > 0
        places, radii = self.places[shown], self.radii[shown]
        if not len(places):
            return NOTHING
        if self.along is None:
            quarter = chords_in(math.pi / 2, float(radii.max()), tolerance)
            return all_joined(list(shapely.buffer(shapely.points(places), radii, quad_segs=quarter)))
        side = self.along[shown] * radii[:, None]
        up = np.column_stack((-side[:, 1], side[:, 0]))
        corners = np.stack((places - side - up, places + side - up, places + side + up, places - side + up), axis=1)
        return all_joined(list(shapely.polygons(corners)))


def spaced(course: Points, radii: NDArray[np.float64]) -> tuple[Points, NDArray[np.float64], NDArray[np.int64]]:
    """Return where dabs lie that touch each other along a line, from its first point on, their radii, and their steps.

    ``course``: (n, 2) float, mm; ``radii``: (n,) float, mm. A step is the number of the point, 0 to n - 2, after which
    a dab lies. A line that is longer than :data:`MOST_DABS` of them has them further apart.

    >>> spaced(np.array([(0.0, 0.0), (5.0, 0.0)]), np.array([1.0, 1.0]))[0][:, 0].tolist()
    [0.0, 2.0, 4.0]
    """
    lies = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(course, axis=0).T))))
    at, found, least = 0.0, [0.0], float(lies[-1]) / MOST_DABS
    while lies[-1] > 0.0:
        radius = float(np.interp(at, lies, radii))
        at += max(radius + float(np.interp(at + 2.0 * radius, lies, radii)), least)
        if at > lies[-1]:
            break
        found.append(at)
    set_down = np.array(found)
    steps = np.clip(np.searchsorted(lies, set_down, side="right") - 1, 0, max(len(course) - 2, 0))
    placed = np.column_stack([np.interp(set_down, lies, column) for column in course.T])
    return placed, np.interp(set_down, lies, radii), steps


def directions(points: Points, *, closed: bool) -> Points:
    """Return the direction of a line at each of its points, of length one, or nothing where it stands still."""
    if len(points) < 2:
        return np.zeros_like(points)
    steps = np.roll(points, -1, axis=0) - np.roll(points, 1, axis=0) if closed else np.gradient(points, axis=0)
    lengths = np.linalg.norm(steps, axis=1, keepdims=True)
    turned: Points = np.divide(steps, lengths, out=np.zeros_like(steps), where=lengths > 0)
    return turned


def _cut_across(discs: NDArray[np.object_], course: Points, radii: NDArray[np.float64]) -> NDArray[np.object_]:
    """Return the discs of a line, those near its first point cut off straight across it."""
    steps = np.diff(course, axis=0)
    lengths = np.hypot(*steps.T)
    moved = np.flatnonzero(lengths > 0)
    if not len(moved):
        return discs
    near = np.concatenate(([0.0], np.cumsum(lengths))) < radii.max()
    forward = steps[moved[0]] / lengths[moved[0]]
    sideways = np.array((-forward[1], forward[0]))
    far = 4.0 * float(radii.max())
    first = course[0]
    corners = (first - far * sideways, first + far * sideways)
    kept = shapely.polygons([*corners, corners[1] + far * forward, corners[0] + far * forward])
    cut = discs.copy()
    cut[near] = [common(disc, kept) for disc in discs[near]]
    return cut


def _needed(course: Points, radii: NDArray[np.float64], within: float) -> NDArray[np.bool_]:
    """Return which points of a brush's line are needed, (n,): without the others no edge of it moves by more than that.

    As in Douglas and Peucker 1973, how far off a point is being its distance and that by which its radius differs.
    """
    needed = np.zeros(len(course), dtype=bool)
    needed[[0, -1]] = True
    stretches = [(0, len(course) - 1)]
    while stretches:
        first, last = stretches.pop()
        if last - first < 2:
            continue
        inner = slice(first + 1, last)
        along, steps = course[last] - course[first], course[inner] - course[first]
        share = np.clip(steps @ along / max(float(along @ along), 1e-300), 0.0, 1.0)
        off = np.hypot(*(steps - share[:, None] * along).T)
        off += np.abs(radii[inner] - (radii[first] + share * (radii[last] - radii[first])))
        farthest = int(off.argmax())
        if off[farthest] > within:
            middle = first + 1 + farthest
            needed[middle] = True
            stretches += [(first, middle), (middle, last)]
    return needed


def _bands(course: Points, radii: NDArray[np.float64], *, closed: bool) -> NDArray[np.float64]:
    """Return what the outer tangents of neighbouring circles enclose, (n, 4, 2) float; none where one holds the other.

    The tangents touch both circles at the angle from the line between their middles whose cosine is the difference of
    the radii over the distance.
    """
    following, radius_after = np.roll(course, -1, axis=0), np.roll(radii, -1)
    length = np.hypot(*(following - course).T)
    apart = length > np.abs(radii - radius_after)
    apart[-1] &= closed
    first, last, near, far = course[apart], following[apart], radii[apart, None], radius_after[apart, None]
    forward = (last - first) / length[apart, None]
    sideways = np.column_stack((-forward[:, 1], forward[:, 0]))
    cosine = (near - far) / length[apart, None]
    sine = np.sqrt(1 - cosine**2)
    left, right = forward * cosine + sideways * sine, forward * cosine - sideways * sine
    bands: NDArray[np.float64] = np.stack(
        (first + near * left, last + far * left, last + far * right, first + near * right), axis=1
    )
    return bands

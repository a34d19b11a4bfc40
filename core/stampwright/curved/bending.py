"""Flat solids bent on a cylinder: each mesh divided finely enough, its corners moved, its ends joined on a roller."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ..errors import SolidError
from ..solids import Solid
from ..solids.kernel import settle, settled
from ..solids.soundness import judge_merged
from .bend import Bend
from .closing import close_round
from .dividing import divide_along

Floats = NDArray[np.float64]

MOST_TURN = 80.0
"""How far a rocker may reach to each side of its middle, degrees: beyond, it no longer rolls on its face."""


def bend_die(flat: Solid, bend: Bend, *, flat_underside: bool = False) -> tuple[Solid, Bend]:
    """Return a die bent on a cylinder, lying face up on z = 0, and the bend with where it lies filled in.

    ``flat``: the die as it is raised, die frame; for a roller one repeat of it, up to its seam, plain at both ends.
    ``flat_underside``: fill up a rocker below to a plane that it stands on.
    Raises :class:`~stampwright.errors.SolidError` when it is too long for its radius, or no sound solid comes of it.
    """
    points = bend.turned(flat.vertices)
    bend = replace(bend, low=float(points[:, 1].min()))
    divided, triangles = divide_along(points, flat.triangles.astype(np.int64), bend.step)
    if bend.closed:
        places, triangles = close_round(divided, triangles, bend, flat.name)
    else:
        _check_reach(points, bend, flat.name)
        places = bend.rolled_up(divided)
        if flat_underside:
            places = _filled_below(divided, places, bend.inner, bend.inner)
    lowest = -float(places[:, 2].min())
    lift = float(np.float32(lowest))
    bend = replace(bend, lift=lift, plane=-lift)
    # What lies lowest lies on the bed, exactly.
    places[places[:, 2] <= -lowest + 1e-9, 2] = -bend.lift
    return _sound(flat.name, bend.placed(places, "lying"), triangles), bend


def laid_round(points: Floats, bend: Bend) -> Floats:
    """Return places of a flat face, (n, 3) mm, die frame, on the bent die as it lies; on a roller in every repeat.

    ``points``: of one repeat. Those of the next come after them.
    """
    flat = bend.turned(points)
    turns = [np.add(flat, (turn * bend.repeat, 0.0, 0.0)) for turn in range(max(1, bend.turns))]
    return bend.placed(bend.rolled_up(np.concatenate(turns)), "lying")


def bend_plate(flat: Solid, bend: Bend, *, lies_on: float) -> tuple[Solid, Bend]:
    """Return a plate bent to carry a rocker, its seat round, its underside a plane, its sides upright; and the bend.

    ``flat``: die frame, seat up, standing on z = 0. ``lies_on``: height over its underside, mm, of what the die lies
    on. It stands on z = 0, and the bend tells how far that is from the axis. Raises
    :class:`~stampwright.errors.SolidError` as :func:`bend_die`.
    """
    points = bend.turned(flat.vertices)
    _check_reach(points, bend, flat.name)
    divided, triangles = divide_along(points, flat.triangles.astype(np.int64), bend.step)
    raised = divided - (0.0, 0.0, lies_on)
    places = bend.rolled_up(raised)
    top, bottom = float(raised[:, 2].max()), float(raised[:, 2].min())
    places = _filled_below(raised, places, bend.inner + top, bend.inner + bottom)
    plane = float(np.float32(places[:, 2].min()))
    places[:, 2] = np.maximum(places[:, 2] - plane, 0.0)
    return _sound(flat.name, bend.turned_back(places), triangles), replace(bend, plane=plane)


def _check_reach(points: Floats, bend: Bend, name: str) -> None:
    reach = float(np.abs(points[:, 0]).max())
    most = math.radians(MOST_TURN) * bend.radius
    if reach > most:
        least = reach / math.radians(MOST_TURN)
        raise SolidError(
            f"{name}: {2 * reach:.1f} mm along the face are too long to rock on a radius of {bend.radius:g} mm; set "
            f"bend.radius to {math.ceil(least):g} mm or more, or make the base shorter"
        )


def _filled_below(flat: Floats, places: Floats, side: float, inner: float) -> Floats:
    """Return places with those of the underside, z = 0 when flat, in one plane; ``side``: radius that they keep, mm.

    ``inner``: the radius of the underside before; the plane touches it at both ends.
    """
    under = flat[:, 2] <= flat[:, 2].min() + 1e-6
    # The angle is that of the flat place; seen from above, the sides go straight down from where they are widest.
    angles = np.arctan2(places[under, 0], places[under, 2])
    level = inner * math.cos(float(np.abs(angles).max()))
    filled = places.copy()
    filled[under, 0] = side * np.sin(angles)
    filled[under, 2] = level
    return filled


def _sound(name: str, vertices: Floats, triangles: NDArray[np.int64]) -> Solid:
    """Return the solid as files hold it; raises :class:`SolidError` when nothing makes it sound."""
    solid = settle(name, vertices, triangles)
    if judge_merged(solid.vertices, solid.triangles).sound:
        return solid
    return settled(solid)

"""Centres: whether a stamp that asks too much would print with its artwork set on the base by another centre."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity

from ...errors import JobError, PressError
from ...job.sections.placing import BaseSection, LayoutSection
from ...layout import level_shift, outline_base
from ...looks.numbers import newtons
from ...plane.moments import Moments
from ..inking.ink import InkFilm
from .hands import HandForce
from .pressing import Rig
from .push_curve import force_to_print

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Centre:
    """A centre of the artwork by which the base's middle prints it whole: its name, and the push that does, N."""

    name: str
    force: float

    def in_words(self, force: float | None) -> str:
        """Say what to set, beside the push that it takes as it is, N, None where none does."""
        now = "no push does" if force is None else f"it takes {newtons(force)}"
        return f"Set layout.centre = {self.name}: then about {newtons(self.force)} print it whole, where now {now}."


def easier_centre(rig: Rig, ink: InkFilm, hand: HandForce, layout: LayoutSection, base: BaseSection) -> Centre | None:
    """Return the centre with which a hand prints a face whole, that moves its ink least; None where none does.

    Ink that moves by some way on its base is pushed that way further back, and so it is tried; the bow of the die stays
    where it is, so that the force is near the one that comes of it. Only centres are looked at that leave the ink on
    the base, and only for a stamp that is free to tilt, and in no gauge, where it has to stay.
    """
    if not rig.conditions.free or not math.isinf(rig.conditions.rests_at):
        return None
    row, column = np.nonzero(rig.face.face)
    places = np.column_stack([rig.face.x[column], rig.face.y[row]]) - rig.face.middle
    hull = shapely.convex_hull(shapely.multipoints(places))
    shifts = {name: shift for name, shift in _shifts(places, hull, base).items() if name != layout.centre}
    for name, shift in sorted(shifts.items(), key=lambda each: float(np.hypot(*each[1]))):
        if not _stays_on(hull, shift, base):
            continue
        at = (rig.conditions.at[0] - float(shift[0]), rig.conditions.at[1] - float(shift[1]))
        try:
            force = force_to_print(replace(rig, conditions=replace(rig.conditions, at=at)), ink)
        except PressError:
            # It would tip over.
            continue
        if force is not None and force <= hand.newtons:
            return Centre(name, force)
    return None


def _shifts(places: Floats, hull: shapely.Geometry, base: BaseSection) -> dict[str, Floats]:
    """Return by how much ink at some places, (n, 2) mm from the base's middle, moves with each centre."""
    left, bottom, right, top = hull.bounds
    bounds = -np.array([(left + right) / 2, (bottom + top) / 2])
    circle = -shapely.get_coordinates(shapely.minimum_bounding_circle(hull).centroid)[0]
    middle = circle if base.outline in ("round", "ellipse", "follow") else bounds
    spread = np.cov(places.T)
    moved = Moments(float(len(places)), places.mean(axis=0) + middle, spread)
    level = middle + level_shift(moved, shapely.get_coordinates(hull) + middle)
    return {"level": level, "area": -places.mean(axis=0), "circle": circle, "bounds": bounds}


def _stays_on(hull: shapely.Geometry, shift: Floats, base: BaseSection) -> bool:
    if base.outline == "follow":
        return True
    try:
        outline = outline_base(base)
    except JobError:
        return False
    return bool(outline.covers(affinity.translate(hull, *shift)))

"""The exploded view: parts drawn apart along their axis, in a row or, in upright pictures, one over the other."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from . import poses
from .scenery import tabletop
from .scenery.framing import CameraView, shape_of
from .scenery.places import Grouping, are_clear, middle

if TYPE_CHECKING:
    from .staging import Staged

APART = 0.07
"""Room between parts drawn apart as they are seen from afar, as a share of the base's longer side."""

GROWS = (0.0, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.5)
"""By what share of it the room grows from part to part: by the first that leaves all clear of each other from near,
where what is farther away comes nearer to the picture's middle."""

FACING = math.radians(49.0)
"""How far the axis of parts drawn apart is turned from the line of sight."""

RISING = (14.0, 40.0, 78.0)
"""How steeply the axis may rise in the picture, degrees."""

STEEP = 30.0
"""From which on names stand beside the parts: over them the next part is."""

FLOATS = 0.2
"""How high the lowest part is over the ground, as a share of the base's longer side."""


def ways_apart(one: Staged, view: CameraView) -> list[tuple[Grouping, bool]]:
    """Return the ways to draw a stamp apart, and of each whether names stand beside the parts rather than over them.

    In a wide picture those come first that go across it, in an upright one those that go up.
    """
    shape = shape_of(one.scene)
    ways = []
    for degrees in RISING if shape >= 1.0 else reversed(RISING):
        rising, aside = math.radians(degrees), degrees > STEEP
        # Names at the right would come before a sheet there.
        for at_end in (False,) if aside else (False, True):
            tried = [_in_row(one, view, rising, grows, at_end=at_end) for grows in GROWS]
            ways.append((next((way for way in tried if are_clear(way.things, way, view, shape)), tried[-1]), aside))
    return ways


def _in_row(one: Staged, view: CameraView, rising: float, grows: float, *, at_end: bool) -> Grouping:
    """Return the grouping of parts along an axis that rises so steeply, radians, and of the sheet before or after them.

    ``grows``: by what share the room between parts grows from one to the next.
    """
    right, up, back = view.axes.T
    # The handle goes up to the right and away; the face looks at the camera from the left.
    ahead = math.cos(rising) * right + math.sin(rising) * up
    along = math.sin(FACING) * ahead - math.cos(FACING) * back
    turned = poses.pointing(along, up)
    end, shifts, shown = -math.inf, {}, []
    for at, name in enumerate(one.parts):
        own = one.part_points(name)
        places = poses.placed(turned, own) @ ahead
        # Part by part as far along as clears the one before, on screen.
        lacks = end + APART * (1.0 + grows * (at - 1)) * one.size - float(places.min())
        shifts[name] = poses.moved(0.0, 0.0, max(lacks / math.sin(FACING), 0.0) if math.isfinite(end) else 0.0)
        end = float(places.max()) + shifts[name][2, 3] * math.sin(FACING)
        shown.append(poses.placed(shifts[name], own))
    pose = poses.moved(0.0, 0.0, FLOATS * one.size) @ poses.on_ground(turned, np.vstack(shown))
    bodies = [poses.placed(pose, each) for each in shown]
    paper, body = poses.turned("z", 6.0), np.vstack(bodies)
    if at_end:
        x = float(body[:, 0].max() - poses.placed(paper, one.paper)[:, 0].min()) + APART * one.size
        y = middle(body, 1)
    else:
        x = middle(body, 0) + 0.3 * one.size * math.cos(rising)
        y = float(body[:, 1].min()) - 0.35 * one.size
    sheet = poses.moved(x, y, tabletop.THICK * tabletop.MM) @ paper
    laid = poses.placed(sheet, one.paper)
    subject = np.vstack([body, laid])
    parts = tuple((part, shifts[name] @ np.array(part.matrix_basis)) for name, part in one.parts.items())
    return Grouping(((one.group, pose), (one.sheet, sheet), *parts), subject, subject, things=(*bodies, laid))

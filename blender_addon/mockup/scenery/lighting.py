"""Light: moods of two or more soft lamps in a pale room, always so bright that white paper shows as white paper."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import bpy
import mathutils
import numpy as np

from ...stampwright.looks.light import LUMINANCE
from .. import poses, stage
from .moods import MOODS, LampTint

SHADOW = 0.0001
"""Finest detail of a shadow in EEVEE, m."""

REACHES = 0.87
"""Share of the light that comes to paper past the ground's wall and the things that stand about (rendered, mean)."""

PATCHES = 8
"""Each way, into how many a lamp is divided to reckon its light."""


def light(scene: Any, side: tuple[float, bool], framed: Any, sheets: Any, mood: str) -> None:
    """Light a subject for a camera at an azimuth in degrees: large or small, it is lit alike.

    ``side``: that azimuth, and whether the subject looks to the right, to which the lamps are changed over then.
    ``framed``: (n, 3) float, m, what is in the picture; ``sheets``: (n, 3) float, m, middles of its paper. A white
    sheet there, in nobody's shadow, sends as much light to the camera as white is on screen, on the average.
    """
    chosen = MOODS.get(mood) or next(iter(MOODS.values()))
    low, high = framed.min(axis=0), framed.max(axis=0)
    reach = float(np.linalg.norm(high - low)) / 2.0
    target = (low + high) / 2.0 * (1.0, 1.0, 0.5)
    azimuth, faces_right = side
    across = (-1.0 if faces_right else 1.0, 1.0, 1.0)
    for lamp in chosen.lamps:
        place = target + poses.turned("z", azimuth)[:3, :3] @ (np.array(lamp.place) * across) * reach
        data = bpy.data.lights.new(f"{scene.name} {lamp.name}", "AREA")
        data.size = lamp.size * reach
        data.color = lamp.tint
        # For EEVEE: soft shadows, as fine as the relief casts them; Cycles needs no telling.
        data.use_shadow_jitter, data.shadow_maximum_resolution = True, SHADOW
        hung = stage.put(scene, data.name, data, role="lamp")
        hung.location = place
        turn = mathutils.Vector(target - place).to_track_quat("-Z", "Y")
        hung.rotation_euler = turn.to_euler()
        axes = np.array(turn.to_matrix())
        data.energy = lamp.share / REACHES / _brightness(lamp.tint) / lit(place, axes, data.size, sheets)
    background = next(node for node in scene.world.node_tree.nodes if node.type == "BACKGROUND")
    background.inputs["Color"].default_value = (*chosen.tint, 1.0)
    # A sky as bright all over as white on screen lights paper just as white.
    background.inputs["Strength"].default_value = chosen.room / REACHES / _brightness(chosen.tint)


def _brightness(tint: LampTint) -> float:
    """Return how bright a tint is beside white."""
    return float(np.array(tint) @ LUMINANCE)


def lit(place: Any, axes: Any, size: float, sheets: Iterable[Any]) -> float:
    """Return how bright a lamp of 1 W makes white paper that lies flat, as a share of white, mean over sheets.

    ``place``: (3,) float, m; ``axes``: (3, 3) float, its own right, up and back as columns; ``size``: its side, m.
    The lamp shines evenly from one side, by Lambert's law: a patch of it of area a sends L a cos cos' / d² to a flat
    place, where L = 1 W / (pi A) for a lamp of area A; white paper sends 1 / pi of what it receives to every side.
    """
    steps = (np.arange(PATCHES) + 0.5) / PATCHES - 0.5
    across, up = (each.ravel() * size for each in np.meshgrid(steps, steps))
    patches = place + np.outer(across, axes[:, 0]) + np.outer(up, axes[:, 1])
    shares = []
    for sheet in sheets:
        ways = patches - sheet
        far = np.linalg.norm(ways, axis=1)
        falls = np.clip(ways[:, 2] / far, 0.0, None)
        leaves = np.clip(ways @ axes[:, 2] / far, 0.0, None)
        shares.append(float((falls * leaves / far**2).mean()) / np.pi**2)
    return float(np.mean(shares))

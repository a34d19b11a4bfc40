"""Light: moods of two or more soft lamps in a pale room, always so bright that white paper shows as white paper."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import bpy
import mathutils
import numpy as np

from ..stampwright.looks.light import LUMINANCE
from . import poses, stage

Tint = tuple[float, float, float]


@dataclass(frozen=True)
class Lamp:
    """A rectangular soft light that looks at the subject.

    ``place``: right, back and up from it, seen from the camera; ``size``: its sides; both in the subject's reach.
    ``share``: how much of the light on the paper it gives, beside the other lamps' and the room's. ``tint``: linear.
    """

    name: str
    place: tuple[float, float, float]
    size: float
    share: float
    tint: Tint


@dataclass(frozen=True)
class Mood:
    """Lamps, and the light that comes from all round: its share and its tint."""

    label: str
    told: str
    lamps: tuple[Lamp, ...]
    room: float
    tint: Tint


WARM, COOL, EVEN = (1.0, 0.967, 0.924), (0.975, 0.99, 1.0), (0.95, 0.97, 1.0)

MOODS = {
    "WINDOW": Mood(
        "Window",
        "A large window at the left, a bright card at the right",
        (Lamp("window", (-2.9, 1.1, 3.0), 2.2, 0.62, WARM), Lamp("card", (3.0, -2.2, 1.9), 3.2, 0.12, COOL)),
        0.26,
        EVEN,
    ),
    "BRIGHT": Mood(
        "Bright",
        "Light from a bright sky overhead: soft, with hardly a shadow",
        (Lamp("sky", (-0.8, 0.6, 3.6), 4.4, 0.42, (1.0, 1.0, 1.0)), Lamp("card", (2.6, -3.0, 2.0), 3.2, 0.12, COOL)),
        0.46,
        EVEN,
    ),
    "EVENING": Mood(
        "Evening",
        "A low warm sun, with long shadows",
        (
            Lamp("sun", (-3.6, 0.5, 2.1), 0.7, 0.68, (1.0, 0.86, 0.68)),
            Lamp("card", (3.0, -2.4, 1.8), 3.2, 0.12, (0.86, 0.93, 1.0)),
        ),
        0.20,
        (0.84, 0.92, 1.0),
    ),
    "STUDIO": Mood(
        "Studio",
        "A lamp at either side, and little light from elsewhere",
        (
            Lamp("key", (-2.6, -1.2, 2.8), 1.4, 0.52, (1.0, 0.985, 0.96)),
            Lamp("rim", (2.8, 2.2, 2.2), 1.6, 0.36, (0.96, 0.98, 1.0)),
        ),
        0.12,
        (1.0, 1.0, 1.0),
    ),
}
"""Ways to light a picture, by the name that properties hold; the first is the usual one."""

SHADOW = 0.0001
"""Finest detail of a shadow in EEVEE, m."""

REACHES = 0.87
"""Share of the light that comes to paper past the ground's wall and the things that stand about (rendered, mean)."""

PATCHES = 8
"""Each way, into how many a lamp is divided to reckon its light."""


def light(scene: Any, azimuth: float, framed: Any, sheets: Any, mood: str) -> None:
    """Light a subject for a camera at an azimuth in degrees: large or small, it is lit alike.

    ``framed``: (n, 3) float, m, what is in the picture; ``sheets``: (n, 3) float, m, middles of its paper. A white
    sheet there, in nobody's shadow, sends as much light to the camera as white is on screen, on the average.
    """
    chosen = MOODS.get(mood) or next(iter(MOODS.values()))
    low, high = framed.min(axis=0), framed.max(axis=0)
    reach = float(np.linalg.norm(high - low)) / 2.0
    target = (low + high) / 2.0 * (1.0, 1.0, 0.5)
    for lamp in chosen.lamps:
        place = target + poses.turned("z", azimuth)[:3, :3] @ np.array(lamp.place) * reach
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


def _brightness(tint: Tint) -> float:
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

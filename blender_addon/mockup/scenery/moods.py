"""The lights that a picture can have, as data; loads nothing heavy."""

from __future__ import annotations

from dataclasses import dataclass

LampTint = tuple[float, float, float]


@dataclass(frozen=True)
class Lamp:
    """A rectangular soft light that looks at the subject.

    ``place``: right, back and up from it, seen from the camera, for one that looks to the left; ``size``: its sides;
    both in the subject's reach. ``share``: how much of the light on the paper it gives, beside the other lamps' and
    the room's. ``tint``: linear.
    """

    name: str
    place: tuple[float, float, float]
    size: float
    share: float
    tint: LampTint


@dataclass(frozen=True)
class Mood:
    """Lamps, and the light that comes from all round: its share and its tint."""

    label: str
    told: str
    lamps: tuple[Lamp, ...]
    room: float
    tint: LampTint


WARM, COOL, EVEN = (1.0, 0.967, 0.924), (0.975, 0.99, 1.0), (0.95, 0.97, 1.0)

MOODS = {
    "WINDOW": Mood(
        "Window",
        "A large window at one side, a bright card at the other",
        (Lamp("window", (-2.9, 1.1, 3.0), 2.2, 0.52, WARM), Lamp("card", (3.0, -2.2, 1.9), 3.2, 0.22, COOL)),
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

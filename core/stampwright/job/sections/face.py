"""The settings of a textured face and of a tone screened into the ink; a section of the job."""

from __future__ import annotations

from dataclasses import dataclass

from ..settings import Section, setting

GRAIN_NAMES = {
    "wood-grain": "Rings and rays of a plank",
    "linen": "Woven threads",
    "stipple": "Pits strewn at about even distances",
    "hatching": "Fine parallel lines",
    "ripple": "Soft waves",
}
"""Textures made from figures alone, and what they look like."""

FILES = ("picture", "sculpt")
"""Settings that name files."""


@dataclass(frozen=True, kw_only=True)
class FaceSection(Section):
    """The texture of the die's face: a grain, a picture, a sculpt; and the tone of a picture as a screen in the ink."""

    texture: str = setting(
        "none",
        "What the face is textured with, besides a sculpt",
        choices={
            "none": "A plain face",
            **GRAIN_NAMES,
            "picture": "The greys of a picture: white stands high, black goes deep",
        },
    )
    depth: float = setting(
        0.6,
        "Greatest depth of the texture; the outline stays upright to this depth",
        unit="mm",
        low=0.04,
        high=10,
        normal=(0.2, 1.2),
    )
    strength: float = setting(1.0, "Share of the depth that the texture takes", low=0, high=1, normal=(0.3, 1))
    scale: float = setting(
        2.0,
        "Size of the texture: from ring to ring, thread to thread, dot to dot or line to line",
        unit="mm",
        low=0.1,
        high=100,
        normal=(1.2, 10),
    )
    turn: float = setting(
        0.0, "Turn of the texture on paper, counter-clockwise", unit="deg", low=-360, high=360, normal=(-90, 90)
    )
    seed: int = setting(1, "Another number gives another piece of the same wood, linen or stipple", low=0, high=999_999)
    picture: str = setting(
        "", "Grey picture for the texture or the tone: white stands high, black goes deep and prints", text="path"
    )
    picture_width: float = setting(
        0.0, "Width of the picture on paper; 0 makes it cover the base", unit="mm", low=0, high=1000
    )
    sculpt: str = setting(
        "", "Height map of a sculpt: a 16-bit PNG or float TIFF that records its place and depth", text="path"
    )
    fineness: float = setting(
        2.0,
        "Mesh points per line width; above 2 adds nothing the printer can show",
        low=0.5,
        high=16,
        normal=(1, 4),
    )
    tone: str = setting(
        "none",
        "Screen the picture's tones into the ink as dots or lines that print",
        choices={
            "none": "Solid ink",
            "dots": "Dots that grow with the tone",
            "lines": "Lines that swell with the tone",
        },
    )
    screen_spacing: float = setting(
        0.0,
        "Distance from one dot or line of the screen to the next; 0 takes the finest that prints",
        unit="mm",
        low=0,
        high=20,
        normal=(1.2, 4),
    )
    screen_turn: float = setting(
        45.0,
        "Turn of the screen on paper, counter-clockwise; 45 shows least (common practice)",
        unit="deg",
        low=-180,
        high=180,
        normal=(0, 90),
    )

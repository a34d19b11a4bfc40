"""The settings of a curved face: a rocker's or a roller's."""

from __future__ import annotations

from dataclasses import dataclass

from ..settings import Section, setting


@dataclass(frozen=True, kw_only=True)
class BendSection(Section):
    """What cylinder the die is bent on, if any."""

    form: str = setting(
        "flat",
        "What the face is bent to",
        choices={
            "flat": "Nothing: the whole face meets the paper at once",
            "rocker": "Part of a cylinder, rocked over the paper: a large face needs little push",
            "roller": "A whole cylinder, rolled over the paper: the artwork comes again and again",
        },
    )
    rolls: str = setting(
        "across",
        "Which way it rolls on the paper",
        choices={"across": "To the side of the artwork", "up": "Up the artwork"},
    )
    radius: float = setting(
        60.0,
        "Radius of the finished face: a rocker's, or a roller's whose size is given by it",
        unit="mm",
        low=5,
        high=1000,
        normal=(20, 120),
    )
    size_by: str = setting(
        "repeat",
        "What sets a roller's size",
        choices={
            "repeat": "The length of the repeat, and how many go round",
            "radius": "The radius, shared out among the repeats",
        },
    )
    repeat: float = setting(
        120.0,
        "Length on paper after which a roller's artwork comes again",
        unit="mm",
        low=10,
        high=300,
        normal=(60, 200),
    )
    turns: int = setting(1, "How many repeats go once round a roller", low=1, high=50, normal=(1, 8))
    band: float = setting(40.0, "Width of a roller, along its axle", unit="mm", low=5, high=300, normal=(15, 80))
    seam: str = setting(
        "gap",
        "Where a roller's die is joined to itself",
        choices={
            "gap": "Where the repeat ends if no ink is there, else in the widest gap that goes straight across",
            "end": "Where the repeat ends",
        },
    )
    stands: str = setting(
        "standing",
        "How the bent die is printed",
        choices={
            "standing": "On the end of its axis: the face comes out round, its layers lie across the print",
            "lying": "Face up: the face comes out in steps, and a shell needs supports under it",
        },
    )
    axle: float = setting(
        5.0,
        "Diameter of a roller's axle, a bought rod or bolt (common practice)",
        unit="mm",
        low=1,
        high=30,
        normal=(3, 10),
    )
    play: float = setting(
        0.2, "Gap round a roller's axle in its bore, per side", unit="mm", low=0.05, high=2, normal=(0.1, 0.4)
    )

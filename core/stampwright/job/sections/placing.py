"""The settings of where the artwork sits: on paper, and on the base."""

from __future__ import annotations

from dataclasses import dataclass

from ..settings import Point, Section, setting


@dataclass(frozen=True, kw_only=True)
class LayoutSection(Section):
    """How large the artwork is and where it sits on the base."""

    size_by: str = setting(
        "drawn",
        "What sets the artwork's size",
        choices={
            "drawn": "As drawn where the drawing has a true size that fits, else as large as the base holds",
            "fit": "As large as the base holds inside the margin",
            "width": "The width of the ink is given",
            "height": "The height of the ink is given",
            "page": "As large as the file says",
        },
    )
    width: float = setting(40.0, "Width of the ink when size_by is width", unit="mm", low=1, high=300, normal=(10, 80))
    height: float = setting(
        40.0, "Height of the ink when size_by is height", unit="mm", low=1, high=300, normal=(10, 80)
    )
    margin: float = setting(
        2.0,
        "Clear distance from ink to the base's edge when fitted; the shoulder needs room to stand",
        unit="mm",
        low=0,
        high=50,
        normal=(1.5, 5),
    )
    centre: str = setting(
        "level",
        "Which point of the artwork comes to the middle of the base",
        choices={
            "level": "Its middle, moved as far as it takes for a stamp that is free to tilt to stand level",
            "bounds": "The middle of its bounding box",
            "area": "Its centre of area: where it would balance",
            "circle": "The centre of the smallest circle round it",
            "page": "The middle of its page: everything stays where the page has it",
        },
    )
    mirror: bool = setting(False, "Mirror the artwork first: for drawings that were made reversed")
    turn_to_fit: bool = setting(False, "Turn the artwork further, to where it can be largest on the base")
    turn: float = setting(
        0.0, "Turn of the artwork on paper, counter-clockwise", unit="deg", low=-360, high=360, normal=(-180, 180)
    )


@dataclass(frozen=True, kw_only=True)
class BaseSection(Section):
    """The outline of the die's floor."""

    outline: str = setting(
        "round",
        "Form of the base",
        choices={
            "round": "A circle",
            "rectangle": "A rectangle with rounded corners",
            "ellipse": "An ellipse",
            "follow": "Follows the artwork at an even distance",
            "custom": "An outline of your own",
        },
    )
    width: float = setting(
        50.0,
        "Across the base; the diameter of a round one (common practice for a small hand stamp)",
        unit="mm",
        low=5,
        high=300,
        normal=(15, 80),
    )
    height: float = setting(50.0, "Up the base; a round one ignores it", unit="mm", low=5, high=300, normal=(15, 80))
    corner_radius: float = setting(3.0, "Radius of a rectangle's corners", unit="mm", low=0, high=150, normal=(1, 6))
    margin: float = setting(
        3.0,
        "Distance from ink to the edge of a base that follows the artwork",
        unit="mm",
        low=0.5,
        high=50,
        normal=(2, 6),
    )
    smoothing: float = setting(
        4.0, "Radius below which a following outline's hollows are rounded", unit="mm", low=0, high=50, normal=(1, 8)
    )
    points: tuple[Point, ...] = setting(
        (), "Corners of a custom outline, paper frame, origin at its middle", kind="points", unit="mm"
    )

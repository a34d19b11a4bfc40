"""The looks as data, and giving one to a stamp's pictures."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent

PARTS = ("handle", "backing", "die")


@dataclass(frozen=True)
class PictureStyle:
    """Colour and finish of each part, and what lies and shines round the stamp; by the names that people read."""

    label: str
    parts: dict[str, tuple[str, str]]
    ink: str
    ground: str
    light: str

    @property
    def settings(self) -> dict[str, str]:
        """What properties of pictures hold with this look."""
        found = {"ink": key_of(self.ink), "ground": key_of(self.ground), "light": self.light}
        for part, (colour, finish) in self.parts.items():
            found[f"{part}_colour"], found[f"{part}_finish"] = key_of(colour), finish
        return found


@cache
def looks() -> dict[str, PictureStyle]:
    """Return the looks by the names that properties hold, the usual one first."""
    held = tomllib.loads((HERE / "looks.toml").read_text(encoding="utf-8"))
    return {
        key: PictureStyle(
            each["label"], {part: tuple(each[part]) for part in PARTS}, each["ink"], each["ground"], each["light"]
        )
        for key, each in held.items()
    }


def key_of(name: str) -> str:
    """Return the name that properties hold for a colour."""
    return name.upper().replace(" ", "_")


def put_on(held: Any, look: str) -> None:
    """Give a stamp's pictures a look; what is not part of looks stays as it is."""
    for name, value in looks()[look].settings.items():
        setattr(held, name, value)


def picture_of(look: str) -> Path:
    """Return the file with the picture of a look."""
    return HERE / f"{look.lower().replace('_', '-')}.png"

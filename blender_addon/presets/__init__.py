"""Presets: figures that go together, as data, for material, process and handle."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bpy.types import UILayout

SORTS = ("material", "process", "handle")


@cache
def presets_of(sort: str) -> dict[str, dict[str, Any]]:
    """Return the presets of a sort: by label, the figures that each sets, by path."""
    held = tomllib.loads((Path(__file__).parent / f"{sort}.toml").read_text(encoding="utf-8"))
    return {label: dict(figures) for label, figures in held.items()}


def show_menu(layout: UILayout, sort: str) -> None:
    """Offer the presets of a sort."""
    layout.operator_menu_enum(f"stampwright.use_{sort}_preset", "preset", text="Presets", icon="PRESET")

"""Lengths: the one place where millimetres become Blender's units, for any unit scale of the scene."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bpy.types import Scene

MM_PER_METRE = 1000.0


def mm_per_unit(scene: Scene) -> float:
    """Return how many millimetres one Blender unit is; a unit is ``scale_length`` metres."""
    return float(scene.unit_settings.scale_length) * MM_PER_METRE

"""A spell of sculpting: the die face up, in sculpt mode, with what brushes may not move masked; and back again."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ..scene.stamps import part_of, select_only
from ..scene.units import mm_per_unit
from ..stampwright.errors import StampwrightError
from ..stampwright.plane.regions import is_mirrored

if TYPE_CHECKING:
    from bpy.types import Context, Object, Scene

FACE_UP = "PRINT"
"""How the parts stand while the face is sculpted: as they lie on the bed, the die face up."""

BRUSH = 0.05
"""Radius of the brush as a share of the ink's longer side: a stroke is a tenth of the face wide."""

LEAST_BRUSH = 3.0
"""Radius of the brush in points of the face at least; a smaller one would move single points."""


def is_sculpted(root: Object) -> bool:
    """Whether a stamp's die is in sculpt mode now."""
    die = part_of(root, "die")
    return die is not None and die.mode == "SCULPT"


def begin(context: Context, root: Object) -> None:
    """Turn the die face up, and take it into sculpt mode with mask, symmetry and brush set.

    Raises :class:`StampwrightError` when the die cannot be seen.
    """
    die = part_of(root, "die")
    if die is None or not die.visible_get():
        raise StampwrightError("The die is hidden: show it, then sculpt its face")
    if context.mode != "OBJECT":
        bpy.ops.object.mode_set(mode="OBJECT")
    if die.data.users > 1:
        # A linked duplicate's mesh belongs to another stamp as well.
        die.data = die.data.copy()
    select_only(context, [die], die)
    bpy.ops.object.mode_set(mode="SCULPT")
    if not root.stampwright.stood:
        root.stampwright.stood = root.stampwright.standing
    root.stampwright.standing = FACE_UP


def end(root: Object) -> None:
    """Take the die out of sculpt mode, and stand it as it stood before."""
    if is_sculpted(root):
        with bpy.context.temp_override(active_object=part_of(root, "die"), object=part_of(root, "die")):
            bpy.ops.object.mode_set(mode="OBJECT")
    stand_back(root)


def stand_back(root: Object) -> None:
    """Stand the parts as they stood before, once the die is out of sculpt mode."""
    held = root.stampwright
    if held.stood and not is_sculpted(root):
        held.standing, held.stood = held.stood, ""


def set_symmetry(root: Object, inked: Any, wanted: str) -> None:
    """Have strokes mirrored: left and right, top and bottom, both, none, or as the ink itself is."""
    die = part_of(root, "die")
    if die is None:
        return
    along = {"AUTO": is_mirrored(inked, "x"), "X": True, "BOTH": True}
    across = {"AUTO": is_mirrored(inked, "y"), "Y": True, "BOTH": True}
    die.data.use_mirror_x, die.data.use_mirror_y = along.get(wanted, False), across.get(wanted, False)
    die.data.use_mirror_z = False


def set_brush(scene: Scene, inked: Any, spacing: float) -> float:
    """Give all brushes one size on the face, whatever the view; returns its radius, mm."""
    left, bottom, right, top = inked.bounds
    radius = max(BRUSH * max(right - left, top - bottom), LEAST_BRUSH * spacing)
    tools = scene.tool_settings
    # From 5.0 on each mode has settings of its own, and sizes are diameters.
    own = getattr(tools.sculpt, "unified_paint_settings", None)
    settings = own if own is not None else tools.unified_paint_settings
    settings.use_unified_size = True
    settings.use_locked_size = "SCENE"
    if own is not None:
        settings.unprojected_size = 2 * radius / mm_per_unit(scene)
    else:
        settings.unprojected_radius = radius / mm_per_unit(scene)
    return radius

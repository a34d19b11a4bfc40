"""Where a new stamp stands, taking one away, and bringing stamps and findings into view."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy
from mathutils import Vector

from ...live import following
from ...scene import stamps
from ...scene.leftovers import remove_unused
from ...scene.units import mm_per_unit

if TYPE_CHECKING:
    from bpy.types import Context, Object

ROOM = 20.0
"""Clear room between the artwork, or another stamp, and a new stamp, mm."""


CLEARANCE = 0.25
"""The same as a share of the artwork's width."""


_kept: dict[int, tuple[Any, ...]] = {}
"""How viewports looked, by the session numbers of the stamps that are sculpted."""


def place_beside(context: Context, root: Object, drawn: list[Object]) -> None:
    """Stand a new stamp right of its artwork and of every other stamp that stands there."""
    # What was drawn just now has no bounds of its own before.
    context.view_layer.update()
    millimetre = 1.0 / mm_per_unit(context.scene)
    base = root.stampwright.base
    corners = [each.matrix_world @ Vector(corner) for each in drawn for corner in each.bound_box]
    right = max((corner.x for corner in corners), default=context.scene.cursor.location.x)
    low, high = min((c.y for c in corners), default=0.0), max((c.y for c in corners), default=0.0)
    left = min((corner.x for corner in corners), default=right)
    room = (base.width + ROOM) * millimetre
    # Art is often drawn many times its size: a stamp close beside it would be lost.
    x = right + base.width / 2 * millimetre + max(ROOM * millimetre, CLEARANCE * (right - left))
    y = (low + high) / 2
    others = [each.matrix_world.translation for each in stamps.stamps_in(context.scene) if each is not root]
    while any(abs(other.x - x) < room and abs(other.y - y) < room for other in others):
        # A sheet with the impression lies right of each stamp.
        x += 2.5 * room
    root.location = (x, y, 0.0)
    root.empty_display_size = base.width / 2 * millimetre


def take_away(context: Context, root: Object) -> None:
    """Take a stamp's root, parts and meshes away, and its collection when nothing else is in it.

    What the artist has hung on them stays where it is.
    """
    following.stop(root)
    held = root.users_collection
    gone = [root, *stamps.belongings_of(root)]
    for hung in [child for each in gone for child in each.children if child not in gone]:
        place = hung.matrix_world.copy()
        hung.parent = None
        hung.matrix_world = place
    meshes = {each.data for each in gone if each.type == "MESH"}
    bpy.data.batch_remove(gone)
    remove_unused(meshes)
    for collection in held:
        is_empty = not collection.all_objects and not collection.children
        if is_empty and collection is not context.scene.collection and collection.library is None:
            bpy.data.collections.remove(collection)


def view_stamp(context: Context, root: Object) -> None:
    """Bring a stamp with its sheet into the view of the 3D viewport that the user works in."""
    children = [child for child in root.children if child.visible_get()]
    if not children:
        return
    context.view_layer.update()
    corners = [child.matrix_world @ Vector(corner) for child in children for corner in child.bound_box]
    low = Vector([min(corner[axis] for corner in corners) for axis in range(3)])
    high = Vector([max(corner[axis] for corner in corners) for axis in range(3)])
    view_box(context, (low + high) / 2, (high - low).length)


def keep_view(context: Context, key: int) -> None:
    """Note how the viewport looks, to come back to it."""
    space = _viewport(context)
    if space is not None:
        region = space.region_3d
        look = (region.view_location.copy(), region.view_rotation.copy(), region.view_distance, region.view_perspective)
        _kept[key] = look


def return_to_view(context: Context, key: int) -> None:
    """Have the viewport look as when that was noted last, once."""
    space, look = _viewport(context), _kept.pop(key, None)
    if space is not None and look is not None:
        region = space.region_3d
        region.view_location, region.view_rotation, region.view_distance, region.view_perspective = look


def view_box(context: Context, middle: Any, size: float, *, from_above: bool = False) -> None:
    """Turn the viewport to a place and show as much round it as ``size``, in Blender units."""
    space = _viewport(context)
    if space is None:
        return
    region = space.region_3d
    if from_above:
        region.view_rotation = (1.0, 0.0, 0.0, 0.0)
        region.view_perspective = "ORTHO"
    region.view_location = middle
    region.view_distance = max(size * 1.2, 1e-4)
    if space.clip_start > region.view_distance / 50:
        space.clip_start = region.view_distance / 100


def _viewport(context: Context) -> Any:
    """Return the 3D viewport that the user works in, or the screen's first, or None."""
    space = context.space_data
    if space is not None and space.type == "VIEW_3D":
        return space
    areas = [area for area in context.screen.areas if area.type == "VIEW_3D"] if context.screen else []
    return areas[0].spaces.active if areas else None

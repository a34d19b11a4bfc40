"""Stamps in the scene: which there are, which one is meant, and what belongs to each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

import bpy
from mathutils import Matrix

from ..stampwright.errors import StampwrightError
from .overriding import is_override
from .units import mm_per_unit

if TYPE_CHECKING:
    from bpy.types import Collection, Context, Object, Scene

STAMP, PAPER = "stamp", "paper"
"""Roles of objects besides those of parts, which are the names of the core's solids."""

GAUGE, IN_COLOUR = "gauge", "in colour"
"""Roles of what belongs to all stamps of a set, under the one that is printed first."""

PARTS = ("die", "cushion", "backing", "handle")


SCULPT = "stampwright_sculpt"
"""Property of a stamp's root, and of its die's mesh: the height map of what was sculpted on the face."""


def is_sculptable(root: Object) -> bool:
    """Whether a stamp has a face that is, or was, sculpted."""
    return SCULPT in root


def stamps_in(scene: Scene) -> Iterator[Object]:
    """Yield the roots of all stamps of a scene."""
    for each in scene.objects:
        if each.type == "EMPTY" and each.stampwright.role == STAMP:
            yield each


def all_stamps() -> Iterator[Object]:
    """Yield the roots of all stamps of the file."""
    for each in bpy.data.objects:
        if each.type == "EMPTY" and each.stampwright.role == STAMP:
            yield each


def stamp_of(context: Context) -> Object | None:
    """Return the root of the stamp that is worked on: that of the active object, be it root, part or artwork.

    With nothing active that belongs to one, the scene's only stamp is meant.
    """
    active = context.active_object
    above = active
    while above is not None:
        if above.stampwright.role == STAMP:
            return above
        above = above.parent
    roots = list(stamps_in(context.scene))
    if active is not None:
        for root in roots:
            if active in drawn_by(root):
                return root
    return roots[0] if len(roots) == 1 else None


def drawn_by(root: Object) -> list[Object]:
    """Return the objects that a stamp's artwork and outlines are drawn with; deleted ones are left out."""
    held = root.stampwright
    picked = [source.object for source in held.sources]
    picked += [held.base_curve, held.profile_curve, held.outline_curve]
    return [each for each in picked if each is not None]


def are_there(root: Object, view_layer: Any) -> tuple[tuple[bool, ...], ...]:
    """Return of each object that a stamp is drawn with whether a view layer holds it, and how it is shown there."""
    return tuple(_is_there(each, view_layer) for each in drawn_by(root))


def _is_there(drawn: Object, view_layer: Any) -> tuple[bool, ...]:
    if view_layer.objects.get(drawn.name) != drawn:
        return (False,)
    is_seen = drawn.visible_get(view_layer=view_layer)
    shown = () if drawn.instance_collection is None else drawn.instance_collection.all_objects
    return True, is_seen, is_seen or not is_disabled(drawn, view_layer), *(each.hide_viewport for each in shown)


def is_disabled(drawn: Object, view_layer: Any) -> bool:
    """Whether an object of a view layer is disabled in viewports, and so not evaluated: by itself, or its collections.

    What is hidden with the eye is only not seen.
    """
    held = (each.collection.objects.get(drawn.name) for each in _enabled_under(view_layer.layer_collection))
    return drawn.hide_viewport or drawn not in held


def _enabled_under(layer_collection: Any) -> Iterator[Any]:
    """Yield the collections of a view layer that are not disabled; one that is disables those in it."""
    if not layer_collection.collection.hide_viewport:
        if not layer_collection.exclude:
            yield layer_collection
        for child in layer_collection.children:
            yield from _enabled_under(child)


def is_deleted(drawn: Object) -> bool:
    """Whether an object was deleted from all scenes and collections, and a stamp alone still knows of it."""
    return drawn.library is None and not is_override(drawn) and not drawn.users_collection


def belongings_of(root: Object) -> list[Object]:
    """Return all objects that a stamp is made of but its root: what the artist has hung on it is none of them."""
    own = [child for child in root.children if child.stampwright.role not in ("", STAMP)]
    return [each for child in own for each in (child, *belongings_of(child))]


def part_of(root: Object, role: str) -> Object | None:
    """Return the child of a stamp's root that has a role, or None; one that was put away does not count."""
    return next((child for child in children_of(root, role) if not is_put_away(child)), None)


def children_of(root: Object, role: str) -> Iterator[Object]:
    """Yield the children of a stamp's root that have a role, also those that were put away."""
    return (child for child in root.children if child.stampwright.role == role)


def is_put_away(child: Object) -> bool:
    """Whether a child is one of a library's that this file does without: the host would bring it back."""
    return is_override(child) and child.type == "MESH" and child.data.library is None and not len(child.data.vertices)


def edited_part(root: Object) -> Object | None:
    """Return a child of a stamp that is in edit mode, or None: the host lets nothing be read or written of its mesh."""
    return next((each for each in root.children if each.type == "MESH" and each.data.is_editmode), None)


def is_in_scene(root: Object, role: str) -> bool:
    """Whether a stamp has the child of a role, and that child lies in a collection, as what is unlinked does not."""
    child = part_of(root, role)
    return child is not None and bool(child.users_collection)


def paper_frame(root: Object, scene: Scene, *, in_mm: bool = True) -> Any:
    """Return the matrix from the paper frame, mm or Blender units, to the world: that of the sheet, or of the stamp."""
    sheet = part_of(root, PAPER)
    shown = sheet if sheet is not None and sheet.visible_get() else root
    scale = 1.0 / mm_per_unit(scene) if in_mm else 1.0
    return shown.matrix_world @ Matrix.Scale(scale, 4)


def is_ours(root: Object) -> bool:
    """Whether a stamp may be changed: not one that is linked from another file, unless this file overrides it."""
    return root.is_editable and root.library is None


def collection_of(root: Object) -> Collection:
    """Return the collection that a stamp lies in, to which new parts come: the scene's, if that is a library's."""
    held = root.users_collection
    own = next((each for each in held if each.library is None and not is_override(each)), None)
    return own if own is not None else bpy.context.scene.collection


def new_stamp(context: Context, name: str) -> Object:
    """Return the root of a new stamp, alone in a collection of its own in the scene."""
    collection = bpy.data.collections.new(name)
    context.scene.collection.children.link(collection)
    root = bpy.data.objects.new(name, None)
    root.stampwright.role = STAMP
    root.empty_display_type = "ARROWS"
    collection.objects.link(root)
    return root


def select_only(context: Context, chosen: Iterable[Object], active: Object) -> None:
    """Select these objects and no others, and make one the active object.

    Raises :class:`StampwrightError` when the view layer does without it.
    """
    if context.view_layer.objects.get(active.name) != active:
        # The host knows of what was linked or named just now only after that.
        context.view_layer.update()
    if context.view_layer.objects.get(active.name) != active:
        raise StampwrightError(f"{active.name} is excluded from the view layer: tick its collection in the Outliner")
    for each in context.selected_objects:
        each.select_set(False)
    for each in chosen:
        each.select_set(True)
    context.view_layer.objects.active = active

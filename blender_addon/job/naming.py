"""A stamp has one name: that of its empty in the Outliner is that in its panel, on the ticket and of its files."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..scene.leftovers import number_off
from . import changes

if TYPE_CHECKING:
    from bpy.types import Object

BEFORE = "Stamp "
"""What the name of a new stamp's empty has before the stamp's own."""

SHOWN = ("impression", "in register")
"""What the name of an image on a stamp's sheet has behind the stamp's."""


def heed_name(root: Object) -> None:
    """Call a stamp as its empty was renamed; a number that the host has put behind is no part of a name."""
    held = root.stampwright
    if root.name == held.called or not root.is_editable:
        return
    before, held.called = held.called, root.name
    if before and number_off(root.name) != number_off(before):
        _rename_along(root, before)
    # Stamps of a set share one name, and are told apart by their inks.
    if before and not held.plate.belongs_to and _plain(root.name) != _plain(before):
        held.job_name = _plain(root.name) or root.name


def give_name(root: Object) -> None:
    """Call a stamp's empty, and the collection that bore its name, as the stamp is called in its panel."""
    held = root.stampwright
    if changes.is_quiet() or held.plate.belongs_to or _plain(root.name) == held.job_name:
        return
    before, root.name = root.name, f"{BEFORE}{held.job_name}"
    held.called = root.name
    _rename_along(root, before)


def _rename_along(root: Object, before: str) -> None:
    """Call what bore a stamp's former name, collection and parts with their data, by its new one.

    Names that were given by hand stay.
    """
    for collection in root.users_collection:
        if collection.name == before and collection.is_editable:
            collection.name = root.name
    for child in root.children_recursive:
        for named in _named_with(child):
            of_stamp, _, behind = number_off(named.name).partition(number_off(before))
            if not of_stamp and behind[1:] in (child.stampwright.role, *SHOWN) and named.is_editable:
                named.name = f"{root.name}{behind}"


def _named_with(child: Object) -> list[Any]:
    """Return a child of a stamp, and its data, materials and images: what is called after the stamp."""
    data: Any = child.data
    if data is None:
        return [child]
    materials = [each for each in getattr(data, "materials", ()) if each is not None]
    trees = [each.node_tree for each in materials if each.node_tree is not None]
    images = [getattr(node, "image", None) for tree in trees for node in tree.nodes]
    return [child, data, *materials, *(each for each in images if each is not None)]


def _plain(name: str) -> str:
    return number_off(name).removeprefix(BEFORE)

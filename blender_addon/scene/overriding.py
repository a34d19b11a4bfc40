"""Stamps that are linked from another file and overridden here: what the host keeps of them, and what it does not."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal, TypeVar, get_type_hints

import bpy

if TYPE_CHECKING:
    from bpy.types import Object

Group = TypeVar("Group", bound=type)

KEPT: set[Literal["LIBRARY_OVERRIDABLE"]] = {"LIBRARY_OVERRIDABLE"}
"""Option of a property whose value an override keeps in the file that it is made in."""

GROWING: set[str] = {*KEPT, "USE_INSERTION"}
"""The same of a list, to which an override may add."""


def overridable(group: Group) -> Group:
    """Return a property group, not yet registered, whose properties overrides keep; for use as a decorator."""
    # Evaluated here, as the host does when it enters a group: sources keep annotations as text.
    held = group.__annotations__ = get_type_hints(group)
    for each in held.values():
        is_list = each.function is bpy.props.CollectionProperty
        each.keywords.setdefault("override", GROWING if is_list else KEPT)
    return group


def is_override(held: Any) -> bool:
    """Whether an object, or other data, overrides one that is linked."""
    return held.override_library is not None


def is_locked(root: Object) -> bool:
    """Whether the host lets nobody type into the fields of an override: one that it made along with others."""
    known = root.override_library
    return known is not None and known.is_system_override


def unlock(root: Object) -> None:
    """Have the host take edits of an overridden stamp, and of its parts."""
    for each in (root, *root.children_recursive):
        if each.override_library is not None:
            each.override_library.is_system_override = False


def count_of_library(root: Object, name: str) -> int:
    """Return how many entries of a stamp's list come from the file that it is linked from; an override keeps these."""
    known = root.override_library
    there: Any = known.reference if known is not None else None
    return len(getattr(there.stampwright, name)) if there is not None else 0

"""A stamp has one name: that of its empty in the Outliner is that in its panel, on the ticket and of its files."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from . import changes

if TYPE_CHECKING:
    from bpy.types import Object

BEFORE = "Stamp "
"""What the name of a new stamp's empty has before the stamp's own."""


def heed_name(root: Object) -> None:
    """Call a stamp as its empty was renamed; a number that the host has put behind is no part of a name."""
    held = root.stampwright
    if root.name == held.called or not root.is_editable:
        return
    before, held.called = held.called, root.name
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
    for collection in root.users_collection:
        if collection.name == before:
            collection.name = root.name


def _plain(name: str) -> str:
    return re.sub(r"\.\d{3,}$", "", name).removeprefix(BEFORE)

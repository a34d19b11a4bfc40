"""Assets given to a stamp: from this file, or appended from a library."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy

from ..job import changes
from ..live import following
from ..scene.meaning import Meaning, meaning_of
from ..scene.stamps import PARTS, drawn_by, stamps_in
from ..scene.units import mm_per_unit
from ..stampwright.errors import OutputError, StampwrightError, reason_of

if TYPE_CHECKING:
    from bpy.types import Context, Object

KINDS = {"OBJECT": "objects", "MATERIAL": "materials"}
"""Where the host keeps what an asset of ours may be."""


def asset_in(file: str, kind: str, name: str) -> Any:
    """Return an asset by its kind and name; ``file``: the library that it is appended from, or nothing for this file.

    Raises :class:`StampwrightError` when there is none.
    """
    where = KINDS.get(kind)
    if where is None:
        raise StampwrightError(f"{name} is no handle, base or finish for a stamp")
    if not file:
        found = getattr(bpy.data, where).get(name)
        if found is None:
            raise StampwrightError(f"There is no asset {name} in this file")
        return found
    libraries: Any = bpy.data.libraries
    try:
        with libraries.load(file, link=False) as (there, wanted):
            setattr(wanted, where, [name] if name in getattr(there, where) else [])
    except OSError as error:
        raise OutputError(f"{Path(file).name} cannot be read ({reason_of(error)})") from error
    appended = getattr(wanted, where)
    if not appended:
        raise StampwrightError(f"There is no asset {name} in {Path(file).name}")
    appended[0].asset_clear()
    return appended[0]


def dropped_among(chosen: Iterable[Object]) -> Object | None:
    """Return the first of some objects that is the copy of an asset, as the host makes one of what is dropped."""
    return next((each for each in chosen if each.asset_data is None and meaning_of(each) is not None), None)


def put_away(context: Context, dropped: Object) -> None:
    """Take a copy of an asset out of the scene, whose settings a stamp has by now; a curve in use stays."""
    if any(dropped in drawn_by(root) for root in stamps_in(context.scene)):
        return
    data: Any = dropped.data
    held: Any = bpy.data.meshes if dropped.type == "MESH" else bpy.data.curves
    bpy.data.objects.remove(dropped)
    if data.users == 0:
        held.remove(data)


def use(context: Context, root: Object, asset: Any, change: Callable[[Object, dict[str, Any]], None]) -> None:
    """Give a stamp what an asset stands for; ``change`` sets settings of its job together.

    A finish goes to the part that is active, or to the handle. Raises :class:`StampwrightError` when it is none of
    ours.
    """
    meaning = meaning_of(asset)
    if meaning is None:
        raise StampwrightError(f"{asset.name} is no handle, base or finish for a stamp")
    if meaning.finish:
        _paint(context, root, meaning)
    elif meaning.curve:
        _take_curve(context, root, asset, meaning)
    else:
        change(root, meaning.settings)


def _paint(context: Context, root: Object, meaning: Meaning) -> None:
    active = context.active_object
    role = active.stampwright.role if active is not None and active.parent == root else ""
    part = role if role in PARTS and role != "cushion" else "handle"
    setattr(root.stampwright.pictures, f"{part}_finish", meaning.finish)
    setattr(root.stampwright.pictures, f"{part}_colour", meaning.colour)


def _take_curve(context: Context, root: Object, drawn: Object, meaning: Meaning) -> None:
    """Have a stamp's handle made from a curve, which stands beside it to be drawn on."""
    is_here = any(each == drawn for each in context.scene.objects)
    size = meaning.unit / mm_per_unit(context.scene)
    if not is_here:
        context.scene.collection.objects.link(drawn)
        drawn.location = root.matrix_world.translation
    # The host drops a copy as large as its figures are, in whatever units they were drawn.
    if not is_here or (drawn.asset_data is None and tuple(drawn.scale) == (1.0, 1.0, 1.0)):
        drawn.scale = (size, size, size)
    with changes.quiet():
        held = root.stampwright
        for path, value in meaning.settings.items():
            section, _, name = path.partition(".")
            setattr(getattr(held, section), name, value)
        setattr(held, meaning.curve, drawn)
    context.view_layer.update()
    following.follow(root)

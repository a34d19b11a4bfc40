"""Finishes of the assets that are dropped on a part, noticed at once: they are the stamp's own from then on."""

from __future__ import annotations

from typing import TYPE_CHECKING

import bpy
from bpy.app.handlers import persistent

from .. import loading
from ..scene.meaning import KEPT_AS
from ..scene.nodes import first_material
from ..scene.stamps import PARTS, is_ours, stamps_in

if TYPE_CHECKING:
    from bpy.types import Depsgraph, Object, Scene


@persistent
def _edited(scene: Scene, depsgraph: Depsgraph) -> None:
    """Take up what was dropped once the host has drawn it; it calls this after every edit."""
    kinds = bpy.types.Object | bpy.types.Mesh
    touched: set[bpy.types.ID] = {each.id.original for each in depsgraph.updates if isinstance(each.id, kinds)}
    if any(_bears_asset(child) for root in stamps_in(scene) for child in root.children if _is_one(child, touched)):
        _wait()


def _is_one(child: Object, touched: set[bpy.types.ID]) -> bool:
    return child.stampwright.role in PARTS and (child in touched or child.data in touched)


def _bears_asset(part: Object) -> bool:
    first = first_material(part)
    return first is not None and KEPT_AS in first


def _wait() -> None:
    if not bpy.app.timers.is_registered(take_all):
        bpy.app.timers.register(take_all, first_interval=0.0)


def take_all() -> None:
    """Choose what was dropped on any part of this scene's stamps."""
    take_dropped = loading.load("mockup.scenery.viewport").take_dropped
    for root in stamps_in(bpy.context.scene):
        if is_ours(root):
            take_dropped(root)


def register() -> None:
    """Enter the handler."""
    bpy.app.handlers.depsgraph_update_post.append(_edited)


def unregister() -> None:
    """Take it back."""
    bpy.app.handlers.depsgraph_update_post.remove(_edited)
    if bpy.app.timers.is_registered(take_all):
        bpy.app.timers.unregister(take_all)

"""The stage: a scene of its own with ground, light and camera, and taking it all away without a trace."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import bpy

from ..scene.stamps import stamp_of
from ..scene.views import look_as_before

if TYPE_CHECKING:
    from bpy.types import ID, Context, Object, Scene

MARK = "stampwright_picture"
"""Custom property of everything that belongs to a picture; a scene's holds the arrangement."""

OWNER = "stampwright_stamp"
"""Custom property of an object on a stage: the name of the root of the stamp that it shows."""

STAMPS = "stampwright_stamps"
"""Custom property of a picture's scene: the names of its stamps' roots."""

PRINT = "stampwright_print"
"""Custom property of a sheet on a stage: left, bottom, right and top of the print on it, m."""

VIEWS = (("Khronos PBR Neutral", "None"), ("AgX", "AgX - Medium High Contrast"), ("Standard", "None"))
"""Ways from light to screen, best first: the first keeps the colours that were chosen. Not every version has each."""


def new_stage(title: str, arrangement: str, names: list[str]) -> Any:
    """Return an empty scene in metres, with a world and a camera."""
    scene = mark(bpy.data.scenes.new(title), arrangement)
    scene[STAMPS] = names
    scene.unit_settings.system, scene.unit_settings.scale_length = "METRIC", 1.0
    scene.unit_settings.length_unit = "MILLIMETERS"
    scene.world = mark(bpy.data.worlds.new(title))
    if scene.world.node_tree is None:
        scene.world.use_nodes = True
    for view, look in VIEWS:
        try:
            scene.view_settings.view_transform = view
            scene.view_settings.look = look
        except TypeError:
            continue
        break
    scene.camera = put(scene, f"{title} camera", bpy.data.cameras.new(f"{title} camera"))
    return scene


def hide_what_catches(scene: Any) -> None:
    """Hide from renders what is there to catch shadows alone, where the scene's engine is none that keeps them."""
    for each in scene.objects:
        if each.get(MARK) == "ground":
            # Cycles keeps them; the other engine would draw the ground itself.
            each.hide_render = each.is_shadow_catcher and scene.render.engine != "CYCLES"


def put(
    scene: Scene,
    name: str,
    data: ID | None,
    parent: Object | None = None,
    *,
    role: str = "part",
    owner: Object | None = None,
) -> Object:
    """Return a new object of a stage; without data it is an empty, which others may hang on.

    ``role`` says what it is, and ``owner`` whose stamp it shows, so that its colours can follow that stamp's.
    """
    if data is not None:
        mark(data)
    placed = mark(bpy.data.objects.new(name, data), role)
    if owner is not None:
        placed[OWNER] = owner.name
    placed.parent = parent
    placed.empty_display_size = 0.01
    scene.collection.objects.link(placed)
    return placed


def mark(made: Any, value: str = "part") -> Any:
    """Return a datablock, noted as one that belongs to pictures."""
    made[MARK] = value
    return made


def drop(held: Any) -> None:
    """Remove an object of a stage, or a world, and its data where nothing else uses it."""
    if isinstance(held, bpy.types.World):
        bpy.data.worlds.remove(held)
        return
    data = held.data
    bpy.data.objects.remove(held)
    if data is not None and data.users == 0:
        (bpy.data.lights if isinstance(data, bpy.types.Light) else bpy.data.cameras).remove(data)


def pictures() -> Iterator[Scene]:
    """Yield the scenes of the file that are pictures."""
    for scene in bpy.data.scenes:
        if MARK in scene and scene.library is None:
            yield scene


@contextmanager
def set_aside() -> Iterator[None]:
    """Have the pictures that are there neither shown anew nor replaced, and take away those that are made meanwhile."""
    kept = {scene: scene[MARK] for scene in pictures()}
    for scene in kept:
        del scene[MARK]
    try:
        yield
    finally:
        made = list(pictures())
        for window in bpy.context.window_manager.windows:
            if window.scene in made:
                look_as_before(window.screen)
        strike(made)
        for scene, arrangement in kept.items():
            scene[MARK] = arrangement


def pictured(context: Context) -> Object | None:
    """Return the stamp that pictures are made of: in a picture its own, elsewhere that of the active object."""
    if MARK in context.scene:
        names = context.scene.get(STAMPS, [])
        return next((bpy.data.objects[name] for name in names if name in bpy.data.objects), None)
    return stamp_of(context)


def strike(scenes: list[Scene]) -> None:
    """Take pictures away with all that was made for them; what the user has taken for their own use stays.

    Objects that the user has put on a stage go to the scene that is shown then.
    """
    left = next((scene for scene in bpy.data.scenes if scene not in scenes), None) or bpy.data.scenes.new("Scene")
    for window in bpy.context.window_manager.windows:
        if window.scene in scenes:
            window.scene = left
    ours: set[Any] = set()
    for scene in scenes:
        for each in list(scene.collection.all_objects):
            if MARK in each:
                ours.add(each)
            elif len(each.users_scene) == 1:
                left.collection.objects.link(each)
        ours.add(scene)
    _remove_unused(ours)


def _remove_unused(ours: set[Any]) -> None:
    """Remove scenes and objects, and then whatever of our own nothing uses any more, from the outside in."""
    for each in sorted(ours, key=lambda held: not isinstance(held, bpy.types.Scene)):
        if isinstance(each, bpy.types.Scene):
            bpy.data.scenes.remove(each)
        else:
            bpy.data.objects.remove(each)
    data = bpy.data
    kept: tuple[Any, ...] = (data.meshes, data.lights, data.cameras, data.worlds, data.materials)
    # These may be used by those before them.
    kept += (data.node_groups, data.images, data.actions)
    for held in kept:
        for each in list(held):
            if MARK in each and each.users == 0:
                held.remove(each)

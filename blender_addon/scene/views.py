"""The viewports that are open: having them drawn anew, and what plain solids are coloured by in them."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import bpy

DEPTHS = 2**24
"""How many depths a view can tell apart."""


def scenes_shown() -> list[Any]:
    """Return the scene that is worked in, and behind it those that other windows show."""
    return list(dict.fromkeys([bpy.context.scene, *(each.scene for each in bpy.context.window_manager.windows)]))


@contextmanager
def where_it_is(shown: Any) -> Iterator[None]:
    """Work in the scene of an object, where that is shown in another window than the one that is worked in."""
    held = shown.users_scene
    windows = [each for each in bpy.context.window_manager.windows if each.scene in held]
    if bpy.context.scene in held or not windows:
        yield
        return
    scene, layer = windows[0].scene, windows[0].view_layer
    with bpy.context.temp_override(window=windows[0], scene=scene, view_layer=layer):
        yield


def redraw() -> None:
    """Have every viewport draw anew, sidebar and overlay with it."""
    for window in bpy.context.window_manager.windows:
        for area in window.screen.areas:
            if area.type == "VIEW_3D":
                area.tag_redraw()


def redraw_sidebars() -> None:
    """Have the sidebars alone draw anew: how far something is changes nothing in the view beside them."""
    for window in bpy.context.window_manager.windows:
        for area in window.screen.areas:
            for region in area.regions if area.type == "VIEW_3D" else ():
                if region.type == "UI":
                    region.tag_redraw()


def turn_of_view(context: Any) -> list[float] | None:
    """Return where right, up and towards the viewer point in the viewport that is worked in, nine numbers, or None."""
    space = context.space_data
    if space is None or space.type != "VIEW_3D":
        areas = [area for area in context.screen.areas if area.type == "VIEW_3D"] if context.screen else []
        space = areas[0].spaces.active if areas else None
    if space is None:
        return None
    rows = space.region_3d.view_rotation.to_matrix().transposed()
    return [number for row in rows for number in row]


def depth_step(space: Any, place: Any) -> float:
    """Return how far apart two surfaces at a place must lie for a view to tell which is in front, Blender units."""
    view = space.region_3d
    if not view.is_perspective:
        return 2.0 * space.clip_end / DEPTHS
    eye = view.view_matrix.inverted().translation
    return (place - eye).length_squared / (space.clip_start * DEPTHS)


def colour_views(*, by_pressure: bool) -> None:
    """Have the viewports that show plain solids show colours of vertices, or what they show as they come."""
    for window in bpy.context.window_manager.windows:
        for area in window.screen.areas:
            for space in area.spaces:
                if not isinstance(space, bpy.types.SpaceView3D):
                    continue
                if by_pressure and space.shading.color_type == "MATERIAL":
                    space.shading.color_type = "VERTEX"
                elif not by_pressure and space.shading.color_type == "VERTEX":
                    space.shading.color_type = "MATERIAL"


LOOKS = ("view_perspective", "view_location", "view_rotation", "view_distance")
"""From where a viewport looks, and how."""

_looks: dict[tuple[str, int], dict[str, Any]] = {}


def keep_looks(screen: Any) -> None:
    """Note how the viewports of a screen look now: so they will when they have looked through the camera."""
    for place, view in _viewports(screen):
        _looks[place] = {name: _copied(getattr(view, name)) for name in LOOKS}


def look_through_camera(screen: Any) -> None:
    """Have the viewports of a screen look through the camera."""
    for _, view in _viewports(screen):
        view.view_perspective = "CAMERA"


def look_as_before(screen: Any) -> None:
    """Have the viewports of a screen look as they did before they looked through the camera."""
    for place, view in _viewports(screen):
        kept = _looks.pop(place, None)
        if kept is None and view.view_perspective == "CAMERA":
            kept = {"view_perspective": "PERSP"}
        for name, value in (kept or {}).items():
            setattr(view, name, value)


def _viewports(screen: Any) -> Iterator[tuple[tuple[str, int], Any]]:
    """Yield the view of each viewport of a screen, and what tells it from others."""
    for number, area in enumerate(screen.areas if screen is not None else ()):
        if area.type == "VIEW_3D":
            yield (screen.name, number), area.spaces.active.region_3d


def _copied(value: Any) -> Any:
    return value.copy() if hasattr(value, "copy") else value


def show_image(context: Any, image: Any) -> None:
    """Show an image in the first Image Editor that is open, all of it."""
    for window in context.window_manager.windows:
        for area in window.screen.areas:
            if area.type == "IMAGE_EDITOR":
                area.spaces.active.image = image
                region = next(each for each in area.regions if each.type == "WINDOW")
                with context.temp_override(window=window, area=area, region=region):
                    bpy.ops.image.view_all(fit_view=True)
                return

"""Which ink of a set a stamp prints, kept with its properties; and the settings that all stamps of a set share."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import EnumProperty, FloatVectorProperty, IntProperty, StringProperty

from ..scene.overriding import overridable
from ..scene.stamps import stamps_in
from ..stampwright.job.inks import INK_SETTINGS, Ink
from ..stampwright.job.labels import choice_label
from ..stampwright.looks.colours import html_code, rgb
from . import changes
from .settings import copy_settings

if TYPE_CHECKING:
    from bpy.types import Object, Scene

SHARED = ("job_name", "pieces", "measured", "artwork_file", "live", "picture_from", "face_image", "face_texture")
"""What stamps of a set have alike besides the settings of the job and what they are drawn with."""

CURVES = ("base_curve", "profile_curve", "outline_curve")

OF_SOURCE = ("object", "drawn_as", "plane", "view", "line_width", "textured")


def ink_group(changed: Callable[..., None]) -> type[bpy.types.PropertyGroup]:
    """Return the property group of the ink that a stamp prints, not yet registered; ``changed``: called on edits."""
    laid = INK_SETTINGS["laid"]
    choices = [(each, choice_label(each), reason) for each, reason in laid.choices.items()]
    group = type(
        "STAMPWRIGHT_PG_plate",
        (bpy.types.PropertyGroup,),
        {
            "__doc__": "The ink that a stamp of a set prints.",
            "__module__": __name__,
            "__annotations__": {
                "belongs_to": StringProperty(
                    name="Set", description="By which the stamps of a set are known; empty for a stamp by itself"
                ),
                "ink": StringProperty(name="Ink Name", description=INK_SETTINGS["name"].reason),
                "painted": StringProperty(
                    name="Painted With", description="Materials that this ink prints, as JSON", default="[]"
                ),
                "taken": StringProperty(
                    name="Colours Taken", description="Colours of the art that it prints, as JSON", default="[]"
                ),
                "colour": FloatVectorProperty(
                    name="Ink Colour",
                    description=INK_SETTINGS["colour"].reason,
                    subtype="COLOR_GAMMA",
                    size=3,
                    min=0.0,
                    max=1.0,
                    default=rgb(Ink().colour),
                    update=changed,
                ),
                "order": IntProperty(
                    name="Printed As", description=INK_SETTINGS["order"].reason, min=0, max=100, update=changed
                ),
                "laid": EnumProperty(name="Laid", description=laid.reason, items=choices, update=changed),
            },
        },
    )
    return overridable(group)


def plate_ink(held: Any) -> Ink | None:
    """Return the ink that a stamp prints; None for a stamp that belongs to no set. Raises :class:`JobError`."""
    plate = held.plate
    if not plate.belongs_to:
        return None
    return Ink(
        name=plate.ink,
        colour=html_code(plate.colour),
        layers=tuple(json.loads(plate.painted)),
        colours=tuple(json.loads(plate.taken)),
        order=plate.order,
        laid=plate.laid,
    )


def give_plate(held: Any, ink: Ink, belongs_to: str) -> None:
    """Have a stamp print an ink of a set."""
    plate = held.plate
    plate.belongs_to, plate.ink, plate.laid, plate.order = belongs_to, ink.name, ink.laid, ink.order
    plate.colour = rgb(ink.colour)
    plate.painted, plate.taken = json.dumps(ink.layers), json.dumps(ink.colours)


def stamps_of_set(root: Object, scene: Scene) -> list[Object]:
    """Return all stamps of the set that a stamp belongs to, each ink once, in printing order; none for a single one.

    A copy of one of them prints the same ink, and is left out.
    """
    name = root.stampwright.plate.belongs_to
    if not name:
        return []
    found: dict[str, Object] = {}
    for each in (root, *stamps_in(scene)):
        plate = each.stampwright.plate
        if plate.belongs_to == name:
            found.setdefault(plate.ink, each)
    return sorted(found.values(), key=lambda each: (each.stampwright.plate.order or 1000, each.stampwright.plate.ink))


def share(root: Object) -> Iterator[Object]:
    """Give the other stamps of a set what was set of one, and yield each of them; none is told of as a change."""
    for scene in root.users_scene:
        for other in stamps_of_set(root, scene):
            if other is root:
                continue
            with changes.quiet():
                copy_all(root.stampwright, other.stampwright)
            yield other


def copy_all(held: Any, to: Any) -> None:
    """Give one stamp all settings of another, and what it is drawn with; which ink it prints stays its own."""
    copy_settings(held, to)
    for name in (*SHARED, *CURVES):
        if getattr(to, name) != getattr(held, name):
            setattr(to, name, getattr(held, name))
    if _of_sources(held) == _of_sources(to):
        return
    to.sources.clear()
    for source in held.sources:
        twin = to.sources.add()
        for name in OF_SOURCE:
            setattr(twin, name, getattr(source, name))


def _of_sources(held: Any) -> list[tuple[Any, ...]]:
    return [
        tuple(value[:] if name == "view" else value for name in OF_SOURCE for value in (getattr(source, name),))
        for source in held.sources
    ]

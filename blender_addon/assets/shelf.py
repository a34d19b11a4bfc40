"""Things of this file marked as assets: those that come with the extension, and an artist's own handle."""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING, Any

import bpy
from shapely.geometry import MultiPolygon

from ..artwork.drawing import draw_outline
from ..job.presets import presets_of
from ..mockup.looks.choosing import key_of
from ..mockup.materials.filaments import FINISHES
from ..mockup.materials.palette import colour, colours_of
from ..mockup.scenery.viewport import coloured
from ..scene.meaning import Meaning, meaning_of
from ..scene.parts import write_mesh
from ..scene.units import mm_per_unit
from ..stampwright.job import Job
from ..stampwright.layout.bases import outline_base
from ..stampwright.parts.handle import build_handle
from ..stampwright.solids import Solid
from . import thumbnails
from .nodes import lift_nodes

if TYPE_CHECKING:
    from bpy.types import Context, Object

TAG = "Stampwright"

CATALOGUES = {
    kind: str(uuid.uuid5(uuid.NAMESPACE_OID, f"stampwright {kind}"))
    for kind in ("Handles", "Bases", "Finishes", "Nodes")
}
"""Catalogues that the asset browser shows the assets in, and the numbers that the host knows them by."""

BASES = {
    "Round 50": {"base.outline": "round", "base.width": 50.0},
    "Rectangle 60 x 25": {"base.outline": "rectangle", "base.width": 60.0, "base.height": 25.0},
    "Ellipse 50 x 30": {"base.outline": "ellipse", "base.width": 50.0, "base.height": 30.0},
}
"""Outlines of bases, mm, and the settings that each stands for."""

OWN_CURVES = {
    "turned": ("profile_curve", "Profile of a turned handle"),
    "straight": ("outline_curve", "Outline of a straight handle"),
}
"""Forms of the handle that a curve gives: the stamp's property that holds it, and what it is."""


def add_assets(context: Context) -> list[Any]:
    """Return what comes with the extension as assets of this file, made where it is not there yet."""
    nodes = lift_nodes()
    _mark(nodes, "Nodes", "Lifts the face of a sculpted die by a figure or a texture", thumbnails.of_lift())
    return [nodes, *_finishes(), *_bases(context), *_handles(context)]


def keep_handle(root: Object, drawn: Object, context: Context) -> None:
    """Mark the curve that a stamp's handle is made from as an asset, with all that its handle is set to."""
    form = root.stampwright.handle.form
    holder, told = OWN_CURVES[form]
    own = {"handle.form": form, "handle.height": float(root.stampwright.handle.height)}
    Meaning(own, curve=holder, unit=mm_per_unit(context.scene)).keep_on(drawn)
    _mark(drawn, "Handles", told, thumbnails.of_curve(drawn))


def _finishes() -> list[Any]:
    colours, given = list(colours_of("filament")), []
    for number, (key, finish) in enumerate(FINISHES.items()):
        chosen = colours[number % len(colours)]
        title = f"{finish.label}, {chosen}"
        material = _present(bpy.data.materials, title)
        if material is None:
            # One of its own: those of the parts follow their stamp's settings.
            material = coloured(bpy.data.materials.new(title), colour("filament", chosen), finish)
            Meaning({}, finish=key, colour=key_of(chosen)).keep_on(material)
        picture = thumbnails.of_finish(colour("filament", chosen), finish.roughness, finish.metallic)
        _mark(material, "Finishes", f"{finish.label} filament", picture)
        given.append(material)
    return given


def _bases(context: Context) -> list[Object]:
    given = []
    for name, settings in BASES.items():
        title = f"Base, {name}"
        region = outline_base(Job().with_values(settings).base)
        drawn = _present(bpy.data.objects, title)
        if drawn is None:
            drawn = draw_outline(context, title, region)
            Meaning(settings, unit=mm_per_unit(context.scene)).keep_on(drawn)
            _put_away(context, drawn)
        _mark(drawn, "Bases", "Outline of a base", thumbnails.of_region(region))
        given.append(drawn)
    return given


def _handles(context: Context) -> list[Object]:
    given = []
    for name, settings in presets_of("handle").items():
        solid = _handle(settings)
        if solid is None:
            continue
        title = f"Handle, {name}"
        made = _present(bpy.data.objects, title)
        if made is None:
            made = bpy.data.objects.new(title, bpy.data.meshes.new(title))
            write_mesh(made.data, solid.vertices / mm_per_unit(context.scene), solid.triangles)
            Meaning(settings, unit=mm_per_unit(context.scene)).keep_on(made)
            made.use_fake_user = True
        _mark(made, "Handles", "Form of a handle, as on a round base of 50 mm", thumbnails.of_solid(solid))
        given.append(made)
    return given


def _handle(settings: dict[str, Any]) -> Solid | None:
    """Return a handle as it comes out on the usual base, without a picture of any impression."""
    job = Job().with_values({**settings, "handle.index": "none"})
    printer = job.printer.hard
    made, _ = build_handle(
        outline_base(job.base),
        MultiPolygon(),
        job.handle,
        job.backing,
        round_base=True,
        layer=printer.layer,
        line_width=printer.line_width,
    )
    return made


def _present(held: Any, title: str) -> Any:
    """Return what of ours is there under a name; something else of the same name is not ours."""
    return next(
        (each for each in held if each.library is None and each.name == title and meaning_of(each) is not None), None
    )


def _put_away(context: Context, drawn: Object) -> None:
    """Take an object out of the scene: an asset waits in the browser."""
    context.scene.collection.objects.unlink(drawn)
    drawn.use_fake_user = True


def _mark(each: Any, kind: str, told: str, picture: Any = None) -> None:
    each.asset_mark()
    about = each.asset_data
    about.description, about.catalog_id = told, CATALOGUES[kind]
    if TAG not in {tag.name for tag in about.tags}:
        about.tags.new(TAG)
    if picture is not None:
        thumbnails.lay_on(each, picture)

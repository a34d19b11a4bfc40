"""Things of this file marked as assets: those that come with the extension, and an artist's own."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ..artwork.drawing import draw_outline
from ..mockup.viewport import finish_materials
from ..stampwright.job.sections.placing import BaseSection
from ..stampwright.layout.bases import outline_base
from .nodes import lift_nodes

if TYPE_CHECKING:
    from bpy.types import Context, Object

BASES = {
    "Base, Round 50": BaseSection(outline="round", width=50.0),
    "Base, Rectangle 60 x 25": BaseSection(outline="rectangle", width=60.0, height=25.0),
    "Base, Ellipse 50 x 30": BaseSection(outline="ellipse", width=50.0, height=30.0),
}
"""Outlines that a base may be drawn from, mm."""

TAG = "Stampwright"


def add_assets(context: Context) -> list[Any]:
    """Return what comes with the extension as assets of this file, made where it is not there yet."""
    given = [lift_nodes(), *finish_materials()]
    given += [_base(context, name, section) for name, section in BASES.items()]
    for each in given:
        _mark(each)
    return given


def keep_handle(drawn: Object, told: str) -> None:
    """Mark the curve that a handle is made from as an asset, with a word on what it is."""
    _mark(drawn)
    about: Any = drawn.asset_data
    about.description = told


def _base(context: Context, name: str, section: BaseSection) -> Object:
    present = bpy.data.objects.get(name)
    if present is not None:
        return present
    drawn = draw_outline(context, name, outline_base(section))
    # An asset waits in the browser, not in the scene.
    context.scene.collection.objects.unlink(drawn)
    drawn.use_fake_user = True
    return drawn


def _mark(each: Any) -> None:
    each.asset_mark()
    if TAG not in {tag.name for tag in each.asset_data.tags}:
        each.asset_data.tags.new(TAG)
    if not bpy.app.background:
        each.asset_generate_preview()

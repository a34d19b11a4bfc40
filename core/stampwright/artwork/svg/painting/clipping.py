"""Clip paths and clipping viewports as regions of the page (CSS Masking 1, chapter 5)."""

from __future__ import annotations

from dataclasses import replace

from shapely.geometry.base import BaseGeometry

from ...outlines.crossing import NOTHING
from ...outlines.filling import united
from ..placing.boxes import bounding_box, unit_box
from ..placing.place import Place
from ..placing.transforms import transform_of
from ..seeing.inking import within
from ..seeing.marks import Painted
from ..source.document import Element
from ..styling.cascade import own_value
from .clip_shapes import clip_shape
from .sheet import Sheet, home_place, referred_id, referring


def clipped_to(place: Place, shown: BaseGeometry) -> Place:
    """Return the place with nothing outside ``shown`` drawn."""
    return replace(place, clip=shown if place.clip is None else within(shown, place.clip))


def clip_of(
    sheet: Sheet, element: Element, place: Place, clipped: tuple[Element, Place] | None = None
) -> BaseGeometry | None:
    """Return the region that the element's clip path shows, None when it has none.

    ``clipped``: the element whose box it refers to, and its place, where that is another one.
    """
    value = own_value(place.declared, {}, "clip-path")
    if value == "none":
        return None
    identity = referred_id(value)
    if identity is None and (shape := clip_shape(sheet, *(clipped or (element, place)), value)) is not None:
        return shape
    if identity is None:
        sheet.notes.add("clip left out", f'clip-path "{value[:40]}" is not applied', element)
        return None
    clip = sheet.document.by_id.get(identity)
    if clip is None or clip.name != "clipPath":
        return None
    if id(clip) in place.chain:
        sheet.notes.add("circular reference", "a clip path that refers back to itself is not applied there", clip)
        return None
    return _shown_by(sheet, clip, place, clipped or (element, place))


def _shown_by(sheet: Sheet, clip: Element, place: Place, clipped: tuple[Element, Place]) -> BaseGeometry:
    declared = sheet.cascade.declared(clip)
    inside = replace(
        home_place(sheet, clip, place).styled(declared), clip=None, purpose="clip", chain=place.chain | {id(clip)}
    )
    # What clips the clip path is laid as on the element itself, outside the clip path's own transform and units.
    around = inside
    matrix = transform_of(sheet, clip, inside)
    if matrix is None:
        return NOTHING
    inside = inside.moved(matrix)
    if clip.attrib.get("clipPathUnits") == "objectBoundingBox":
        box = bounding_box(sheet, *clipped)
        if box is None:
            return NOTHING
        inside = inside.moved(unit_box(box))
    with referring(sheet):
        own = clip_of(sheet, clip, around, clipped)
        marks = [mark for mark in sheet.painter.elements(sheet, clip.children, inside) if isinstance(mark, Painted)]
    shown = united([mark.region if mark.clip is None else within(mark.region, mark.clip) for mark in marks])
    return shown if own is None else within(shown, own)

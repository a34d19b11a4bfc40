"""Clip paths and clipping viewports as regions of the page (CSS Masking 1, chapter 5)."""

from __future__ import annotations

from dataclasses import replace

import shapely
from shapely.geometry.base import BaseGeometry

from ..outlines.filling import NOTHING, united
from ..seeing.inking import within
from ..seeing.marks import Mark
from ..source.document import Element
from ..styling.cascade import own_value
from ..styling.values import IDENTITY, Matrix, transform
from .place import Place
from .sheet import Sheet, home_place, referred_id, referring


def box_on_paper(matrix: Matrix, x: float, y: float, width: float, height: float) -> BaseGeometry:
    """Return a rectangle of user units as a region of the page, mm, paper frame."""
    a, b, c, d, e, f = matrix
    corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]
    return shapely.Polygon([(a * px + c * py + e, b * px + d * py + f) for px, py in corners])


def clipped_to(place: Place, shown: BaseGeometry) -> Place:
    """Return the place with nothing outside ``shown`` drawn."""
    return replace(place, clip=shown if place.clip is None else within(shown, place.clip))


def clip_of(sheet: Sheet, element: Element, place: Place) -> BaseGeometry | None:
    """Return the region that the element's clip path shows, None when it has none."""
    value = own_value(place.declared, {}, "clip-path")
    if value == "none":
        return None
    identity = referred_id(value)
    if identity is None:
        sheet.notes.add("clip left out", f'clip-path "{value[:40]}" is not applied', element)
        return None
    clip = sheet.document.by_id.get(identity)
    if clip is None or clip.name != "clipPath":
        return None
    return _shown_by(sheet, clip, element, place)


def _shown_by(sheet: Sheet, clip: Element, element: Element, place: Place) -> BaseGeometry:
    if id(clip) in place.chain:
        sheet.notes.add("circular reference", "a clip path that refers back to itself shows nothing", clip)
        return NOTHING
    declared = sheet.cascade.declared(clip)
    inside = replace(
        home_place(sheet, clip, place).styled(declared), clip=None, purpose="clip", chain=place.chain | {id(clip)}
    )
    inside = inside.moved(transform(clip.attrib.get("transform", "")) or IDENTITY)
    if clip.attrib.get("clipPathUnits") == "objectBoundingBox":
        box = bounding_box(sheet, element, place)
        if box is None:
            return NOTHING
        inside = inside.moved(unit_box(box))
    with referring(sheet):
        own = clip_of(sheet, clip, inside)
        marks = [mark for mark in sheet.painter.elements(sheet, clip.children, inside) if isinstance(mark, Mark)]
    shown = united([mark.region if mark.clip is None else within(mark.region, mark.clip) for mark in marks])
    return shown if own is None else within(shown, own)


def bounding_box(sheet: Sheet, element: Element, place: Place) -> tuple[float, float, float, float] | None:
    """Return left, top, right, bottom of an element's fill geometry, user units; None when it has no extent."""
    flat = replace(place, matrix=IDENTITY, clip=None, purpose="measure")
    with referring(sheet):
        marks = [mark for mark in sheet.painter.content(sheet, element, flat) if isinstance(mark, Mark)]
    if not marks:
        return None
    left, top, right, bottom = (float(side) for side in shapely.total_bounds([mark.region for mark in marks]))
    return (left, top, right, bottom) if right > left and bottom > top else None


def unit_box(box: tuple[float, float, float, float]) -> Matrix:
    """Return the matrix that takes the unit square to ``box``: left, top, right, bottom."""
    left, top, right, bottom = box
    return right - left, 0.0, 0.0, bottom - top, left, top

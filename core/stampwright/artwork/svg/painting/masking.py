"""Masks as sheets whose tone lets what is below them through (CSS Masking 1, chapter 6)."""

from __future__ import annotations

from dataclasses import replace

from ..placing.boxes import bounding_box, box_on_paper, unit_box
from ..placing.place import Place
from ..seeing.marks import PaintedGroup
from ..source.document import Element
from ..styling.cascade import own_value
from ..styling.values import length
from .clipping import clipped_to
from .sheet import Sheet, home_place, referred_id, referring


def mask_of(sheet: Sheet, element: Element, place: Place, value: str) -> tuple[PaintedGroup, bool] | None:
    """Return the sheet that masks an element, and whether its opacity counts instead of its luminance.

    ``value``: the mask property. None when it names no mask.
    """
    identity = referred_id(value)
    mask = sheet.document.by_id.get(identity or "")
    if mask is None or mask.name != "mask":
        if identity is None:
            sheet.notes.add("mask left out", f'mask "{value[:40]}" is not applied', element)
        return None
    sheet_above = PaintedGroup()
    if id(mask) in place.chain:
        sheet.notes.add("circular reference", "a mask that refers back to itself is not applied there", mask)
        return None
    declared = sheet.cascade.declared_in(mask, place.style)
    by_opacity = own_value(declared, {}, "mask-type") == "alpha"
    box = bounding_box(sheet, element, place)
    by_box = mask.attrib.get("maskUnits") != "userSpaceOnUse"
    content_by_box = mask.attrib.get("maskContentUnits") == "objectBoundingBox"
    if box is None and (by_box or content_by_box):
        return sheet_above, True
    inside = home_place(sheet, mask, place).styled(declared)
    inside = replace(inside, clip=None, chain=place.chain | {id(mask)}, solid=False)
    sides = []
    for name, default, direction in (
        ("x", "-10%", "x"),
        ("y", "-10%", "y"),
        ("width", "120%", "x"),
        ("height", "120%", "y"),
    ):
        text = mask.attrib.get(name, default)
        sides.append((length(text, whole=1.0) if by_box else place.length(text, direction)) or 0.0)
    frame = inside.moved(unit_box(box)) if by_box and box is not None else inside
    if sides[2] <= 0 or sides[3] <= 0:
        return sheet_above, True
    inside = clipped_to(inside, box_on_paper(frame.matrix, *sides))
    if content_by_box and box is not None:
        inside = inside.moved(unit_box(box))
    with referring(sheet):
        outer = own_value(declared, {}, "mask")
        above = mask_of(sheet, element, replace(place, chain=inside.chain), outer) if outer != "none" else None
        sheet_above.items = sheet.painter.elements(sheet, mask.children, inside)
    if above is not None:
        sheet_above.masks.append(above)
    return sheet_above, by_opacity

"""Pictures embedded in a drawing: bitmaps traced at half brightness, drawings walked like any other."""

from __future__ import annotations

import base64
import binascii
import math
import re
from dataclasses import replace
from urllib.parse import unquote_to_bytes

import numpy as np
import shapely
from PIL import Image

from ....errors import ArtworkError
from ...tracing import Picture, decode_picture, flatten_light
from ..paints.colours import BLACK
from ..placing.boxes import box_on_paper
from ..placing.place import Place
from ..placing.viewports import DEFAULT_PAGE, fitting, page_size, view_box
from ..seeing.inking import within
from ..seeing.marks import Item, Painted
from ..source import parse_document, unpacked
from ..source.document import Element
from ..styling.cascade import Cascade
from ..styling.values import PX_TO_MM
from .clipping import clipped_to
from .rasters import Tones, raster_marks
from .sheet import Sheet, referring

_DATA = re.compile(r"\s*data:([^;,]*)((?:;[^;,]*)*),", re.IGNORECASE)

MOST_MAGNIFIED = 4_000_000
"""Pixels up to which a bitmap is magnified before it is traced; its edges then bend within less than one of its own."""

SCAN_COVERS = 0.8
"""Share of the page that a grey picture covers to be taken for a scan of all the art (assumed)."""

_ROUGH = frozenset(("optimizespeed", "pixelated", "crisp-edges", "-moz-crisp-edges", "-webkit-optimize-contrast"))
"""Values of image-rendering that keep the corners of pixels."""


def image_items(sheet: Sheet, element: Element, place: Place) -> list[Item]:
    """Return what an ``image`` lays on the page; nothing outside the file is ever read."""
    width, height = (
        place.length(sheet.cascade.geometry(element, name, place.style), name[0]) for name in ("width", "height")
    )
    x, y = (place.length(sheet.cascade.geometry(element, name, place.style), name) or 0.0 for name in ("x", "y"))
    link = element.href or ""
    if place.measuring:
        return [Painted(box_on_paper(place.matrix, x, y, width or 0.0, height or 0.0), BLACK)]
    if place.purpose == "clip" or place.style["visibility"] != "visible":
        return []
    matched = _DATA.match(link)
    if matched is None:
        sheet.notes.add(
            "external reference",
            "an image outside the file was not read",
            element,
            remedy="Embed the image in the drawing.",
        )
        return []
    sheet.count_picture(len(link))
    try:
        data = _decoded(link[matched.end() :], "base64" in matched[2].lower())
        if "svg" in matched[1].lower():
            return _drawing(sheet, element, place, data, (x, y, width, height))
        return _bitmap(sheet, element, place, data, (x, y, width, height))
    except ArtworkError as error:
        sheet.notes.add("image left out", f"an embedded image could not be read ({error})", element)
        return []


def _decoded(text: str, in_base64: bool) -> bytes:
    if not in_base64:
        return unquote_to_bytes(text)
    try:
        return base64.b64decode("".join(text.split()) + "==")
    except (binascii.Error, ValueError) as error:
        raise ArtworkError("its data is not base64") from error


ImageRoom = tuple[float, float, float | None, float | None]
"""x, y, width and height that the element gives, user units."""


def _fitted(element: Element, place: Place, room: ImageRoom, size: tuple[float, float]) -> Place | None:
    """Return the place of a picture of ``size`` in the room that its element gives it."""
    x, y, width, height = room
    if width is None:
        width = size[0] if height is None else height * size[0] / size[1]
    if height is None:
        height = width * size[1] / size[0]
    if width <= 0 or height <= 0:
        return None
    fit = fitting((0.0, 0.0, *size), element.attrib.get("preserveAspectRatio"), width, height)
    if fit is None:
        return None
    moved = place.moved((1, 0, 0, 1, x, y))
    return clipped_to(moved, box_on_paper(moved.matrix, 0, 0, width, height)).moved(fit)


def _bitmap(sheet: Sheet, element: Element, place: Place, data: bytes, room: ImageRoom) -> list[Item]:
    picture = decode_picture(data, name=element.described())
    rows, columns = picture.grey.shape
    sheet.count_picture(rows * columns)
    inside = _fitted(element, place, room, (float(columns), float(rows)))
    if inside is None:
        return []
    how = "in its tones" if sheet.toned else "at half brightness"
    sheet.notes.add("image traced", f"an embedded image was traced {how}", element, severity="notes")
    if sheet.evens_light and _is_scan(picture, inside):
        picture = _evened(sheet, element, picture)
    rough = place.style["image-rendering"].lower() in _ROUGH
    finer = max(1, min(8, math.isqrt(MOST_MAGNIFIED // picture.grey.size)))
    over_white = over_black = _magnified(picture.grey, finer, rough)
    if picture.cover is not None:
        over_black = over_white + _magnified(picture.cover, finer, rough) - np.float32(1.0)
    return raster_marks(sheet, element, inside, (over_white, over_black), finer)


def _is_scan(picture: Picture, place: Place) -> bool:
    """Say whether a picture is a page laid under a scanner or a camera: grey, opaque, and most of the drawing."""
    if picture.tinted or picture.cover is not None:
        return False
    rows, columns = picture.grey.shape
    shown = within(box_on_paper(place.matrix, 0, 0, columns, rows), shapely.box(*_page_on_paper(place)))
    if place.clip is not None:
        shown = within(shown, place.clip)
    return bool(shown.area >= SCAN_COVERS * math.prod(place.page) * PX_TO_MM**2)


def _page_on_paper(place: Place) -> tuple[float, float, float, float]:
    return 0.0, 0.0, place.page[0] * PX_TO_MM, place.page[1] * PX_TO_MM


def _evened(sheet: Sheet, element: Element, picture: Picture) -> Picture:
    """Return a scan as if evenly lit, as one in a file of its own is taken."""
    grey, fall = flatten_light(picture.grey)
    if fall:
        sheet.notes.add(
            "uneven light",
            f"the light falls off by {fall:.0%} over an embedded scan; it was evened out",
            element,
            remedy="Scan it, or light it from two sides; or set tracing.flatten_light = false.",
            severity="notes",
        )
    return replace(picture, grey=grey)


def _magnified(tones: Tones, finer: int, rough: bool) -> Tones:
    """Return a raster with ``finer`` times as many pixels each way, smoothly or with the corners of pixels kept."""
    if finer == 1:
        return tones
    rows, columns = tones.shape
    how = Image.Resampling.NEAREST if rough else Image.Resampling.BICUBIC
    return np.asarray(Image.fromarray(tones).resize((columns * finer, rows * finer), how))


def _drawing(sheet: Sheet, element: Element, place: Place, data: bytes, room: ImageRoom) -> list[Item]:
    document = parse_document(unpacked(data, sheet.limits), sheet.limits)
    # One that states no size fills the room that it is given.
    across, up = (usual if given is None else given for given, usual in zip(room[2:], DEFAULT_PAGE, strict=True))
    # Nor does one whose size is a share of a window.
    given = {name: text for name, text in document.root.attrib.items() if not text.strip().endswith("%")}
    size = page_size(given.get, lambda: (across, up))
    if min(size) <= 0:
        return []
    box = view_box(document.root.attrib.get("viewBox"))
    inside = _fitted(element, place, room, size)
    if inside is None or (box is not None and min(box[2:]) <= 0):
        return []
    cascade = Cascade(document, sheet.notes, size)
    inner = replace(sheet, document=document, cascade=cascade, outlines={}, homes={}, evens_light=False)
    fresh = Place.on_page(size, inside.matrix, cascade.declared(document.root))
    shown = inside.clip
    if "width" in given or "height" in given:
        # What lies beyond a page of its own is not shown.
        shown = clipped_to(inside, box_on_paper(inside.matrix, 0, 0, *size)).clip
    fresh = replace(fresh, clip=shown, solid=inside.solid)
    try:
        with referring(inner):
            return inner.painter.elements(inner, [document.root], fresh)
    finally:
        # What a picture has spent is spent, also when it is left out in the end.
        for spent in ("drawn", "points", "dashes", "pictured", "filtered", "two_toned"):
            setattr(sheet, spent, getattr(inner, spent))

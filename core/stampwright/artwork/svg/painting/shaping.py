"""Basic shapes and paths as marks: their fill and their stroke, each in its paint."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from ...limits import beyond
from ...outlines.crossing import NOTHING
from ...outlines.curves import CURVE, Outline, Polylines, flattened, transformed
from ...outlines.dashing import count_dashes, total_length
from ...outlines.filling import filled
from ...outlines.stroking import Pen, stroked
from ..paints.colours import BLACK
from ..paints.laying import laid
from ..placing.place import Place
from ..seeing.marks import Item, Painted
from ..source.document import Element
from ..styling.values import PX_TO_MM, Matrix, length, number, stretch
from .markers import marker_items
from .sheet import Sheet, outline_of

MEASURED_POINTS = 2_000_000
"""Points over which an outline is measured at the most."""

OVERSIGHT = 0.3
"""mm; ends of an outline nearer to each other than this were meant to meet (assumed)."""


def marks_of_shape(sheet: Sheet, element: Element, place: Place) -> list[Item]:
    """Return the marks that a shape lays down, its fill below its stroke unless paint-order says otherwise."""
    outline = outline_of(sheet, element, place)
    if not len(outline.kinds):
        return []
    if place.measuring:
        return _extents(sheet, element, place, outline)
    if place.style["visibility"] != "visible":
        return []
    if place.purpose == "clip":
        return [Painted(filled_region(sheet, element, place, outline, place.style["clip-rule"]), BLACK, place.clip)]
    return marks_of_outline(sheet, element, place, outline)


def marks_of_outline(sheet: Sheet, element: Element, place: Place, outline: Outline) -> list[Item]:
    """Return the marks that an outline in user units lays down with the fill and stroke of ``place``."""
    items: list[Item] = []
    for part in painting_order(place.style["paint-order"]):
        if part == "markers":
            items += marker_items(sheet, element, place, outline)
        elif place.style[part] != "none":
            region = (
                filled_region(sheet, element, place, outline, place.style["fill-rule"])
                if part == "fill"
                else stroked_region(sheet, element, place, outline)
            )
            if not region.is_empty:
                items += laid(sheet, element, place, part, region)
    return items


def filled_region(sheet: Sheet, element: Element, place: Place, outline: Outline, rule: str) -> BaseGeometry:
    """Return what the outline fills; mm, paper frame."""
    lines = sheet.flat(sheet.placed(outline, place.matrix, element), sheet.tolerance)
    _note_open(sheet, element, lines)
    return filled(lines.rings(), "evenodd" if rule == "evenodd" else "nonzero", sheet.limits)


def _note_open(sheet: Sheet, element: Element, lines: Polylines) -> None:
    """Note outlines left open by so little that it looks like an oversight; filling closes them."""
    first, last = lines.points[lines.starts[:-1]], lines.points[lines.starts[1:] - 1]
    gaps = np.hypot(*(last - first).T)
    if ((gaps > 1e-6) & (gaps < OVERSIGHT) & ~lines.closed & (np.diff(lines.starts) > 2)).any():
        sheet.notes.add(
            "open outline closed",
            f"an outline whose ends are less than {OVERSIGHT:g} mm apart was closed by a straight line",
            element,
            severity="notes",
        )


def stroked_region(sheet: Sheet, element: Element, place: Place, outline: Outline) -> BaseGeometry:
    """Return what the stroke covers; mm, paper frame. Its width and joins live in user units, as SVG has it."""
    width = place.length(place.style["stroke-width"])
    if width is None or width <= 0 or place.magnification == 0:
        return NOTHING
    placed = sheet.placed(outline, place.matrix, element)
    frame = place.matrix
    if place.declared.get("vector-effect", "").strip() == "non-scaling-stroke":
        # The pen then has its width in px of the page, whatever the transforms (SVG 2, section 8.13).
        frame = (PX_TO_MM, 0.0, 0.0, PX_TO_MM, 0.0, 0.0)
        outline = transformed(placed, (1 / PX_TO_MM, 0.0, 0.0, 1 / PX_TO_MM, 0.0, 0.0))
    tolerance = sheet.tolerance / stretch(frame)
    lines = sheet.flat(outline, tolerance, width / 2)
    if not width * stretch(frame) <= sheet.limits.farthest:
        raise beyond("farthest", f"{element.described()} has a stroke {width:g} units wide", sheet.limits)
    pen = pen_for(sheet, element, place, lines, width=width, tolerance=tolerance)
    return on_paper(stroked(lines, pen, sheet.limits), frame)


def pen_for(sheet: Sheet, element: Element, place: Place, lines: Polylines, *, width: float, tolerance: float) -> Pen:
    """Return the pen that ``lines`` are stroked with, all in their units; raises :class:`ArtworkError`."""
    style = place.style
    dashes, offset = _dashing(sheet, element, place, lines)
    return Pen(
        width=width,
        cap=style["stroke-linecap"],
        join=style["stroke-linejoin"],
        miter_limit=max(1.0, number(style["stroke-miterlimit"], 4.0)),
        dashes=dashes,
        dash_offset=offset,
        tolerance=tolerance,
    )


def on_paper(region: BaseGeometry, matrix: Matrix) -> BaseGeometry:
    """Return a region of user units in the paper frame."""
    a, b, c, d, e, f = matrix
    turn = np.array([[a, b], [c, d]])
    return shapely.transform(region, lambda points: points @ turn + (e, f))


def _dashing(sheet: Sheet, element: Element, place: Place, lines: Polylines) -> tuple[tuple[float, ...], float]:
    """Return the dash pattern and its offset in the units of ``lines``; raises :class:`ArtworkError` on too many."""
    style = place.style
    dashes = _dashes(style["stroke-dasharray"], place)
    offset = place.length(style["stroke-dashoffset"]) or 0.0
    if dashes:
        whole = total_length(lines)
        stated = length(element.attrib.get("pathLength"))
        if stated == 0:
            # Scaled without end, a dash never ends (SVG 2, section 9.6.1).
            return (), 0.0
        scale = whole / stated if stated and stated > 0 else 1.0
        dashes, offset = tuple(dash * scale for dash in dashes), offset * scale
        sheet.dashes += count_dashes(whole, dashes) if sum(dashes) > 0 else math.inf
        if sheet.dashes > sheet.limits.most_dashes:
            raise beyond("most_dashes", f"{element.described()} would take more dashes than allowed", sheet.limits)
    return dashes, offset


def _extents(sheet: Sheet, element: Element, place: Place, outline: Outline) -> list[Item]:
    """Return the outline's own points as a mark, for measuring, and its stroke where that counts."""
    pieces = max(4, min(64, MEASURED_POINTS // len(outline.kinds)))
    lines = flattened(sheet.placed(outline, place.matrix, element), np.where(outline.kinds >= CURVE, pieces, 1))
    extents: list[Item] = [Painted(shapely.multipoints(lines.points), BLACK)]
    if place.purpose == "extent" and place.style["stroke"] != "none":
        region = stroked_region(sheet, element, place, outline)
        extents += [] if region.is_empty else [Painted(region, BLACK)]
    return extents


def painting_order(text: str) -> tuple[str, ...]:
    """Return fill, stroke and markers in the order they are painted (SVG 2, section 13.8)."""
    usual = ("fill", "stroke", "markers")
    words = text.split()
    if len(set(words)) < len(words) or not set(words) <= set(usual):
        return usual
    return (*words, *(word for word in usual if word not in words))


def _dashes(text: str, place: Place) -> tuple[float, ...]:
    """Return the dash pattern in user units, empty for a solid line (SVG 2, section 13.5.6)."""
    if text == "none":
        return ()
    lengths = [place.length(word) for word in text.replace(",", " ").split()]
    dashes = [dash for dash in lengths if dash is not None]
    if len(dashes) < len(lengths) or any(dash < 0 for dash in dashes) or sum(dashes) <= 0:
        return ()
    return tuple(dashes)

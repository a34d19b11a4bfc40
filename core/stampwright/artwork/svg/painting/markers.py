"""Markers: symbols drawn at the corners of a path (SVG 2, section 13.7)."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from ...outlines.curves import MOVE, PART, Outline
from ..placing.boxes import box_on_paper
from ..placing.place import Place
from ..placing.viewports import fitting, view_box
from ..seeing.marks import Item
from ..source.document import Element
from ..styling.values import degrees, length
from .clipping import clipped_to
from .sheet import Sheet, home_place, referred_id, referring

Corner = tuple[float, float, float]
"""x, y in user units, and the direction of the path there, deg."""


def marker_items(sheet: Sheet, place: Place, outline: Outline) -> list[Item]:
    """Return what the element's markers lay on the page."""
    kinds = ("marker-start", "marker-mid", "marker-end")
    markers = [sheet.document.by_id.get(referred_id(place.style[kind]) or "") for kind in kinds]
    if not any(marker is not None for marker in markers):
        return []
    corners = _corners(outline)
    items: list[Item] = []
    for at, corner in enumerate(corners):
        if at == 0:
            items += _drawn(sheet, markers[0], place, corner, True)
        if 0 < at < len(corners) - 1:
            items += _drawn(sheet, markers[1], place, corner, False)
        if at == len(corners) - 1:
            items += _drawn(sheet, markers[2], place, corner, False)
    return items


def _drawn(sheet: Sheet, marker: Element | None, place: Place, corner: Corner, at_start: bool) -> list[Item]:
    if marker is None or marker.name != "marker" or id(marker) in place.chain:
        return []
    sheet.count_element()
    given = marker.attrib.get
    inside = home_place(sheet, marker, place).styled(sheet.cascade.declared(marker))
    context = (place.style["fill"], place.style["stroke"])
    inside = replace(inside, chain=place.chain | {id(marker)}, context=context)
    x, y, direction = corner
    orient = (given("orient") or "0").strip()
    if orient == "auto-start-reverse":
        direction += 180 if at_start else 0
    elif orient != "auto":
        direction = degrees(orient)
    turn = math.radians(direction)
    cos, sin = math.cos(turn), math.sin(turn)
    scale = 1.0
    if given("markerUnits") != "userSpaceOnUse":
        scale = place.length(place.style["stroke-width"]) or 0.0
    width = inside.length(given("markerWidth") or "3", "x") or 0.0
    height = inside.length(given("markerHeight") or "3", "y") or 0.0
    box = view_box(given("viewBox"))
    fit = fitting(box, given("preserveAspectRatio"), width, height)
    if width <= 0 or height <= 0 or scale <= 0 or fit is None:
        return []
    names = {"left": "0%", "top": "0%", "center": "50%", "right": "100%", "bottom": "100%"}
    ref_x, ref_y = (
        length(names.get(given(name) or "0", given(name) or "0"), whole=whole) or 0.0
        for name, whole in (("refX", box[2] if box else width), ("refY", box[3] if box else height))
    )
    inside = inside.moved((cos * scale, sin * scale, -sin * scale, cos * scale, x, y))
    hot_x, hot_y = fit[0] * ref_x + fit[4], fit[3] * ref_y + fit[5]
    inside = inside.moved((1, 0, 0, 1, -hot_x, -hot_y))
    if sheet.cascade.declared(marker).get("overflow", "hidden").strip() in {"hidden", "scroll"}:
        inside = clipped_to(inside, box_on_paper(inside.matrix, 0, 0, width, height))
    inside = replace(inside.moved(fit), viewport=(box[2], box[3]) if box else (width, height))
    with referring(sheet):
        return sheet.painter.elements(sheet, marker.children, inside)


def _corners(outline: Outline) -> list[Corner]:
    """Return every vertex of the outline with the direction halfway between the path's way in and out."""
    points = outline.corners
    incoming = [_heading(step[3] - step[2], step[3] - step[1], step[3] - step[0]) for step in points]
    outgoing = [_heading(step[1] - step[0], step[2] - step[0], step[3] - step[0]) for step in points]
    corners: list[Corner] = []
    starts = set(outline.starts.tolist())
    subpath, first = -1, 0
    for at, step in enumerate(points):
        if at in starts:
            subpath, first = subpath + 1, at
        if outline.kinds[at] == PART:
            continue
        last = at + 1 == len(points) or at + 1 in starts
        way_in = None if outline.kinds[at] == MOVE else incoming[at]
        way_out = None if last else outgoing[at + 1]
        if outline.closed[subpath] and not last and at == first:
            end = next((k for k in range(at + 1, len(points)) if k + 1 == len(points) or k + 1 in starts), at)
            way_in = incoming[end]
        if outline.closed[subpath] and last and at > first:
            way_out = outgoing[first + 1]
        corners.append((float(step[3][0]), float(step[3][1]), _halfway(way_in, way_out)))
    return corners


def _heading(*ways: np.ndarray[tuple[int], np.dtype[np.float64]]) -> float | None:
    for x, y in ways:
        if x or y:
            return math.atan2(y, x)
    return None


def _halfway(way_in: float | None, way_out: float | None) -> float:
    if way_in is None or way_out is None:
        known = way_in if way_in is not None else way_out
        return math.degrees(known or 0.0)
    x, y = math.cos(way_in) + math.cos(way_out), math.sin(way_in) + math.sin(way_out)
    return math.degrees(math.atan2(y, x)) if math.hypot(x, y) > 1e-9 else math.degrees(way_in) + 90

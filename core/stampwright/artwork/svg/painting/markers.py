"""Markers: symbols drawn at the corners of a path (SVG 2, section 13.7)."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from ...outlines.curves import PART, Outline
from ..placing.boxes import box_on_paper
from ..placing.place import Context, Place
from ..placing.viewports import fitting, view_box
from ..seeing.marks import Item
from ..source.document import Element
from ..styling.values import degrees
from .clipping import clipped_to
from .sheet import Sheet, home_place, referred_id, referring

MarkerPlace = tuple[float, float, float]
"""x, y in user units, and the direction of the path there, deg."""


MARKED = frozenset(("path", "line", "polyline", "polygon"))
"""Elements whose corners are marked: those of SVG 1.1, section 11.6, as most renderers still have it."""


def marker_items(sheet: Sheet, element: Element, place: Place, outline: Outline) -> list[Item]:
    """Return what the element's markers lay on the page."""
    if element.name not in MARKED:
        return []
    kinds = ("marker-start", "marker-mid", "marker-end")
    markers = [sheet.document.by_id.get(referred_id(place.style[kind]) or "") for kind in kinds]
    if not any(marker is not None for marker in markers):
        return []
    corners = _corners(outline)
    items: list[Item] = []
    marked = replace(place, context=Context(element, place))
    for at, corner in enumerate(corners):
        if at == 0:
            items += _drawn(sheet, markers[0], marked, corner, True)
        if 0 < at < len(corners) - 1:
            items += _drawn(sheet, markers[1], marked, corner, False)
        if at == len(corners) - 1:
            items += _drawn(sheet, markers[2], marked, corner, False)
    return items


def _drawn(sheet: Sheet, marker: Element | None, place: Place, corner: MarkerPlace, at_start: bool) -> list[Item]:
    if marker is None or marker.name != "marker" or id(marker) in place.chain:
        return []
    sheet.count_element()
    given = marker.attrib.get
    home = home_place(sheet, marker, place)
    inside = replace(home.styled(sheet.cascade.declared(marker)), chain=place.chain | {id(marker)})
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
    width, height = (_side(inside, given(name), name[6].lower()) for name in ("markerWidth", "markerHeight"))
    box = view_box(given("viewBox"))
    fit = fitting(box, given("preserveAspectRatio"), width, height)
    if width <= 0 or height <= 0 or scale <= 0 or fit is None:
        return []
    # Percentages, here and inside, refer to the viewport around the marked element, as renderers have it.
    ref_x, ref_y = (inside.length(given(name), name[-1].lower()) or 0.0 for name in ("refX", "refY"))
    inside = inside.moved((cos * scale, sin * scale, -sin * scale, cos * scale, x, y))
    hot_x, hot_y = fit[0] * ref_x + fit[4], fit[3] * ref_y + fit[5]
    inside = inside.moved((1, 0, 0, 1, -hot_x, -hot_y))
    if inside.declared.get("overflow", "hidden").strip() in {"hidden", "scroll"}:
        # With a viewBox renderers cut at that, also where the marker has room beside or beyond it.
        shown = (
            box_on_paper(inside.moved(fit).matrix, *box) if box else box_on_paper(inside.matrix, 0, 0, width, height)
        )
        inside = clipped_to(inside, shown)
    with referring(sheet):
        return sheet.painter.shown(sheet, marker, inside.moved(fit), home)


def _side(place: Place, text: str | None, direction: str) -> float:
    """Return a marker's width or height; 3 where none is stated or it cannot be read (SVG 2, section 13.7.1)."""
    side = place.length(text, direction)
    return 3.0 if side is None else side


def _corners(outline: Outline) -> list[MarkerPlace]:
    """Return every vertex of the outline with the direction halfway between the path's way in and out.

    Where SVG 2, section 9.5.3, and renderers depart, as most renderers have it: a subpath begins in its own direction
    even when closed, and only a single closed subpath ends halfway between its last way and its first. A moveto that
    nothing follows is no vertex.
    """
    points = outline.corners
    incoming = [_heading(step[3] - step[2], step[3] - step[1], step[3] - step[0]) for step in points]
    outgoing = [_heading(step[1] - step[0], step[2] - step[0], step[3] - step[0]) for step in points]
    ends = [*outline.starts[1:].tolist(), len(points)]
    subpaths = [(first, end) for first, end in zip(outline.starts.tolist(), ends, strict=True) if end - first > 1]
    meets_itself = len(subpaths) == 1 and bool(outline.closed[outline.starts == subpaths[0][0]].all())
    corners: list[MarkerPlace] = []
    for first, end in subpaths:
        for at in range(first, end):
            if outline.kinds[at] == PART:
                continue
            way_in = None if at == first else incoming[at]
            way_out = outgoing[at + 1] if at + 1 < end else outgoing[first + 1] if meets_itself else None
            x, y = points[at][3]
            corners.append((float(x), float(y), _halfway(way_in, way_out)))
    return corners


def _heading(*ways: np.ndarray[tuple[int], np.dtype[np.float64]]) -> float:
    """Return the direction of the first way that has a length, rad; along the x axis where none has."""
    return next((math.atan2(y, x) for x, y in ways if x or y), 0.0)


def _halfway(way_in: float | None, way_out: float | None) -> float:
    if way_in is None or way_out is None:
        known = way_in if way_in is not None else way_out
        return math.degrees(known or 0.0)
    x, y = math.cos(way_in) + math.cos(way_out), math.sin(way_in) + math.sin(way_out)
    return math.degrees(math.atan2(y, x)) if math.hypot(x, y) > 1e-9 else math.degrees(way_in) + 90

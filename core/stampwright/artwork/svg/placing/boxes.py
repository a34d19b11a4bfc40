"""Boxes: rectangles of user units on the page, and what bounds an element's geometry (SVG 2, section 8.10)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import shapely
from shapely.geometry.base import BaseGeometry

from ..painting.sheet import Sheet, referring
from ..seeing.inking import marks_of
from ..seeing.marks import Item
from ..source.document import Element
from ..styling.values import IDENTITY, Matrix
from .place import Place


def box_on_paper(matrix: Matrix, x: float, y: float, width: float, height: float) -> BaseGeometry:
    """Return a rectangle of user units as a region of the page, mm, paper frame."""
    a, b, c, d, e, f = matrix
    corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]
    return shapely.Polygon([(a * px + c * py + e, b * px + d * py + f) for px, py in corners])


def bounding_box(sheet: Sheet, element: Element, place: Place) -> tuple[float, float, float, float] | None:
    """Return left, top, right, bottom of an element's fill geometry, user units; None when it has no extent."""
    return _bounds(sheet, element, replace(place, matrix=IDENTITY, clip=None, purpose="measure"))


def stroked_box(sheet: Sheet, element: Element, place: Place) -> tuple[float, float, float, float] | None:
    """Return left, top, right, bottom of all that an element fills and strokes; None when it has no extent."""
    return _bounds(sheet, element, replace(place, matrix=IDENTITY, clip=None, purpose="extent"))


def _bounds(sheet: Sheet, element: Element, flat: Place) -> tuple[float, float, float, float] | None:
    with referring(sheet):
        left, top, right, bottom = bounds_of(sheet.painter.content(sheet, element, flat))
    return (left, top, right, bottom) if right > left and bottom > top else None


def bounds_of(items: Sequence[Item]) -> tuple[float, float, float, float]:
    """Return left, top, right, bottom of marks and all that layers hold; nan where there is nothing."""
    regions = [mark.region for mark in marks_of(items)]
    if not regions:
        return math.nan, math.nan, math.nan, math.nan
    left, top, right, bottom = shapely.total_bounds(regions).tolist()
    return left, top, right, bottom


def unit_box(box: tuple[float, float, float, float]) -> Matrix:
    """Return the matrix that takes the unit square to ``box``: left, top, right, bottom."""
    left, top, right, bottom = box
    return right - left, 0.0, 0.0, bottom - top, left, top

"""The walk over a drawing: every element in painting order becomes marks on the page, without recursion."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import partial

from ..filtering import effect_of
from ..lettering import text_items
from ..paints.colours import BLACK, plain_colour
from ..placing.boxes import bounds_of, box_on_paper
from ..placing.place import Context, Place
from ..placing.transforms import transform_of
from ..placing.viewports import fitting, view_box
from ..seeing.marks import Item, Painted, PaintedGroup
from ..source.conditions import applies
from ..source.document import Element
from ..styling.cascade import own_value
from ..styling.values import IDENTITY, Matrix, length, number
from .clipping import clip_of, clipped_to
from .images import image_items
from .masking import mask_of
from .shaping import marks_of_shape
from .sheet import SHAPES, Sheet

_CONTAINERS = frozenset(("g", "a", "switch"))

_NEVER_DRAWN = frozenset(
    (
        "",
        *("defs", "symbol", "clipPath", "mask", "marker", "pattern", "hatch", "filter", "style", "script"),
        *("linearGradient", "radialGradient", "meshgradient", "solidColor", "stop", "font", "font-face"),
        *("metadata", "title", "desc", "view", "cursor", "color-profile"),
        *("animate", "animateMotion", "animateTransform", "animateColor", "set"),
    )
)
"""Elements that draw nothing themselves (SVG 2, section 5.2), and ones of foreign namespaces (the empty name)."""

_NOT_IN_CLIPS = frozenset(("g", "a", "switch", "svg", "symbol", "image", "foreignObject"))
"""Elements that a clip path does not take from (CSS Masking 1, section 5.1: shapes, text and use only)."""

_MARKS = {**dict.fromkeys(SHAPES, marks_of_shape), "text": text_items, "image": image_items}
"""What lays down marks of its own."""

_Task = tuple[Element, Place, list[Item]]


class Walk:
    """The walk as a :class:`~.clipping.Painter`."""

    def elements(self, sheet: Sheet, elements: Iterable[Element], place: Place) -> list[Item]:
        """Return what ``elements`` and all below them lay on the page, in painting order."""
        items: list[Item] = []
        with _worked_out(sheet):
            _follow(sheet, [(element, place, items) for element in elements])
        return items

    def content(self, sheet: Sheet, element: Element, place: Place) -> list[Item]:
        """Return what an element lays on the page, its own transform, clip and layer left out."""
        items: list[Item] = []
        with _worked_out(sheet):
            _follow(sheet, _content(sheet, element, place, items))
        return items

    def shown(self, sheet: Sheet, element: Element, place: Place, around: Place) -> list[Item]:
        """Return what an element lays in a place already found, through its clip path and on its own layer."""
        items: list[Item] = []
        with _worked_out(sheet):
            _follow(sheet, _shown(sheet, element, place, around, items))
        return items


@contextmanager
def _worked_out(sheet: Sheet) -> Iterator[None]:
    """Work out the effects of all layers that are drawn inside."""
    begun = len(sheet.pending)
    yield
    # What is inside another is worked out before it.
    while len(sheet.pending) > begun:
        layer = sheet.pending.pop()
        if layer.effect is not None:
            layer.items = layer.effect(layer.items)


def _follow(sheet: Sheet, tasks: list[_Task]) -> None:
    """Carry out tasks in order, each followed by what it leads to."""
    tasks.reverse()
    while tasks:
        element, around, target = tasks.pop()
        tasks.extend(reversed(_visited(sheet, element, around, target)))


def _visited(sheet: Sheet, element: Element, around: Place, target: list[Item]) -> list[_Task]:
    """Draw one element onto ``target``; returns what is to be drawn next on its behalf."""
    name = element.name
    used = name == "symbol" and around.given_size is not None
    if (name in _NEVER_DRAWN and not used) or (around.purpose == "clip" and name in _NOT_IN_CLIPS):
        return []
    sheet.count_element()
    if not (applies(element) or _is_page(element, around)):
        return []
    place = around.styled(sheet.cascade.declared(element))
    declared = place.declared
    # A symbol shows where it is used, whatever its display (SVG 2, section 5.5).
    if own_value(declared, around.declared, "display") == "none" and not used:
        return []
    # A transform on a symbol is left aside, as renderers have it.
    matrix = IDENTITY if used else transform_of(sheet, element, place)
    if matrix is None:
        return []
    if place.measuring and matrix != IDENTITY:
        place, target = _measured_apart(sheet, place.moved(matrix), target)
    else:
        place = place.moved(matrix)
    if name in {"use", "svg", "symbol"} and not _is_page(element, place):
        # The place that these state is part of their transform, which clip paths and masks are under (SVG 2, 5.6).
        x, y = (place.length(sheet.cascade.geometry(element, side, place.style), side) or 0.0 for side in ("x", "y"))
        place = place.moved((1, 0, 0, 1, x, y))
    return _shown(sheet, element, place, around, target)


def _measured_apart(sheet: Sheet, place: Place, target: list[Item]) -> tuple[Place, list[Item]]:
    """Return where to measure what has a transform: its own box, which the transform then takes along.

    What holds it is bounded by that box, not by what is drawn in it, as renderers have it.
    """
    layer = PaintedGroup(effect=partial(_box_of, place.matrix))
    target.append(layer)
    sheet.pending.append(layer)
    return replace(place, matrix=IDENTITY), layer.items


def _box_of(matrix: Matrix, items: list[Item]) -> list[Item]:
    left, top, right, bottom = bounds_of(items)
    return [Painted(box_on_paper(matrix, left, top, right - left, bottom - top), BLACK)] if right >= left else []


def _shown(sheet: Sheet, element: Element, place: Place, around: Place, target: list[Item]) -> list[_Task]:
    """Draw an element in its place through its clip path, on a layer of its own where it needs one."""
    if not place.measuring:
        shown = clip_of(sheet, element, place)
        if shown is not None:
            place = clipped_to(place, shown)
        if place.clip is not None and place.clip.is_empty:
            return []
    layer = _layer_of(sheet, element, place, around) if place.purpose == "paint" else None
    if layer is not None:
        target.append(layer)
        target = layer.items
        place = replace(place, solid=False)
        if layer.effect is not None:
            # A clip path cuts what a filter has made, not what it works on.
            place = replace(place, clip=None)
            sheet.pending.append(layer)
    return _content(sheet, element, place, target)


def _content(sheet: Sheet, element: Element, place: Place, target: list[Item]) -> list[_Task]:
    """Draw what an element is made of onto ``target``; returns what is to be drawn next on its behalf."""
    name = element.name
    marks = _MARKS.get(name)
    if marks is not None:
        target.extend(marks(sheet, element, place))
        return []
    if name in _CONTAINERS or name == "marker":
        return [(child, place, target) for child in _children(element)]
    if name in {"svg", "symbol"}:
        return _page(element, place, target) if _is_page(element, place) else _nested(sheet, element, place, target)
    if name == "use":
        return _used(sheet, element, place, target)
    sheet.notes.add(
        "element left out",
        f"<{name}> is not drawn",
        element,
        remedy="Convert it to outlines in the drawing program.",
    )
    return []


def _is_page(element: Element, place: Place) -> bool:
    return element.parent is None and not place.chain


def _page(element: Element, place: Place, target: list[Item]) -> list[_Task]:
    """Draw the outermost ``svg``, whose viewport is the page."""
    box = view_box(element.attrib.get("viewBox"))
    fit = fitting(box, element.attrib.get("preserveAspectRatio"), *place.viewport)
    if fit is None:
        return []
    ground = plain_colour(own_value(place.declared, {}, "background-color"), place)
    if ground is not None and ground[3] > 0 and place.purpose == "paint":
        target.append(Painted(box_on_paper(place.matrix, 0, 0, *place.viewport), ground, place.clip))
    inside = place.moved(fit).within(*(box[2:] if box else place.viewport))
    return [(child, inside, target) for child in _children(element)]


def _children(element: Element) -> list[Element]:
    """Return the children to draw: all of them, or the first that applies in a ``switch`` (SVG 2, section 5.7).

    That may be one that draws nothing, such as a description, and then nothing is drawn.
    """
    if element.name != "switch":
        return element.children
    chosen = (child for child in element.children if child.name and applies(child) and _has_features(child))
    return list(itertools.islice(chosen, 1))


def _has_features(element: Element) -> bool:
    """Say whether the features that an element asks for are SVG's own (SVG 1.1, section 5.8.3)."""
    asked = element.attrib.get("requiredFeatures", "").split()
    return all(feature.startswith(("http://www.w3.org/", "org.w3c.")) for feature in asked)


def _layer_of(sheet: Sheet, element: Element, place: Place, around: Place) -> PaintedGroup | None:
    """Return the sheet of its own that an element is painted on, where it has an opacity or a blend mode."""
    declared = place.declared
    if not declared:
        return None
    opacity = min(1.0, max(0.0, number(own_value(declared, around.declared, "opacity"), 1.0)))
    blend = own_value(declared, around.declared, "mix-blend-mode")
    isolated = own_value(declared, around.declared, "isolation") == "isolate"
    filtering = own_value(declared, around.declared, "filter")
    effect = effect_of(sheet, element, place, filtering) if filtering != "none" else None
    value = own_value(declared, around.declared, "mask")
    mask = mask_of(sheet, element, place, value) if value != "none" else None
    if opacity == 1 and blend == "normal" and not isolated and mask is None and effect is None:
        return None
    return PaintedGroup(opacity=opacity, blend=blend, masks=[mask] if mask else [], effect=effect)


def _nested(sheet: Sheet, element: Element, place: Place, target: list[Item]) -> list[_Task]:
    """Draw what an ``svg`` or ``symbol`` holds, in a viewport of its own; a ``use`` may give it its size."""
    size = place.given_size or {}

    def side(name: str, direction: str) -> float:
        given = size.get(name) or sheet.cascade.geometry(element, name, place.style)
        measured = place.length(given, direction) if given is not None and given.strip() != "auto" else None
        # A negative size is an error and as good as none; 0 draws nothing (SVG 2, section 7.8).
        return place.viewport[direction == "y"] if measured is None or measured < 0 else measured

    width, height = side("width", "x"), side("height", "y")
    if width <= 0 or height <= 0:
        return []
    box = view_box(element.attrib.get("viewBox"))
    fit = fitting(box, element.attrib.get("preserveAspectRatio"), width, height)
    if fit is None:
        return []
    if "overflow" not in place.declared or place.declared["overflow"].strip() in {"hidden", "scroll"}:
        place = clipped_to(place, box_on_paper(place.matrix, 0, 0, width, height))
    inside = place.moved(fit).within(*(box[2:] if box else (width, height)))
    return [(child, inside, target) for child in _children(element)]


def _used(sheet: Sheet, element: Element, place: Place, target: list[Item]) -> list[_Task]:
    """Draw what a ``use`` refers to (SVG 2, section 5.6)."""
    link = element.href
    referred = sheet.referred(link)
    if referred is None:
        if link is not None and not link.strip().startswith("#"):
            sheet.notes.add(
                "external reference",
                "a use of another file was not followed: nothing outside the file is read",
                element,
                remedy="Embed what it refers to in the drawing.",
            )
        return []
    if id(referred) in place.chain or _holds(referred, element):
        sheet.notes.add("circular reference", "an element that refers back to itself is not drawn", element)
        return []
    inside = replace(place, chain=place.chain | {id(referred)}, context=Context(element, place), given_size=None)
    if referred.name in {"svg", "symbol"}:
        given = ((name, sheet.cascade.geometry(element, name, place.style)) for name in ("width", "height"))
        size = {name: text for name, text in given if text is not None and length(text, whole=1.0) is not None}
        inside = replace(inside, given_size=size)
    return [(referred, inside, target)]


def _holds(outer: Element, inner: Element) -> bool:
    parent: Element | None = inner
    while parent is not None:
        if parent is outer:
            return True
        parent = parent.parent
    return False

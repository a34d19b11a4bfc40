"""The filter element: primitives that take each other's results (Filter Effects 1, chapters 7 to 9)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from ...limits import beyond
from ...outlines.numerals import numbers
from ..painting.sheet import Sheet
from ..paints.colours import BLACK, plain_colour, share
from ..placing.place import Place
from ..seeing.blending import blended
from ..seeing.marks import Colour
from ..source.document import Element
from ..styling.cascade import own_value
from ..styling.values import length, number
from . import primitives
from .canvas import Pixels

Box = tuple[float, float, float, float]
"""Left, top, right, bottom; user units."""

_NOT_FOLLOWED = frozenset(
    (
        *("feImage", "feTurbulence", "feConvolveMatrix", "feDisplacementMap"),
        *("feDiffuseLighting", "feSpecularLighting"),
    )
)


@dataclass(frozen=True)
class PixelRoom:
    """Where pixels lie: the corner (user units), pixels to a unit, and how many there are (rows, columns)."""

    left: float
    top: float
    scale: float
    size: tuple[int, int]

    def window(self, box: Box) -> tuple[slice, slice]:
        """Return the rows and columns of a box."""
        sides = [(side - start) * self.scale for side, start in zip(box, (self.left, self.top) * 2, strict=True)]
        # 0 comes first, so that it also stands for what is no number.
        left, top, right, bottom = (round(min(max(0.0, side), primitives.FARTHEST_OFFSET)) for side in sides)
        return slice(top, bottom), slice(left, right)


@dataclass(frozen=True)
class _Primitive:
    """One primitive: what it takes, what it does, where its result is seen, and what that is called."""

    takes: tuple[str | None, ...]
    work: Callable[[Sequence[Pixels], PixelRoom], Pixels]
    box: Box
    linear: bool
    result: str | None
    tile: bool = False


@dataclass(frozen=True)
class Graph:
    """A filter in the units of the element that it is for."""

    region: Box
    chain: tuple[_Primitive, ...]

    @property
    def count(self) -> int:
        """How many primitives it has, each counted as often as it takes something."""
        return sum(max(1, len(primitive.takes)) for primitive in self.chain)

    def applied(self, pixels: Pixels, room: PixelRoom) -> Pixels:
        """Return pixels changed by every primitive in order."""
        source = _cut(pixels, room, self.region)
        alpha = source.copy()
        alpha[..., :3] = 0
        kept: dict[str, tuple[Pixels, Box]] = {
            "SourceGraphic": (source, self.region),
            "SourceAlpha": (alpha, self.region),
        }
        last = (np.zeros_like(source), self.region)
        for at, primitive in enumerate(self.chain):
            before = last if at else kept["SourceGraphic"]
            given = [kept.get(name or "", before) for name in primitive.takes]
            lit = {id(one): primitives.in_linear_light(one) for one, _ in given} if primitive.linear else {}
            inputs = [lit.get(id(one), one) for one, _ in given]
            made = _tiled(inputs[0], room.window(given[0][1])) if primitive.tile else primitive.work(inputs, room)
            if primitive.linear:
                made = primitives.in_srgb(made)
            last = (_cut(_cut(made, room, primitive.box), room, self.region), primitive.box)
            if primitive.result:
                kept[primitive.result] = last
        return last[0]


def read_graph(sheet: Sheet, filtering: Element, place: Place, box: Box | None) -> Graph | None:
    """Return a filter element as a graph, ``box``: bounds of what it is for; None when it cannot be followed."""
    given = filtering.attrib.get
    region = _box(given, place, box, ("-10%", "-10%", "120%", "120%"), given("filterUnits") != "userSpaceOnUse")
    by_box = given("primitiveUnits") == "objectBoundingBox"
    if region is None or (by_box and box is None):
        # A region without room shows nothing of the element (Filter Effects 1, section 7.3).
        return Graph((0.0, 0.0, 0.0, 0.0), ())
    unit = (box[2] - box[0], box[3] - box[1]) if by_box and box is not None else (1.0, 1.0)
    chain = []
    for child in filtering.children:
        if child.name in _NOT_FOLLOWED:
            return None
        make = _WORKS.get(child.name)
        if make is None:
            continue
        takes = ("in", "in2") if child.name in {"feBlend", "feComposite"} else ("in",)
        inputs = tuple(child.attrib.get(name) for name in takes)
        if child.name == "feMerge":
            inputs = tuple(node.attrib.get("in") for node in child.children if node.name == "feMergeNode")
        chain.append(
            _Primitive(
                inputs,
                make(sheet, child, place, unit),
                _part(child, place, box if by_box else None, region),
                _in_linear_light(sheet, child),
                child.attrib.get("result"),
                tile=child.name == "feTile",
            )
        )
    graph = Graph(region, tuple(chain))
    if graph.count > sheet.limits.longest_filter:
        raise beyond("longest_filter", f"{filtering.described()} has {graph.count:,} primitives", sheet.limits)
    return graph


def _box(
    given: Callable[[str], str | None], place: Place, box: Box | None, usual: Sequence[str], by_box: bool
) -> Box | None:
    if by_box and box is None:
        return None
    sides = []
    for name, default, way in zip(("x", "y", "width", "height"), usual, "xyxy", strict=True):
        text = given(name) or default
        sides.append((length(text, whole=1.0) if by_box else place.length(text, way)) or 0.0)
    x, y, width, height = sides
    if by_box and box is not None:
        wide, high = box[2] - box[0], box[3] - box[1]
        x, y, width, height = box[0] + x * wide, box[1] + y * high, width * wide, height * high
    return (x, y, x + width, y + height) if width > 0 and height > 0 else None


def _part(child: Element, place: Place, box: Box | None, region: Box) -> Box:
    """Return where a primitive's result is seen: all of the filter's region but for the sides that it states."""
    sides = [region[0], region[1], region[2] - region[0], region[3] - region[1]]
    for at, (name, way) in enumerate(zip(("x", "y", "width", "height"), "xyxy", strict=True)):
        text = child.attrib.get(name)
        stated = None if text is None else length(text, whole=1.0) if box else place.length(text, way)
        if stated is None:
            continue
        if box is not None:
            low, high = (box[0], box[2]) if way == "x" else (box[1], box[3])
            stated = stated * (high - low) + (low if at < 2 else 0.0)
        sides[at] = stated
    return sides[0], sides[1], sides[0] + max(sides[2], 0.0), sides[1] + max(sides[3], 0.0)


def _cut(pixels: Pixels, room: PixelRoom, box: Box) -> Pixels:
    cut = np.zeros_like(pixels)
    window = room.window(box)
    cut[window] = pixels[window]
    return cut


def _tiled(pixels: Pixels, window: tuple[slice, slice]) -> Pixels:
    part = pixels[window]
    if not part.size:
        return np.zeros_like(pixels)
    rows, columns = (
        (np.arange(size) - cut.start) % extent
        for size, cut, extent in zip(pixels.shape[:2], window, part.shape[:2], strict=True)
    )
    return np.asarray(part[np.ix_(rows, columns)])


def _in_linear_light(sheet: Sheet, child: Element) -> bool:
    found: Element | None = child
    while found is not None:
        word = sheet.cascade.declared(found).get("color-interpolation-filters", "").strip()
        if word in {"sRGB", "linearRGB"}:
            return word == "linearRGB"
        found = found.parent
    return True


Unit = tuple[float, float]
"""What one unit of a primitive's lengths is across and down, user units."""

PixelWork = Callable[[Sequence[Pixels], PixelRoom], Pixels]


def _pair(child: Element, name: str, unit: Unit) -> tuple[float, float]:
    """Return one or two numbers as lengths across and down, user units; negative ones and wrong counts are 0."""
    values = numbers(child.attrib.get(name))
    if not 1 <= len(values) <= 2 or min(values) < 0:
        return 0.0, 0.0
    return values[0] * unit[0], values[-1] * unit[1]


def _moved(child: Element, place: Place, unit: Unit, usual: str) -> tuple[float, float]:
    dx, dy = (place.length(child.attrib.get(name) or usual, name[-1]) or 0.0 for name in ("dx", "dy"))
    return dx * unit[0], dy * unit[1]


def _flood_colour(sheet: Sheet, child: Element, place: Place) -> Colour:
    declared = sheet.cascade.declared_in(child, place.style)
    red, green, blue, opacity = plain_colour(own_value(declared, {}, "flood-color"), place) or BLACK
    return red, green, blue, opacity * share(own_value(declared, {}, "flood-opacity"))


def _blur(_sheet: Sheet, child: Element, _place: Place, unit: Unit) -> PixelWork:
    across, down = _pair(child, "stdDeviation", unit)
    return lambda taken, room: primitives.blur(taken[0], across * room.scale, down * room.scale)


def _offset(_sheet: Sheet, child: Element, place: Place, unit: Unit) -> PixelWork:
    dx, dy = _moved(child, place, unit, "0")
    return lambda taken, room: primitives.offset(taken[0], dx * room.scale, dy * room.scale)


def _flood(sheet: Sheet, child: Element, place: Place, _unit: Unit) -> PixelWork:
    colour = _flood_colour(sheet, child, place)
    linear = _in_linear_light(sheet, child)

    def work(taken: Sequence[Pixels], _room: PixelRoom) -> Pixels:
        flooded = primitives.flood(taken[0], colour)
        return primitives.in_linear_light(flooded) if linear else flooded

    return work


def _shadow(sheet: Sheet, child: Element, place: Place, unit: Unit) -> PixelWork:
    dx, dy = _moved(child, place, unit, "2")
    sigma = _pair(child, "stdDeviation", unit) if "stdDeviation" in child.attrib else (2 * unit[0], 2 * unit[1])
    colour = _flood_colour(sheet, child, place)
    linear = _in_linear_light(sheet, child)

    def work(taken: Sequence[Pixels], room: PixelRoom) -> Pixels:
        moved, blurred = (dx * room.scale, dy * room.scale), (sigma[0] * room.scale, sigma[1] * room.scale)
        lit = primitives.flood(np.zeros((1, 1, 4)), colour)
        lit = primitives.in_linear_light(lit) if linear else lit
        opacity = max(float(lit[0, 0, 3]), 1e-9)
        red, green, blue = (float(part) / opacity for part in lit[0, 0, :3])
        return primitives.drop_shadow(taken[0], (red, green, blue, colour[3]), moved, blurred)

    return work


def _merge(_sheet: Sheet, _child: Element, _place: Place, _unit: Unit) -> PixelWork:
    def work(taken: Sequence[Pixels], room: PixelRoom) -> Pixels:
        merged = np.zeros((*room.size, 4))
        for above in taken:
            merged = above + merged * (1 - above[..., 3:])
        return merged

    return work


def _blend(_sheet: Sheet, child: Element, _place: Place, _unit: Unit) -> PixelWork:
    mode = child.attrib.get("mode") or "normal"
    return lambda taken, _: blended(taken[1].reshape(-1, 4), taken[0].reshape(-1, 4), mode).reshape(taken[0].shape)


def _composite(_sheet: Sheet, child: Element, _place: Place, _unit: Unit) -> PixelWork:
    operator = child.attrib.get("operator") or "over"
    k = [number(child.attrib.get(name), 0.0) for name in ("k1", "k2", "k3", "k4")]
    return lambda taken, _: primitives.composite(taken[0], taken[1], operator, k)


def _matrix(_sheet: Sheet, child: Element, _place: Place, _unit: Unit) -> PixelWork:
    values = numbers(child.attrib.get("values"))
    matrix = np.eye(4, 5)
    match child.attrib.get("type") or "matrix":
        case "saturate":
            matrix = primitives.saturating(max(values[0], 0.0) if len(values) == 1 else 1.0)
        case "hueRotate":
            matrix = primitives.turning(values[0] if len(values) == 1 else 0.0)
        case "luminanceToAlpha":
            matrix = primitives.opacity_from_luminance()
        case "matrix" if len(values) == 20:
            matrix = np.array(values).reshape(4, 5)
    return lambda taken, _: primitives.by_matrix(taken[0], matrix)


def _transfer(_sheet: Sheet, child: Element, _place: Place, _unit: Unit) -> PixelWork:
    by_name = {node.name: node for node in child.children}
    functions = [_channel(by_name.get(f"feFunc{channel}")) for channel in "RGBA"]
    return lambda taken, _: primitives.by_channel(taken[0], functions)


def _channel(node: Element | None) -> Callable[[primitives.Numbers], primitives.Numbers]:
    if node is None:
        return lambda c: c
    given = node.attrib.get
    table = np.array(numbers(given("tableValues")))
    match given("type"):
        case "table" if len(table):
            return lambda c: np.asarray(np.interp(c, np.linspace(0, 1, len(table)), table))
        case "discrete" if len(table):
            return lambda c: table[np.minimum((c * len(table)).astype(int), len(table) - 1)]
        case "linear":
            slope, intercept = number(given("slope"), 1.0), number(given("intercept"), 0.0)
            return lambda c: slope * c + intercept
        case "gamma":
            amplitude, exponent, off = (
                number(given(name), usual) for name, usual in (("amplitude", 1.0), ("exponent", 1.0), ("offset", 0.0))
            )
            return lambda c: amplitude * np.maximum(c, 1e-12) ** exponent + off
    return lambda c: c


def _morphology(_sheet: Sheet, child: Element, _place: Place, unit: Unit) -> PixelWork:
    across, down = _pair(child, "radius", unit)
    thicker = child.attrib.get("operator") == "dilate"

    def work(taken: Sequence[Pixels], room: PixelRoom) -> Pixels:
        reach = (round(min(radius * room.scale, primitives.FARTHEST_OFFSET)) for radius in (across, down))
        return primitives.spread(taken[0], *reach, thicker=thicker)

    return work


def _tile(_sheet: Sheet, _child: Element, _place: Place, _unit: Unit) -> PixelWork:
    return lambda taken, _: taken[0]


_WORKS: dict[str, Callable[[Sheet, Element, Place, Unit], PixelWork]] = {
    "feBlend": _blend,
    "feColorMatrix": _matrix,
    "feComponentTransfer": _transfer,
    "feComposite": _composite,
    "feDropShadow": _shadow,
    "feFlood": _flood,
    "feGaussianBlur": _blur,
    "feMerge": _merge,
    "feMorphology": _morphology,
    "feOffset": _offset,
    "feTile": _tile,
}

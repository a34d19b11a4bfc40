"""Grease Pencil strokes with their radius, and their fills, as the core's shapes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from ..stampwright.artwork.drawn import Brushed, Filled, Shape, joined, polyline
from .choosing import InkChoice, Look, layer_name, look_at
from .lines.pens import widened
from .lines.strokes import StrokeColumns, strokes_of
from .lines.tints import AS_INK, Sight, tint_of_fill, tint_of_line

if TYPE_CHECKING:
    from bpy.types import Object

LEGACY = "GPENCIL"
"""Type of an object with the strokes that hosts before 4.3 have."""

LEGACY_PIXEL = 0.0005
"""Radius of one pixel of line width in the older strokes, Blender units: 1000 pixels of width to a unit."""


PRINTS = Look()
"""How a stroke is taken until its material is looked at."""


@dataclass(frozen=True, eq=False)
class DrawnStroke:
    """A stroke in its object's own coordinates: whether it has a line, and which fill it belongs to, if any.

    ``look``: how it is taken; ``line`` and ``inside``: how its line and its fill are seen.
    """

    course: Any
    radii: Any
    closed: bool
    has_line: bool
    fill: Any
    line: Sight = AS_INK
    inside: Sight = AS_INK
    look: Look = PRINTS


def read_strokes(seen: Object, matrix: Any, tolerance: float, choice: InkChoice) -> list[Shape]:
    """Return what an object's strokes draw in the current frame, mm as seen; what is hidden is no ink.

    ``matrix``: from the object's own coordinates to the viewer's, mm. ``tolerance``: how far a straight piece may stray
    from its curve, mm. ``choice``: which materials and layers are ink.
    """
    return shapes_of_strokes(held_strokes(seen, tolerance / greatest_scale(matrix), choice), matrix)


def held_strokes(seen: Object, tolerance: float, choice: InkChoice) -> list[list[DrawnStroke]]:
    """Return the strokes of each layer, object's own units, also when what they are read from is gone afterwards.

    ``tolerance``: as above, in the object's own units.
    """
    return list(_layers_of(seen, tolerance, choice))


def shapes_of_strokes(layers: list[list[DrawnStroke]], matrix: Any) -> list[Shape]:
    """Return what the strokes of each layer draw, taken through a matrix to mm as seen."""
    return [shape for strokes in layers for shape in _shapes(strokes, matrix)]


def masked_layers(seen: Object) -> list[str]:
    """Return the names of the layers that are shown in part: where others lie, or where they do not."""
    masked = [
        layer
        for layer in seen.data.layers
        if not _is_hidden(layer) and (layer.use_mask_layer if str(seen.type) == LEGACY else layer.use_masks)
    ]
    return [layer_name(layer) for layer in masked if any(not mask.hide for mask in layer.mask_layers)]


def points_of_strokes(layers: list[list[DrawnStroke]]) -> Any:
    """Return the places of all strokes that print, (n, 3) float, object's own."""
    found = [stroke.course for layer in layers for stroke in layer if not stroke.look.left_out]
    return np.vstack(found) if found else np.empty((0, 3))


def stroke_points(seen: Object) -> Any:
    """Return the places of all strokes that are shown in the current frame, (n, 3) float, object's own."""
    return points_of_strokes(held_strokes(seen, np.inf, InkChoice()))


def _shapes(strokes: list[DrawnStroke], matrix: Any) -> Iterator[Shape]:
    """Yield the lines and the fills of a layer."""
    fills: dict[tuple[Any, Look], tuple[int, list[Any]]] = {}
    drawn: list[tuple[float, Shape]] = []
    for number, stroke in enumerate(strokes):
        placed = _placed(stroke.course, matrix)[:, :2]
        if stroke.has_line:
            broader = widened(stroke.course, placed, matrix, closed=stroke.closed)
            look = _seen_as(stroke.look, stroke.line)
            line = Brushed(placed, stroke.radii * broader, closed=stroke.closed, **look._asdict())
            drawn.append((number + 0.5, line))
        if stroke.fill is not None and len(placed) >= 3:
            look = _seen_as(stroke.look, stroke.inside)
            fills.setdefault((stroke.fill, look), (number, []))[1].append(polyline(placed, closed=True))
    # Strokes that share a fill cut holes into each other; the line of a stroke lies over its fill.
    drawn += [(number, Filled(joined(outlines), **look._asdict())) for (_, look), (number, outlines) in fills.items()]
    yield from (shape for _, shape in sorted(drawn, key=lambda each: each[0]))


def _seen_as(look: Look, tint: Sight) -> Look:
    """Return how a line or a fill is taken that is seen so; what nobody sees is left out."""
    clear = f"transparent material {look.paint}" if look.paint else "transparent part"
    return Look(look.left_out or (clear if tint.clear else ""), look.paint, tint.paper)


def _layers_of(seen: Object, tolerance: float, choice: InkChoice) -> Iterator[list[DrawnStroke]]:
    """Yield the strokes of each layer, those of hidden ones and of hidden materials as left out."""
    looks = (*(_look_of(slot.material, choice) for slot in seen.material_slots), choice.of_material(None))
    # The host evaluates no hidden layers: these are taken as they were drawn. What nodes make was drawn by nobody.
    drawn: Any = seen.original
    hidden = [layer for layer in drawn.data.layers if _is_hidden(layer)] if drawn.type == seen.type else []
    for layer in (*(layer for layer in seen.data.layers if not _is_hidden(layer)), *hidden):
        name = layer_name(layer)
        whole = f"hidden layer {name}" if _is_hidden(layer) else choice.of_layer(name)
        # The host has taken evaluated points of the older kind through the matrices of their layers already.
        strokes = _legacy_strokes(seen, layer) if str(seen.type) == LEGACY else _strokes(seen, layer, tolerance)
        taken = [look._replace(left_out=whole or look.left_out) for look in looks]
        yield [replace(stroke, look=look_at(tuple(taken), slot)) for slot, stroke in strokes]


def _look_of(material: Any, choice: InkChoice) -> Look:
    if material is not None and material.grease_pencil is not None and material.grease_pencil.hide:
        return Look(f"hidden material {material.name}", material.name)
    return choice.of_material(material)


def _strokes(seen: Object, layer: Any, tolerance: float) -> Iterator[tuple[int, DrawnStroke]]:
    """Yield each stroke of a layer with the slot of its material."""
    frame = layer.current_frame()
    if frame is None or len(frame.drawing.curve_offsets) < 2:
        return
    drawing = frame.drawing
    offsets = np.empty(len(drawing.curve_offsets), dtype=np.int32)
    drawing.curve_offsets.foreach_get("value", offsets)
    columns = StrokeColumns(drawing.attributes, offsets)
    if not columns.points:
        return
    slots = columns.of_curves("material_index", 0).astype(int)
    styles = [_style(seen, int(slot)) for slot in slots]
    # From 5.2 on each stroke says itself how it is shown, and its material no more.
    by_stroke = hasattr(drawing.strokes[0], "fill_id")
    hidden, filled = columns.of_curves("hide_stroke", 0), columns.of_curves("fill_id", 0)
    on_lines, on_fills = columns.painted("vertex_color", on_points=True), columns.painted("fill_color", on_points=False)
    opacity, of_fills = columns.greatest("opacity", 1.0), columns.of_curves("fill_opacity", 1.0)
    placing = _of_layer(seen, layer)
    for stroke in strokes_of(columns, tolerance):
        number, style = stroke.number, styles[stroke.number]
        if by_stroke:
            has_line, fill = not hidden[number], filled[number] or None
        else:
            has_line, fill = _by_style(style, number)
        course = _placed(stroke.course, placing)
        radii = stroke.radii + layer.radius_offset
        line = tint_of_line(style, layer, on_lines[number], opacity[number])
        inside = tint_of_fill(style, layer, on_fills[number], of_fills[number])
        yield int(slots[number]), DrawnStroke(course, radii, stroke.closed, has_line, fill, line, inside)


def _legacy_strokes(seen: Object, layer: Any) -> Iterator[tuple[int, DrawnStroke]]:
    if layer.active_frame is None:
        return
    pixel = LEGACY_PIXEL * seen.data.pixel_factor
    for number, stroke in enumerate(layer.active_frame.strokes):
        count, style = len(stroke.points), _style(seen, stroke.material_index)
        if not count:
            continue
        points, pressure = np.empty(3 * count, dtype=np.float32), np.empty(count, dtype=np.float32)
        stroke.points.foreach_get("co", points)
        stroke.points.foreach_get("pressure", pressure)
        radii = pressure.astype(np.float64) * (stroke.line_width + layer.line_change) * pixel
        course = points.reshape(-1, 3).astype(np.float64)
        painted, strength = np.empty(4 * count, dtype=np.float32), np.empty(count, dtype=np.float32)
        stroke.points.foreach_get("vertex_color", painted)
        stroke.points.foreach_get("strength", strength)
        line = tint_of_line(style, layer, painted.reshape(-1, 4).mean(axis=0), strength.max())
        inside = tint_of_fill(style, layer, np.array(stroke.vertex_color_fill), 1.0)
        drawn = DrawnStroke(course, radii, bool(stroke.use_cyclic), *_by_style(style, number), line, inside)
        yield int(stroke.material_index), drawn


def _by_style(style: Any, number: int) -> tuple[bool, Any]:
    """Return whether a stroke's material gives it a line, and the stroke's number if it gives it a fill."""
    if style is None:
        return True, None
    return bool(style.show_stroke), number if style.show_fill else None


def _style(seen: Object, index: int) -> Any:
    slots = seen.material_slots
    material = slots[index].material if 0 <= index < len(slots) else None
    return material.grease_pencil if material is not None else None


def _is_hidden(layer: Any) -> bool:
    """Whether a layer, or a group that it is in, is hidden; the older strokes know no groups."""
    held = layer
    while held is not None:
        if held.hide:
            return True
        held = getattr(held, "parent_group", None)
    return False


def _of_layer(seen: Object, layer: Any) -> Any:
    """Return the matrix from a layer's own coordinates to the object's; a layer may hang on another object."""
    local = np.array(layer.matrix_local, dtype=np.float64)
    if layer.parent is None:
        return local
    hung = layer.parent.matrix_world @ layer.matrix_parent_inverse
    return np.linalg.inv(np.array(seen.matrix_world)) @ np.array(hung, dtype=np.float64) @ local


def _placed(points: Any, matrix: Any) -> Any:
    return points @ matrix[:3, :3].T + matrix[:3, 3]


def greatest_scale(matrix: Any) -> float:
    """Return how many times as large a matrix makes what lies along its widest direction; never quite 0."""
    return max(float(np.linalg.norm(matrix[:3, :3], 2)), 1e-12)

"""Grease Pencil strokes with their radius, and their fills, as the core's shapes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from ..stampwright.artwork.drawn import Filled, Shape, joined, polyline
from ..stampwright.findings import Finding
from . import notices
from .choosing import InkChoice, Look, layer_name, look_at
from .lines.brushes import LINE, Brush, brush_of
from .lines.pens import pencil_scale
from .lines.strokes import StrokeColumns, strokes_of
from .lines.tints import AS_INK, SIGHTS, Sight, tint_of_fill, tint_of_line

if TYPE_CHECKING:
    from bpy.types import Object

LEGACY = "GPENCIL"
"""Type of an object with the strokes that hosts before 4.3 have."""

LEGACY_PIXEL = 0.0005
"""Radius of one pixel of line width in the older strokes, Blender units: 1000 pixels of width to a unit."""


SOFT = 0.05
"""Softness of a line's edges from which on the eye tells it."""

COLOURS_ONLY = "FX_COLORIZE"
"""Effect that changes colours alone."""

FLAT = 1
"""Number of the ends of strokes that are straight across; others are round."""

PRINTS = Look()
"""How a stroke is taken until its material is looked at."""


@dataclass(frozen=True, eq=False)
class DrawnStroke:
    """A stroke in its object's own coordinates: whether it has a line, and which fill it belongs to, if any.

    ``look``: how it is taken; ``line`` and ``inside``: how its line and its fill are seen. ``flat``: whether its line
    begins and ends straight across. ``brush``: what draws it. ``softness``: of its
    edges, 0 to 1.
    """

    course: Any
    radii: Any
    closed: bool
    has_line: bool
    fill: Any
    line: Sight = AS_INK
    inside: Sight = AS_INK
    look: Look = PRINTS
    flat: tuple[bool, bool] = (False, False)
    brush: Brush = LINE
    softness: float = 0.0


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


def seen_otherwise(seen: Object) -> list[Finding]:
    """Return what is to be said of strokes that look otherwise than they print."""
    layers = held_strokes(seen, np.inf, InkChoice())
    strokes = [stroke for layer in layers for stroke in layer if not stroke.look.left_out]
    if not strokes:
        return []
    shown = [each for each in seen.shader_effects if each.show_viewport and each.type != COLOURS_ONLY]
    said = [notices.effect(seen.name, each.name) for each in shown]
    filled = {stroke.look.paint for stroke in strokes if stroke.fill is not None}
    lined = {stroke.look.paint for stroke in strokes if stroke.has_line}
    for material in (slot.material for slot in seen.material_slots if slot.material is not None):
        style: Any = material.grease_pencil
        is_filled = material.name in filled and style is not None and style.fill_style != "SOLID"
        if is_filled or (material.name in lined and style is not None and style.stroke_style != "SOLID"):
            said.append(notices.shaded(seen.name, material.name))
    if any(stroke.softness > SOFT for stroke in strokes if stroke.has_line):
        said.append(notices.soft(seen.name))
    if getattr(seen.data, "stroke_thickness_space", "WORLDSPACE") == "SCREENSPACE":
        said.append(notices.in_pixels(seen.name))
    return said


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
    scale = pencil_scale(matrix)
    for number, stroke in enumerate(strokes):
        placed = _placed(stroke.course, matrix)[:, :2]
        if stroke.has_line:
            look = _seen_as(stroke.look, stroke.line)
            line = stroke.brush.drawn(placed, stroke.radii * scale, matrix, closed=stroke.closed, flat=stroke.flat)
            drawn.append((number + 0.5, replace(line, **look._asdict())))
        if stroke.fill is not None and len(placed) >= 3:
            look = _seen_as(stroke.look, stroke.inside)
            fills.setdefault((stroke.fill, look), (number, []))[1].append(polyline(placed, closed=True))
    # Strokes that share a fill cut holes into each other; the line of a stroke lies over its fill.
    drawn += [(at, _filled(outlines, look)) for (_, look), (at, outlines) in fills.items()]
    yield from (shape for _, shape in sorted(drawn, key=lambda each: each[0]))


def _filled(outlines: list[Any], look: Look) -> Filled:
    # The host fills also what one stroke goes round twice.
    return Filled(joined(outlines), "evenodd" if len(outlines) > 1 else "nonzero", **look._asdict())


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
        yield [replace(part, look=look_at(tuple(taken), slot)) for slot, parts in strokes for part in parts]


def _look_of(material: Any, choice: InkChoice) -> Look:
    if material is not None and material.grease_pencil is not None and material.grease_pencil.hide:
        return Look(f"hidden material {material.name}", material.name)
    return choice.of_material(material)


def _in_parts(stroke: DrawnStroke, sights: Any) -> list[DrawnStroke]:
    """Return a stroke; where its points are seen differently, its fill and each part of its line by itself.

    ``sights``: (n,) int, as :func:`tint_of_line` gives them.
    """
    if not stroke.has_line or not np.ptp(sights):
        return [replace(stroke, line=SIGHTS[int(sights[0])])]
    parts = [replace(stroke, has_line=False)] if stroke.fill is not None else []
    course, radii, seen = stroke.course, stroke.radii, sights
    if stroke.closed:
        course, radii, seen = np.vstack((course, course[:1])), np.append(radii, radii[0]), np.append(sights, sights[0])
    last = len(seen) - 1
    changes = np.flatnonzero(np.diff(seen)).tolist()
    for before, after in zip([-1, *changes], [*changes, last], strict=True):
        first = before + 1
        # One changes into the other half-way between two points.
        places, widths = course[first : after + 1], radii[first : after + 1]
        if before >= 0:
            places = np.vstack((course[before : first + 1].mean(axis=0), places))
            widths = np.append(radii[before : first + 1].mean(), widths)
        if after < last:
            places = np.vstack((places, course[after : after + 2].mean(axis=0)))
            widths = np.append(widths, radii[after : after + 2].mean())
        flat = (before >= 0 or stroke.flat[0], after < last or stroke.flat[1])
        part = replace(
            stroke, course=places, radii=widths, closed=False, fill=None, line=SIGHTS[int(seen[first])], flat=flat
        )
        parts.append(part)
    return parts


def _strokes(seen: Object, layer: Any, tolerance: float) -> Iterator[tuple[int, list[DrawnStroke]]]:
    """Yield each stroke of a layer in its parts with the slot of its material."""
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
    on_fills, of_fills = columns.colours("fill_color", on_points=False), columns.of_curves("fill_opacity", 1.0)
    softness = columns.of_curves("softness", 0.0)
    starts, ends = columns.of_curves("start_cap", 0) == FLAT, columns.of_curves("end_cap", 0) == FLAT
    placing = _of_layer(seen, layer)
    # The host has added it to what it evaluates.
    offset = 0.0 if seen.is_evaluated and not _is_hidden(layer) else layer.radius_offset
    for stroke in strokes_of(columns, tolerance):
        number, style = stroke.number, styles[stroke.number]
        if by_stroke:
            has_line, fill = not hidden[number], filled[number] or None
        else:
            has_line, fill = _by_style(style, number)
        course = _placed(stroke.course, placing)
        drawn = DrawnStroke(
            course,
            np.maximum(stroke.radii + offset, 0.0),
            stroke.closed,
            has_line,
            fill,
            inside=tint_of_fill(style, layer, on_fills[number], of_fills[number]),
            flat=(bool(starts[number]), bool(ends[number])),
            brush=brush_of(style, is_spaced=by_stroke),
            softness=float(softness[number]),
        )
        yield int(slots[number]), _in_parts(drawn, tint_of_line(style, layer, stroke.painted, stroke.opacity))


def _legacy_strokes(seen: Object, layer: Any) -> Iterator[tuple[int, list[DrawnStroke]]]:
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
        radii = np.maximum(pressure.astype(np.float64) * stroke.line_width + layer.line_change, 0.0) * pixel
        course = points.reshape(-1, 3).astype(np.float64)
        painted, strength = np.empty(4 * count, dtype=np.float32), np.empty(count, dtype=np.float32)
        stroke.points.foreach_get("vertex_color", painted)
        stroke.points.foreach_get("strength", strength)
        has_line, fill = _by_style(style, number)
        drawn = DrawnStroke(
            course,
            radii,
            bool(stroke.use_cyclic),
            has_line,
            fill,
            inside=tint_of_fill(style, layer, np.array(stroke.vertex_color_fill), 1.0),
            flat=(stroke.start_cap_mode == "FLAT", stroke.end_cap_mode == "FLAT"),
            brush=brush_of(style, is_spaced=False),
            softness=1.0 - stroke.hardness,
        )
        sights = tint_of_line(style, layer, painted.reshape(-1, 4).astype(np.float64), strength.astype(np.float64))
        yield int(stroke.material_index), _in_parts(drawn, sights)


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
    """Return the matrix from a layer's own coordinates to the object's; a layer may hang on an object or a bone."""
    local = np.array(layer.matrix_local, dtype=np.float64)
    if layer.parent is None:
        return local
    hung = layer.parent.matrix_world
    bone = layer.parent.pose.bones.get(layer.parent_bone) if layer.parent.pose is not None else None
    hung = (hung if bone is None else hung @ bone.matrix) @ layer.matrix_parent_inverse
    return np.linalg.inv(np.array(seen.matrix_world)) @ np.array(hung, dtype=np.float64) @ local


def _placed(points: Any, matrix: Any) -> Any:
    return points @ matrix[:3, :3].T + matrix[:3, 3]


def greatest_scale(matrix: Any) -> float:
    """Return how many times as large a matrix makes what lies along its widest direction; never quite 0."""
    return max(float(np.linalg.norm(matrix[:3, :3], 2)), 1e-12)

"""Findings and repairs drawn in the viewport, in the plane of the paper, told apart by shape as well as colour."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy
import gpu
from gpu_extras.batch import batch_for_shader
from mathutils import Vector

from .building.results import repair_of
from .mockup import stage
from .press.verdict import findings_of
from .scene import stamps
from .scene.images import picture_on
from .scene.views import depth_step
from .stampwright.looks.colours import ADDED_IN_VIEW, REMOVED_IN_VIEW, SEVERITY_IN_VIEW, rgb
from .stampwright.looks.signs import sign_corners

if TYPE_CHECKING:
    from bpy.types import Context

    from .stampwright.findings import Severity

SEVERITY_COLOURS = {severity: (*rgb(colour), 1.0) for severity, colour in SEVERITY_IN_VIEW.items()}
ADDED, REMOVED = (*rgb(ADDED_IN_VIEW), 1.0), (*rgb(REMOVED_IN_VIEW), 1.0)
"""What repair added is filled, what it removed is hatched."""

HATCHING = 0.25
"""From line to line of the hatching, mm."""

PIXELS = 10.0
"""Radius of a sign on screen."""

FILL = 0.22
"""Opacity of the places themselves."""

CLEAR = 4.0
"""Steps of depth that the print is drawn over its sheet, so that it is seen in slanting views as well."""

MOST_SIGNS = 400

_handles: list[Any] = []
_kept: dict[str, Any] = {}


def _draw() -> None:
    """Draw the findings of the stamp that is worked on; the host calls this for every view."""
    context = bpy.context
    if context.space_data is None or not context.space_data.overlay.show_overlays:
        return
    for sheet in bare_sheets(context):
        _draw_picture(context, sheet)
    root = stamps.stamp_of(context)
    if root is None or not root.visible_get():
        return
    found = [finding for finding in findings_of(root) if finding.place is not None and not finding.place.is_empty]
    repaired = repair_of(root)
    if not found and repaired is None:
        return
    frame = stamps.paper_frame(root, context.scene)
    shader = gpu.shader.from_builtin("UNIFORM_COLOR")
    gpu.state.blend_set("ALPHA")
    gpu.state.depth_test_set("NONE")
    gpu.matrix.push()
    gpu.matrix.multiply_matrix(frame)
    try:
        for severity, fills, lines in _places(root, tuple(found)):
            _draw_region(shader, SEVERITY_COLOURS[severity], fills, lines)
        if repaired is not None:
            _draw_repair(root, repaired, shader)
        _draw_signs(context, frame, found, shader)
    finally:
        gpu.matrix.pop()
        gpu.state.line_width_set(1.0)
        gpu.state.blend_set("NONE")


def _draw_region(shader: Any, colour: tuple[float, float, float, float], fills: Any, lines: Any) -> None:
    """Draw what there is of a region: its area, and its outline or hatching."""
    red, green, blue, _ = colour
    shader.bind()
    if fills is not None:
        shader.uniform_float("color", (red, green, blue, FILL))
        fills.draw(shader)
    if lines is not None:
        shader.uniform_float("color", (red, green, blue, 0.9))
        gpu.state.line_width_set(1.5)
        lines.draw(shader)


def _draw_repair(root: Any, repaired: Any, shader: Any) -> None:
    """Draw what repair added, filled, and what it removed, hatched."""
    if _kept.get("repair") != (root.session_uid, repaired):
        from .stampwright.output.marking import hatching, place_triangles  # noqa: PLC0415  (loaded: there is a repair)

        added: tuple[Any, Any] = place_triangles([repaired.added])
        gone: list[Any] = [place_triangles([repaired.removed])[1], hatching(repaired.removed, HATCHING, 45.0)]
        _kept["repair"] = (root.session_uid, repaired)
        _kept["repair drawn"] = (
            (ADDED, _batch(shader, "TRIS", added[0]), _batch(shader, "LINES", added[1])),
            (REMOVED, None, _batch(shader, "LINES", [end for lines in gone for end in lines])),
        )
    for colour, fills, lines in _kept["repair drawn"]:
        _draw_region(shader, colour, fills, lines)


def _batch(shader: Any, kind: Any, points: Any) -> Any:
    """Return points, (n, 3), ready to be drawn, or None when there are none."""
    return batch_for_shader(shader, kind, {"pos": points}) if len(points) else None


def bare_sheets(context: Context) -> list[Any]:
    """Return the sheets of all stamps in a view whose shading does not show what is printed on them by itself."""
    shading = context.space_data.shading
    if shading.type in ("MATERIAL", "RENDERED") or (shading.type == "SOLID" and shading.color_type == "TEXTURE"):
        return []
    sheets = [stamps.part_of(root, stamps.PAPER) for root in stamps.stamps_in(context.scene)]
    if stage.MARK in context.scene:
        sheets += [each for each in context.scene.objects if stage.PRINT in each]
    return [sheet for sheet in sheets if sheet is not None and sheet.visible_get() and len(sheet.data.vertices)]


def _corners(sheet: Any) -> list[Any]:
    """Return the corners of the print on a sheet: all of a stamp's own, a part of one in a picture."""
    if stage.PRINT not in sheet:
        return [vertex.co.copy() for vertex in sheet.data.vertices]
    left, bottom, right, top = sheet[stage.PRINT]
    return [Vector((x, y, 0.0)) for x, y in ((left, bottom), (right, bottom), (right, top), (left, top))]


def _draw_picture(context: Context, sheet: Any) -> None:
    """Draw the impression on its sheet."""
    image = picture_on(sheet)
    if image is None or not image.size[0]:
        return
    corners = _corners(sheet)
    # As far over the sheet as this view must have it, so that the two do not flicker through each other.
    high = CLEAR * depth_step(context.space_data, sheet.matrix_world.translation)
    lift = Vector((0.0, 0.0, high / max(sheet.matrix_world.to_scale().z, 1e-9)))
    shader = gpu.shader.from_builtin("IMAGE")
    batch = batch_for_shader(
        shader,
        "TRIS",
        {"pos": [corner + lift for corner in corners], "texCoord": [(0, 0), (1, 0), (1, 1), (0, 1)]},
        indices=_fan(4),
    )
    gpu.state.depth_test_set("LESS_EQUAL")
    gpu.matrix.push()
    gpu.matrix.multiply_matrix(sheet.matrix_world)
    try:
        shader.bind()
        shader.uniform_sampler("image", gpu.texture.from_image(image))
        batch.draw(shader)
    finally:
        gpu.matrix.pop()
        gpu.state.depth_test_set("NONE")


def _places(root: Any, found: tuple[Any, ...]) -> list[tuple[Severity, Any, Any]]:
    """Return for each severity what to draw of its places; kept until other things are found."""
    if _kept.get("found") != (root.session_uid, found):
        # Loaded: there are findings.
        from .stampwright.output.marking import place_triangles  # noqa: PLC0415
        from .stampwright.preflight import MENDED  # noqa: PLC0415

        shader = gpu.shader.from_builtin("UNIFORM_COLOR")
        batches = []
        for severity in ("notes", "warns", "blocks"):
            # What was mended is drawn by itself.
            places = [each.place for each in found if each.severity == severity and each.kind != MENDED]
            if places:
                triangles, edges = place_triangles(places)
                batches.append((severity, _batch(shader, "TRIS", triangles), _batch(shader, "LINES", edges)))
        _kept["found"], _kept["batches"] = (root.session_uid, found), batches
    kept: list[tuple[Severity, Any, Any]] = _kept["batches"]
    return kept


def _draw_signs(context: Context, frame: Any, found: list[Any], shader: Any) -> None:
    """Draw a sign beside each place, of one size on screen wherever the view is."""
    for finding in reversed(found[:MOST_SIGNS]):
        left, bottom, right, top = finding.place.bounds
        middle = Vector(((left + right) / 2, (bottom + top) / 2, 0.0))
        radius = PIXELS * context.preferences.system.ui_scale * _mm_per_pixel(context, frame, middle)
        spot = middle + Vector((0.0, (top - bottom) / 2 + 1.3 * radius, 0.0))
        corners = sign_corners(finding.severity)
        rim: list[Any] = [spot + radius * Vector((x, y, 0.0)) for x, y in (*corners, corners[0])]
        shader.bind()
        shader.uniform_float("color", SEVERITY_COLOURS[finding.severity])
        batch_for_shader(shader, "TRIS", {"pos": [spot, *rim]}, indices=_fan(1 + len(rim))).draw(shader)
        shader.uniform_float("color", (1.0, 1.0, 1.0, 1.0))
        gpu.state.line_width_set(1.5)
        batch_for_shader(shader, "LINE_STRIP", {"pos": rim}).draw(shader)
        low, high = spot - Vector((0, 0.42 * radius, 0)), spot + Vector((0, 0.42 * radius, 0))
        bar = Vector((0.13 * radius, 0, 0))
        stem = spot - Vector((0, 0.10 * radius, 0))
        marks: list[Any] = [high - bar, high + bar, stem + bar, stem - bar]
        rise = 2 * Vector((0, bar.x, 0))
        dot: list[Any] = [low - bar, low + bar, low + bar + rise, low - bar + rise]
        for bar_or_dot in (marks, dot):
            batch_for_shader(shader, "TRIS", {"pos": bar_or_dot}, indices=_fan(4)).draw(shader)


def _fan(count: int) -> list[tuple[int, int, int]]:
    """Return the triangles of a convex outline of so many corners; newer hosts fill no fans by themselves."""
    return [(0, corner, corner + 1) for corner in range(1, count - 1)]


def _mm_per_pixel(context: Context, frame: Any, spot: Any) -> float:
    """Return how many mm of the paper one pixel of the view shows at a spot."""
    # There is a region, as this is called while one is drawn.
    region: Any = context.region
    view = context.space_data.region_3d
    placed = view.perspective_matrix @ (frame @ spot).to_4d()
    scale = frame.to_scale().x
    across = view.perspective_matrix.to_3x3().row[0].length / max(placed.w, 1e-9)
    shown: float = across * scale * region.width
    return 2.0 / max(shown, 1e-9)


def register() -> None:
    """Enter the drawing into every 3D viewport; without a window there is none to draw in."""
    if not bpy.app.background:
        _handles.append(bpy.types.SpaceView3D.draw_handler_add(_draw, (), "WINDOW", "POST_VIEW"))


def unregister() -> None:
    """Take the drawing back."""
    while _handles:
        bpy.types.SpaceView3D.draw_handler_remove(_handles.pop(), "WINDOW")
    _kept.clear()

"""Handles in the viewport: size of the base, height of the handle, margin and turn of the artwork, dragged in place."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

import bpy
from mathutils import Matrix, Vector

from .building.results import stamp_made
from .scene import stamps
from .scene.units import mm_per_unit
from .translations import translated

if TYPE_CHECKING:
    from bpy.types import Context, Object

TOOL = "stampwright.stamp"
"""The tool with which the handles are shown whatever part of a stamp is active."""

FITTED = ("fit", "drawn")
"""Sizes of artwork that keep a margin to the base's edge."""

OWN_HEIGHT = ("turned", "none")
"""Forms of the handle whose height is not a figure."""

COLOURS = {"x": (0.96, 0.26, 0.33), "y": (0.55, 0.82, 0.22), "z": (0.23, 0.56, 0.96), "turn": (0.95, 0.75, 0.20)}
"""The host's own of the axes, and one for turning."""

DECIMALS = 4
"""Of millimetres and degrees that are dragged: far finer than any printer, and back to what was typed before."""

RING = 0.62
"""Radius of the ring that turns the artwork, as a share of the base's width."""


@dataclass(frozen=True)
class Grip:
    """One handle: an arrow along the z axis of ``matrix``, or a ring round it.

    ``name`` tells it from the others; ``read`` and ``write`` take its place in the world's units, a ring's in radians.
    ``told`` says what it is set to, for the status bar.
    """

    name: str
    colour: str
    matrix: Matrix
    read: Callable[[], float]
    write: Callable[[float], None]
    told: Callable[[], str]
    radius: float = 0.0


def grips_of(root: Object, scene: Any) -> Iterator[Grip]:
    """Yield the handles that a stamp has as it is set now."""
    held, frame = root.stampwright, root.matrix_world.copy()
    unit = frame.to_scale().x / mm_per_unit(scene)
    die, handle = stamps.part_of(root, "die"), stamps.part_of(root, "handle")
    if die is not None and held.bend.form == "flat":
        foot = frame.inverted() @ die.matrix_world.translation
        yield from _base_grips(held, frame, foot, unit)
        yield from _margin_grips(root, held, frame, foot, unit)
        ring = _facing(frame, foot, "z")
        yield Grip(
            "turn",
            "turn",
            ring,
            lambda: math.radians(held.layout.turn),
            lambda angle: setattr(held.layout, "turn", round(math.degrees(angle), DECIMALS)),
            lambda: f"{translated('Turn')} {held.layout.turn:.1f}°",
            RING * held.base.width * unit,
        )
    if handle is not None and held.handle.form not in OWN_HEIGHT:
        foot = frame.inverted() @ handle.matrix_world.translation
        yield _length(held.handle, "height", "z", _facing(frame, foot, "z"), unit)


def _base_grips(held: Any, frame: Matrix, foot: Vector, unit: float) -> Iterator[Grip]:
    base = held.base
    if base.outline in ("round", "rectangle", "ellipse"):
        yield _length(base, "width", "x", _facing(frame, foot, "x"), unit / 2.0)
    if base.outline in ("rectangle", "ellipse"):
        yield _length(base, "height", "y", _facing(frame, foot, "y"), unit / 2.0)


def _margin_grips(root: Object, held: Any, frame: Matrix, foot: Vector, unit: float) -> Iterator[Grip]:
    stamp = stamp_made(root)
    if stamp is None or stamp.inked.is_empty:
        return
    to_local = unit / frame.to_scale().x
    if held.base.outline == "follow":
        below = foot + Vector((0.0, stamp.inked.bounds[1] * to_local, 0.0))
        yield _length(held.base, "margin", "y", _facing(frame, below, "-y"), unit)
    elif held.layout.size_by in FITTED:
        below = foot + Vector((0.0, stamp.layout.base.bounds[1] * to_local, 0.0))
        yield _length(held.layout, "margin", "y", _facing(frame, below, "y"), unit)


def _length(group: Any, name: str, colour: str, matrix: Matrix, unit: float) -> Grip:
    """Return the arrow of a length, mm, of which one is so many of the world's units."""

    def read() -> float:
        return float(getattr(group, name)) * unit

    def write(reach: float) -> None:
        # What the host brings back after Esc went through figures of the world's units.
        setattr(group, name, round(reach / unit, DECIMALS))

    def told() -> str:
        return f"{translated(group.bl_rna.properties[name].name)} {getattr(group, name):.2f} mm"

    return Grip(f"{group.bl_rna.identifier}.{name}", colour, matrix, read, write, told)


def _facing(frame: Matrix, foot: Vector, way: str) -> Matrix:
    """Return the matrix at a place of a frame whose z axis is one of the frame's, all axes of length one."""
    turns = {
        "x": Matrix.Rotation(math.pi / 2, 4, "Y"),
        "y": Matrix.Rotation(-math.pi / 2, 4, "X"),
        "-y": Matrix.Rotation(math.pi / 2, 4, "X"),
        "z": Matrix.Identity(4),
    }
    return Matrix.Translation((frame @ foot)[:]) @ frame.to_quaternion().to_matrix().to_4x4() @ turns[way]


class STAMPWRIGHT_GGT_stamp(bpy.types.GizmoGroup):
    """The handles of the stamp that is worked on."""

    bl_idname = "STAMPWRIGHT_GGT_stamp"
    bl_label = "Hand Stamp"
    bl_space_type = "VIEW_3D"
    bl_region_type = "WINDOW"
    bl_options = {"3D", "PERSISTENT", "SHOW_MODAL_ALL"}

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Show on a stamp's empty, as on a lamp or a camera, and on any part of it with the stamp's own tool."""
        root = stamps.stamp_of(context)
        if root is None or context.mode != "OBJECT" or not stamps.is_ours(root) or not root.visible_get():
            return False
        active = context.active_object
        if active is root:
            return True
        tool = context.workspace.tools.from_space_view3d_mode("OBJECT")
        return tool is not None and tool.idname == TOOL

    def setup(self, context: Context) -> None:
        """Begin without handles; they are made as they are wanted."""
        self._made: dict[str, Any] = {}
        self._grips: dict[str, Grip] = {}
        self._dragged, self._before = "", 0.0
        self.refresh(context)

    def refresh(self, context: Context) -> None:
        """Bring the handles to where the stamp is now."""
        root = stamps.stamp_of(context)
        wanted = {grip.name: grip for grip in grips_of(root, context.scene)} if root is not None else {}
        self._grips.update(wanted)
        for name, gizmo in self._made.items():
            gizmo.hide = name not in wanted
        for name, grip in wanted.items():
            if name not in self._made:
                self._made[name] = _new_gizmo(self, grip, self._grips)
            gizmo = self._made[name]
            if not gizmo.is_modal:
                # A scale of the gizmo's own counts twice where nothing else scales it.
                gizmo.matrix_basis = grip.matrix @ Matrix.Scale(grip.radius or 1.0, 4)

    def draw_prepare(self, context: Context) -> None:
        """Follow the stamp as it is moved and built; the end of each drag can be undone."""
        dragged = next((name for name, gizmo in self._made.items() if gizmo.is_modal), "")
        if dragged != self._dragged:
            before, self._before = self._before, self._grips[dragged].read() if dragged else 0.0
            if self._dragged:
                moved = self._grips[self._dragged].read() != before
                # No operator may run while a view is drawn.
                bpy.app.timers.register(partial(_end_drag, context.workspace, is_moved=moved), first_interval=0.0)
            self._dragged = dragged
        if dragged:
            told = self._grips[dragged].told()
            bpy.app.timers.register(
                partial(_show_hint, context.workspace, told, is_turn=dragged == "turn"), first_interval=0.0
            )
        self.refresh(context)


def _show_hint(workspace: Any, told: str, *, is_turn: bool) -> None:
    """Say in the status bar what is set, and which keys do what while it is dragged."""
    hint = translated("Shift: Precise   Ctrl: Snap   Esc: Cancel" if is_turn else "Shift: Precise   Esc: Cancel")
    workspace.status_text_set(f"{told}   {hint}")


def _end_drag(workspace: Any, *, is_moved: bool) -> None:
    """Have the host note a step that undo goes back to: it does so for its own operators, and not for handles."""
    workspace.status_text_set(None)
    if is_moved:
        bpy.ops.ed.undo_push(message="Size Stamp")


def _new_gizmo(group: Any, grip: Grip, grips: dict[str, Grip]) -> Any:
    """Return a new handle, which asks ``grips`` for what it moves: the host never gives back a handler once set."""
    gizmo = group.gizmos.new("GIZMO_GT_dial_3d" if grip.radius else "GIZMO_GT_arrow_3d")
    gizmo.color, gizmo.alpha = COLOURS[grip.colour], 0.6
    gizmo.color_highlight, gizmo.alpha_highlight = (1.0, 1.0, 1.0), 1.0
    if grip.radius:
        gizmo.draw_options = {"ANGLE_VALUE"}
        gizmo.use_draw_scale = False
    else:
        gizmo.draw_style, gizmo.length = "BOX", 0.0
    gizmo.use_draw_value = True

    def read() -> float:
        return grips[grip.name].read()

    def write(reach: float) -> None:
        grips[grip.name].write(reach)

    gizmo.target_set_handler("offset", get=read, set=write)
    return gizmo


def register() -> None:
    """Enter the handles."""
    bpy.utils.register_class(STAMPWRIGHT_GGT_stamp)


def unregister() -> None:
    """Take them back."""
    bpy.utils.unregister_class(STAMPWRIGHT_GGT_stamp)

"""Films that come round: the subject turning, the stamp printing sheet after sheet, its parts joining and parting."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

import bpy
import mathutils
import numpy as np

from ...stampwright.errors import StampwrightError
from ...stampwright.press import predict_print
from ...stampwright.stamp import Stamp
from .. import poses, stage
from ..arrangements import LIFT
from ..scenery import framing
from ..staging import MM, base_size
from .rolling import RollingPlace, middle_frame, way_of

if TYPE_CHECKING:
    from bpy.types import Object, Scene

STANDING = ("ground", "pad", "felt")
"""What does not turn with the subject."""

SWEPT = 24
"""Places round the turn at which the subject must be in the picture."""

DOWN, PRESSED, RELEASED, UP = 0.28, 0.38, 0.46, 0.66
"""When the stamp touches, is pushed, is let go, and is up again, as shares of a film's length."""

TAKEN, LAID = 0.78, 0.96
"""When the printed sheet begins to slide away, and a fresh one lies in its place, as shares of the same."""

JOINING, JOINED, PARTING, PARTED = 0.12, 0.40, 0.58, 0.88
"""When parts begin to come together, are together, begin to come apart, and are apart, as shares of the same."""

TILT = 5.0
"""How much the stamp tips while it is lifted, degrees: a hand peels it off rather than lifting it flat."""

MOST_GIVEN = 0.25
"""However much it is exaggerated, the relief gives no more than this share of its height."""

FURTHEST = 60
"""Steps to the side, of half a base's length, after which a sheet is taken to be out of any picture."""

LOOKED_AT = 100.0
"""Resolution at which a push is reckoned for a film, dpi; a picture shows no more of it."""


def set_length(scene: Scene, seconds: float, frame_rate: int) -> int:
    """Set a film's length, and return how many frames it has."""
    frames = max(2, round(seconds * frame_rate))
    scene.render.fps, scene.render.fps_base = frame_rate, 1.0
    scene.frame_start, scene.frame_end = 1, frames
    scene.frame_set(1)
    return frames


def turntable(scene: Any, frames: int) -> None:
    """Let everything but the ground turn once about the subject's middle; the last frame leads back to the first."""
    scene.view_layers[0].update()
    turning = [each for each in scene.objects if each.parent is None and _turns(each)]
    points = np.vstack([_corners(each) for each in turning])
    low, high = points.min(axis=0), points.max(axis=0)
    pivot = stage.put(scene, f"{scene.name} turntable", None, role="turntable")
    pivot.location = (*((low + high) / 2.0)[:2], 0.0)
    for each in turning:
        each.parent = pivot
        each.matrix_parent_inverse = pivot.matrix_basis.inverted()
    for each in scene.objects:
        # An ink pad would stand in the way of what turns, or lie about.
        each.hide_render = each.hide_viewport = each.get(stage.MARK) in ("pad", "felt")
    _key(pivot, "rotation_euler", [(1, (0.0, 0.0, 0.0)), (frames + 1, (0.0, 0.0, 2.0 * math.pi))], "LINEAR")
    about = points - np.array(pivot.location)
    swept = np.vstack([poses.placed(poses.turned("z", 360.0 * step / SWEPT), about) for step in range(SWEPT)])
    swept += np.array(pivot.location)
    camera = scene.camera
    back = np.array(camera.matrix_world)[:3, 2]
    view = framing.CameraView(
        azimuth=math.degrees(math.atan2(back[0], -back[1])),
        elevation=math.degrees(math.asin(min(1.0, back[2]))),
        lens=camera.data.lens,
    )
    framing.frame(scene, camera, view, swept, points)


def press(scene: Any, stamp: Stamp, frames: int, times: float) -> None:
    """Let the stamp of a scene in the press arrangement come down, be pushed, and lift off its impression.

    The die gives so many times as much as the core's press reckons, within bounds. At the end a fresh sheet slides
    over the printed one's place: the last frame leads back to the first.
    """
    die = next(each for each in scene.objects if each.get(stage.MARK) == "die")
    sheet = next(each for each in scene.objects if each.get(stage.MARK) == "sheet")
    group: Any = die.parent
    lift = LIFT * base_size(stamp)
    _change_sheets(scene, sheet, stamp, frames)
    if stamp.bend is not None:
        printed_at = middle_frame(frames)
        turning = _on_axle(scene, group, stamp.bend.outer * MM) if stamp.bend.closed else group
        _roll(group, turning, list(way_of(stamp, stamp.bend, frames, lift)))
    else:
        given = min(times * compression(stamp), MOST_GIVEN) * stamp.job.die.relief * MM
        _add_pressed(die, stamp, given)
        at = [_frame(share, frames) for share in (0.0, DOWN, PRESSED, RELEASED, UP, TAKEN, LAID, 1.0)]
        printed_at = at[2]
        x, y, z = group.location
        heights = (lift, 0.0, -given, 0.0, lift, lift, lift, lift)
        _key(group, "location", [(f, (x, y, z + height)) for f, height in zip(at, heights, strict=True)])
        tilts = (0.0, 0.0, 0.0, 0.0, -TILT, -TILT, 0.0, 0.0)
        _key(group, "rotation_euler", [(f, (math.radians(tilt), 0.0, 0.0)) for f, tilt in zip(at, tilts, strict=True)])
        pressed = die.data.shape_keys
        _key(pressed.key_blocks["Pressed"], "value", [(at[1], 0.0), (at[2], 1.0), (at[3], 0.0)], owner=pressed)
    tree = sheet.data.materials[0].node_tree
    _key(tree.nodes["Printed"].outputs[0], "default_value", [(1, 0.0), (printed_at, 1.0)], "CONSTANT", owner=tree)
    scene.frame_set(1)


def come_apart(scene: Any, stamp: Stamp, frames: int) -> None:
    """Let the parts of a scene that shows them apart come together, and apart again as they were at first."""
    at = [_frame(share, frames) for share in (0.0, JOINING, JOINED, PARTING, PARTED, 1.0)]
    for each in [each for each in scene.objects if each.get(stage.MARK) == "name"]:
        # A name would stay where its part was.
        bpy.data.objects.remove(each)
    joined = stamp.stand("use")
    for part in scene.objects:
        pose = joined.get(part.get(stage.MARK))
        if pose is not None:
            x, y, apart = part.location
            heights = (apart, apart, pose.z * MM, pose.z * MM, apart, apart)
            _key(part, "location", [(f, (x, y, z)) for f, z in zip(at, heights, strict=True)])
    scene.frame_set(1)


def _frame(share: float, frames: int) -> int:
    """Return the frame at a share of a film; that at its whole length is the first again."""
    return 1 + round(share * frames)


def _change_sheets(scene: Any, sheet: Any, stamp: Stamp, frames: int) -> None:
    """Let the printed sheet slide out of the picture, and a fresh one into its place from the other side."""
    mesh = stage.mark(sheet.data.copy())
    mesh.materials[0] = stage.mark(sheet.data.materials[0].copy())
    mesh.materials[0].node_tree.nodes["Printed"].outputs[0].default_value = 0.0
    fresh = stage.put(scene, f"{sheet.name} fresh", mesh, role="fresh")
    fresh.matrix_basis = sheet.matrix_basis
    scene.view_layers[0].update()
    corners, step = _corners(sheet), base_size(stamp) * 0.5
    away = {side: _out_of_picture(scene, corners, side * step) for side in (1.0, -1.0)}
    at = (_frame(TAKEN, frames), _frame(LAID, frames))
    x, y, z = sheet.location
    _key(sheet, "location", [(1, (x, y, z)), (at[0], (x, y, z)), (at[1], (x + away[1.0], y, z))])
    begins = x + away[-1.0]
    _key(fresh, "location", [(1, (begins, y, z)), (at[0], (begins, y, z)), (at[1], (x, y, z))])


def _out_of_picture(scene: Any, corners: Any, step: float) -> float:
    """Return how far to the side corners go, in steps, until none of them is in the picture."""
    far = step
    for _ in range(FURTHEST):
        seen = framing.projected(scene, scene.camera, corners + np.array((far, 0.0, 0.0)))[:, 0]
        if seen.min() > 1.05 if step > 0 else seen.max() < -0.05:
            break
        far += step
    return far


def _on_axle(scene: Any, group: Any, height: float) -> Any:
    """Return what turns of a roller: its die and drum on an axle at a height, m; the fork that holds it does not."""
    axle = stage.put(scene, f"{group.name} axle", None, group)
    axle.location = (0.0, 0.0, height)
    for part in [each for each in group.children if each.get(stage.MARK) in ("die", "backing")]:
        part.parent = axle
        part.matrix_parent_inverse = mathutils.Matrix.Translation((0.0, 0.0, -height))
    return axle


def _roll(group: Any, turning: Any, way: Sequence[RollingPlace]) -> None:
    """Let a rocker or roller come down on one end of its print and roll over it; it shows once that is half covered.

    ``turning``: what of it turns.
    """
    at = group.location[:]
    moved = [(place.frame, tuple(a + b for a, b in zip(at, place.moved, strict=True))) for place in way]
    _key(group, "location", moved, "LINEAR")
    _key(turning, "rotation_euler", [(place.frame, place.turned) for place in way], "LINEAR")


def compression(stamp: Stamp) -> float:
    """Return how much of its relief's height a die gives under its job's push; 0 where that cannot be reckoned."""
    try:
        return predict_print(stamp.job, stamp.pressed, dpi=LOOKED_AT).pressing.strain
    except StampwrightError:
        return 0.0


def _add_pressed(die: Object, stamp: Stamp, given: float) -> None:
    """Add a shape in which the relief is lower by ``given``, m; the floor stays."""
    die.shape_key_add(name="Basis", from_mix=False)
    shape = die.shape_key_add(name="Pressed", from_mix=False)
    places = np.empty(3 * len(die.data.vertices), dtype=np.float32)
    shape.data.foreach_get("co", places)
    heights = places.reshape(-1, 3)[:, 2]
    floor, top = stamp.job.die.floor * MM, float(heights.max())
    heights -= given * np.clip((heights - floor) / (top - floor), 0.0, 1.0)
    shape.data.foreach_set("co", places)


def _turns(each: Object) -> bool:
    return each.type in ("EMPTY", "MESH") and each.get(stage.MARK) not in STANDING


def _corners(each: Object) -> Any:
    """Return the corners of the boxes of an object and of all that hangs on it, (n, 3) float, world."""
    held = [below for below in (each, *each.children_recursive) if below.type == "MESH"]
    return np.array([below.matrix_world @ mathutils.Vector(corner) for below in held for corner in below.bound_box])


def _key(
    held: Any, path: str, keys: Sequence[tuple[int, Any]], interpolation: str = "BEZIER", owner: Any = None
) -> None:
    """Key a property at frames; ``owner``: the datablock that it belongs to, unless it is one itself."""
    for frame, value in keys:
        setattr(held, path, value)
        held.keyframe_insert(path, frame=frame)
    action = (owner or held).animation_data.action
    stage.mark(action)
    full = path if owner is None else held.path_from_id(path)
    for curve in _curves(action):
        if curve.data_path == full:
            for point in curve.keyframe_points:
                point.interpolation = interpolation


def _curves(action: Any) -> Iterator[Any]:
    """Yield an action's curves; from 5.0 on they lie in layers only."""
    if hasattr(action, "fcurves"):
        yield from action.fcurves
        return
    for layer in action.layers:
        for strip in layer.strips:
            for bag in strip.channelbags:
                yield from bag.fcurves

"""The arrangements: where stamps, sheets and ink pad come to lie, and where they are seen from."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import mathutils
import numpy as np

from ..stampwright.stamp import Stamp
from . import framing, poses, stage, tabletop
from .framing import ABOVE, View
from .staging import Staged, put_ground, put_pad, put_stamp

if TYPE_CHECKING:
    from bpy.types import Object, Scene

PAPER = tabletop.THICK * tabletop.MM
"""What lies on paper lies this much higher, m."""


@dataclass(frozen=True)
class Composed:
    """What an arrangement comes to: ``framed`` must be in the picture, ``subject`` must be sharp, (n, 3) float, m."""

    view: View
    framed: Any
    subject: Any


def make_picture(arrangement: str, stamps: Sequence[tuple[Object, Stamp]], view: View | None = None) -> Scene:
    """Return a new scene with stamps, the first of them in the leading part, arranged, lit and framed."""
    root = stamps[0][0]
    held = root.stampwright.pictures
    scene = stage.new_stage(f"{root.name} {arrangement.lower().replace('_', ' ')}", arrangement, [r.name for r, _ in stamps])
    scene.render.resolution_x, scene.render.resolution_y = held.width, held.height
    scene.render.resolution_percentage = 100
    staged = [put_stamp(scene, *each) for each in stamps]
    pad = put_pad(scene, *stamps[0]) if held.pad else None
    composed = ARRANGE[arrangement](staged, pad)
    view = view or composed.view
    framing.frame(scene, scene.camera, view, composed.framed, composed.subject)
    _light(scene, root, view, composed.framed)
    return scene


def beside(staged: Sequence[Staged], pad: Object | None) -> Composed:
    """Lay the stamp on its side, its face half turned to its impression, which lies in front."""
    one = staged[0]
    pose = poses.turned("z", 28.0) @ poses.lying(one.points)
    body = poses.placed(pose, one.points)
    sheet = poses.turned("z", -9.0)
    paper = poses.placed(sheet, one.paper)
    gap = 0.10 * one.size
    # The stamp's right edge and the sheet's left one share a line; the sheet comes forward.
    pose = poses.moved(-gap - body[:, 0].max(), -body[:, 1].min() - 0.35 * one.size, 0.0) @ pose
    sheet = poses.moved(gap - paper[:, 0].min(), -0.12 * one.size, PAPER) @ sheet
    _place(one.group, pose)
    _place(one.sheet, sheet)
    body, paper = poses.placed(pose, one.points), poses.placed(sheet, one.paper)
    if pad is not None:
        _place(pad, poses.moved(1.15 * one.size, 2.0 * one.size, 0.0) @ poses.turned("z", 14.0))
    subject = np.vstack([body, paper])
    return Composed(View(azimuth=8.0, elevation=34.0), subject, subject)


def held(staged: Sequence[Staged], pad: Object | None) -> Composed:
    """Hold the stamp over the paper, tilted so that its face is seen, with the impression under it."""
    one = staged[0]
    sheet = poses.moved(0.0, 0.0, PAPER) @ poses.turned("z", -6.0)
    pose = poses.moved(0.0, 0.34 * one.size, PAPER) @ poses.held(one.points, 0.42 * one.size, 24.0)
    _place(one.group, pose)
    _place(one.sheet, sheet)
    subject = np.vstack([poses.placed(pose, one.points), poses.placed(sheet, one.paper)])
    if pad is not None:
        _place(pad, poses.moved(1.9 * one.size, 1.5 * one.size, 0.0) @ poses.turned("z", 20.0))
    return Composed(View(azimuth=14.0, elevation=19.0), subject, subject)


def exploded(staged: Sequence[Staged], pad: Object | None) -> Composed:
    """Draw the parts apart along the stamp's axis, in the order in which they join, leaning so that the face shows."""
    one = staged[0]
    gap = 0.36 * one.size
    _spread(one, gap)
    one.__dict__.pop("points", None)
    sheet = poses.moved(-0.62 * one.size, -0.75 * one.size, PAPER) @ poses.turned("z", 8.0)
    pose = poses.moved(0.35 * one.size, 0.1 * one.size, 0.0) @ poses.turned("z", -28.0)
    pose = pose @ poses.held(one.points, 0.12 * one.size, 42.0)
    _place(one.group, pose)
    _place(one.sheet, sheet)
    body = poses.placed(pose, one.points)
    subject = np.vstack([body, poses.placed(sheet, one.paper)])
    if pad is not None:
        _place(pad, poses.moved(2.0 * one.size, 2.4 * one.size, 0.0) @ poses.turned("z", 25.0))
    return Composed(View(azimuth=0.0, elevation=20.0, depth=1.4), subject, subject)


def flat_lay(staged: Sequence[Staged], pad: Object | None) -> Composed:
    """Lay stamps and impressions out in rows, each stamp beside its own, seen from above."""
    columns = math.ceil(math.sqrt(len(staged) / 1.2)) if len(staged) > 1 else 1
    turns = (-7.0, 5.0, -4.0, 8.0, -9.0, 3.0)
    shown, x, y, row = [], 0.0, 0.0, []
    for number, one in enumerate(staged):
        sheet = poses.turned("z", turns[number % len(turns)])
        pose = poses.turned("z", 180.0 + 3.4 * turns[(number + 2) % len(turns)]) @ poses.lying(one.points)
        paper, body = poses.placed(sheet, one.paper), poses.placed(pose, one.points)
        gap = 0.16 * one.size
        pose = poses.moved(x - body[:, 0].min(), y - _middle(body, 1), 0.0) @ pose
        x += float(np.ptp(body[:, 0])) + gap
        sheet = poses.moved(x - paper[:, 0].min(), y - _middle(paper, 1), PAPER) @ sheet
        x += float(np.ptp(paper[:, 0])) + 1.6 * gap
        _place(one.group, pose)
        _place(one.sheet, sheet)
        both = np.vstack([poses.placed(pose, one.points), poses.placed(sheet, one.paper)])
        shown.append(both)
        row.append(both)
        if (number + 1) % columns == 0:
            x, y = 0.0, y - max(float(np.ptp(each[:, 1])) for each in row) * 1.1
            row = []
    subject = np.vstack(shown)
    if pad is not None:
        right = float(subject[:, 0].max())
        _place(pad, poses.moved(right + 0.06, _middle(subject, 1), 0.0) @ poses.turned("z", 82.0))
    return Composed(ABOVE, subject, subject)


def press(staged: Sequence[Staged], pad: Object | None) -> Composed:
    """Stand the stamp on the paper as it prints, with room over it to be lifted."""
    one = staged[0]
    _place(one.group, poses.moved(0.0, 0.0, PAPER))
    lifted = poses.placed(poses.moved(0.0, 0.0, PAPER + LIFT * one.size), one.points)
    subject = np.vstack([one.points, poses.placed(poses.moved(0.0, 0.0, PAPER), one.paper)])
    if pad is not None:
        _place(pad, poses.moved(1.7 * one.size, 1.3 * one.size, 0.0) @ poses.turned("z", 20.0))
    return Composed(View(azimuth=16.0, elevation=24.0, depth=1.6), np.vstack([subject, lifted]), subject)


LIFT = 0.9
"""How high the stamp is lifted over the paper in a film, as a share of its base's longer side."""

ARRANGE: dict[str, Callable[[Sequence[Staged], Any], Composed]] = {
    "BESIDE": beside,
    "HELD": held,
    "EXPLODED": exploded,
    "FLAT_LAY": flat_lay,
    "PRESS": press,
}


def _spread(one: Staged, gap: float) -> None:
    for number, part in enumerate(one.parts.values()):
        part.location.z += number * gap


def _place(placed: Object, matrix: Any) -> None:
    placed.matrix_basis = mathutils.Matrix(matrix.tolist())


def _middle(points: Any, axis: int) -> float:
    return float(points[:, axis].min() + points[:, axis].max()) / 2.0


def _light(scene: Scene, root: Object, view: View, framed: Any) -> None:
    """Light a subject from a large window at the back left, with a weak fill from the right."""
    low, high = framed.min(axis=0), framed.max(axis=0)
    middle, reach = (low + high) / 2.0, float(np.linalg.norm(high - low)) / 2.0
    ground = put_ground(scene, root, reach)
    ground.location.xy = middle[:2]
    ground.rotation_euler.z = math.radians(view.azimuth)
    turn = poses.turned("z", view.azimuth)[:3, :3]
    target = middle * (1.0, 1.0, 0.5)

    def hang(name: str, direction: tuple[float, float, float], size: tuple[float, float], power: float, warm: float) -> None:
        place = target + turn @ np.array(direction) * reach
        stage.light(scene, f"{root.name} {name}", place, target, (size[0] * reach, size[1] * reach), power * reach**2, warm)

    hang("window", (-2.9, 1.7, 3.0), (2.4, 2.4), 330.0, 0.18)
    hang("card", (3.4, -1.2, 1.8), (3.2, 3.2), 60.0, -0.2)
    background = next(node for node in scene.world.node_tree.nodes if node.type == "BACKGROUND")
    background.inputs["Color"].default_value = (0.95, 0.97, 1.0, 1.0)
    background.inputs["Strength"].default_value = 0.32

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
from .framing import ABOVE, CameraView
from .lighting import light
from .naming import name_parts
from .staging import Staged, clear_ground, put_ground, put_pad, put_stamp

if TYPE_CHECKING:
    from bpy.types import Object, Scene

TURNS = (-6.0, 4.0, 7.0, -3.0, 5.0, -8.0)
"""How the sheets of a flat lay are turned, degrees: laid by hand, not by a machine."""

APART = 0.46
"""Room between parts drawn apart, as a share of the base's longer side."""

LIFT = 0.9
"""How high the stamp is lifted over the paper in a film, as a share of its base's longer side."""

SHEET = tabletop.THICK * tabletop.MM
"""What lies on paper lies this much higher, m."""


@dataclass(frozen=True)
class Composed:
    """What an arrangement comes to: ``framed`` must be in the picture, ``subject`` must be sharp, (n, 3) float, m."""

    view: CameraView
    framed: Any
    subject: Any


def make_picture(arrangement: str, stamps: Sequence[tuple[Object, Stamp]], size: tuple[int, int]) -> Scene:
    """Return a scene with stamps, the first of them in the leading part, arranged, lit and framed.

    ``size``: width and height of the picture, pixels.
    It comes in place of one that shows the same stamp arranged alike; materials that were edited there are kept.
    """
    root = stamps[0][0]
    names = [each.name for each, _ in stamps]
    before = [
        each for each in stage.pictures() if each[stage.MARK] == arrangement and each[stage.STAMPS][0] == root.name
    ]
    title = f"{root.name} {arrangement.lower().replace('_', ' ')}"
    scene = stage.new_stage(title, arrangement, names)
    scene.render.resolution_x, scene.render.resolution_y = size
    staged = [put_stamp(scene, *each) for each in stamps]
    # Drawn apart the stamp shows what it is made of, and the pad would stand before a part of it.
    has_pad = root.stampwright.pictures.pad and arrangement != "APART"
    pad = put_pad(scene, *stamps[0]) if has_pad else None
    composed = ARRANGE[arrangement](staged, pad)
    framing.frame(scene, scene.camera, composed.view, composed.framed, composed.subject)
    light(scene, composed.view.azimuth, composed.framed)
    low, high = composed.framed.min(axis=0), composed.framed.max(axis=0)
    ground = put_ground(scene, root, float(np.linalg.norm(high - low)) / 2.0)
    ground.location.xy = (low + high)[:2] / 2.0
    ground.rotation_euler.z = math.radians(composed.view.azimuth)
    clear_ground(scene, ground, clear=root.stampwright.pictures.transparent)
    stage.strike(before)
    scene.name = title
    scene.view_layers[0].update()
    return scene


def beside(staged: Sequence[Staged], pad: Object | None) -> Composed:
    """Lay the stamp on its side, its face half turned to its impression, which lies in front."""
    one = staged[0]
    pose = _rest(one, 54.0)
    sheet = poses.turned("z", -9.0)
    body, paper = poses.placed(pose, one.points), poses.placed(sheet, one.paper)
    gap = 0.03 * one.size
    # The stamp's right edge and the sheet's left one all but meet; the sheet comes forward.
    pose = poses.moved(-gap - body[:, 0].max(), -body[:, 1].min() - 0.2 * one.size, 0.0) @ pose
    sheet = poses.moved(gap - paper[:, 0].min(), -0.22 * one.size, SHEET) @ sheet
    _place(one.group, pose)
    _place(one.sheet, sheet)
    body, paper = poses.placed(pose, one.points), poses.placed(sheet, one.paper)
    _put_by(pad, one, 1.62, 2.2, 24.0)
    subject = np.vstack([body, paper])
    return Composed(CameraView(azimuth=6.0, elevation=33.0, depth=0.8), subject, subject)


def held(staged: Sequence[Staged], pad: Object | None) -> Composed:
    """Hold the stamp over the paper, tilted so that its face is seen, with the impression under it."""
    one = staged[0]
    sheet = poses.moved(0.0, 0.0, SHEET) @ poses.turned("z", -6.0)
    pose = (
        poses.moved(0.0, 0.3 * one.size, SHEET) @ poses.turned("z", -8.0) @ poses.held(one.points, 0.4 * one.size, 30.0)
    )
    _place(one.group, pose)
    _place(one.sheet, sheet)
    subject = np.vstack([poses.placed(pose, one.points), poses.placed(sheet, one.paper)])
    _put_by(pad, one, 1.3, 2.7, 20.0)
    return Composed(CameraView(azimuth=14.0, elevation=17.0), subject, subject)


def taken_apart(staged: Sequence[Staged], _pad: Object | None) -> Composed:
    """Draw the parts apart along the stamp's axis, in the order in which they join, leaning so that the face shows."""
    one = staged[0]
    for number, part in enumerate(one.parts.values()):
        part.location.z += number * APART * one.size
    lean = poses.on_ground(poses.turned("y", 28.0) @ poses.turned("x", -52.0), one.points)
    die = poses.placed(lean, one.part_points("die"))
    pose = poses.moved(-_middle(die, 0), -_middle(die, 1), 0.34 * one.size) @ lean
    sheet = poses.moved(-0.3 * one.size, -0.62 * one.size, SHEET) @ poses.turned("z", 7.0)
    _place(one.group, pose)
    _place(one.sheet, sheet)
    subject = np.vstack([poses.placed(pose, one.points), poses.placed(sheet, one.paper)])
    view = CameraView(azimuth=4.0, elevation=14.0)
    if not one.root.stampwright.pictures.names:
        return Composed(view, subject, subject)
    return Composed(view, np.vstack([subject, name_parts(one, pose, view)]), subject)


def flat_lay(staged: Sequence[Staged], pad: Object | None) -> Composed:
    """Lay stamps and impressions out in rows, each stamp beside its own, seen from above."""
    # A stamp and its sheet are about twice as wide as they are high.
    columns = math.ceil(math.sqrt(len(staged) / 2.0))
    rows = [staged[at : at + columns] for at in range(0, len(staged), columns)]
    shown: list[Any] = []
    level = 0.0
    for number, row in enumerate(rows):
        laid = [_pair(one, TURNS[(number * columns + at) % len(TURNS)]) for at, one in enumerate(row)]
        widths = [float(np.ptp(points[:, 0])) for _, _, points in laid]
        gap = 0.22 * min(one.size for one in row)
        left = -(sum(widths) + gap * (len(row) - 1)) / 2.0
        level -= max(float(np.ptp(points[:, 1])) for _, _, points in laid) / 2.0
        for one, width, (pose, sheet, points) in zip(row, widths, laid, strict=True):
            move = poses.moved(left - points[:, 0].min(), level - _middle(points, 1), 0.0)
            _place(one.group, move @ pose)
            _place(one.sheet, move @ sheet)
            shown.append(poses.placed(move, points))
            left += width + gap
        level -= max(float(np.ptp(points[:, 1])) for _, _, points in laid) / 2.0 + gap / 2.0
    subject = np.vstack(shown)
    if pad is None:
        return Composed(ABOVE, subject, subject)
    box = np.array([corner[:] for child in (pad, *pad.children) for corner in child.bound_box])
    # Rows that are wide leave room under them; else it looks in from the right.
    is_under = len(staged) > 2 and np.ptp(subject[:, 0]) > 1.3 * np.ptp(subject[:, 1])
    turned = poses.turned("z", 4.0 if is_under else 84.0)
    across, up = np.ptp(poses.placed(turned, box)[:, :2], axis=0) / 2.0 + 0.01
    if not is_under:
        _place(pad, poses.moved(float(subject[:, 0].max() + across), _middle(subject, 1), 0.0) @ turned)
        return Composed(ABOVE, subject, subject)
    under = poses.moved(_middle(subject, 0), float(subject[:, 1].min() - up), 0.0) @ turned
    _place(pad, under)
    return Composed(ABOVE, np.vstack([subject, poses.placed(under, box)]), subject)


def press(staged: Sequence[Staged], pad: Object | None) -> Composed:
    """Stand the stamp on the paper as it prints, with room over it to be lifted."""
    one = staged[0]
    _place(one.group, poses.moved(0.0, 0.0, SHEET))
    lifted = poses.placed(poses.moved(0.0, 0.0, SHEET + LIFT * one.size), one.points)
    subject = np.vstack([one.points, poses.placed(poses.moved(0.0, 0.0, SHEET), one.paper)])
    _put_by(pad, one, 1.7, 1.3, 20.0)
    return Composed(CameraView(azimuth=16.0, elevation=24.0, depth=1.6), np.vstack([subject, lifted]), subject)


ARRANGE: dict[str, Callable[[Sequence[Staged], Any], Composed]] = {
    "BESIDE": beside,
    "HELD": held,
    "APART": taken_apart,
    "FLAT_LAY": flat_lay,
    "PRESS": press,
}


def _pair(one: Staged, turn: float) -> tuple[Any, Any, Any]:
    """Return poses of a stamp on its side and of its sheet right of it, and the corners of both."""
    sheet = poses.turned("z", turn)
    paper = poses.placed(sheet, one.paper)
    pose = _rest(one, 180.0 + 4.0 * turn, turn)
    body = poses.placed(pose, one.points)
    gap = 0.1 * one.size
    pose = poses.moved(-gap / 2 - body[:, 0].max(), -_middle(body, 1), 0.0) @ pose
    sheet = poses.moved(gap / 2 - paper[:, 0].min(), -_middle(paper, 1), SHEET) @ sheet
    return pose, sheet, np.vstack([poses.placed(pose, one.points), poses.placed(sheet, one.paper)])


def _rest(one: Staged, turn: float, turn_face_up: float = 0.0) -> Any:
    """Return the pose of a stamp that is put down as its settings say, turned by so many degrees."""
    if one.root.stampwright.pictures.lay == "FACE_UP":
        return poses.turned("z", turn_face_up) @ poses.face_up(one.points)
    return poses.turned("z", turn) @ poses.lying(one.points)


def _put_by(pad: Object | None, one: Staged, right: float, back: float, turn: float) -> None:
    """Put the ink pad so far right and back of the middle, in the stamp's size, turned by so many degrees."""
    if pad is not None:
        _place(pad, poses.moved(right * one.size, back * one.size, 0.0) @ poses.turned("z", turn))


def _place(placed: Object, matrix: Any) -> None:
    placed.matrix_basis = mathutils.Matrix(matrix.tolist())


def _middle(points: Any, axis: int) -> float:
    return float(points[:, axis].min() + points[:, axis].max()) / 2.0

"""The arrangements: where stamps, sheets and ink pad come to lie, and where they are seen from."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np
from shapely import MultiPoint

from ..stampwright.plane.overlays import common
from ..stampwright.stamp import Stamp
from . import poses, stage
from .naming import name_parts
from .scenery import framing, keeping, tabletop
from .scenery.framing import ABOVE, CameraView, shape_of
from .scenery.lighting import light
from .scenery.places import Grouping, beside_rows, choose, middle, place, with_pad
from .staging import Staged, chosen_colour, clear_ground, put_ground, put_pad, put_stamp

if TYPE_CHECKING:
    from bpy.types import Object, Scene

TURNS = (-6.0, 4.0, 7.0, -3.0, 5.0, -8.0)
"""How the sheets of a flat lay are turned, degrees: laid by hand, not by a machine."""

APART = 0.07
"""Room between parts drawn apart as they are seen, as a share of the base's longer side."""

FACING, RISING = math.radians(49.0), math.radians(14.0)
"""How far the axis of parts drawn apart is turned from the line of sight, and how steeply it rises in the picture."""

ASIDE = ((58.0, 35.0), (70.0, 35.0), (82.0, 35.0), (82.0, 28.0), (88.0, 24.0), (94.0, 22.0))
"""How far the face of a stamp that lies is turned aside, and from how high it is seen, degrees: no further, and no
lower, than lets its handle be seen, which a large base lies over."""

HANDLE_SEEN = 0.3
"""Share of the handle that comes out beside what is before it, at least."""

LIFT = 0.9
"""How high the stamp is lifted over the paper in a film, as a share of its base's longer side."""

SHEET = tabletop.THICK * tabletop.MM
"""What lies on paper lies this much higher, m."""


@dataclass(frozen=True)
class Composed:
    """What an arrangement comes to: ``framed`` must be in the picture, ``subject`` must be sharp, (n, 3) float, m.

    ``faces_right``: whether what is to be lit looks to the right, where the light that comes from the left by itself
    would leave it dark.
    """

    view: CameraView
    framed: Any
    subject: Any
    faces_right: bool = False


def make_picture(
    arrangement: str, stamps: Sequence[tuple[Object, Stamp]], size: tuple[int, int], shown: Scene | None = None
) -> Scene:
    """Return a scene with stamps, the first of them in the leading part, arranged, lit and framed.

    ``size``: width and height of the picture, pixels. ``shown``: the picture in the window, if one is there, which
    the new one keeps things of, as the stamp's settings say.
    It comes in place of one that shows the same stamp arranged alike; materials that were edited there are kept.
    """
    root = stamps[0][0]
    names = [each.name for each, _ in stamps]
    before = [
        each for each in stage.pictures() if each[stage.MARK] == arrangement and each[stage.STAMPS][0] == root.name
    ]
    model = keeping.before(root, arrangement, shown)
    title = f"{root.name} {arrangement.lower().replace('_', ' ')}"
    scene = stage.new_stage(title, arrangement, names)
    scene.render.resolution_x, scene.render.resolution_y = size
    # Where stamps lie beside each other, and while one prints, each shows what it prints itself.
    alone = arrangement not in ("FLAT_LAY", "PRESS")
    staged = [put_stamp(scene, *each, in_colour=alone) for each in stamps]
    # Drawn apart the stamp shows what it is made of, and the pad would stand before a part of it.
    has_pad = root.stampwright.pictures.pad and arrangement != "APART"
    pad = put_pad(scene, *stamps[0]) if has_pad else None
    composed = ARRANGE[arrangement](staged, pad)
    _see(scene, root, composed, model)
    _light_and_ground(scene, root, composed, model)
    stage.strike(before)
    scene.name = title
    scene.view_layers[0].update()
    return scene


def light_again(root: Object) -> None:
    """Light the pictures that a stamp leads as its settings say now."""
    for scene in stage.pictures():
        if scene.get(stage.STAMPS, [""])[0] != root.name:
            continue
        for each in [each for each in scene.objects if each.get(stage.MARK) == "lamp"]:
            stage.drop(each)
        scene.view_layers[0].update()
        framed, azimuth = keeping.subject_of(scene), keeping.view_of(scene.camera).azimuth
        light(scene, (azimuth, keeping.faces_right(scene)), framed, _sheets(scene), root.stampwright.pictures.light)


def _see(scene: Any, root: Object, composed: Composed, model: Any) -> None:
    """Frame a picture, or have it seen as the one before is."""
    view = composed.view
    keeps = model is not None and root.stampwright.pictures.keep_camera
    if keeps and not keeping.is_alike(scene, model):
        view = replace(keeping.view_of(model.camera), room=view.room, depth=view.depth)
    framing.frame(scene, scene.camera, view, composed.framed, composed.subject)
    if keeps and keeping.is_alike(scene, model):
        keeping.keep_camera(scene, model)


def _light_and_ground(scene: Any, root: Object, composed: Composed, model: Scene | None) -> None:
    """Light a picture and lay its ground, or keep what the one before has."""
    held = root.stampwright.pictures
    keeping.note_subject(scene, composed.framed, faces_right=composed.faces_right)
    scene.view_layers[0].update()
    if model is not None and held.keep_stage:
        keeping.keep_light(scene, model)
    else:
        side = composed.view.azimuth, composed.faces_right
        light(scene, side, composed.framed, _sheets(scene), held.light)
    low, high = composed.framed.min(axis=0), composed.framed.max(axis=0)
    ground = put_ground(scene, root, float(np.linalg.norm(high - low)) / 2.0)
    ground.location.xy = (low + high)[:2] / 2.0
    ground.rotation_euler.z = math.radians(composed.view.azimuth)
    if model is not None and held.keep_stage:
        keeping.keep_ground(scene, model)
    clear_ground(scene, ground, clear=held.transparent)


def _sheets(scene: Scene) -> Any:
    """Return the middles of the sheets of a picture, (n, 3) float, m."""
    found = [each.matrix_world.translation[:] for each in scene.objects if each.get(stage.MARK) == "sheet"]
    return np.array(found)


def beside(staged: Sequence[Staged], pad: Object | None) -> Composed:
    """Lay the stamp on its side, its face half turned to its impression, which lies in front, the pad behind both.

    The window is at the side that the face looks to: it lights the relief, and shadows fall away from the paper.
    """
    one = staged[0]
    for aside, elevation in ASIDE:
        view, pose = CameraView(azimuth=6.0, elevation=elevation, depth=0.8), _rest(one, aside)
        if _shows_handle(one, pose, view):
            break
    one.face_eye(pose, view.axes[:, 2])
    sheet = poses.turned("z", -9.0)
    body, paper = poses.placed(pose, one.points), poses.placed(sheet, one.paper)
    gap = 0.03 * one.size
    # The stamp's right edge and the sheet's left one all but meet; the sheet comes forward.
    pose = poses.moved(-gap - body[:, 0].max(), -body[:, 1].min() - 0.2 * one.size, 0.0) @ pose
    body = poses.placed(pose, one.points)
    right = poses.moved(gap - paper[:, 0].min(), -0.22 * one.size, SHEET) @ sheet
    # Where there is little room at the side it lies before the stamp.
    before = -body[:, 1].min() + paper[:, 1].max() + 2.0 * gap
    below = poses.moved(middle(body, 0) + 0.1 * one.size, -before, SHEET) @ sheet
    ways = [
        Grouping(((one.group, pose), (one.sheet, each)), np.vstack([body, poses.placed(each, one.paper)]))
        for each in (right, below)
    ]

    def pad_at(way: Grouping) -> tuple[float, float]:
        laid = poses.placed(way.places[1][1], one.paper)
        return float(laid[:, 0].mean()), float(laid[:, 1].max()) + 0.1 * one.size

    chosen = choose(with_pad(ways, pad, (pad_at, 9.0), (view, body)), view, shape_of(one.scene))
    subject = np.vstack([body, poses.placed(chosen.places[1][1], one.paper)])
    return Composed(view, chosen.corners, subject, faces_right=True)


def held(staged: Sequence[Staged], pad: Object | None) -> Composed:
    """Hold the stamp over the paper, tilted so that its face is seen, with the impression under it."""
    one = staged[0]
    view = CameraView(azimuth=12.0, elevation=20.0)
    sheet = poses.moved(0.0, 0.0, SHEET) @ poses.turned("z", -6.0)
    pose = (
        poses.moved(0.0, 0.42 * one.size, SHEET)
        @ poses.turned("z", -10.0)
        @ poses.held(one.points, 0.34 * one.size, 54.0)
    )
    one.face_eye(pose, view.axes[:, 2])
    body = poses.placed(pose, one.points)
    subject = np.vstack([body, poses.placed(sheet, one.paper)])
    ways = [Grouping(((one.group, pose), (one.sheet, sheet)), subject)]
    at = (1.15 * one.size, 0.95 * one.size)
    chosen = choose(with_pad(ways, pad, (lambda _: at, 14.0), (view, body)), view, shape_of(one.scene))
    return Composed(view, chosen.corners, subject)


def taken_apart(staged: Sequence[Staged], _pad: Object | None) -> Composed:
    """Draw the parts apart in a row, in the order in which they join, each clear of the next, the face to the eye."""
    one = staged[0]
    view = CameraView(azimuth=0.0, elevation=18.0)
    right, up, back = view.axes.T
    # The handle goes up to the right and away; the face looks at the camera from the left.
    along = math.sin(FACING) * (math.cos(RISING) * right + math.sin(RISING) * up) - math.cos(FACING) * back
    pose = poses.pointing(along, up)
    one.face_eye(pose, back)
    ahead = math.cos(RISING) * right + math.sin(RISING) * up
    end = -math.inf
    for name, part in one.parts.items():
        places = poses.placed(pose, one.part_points(name)) @ ahead
        # Part by part as far along as clears the one before, on screen.
        further = (
            max((end + APART * one.size - float(places.min())) / math.sin(FACING), 0.0) if end > -math.inf else 0.0
        )
        part.location.z += further
        end = float(places.max()) + further * math.sin(FACING)
    pose = poses.moved(0.0, 0.0, 0.2 * one.size) @ poses.on_ground(pose, one.points)
    body = poses.placed(pose, one.points)
    sheet = poses.moved(middle(body, 0) + 0.3 * one.size, float(body[:, 1].min()) - 0.35 * one.size, SHEET)
    sheet = sheet @ poses.turned("z", 6.0)
    place(one.group, pose)
    place(one.sheet, sheet)
    subject = np.vstack([body, poses.placed(sheet, one.paper)])
    if not one.root.stampwright.pictures.names:
        return Composed(view, subject, subject)
    named = name_parts(one, pose, (view, subject), chosen_colour(one.root, "ground"))
    return Composed(view, np.vstack([subject, named]), subject)


def flat_lay(staged: Sequence[Staged], pad: Object | None) -> Composed:
    """Lay stamps and impressions out in rows, each stamp beside its own, seen from above, as large as they can be."""
    laid = [_pair(one, TURNS[at % len(TURNS)]) for at, one in enumerate(staged)]
    ways: list[Grouping] = []
    for columns in range(1, len(staged) + 1):
        moves, subject = _in_rows(laid, columns, 0.2 * min(one.size for one in staged))
        places = tuple(
            each
            for one, move, (pose, sheet, _) in zip(staged, moves, laid, strict=True)
            for each in ((one.group, move @ pose), (one.sheet, move @ sheet))
        )
        around = [Grouping((), subject)] if pad is None else beside_rows(pad, subject)
        ways += [Grouping((*places, *way.places), way.corners) for way in around]
    whole = choose(ways, ABOVE, shape_of(staged[0].scene)).corners
    return Composed(ABOVE, whole, whole)


def press(staged: Sequence[Staged], pad: Object | None) -> Composed:
    """Stand the stamp on the paper as it prints, with room over it to be lifted."""
    one = staged[0]
    stands = poses.moved(0.0, 0.0, SHEET)
    lifted = poses.placed(poses.moved(0.0, 0.0, SHEET + LIFT * one.size), one.points)
    subject = np.vstack([one.points, poses.placed(stands, one.paper)])
    view = CameraView(azimuth=16.0, elevation=24.0, depth=1.6)
    ways = [Grouping(((one.group, stands),), np.vstack([subject, lifted]))]
    at, body = (1.4 * one.size, 0.8 * one.size), np.vstack([one.points, lifted])
    chosen = choose(with_pad(ways, pad, (lambda _: at, 20.0), (view, body)), view, shape_of(one.scene))
    return Composed(view, chosen.corners, subject)


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
    pose = _rest(one, 180.0 + 4.0 * turn, turn, rolling=True)
    one.face_eye(pose, ABOVE.axes[:, 2])
    body = poses.placed(pose, one.points)
    gap = 0.1 * one.size
    pose = poses.moved(-gap / 2 - body[:, 0].max(), -middle(body, 1), 0.0) @ pose
    sheet = poses.moved(gap / 2 - paper[:, 0].min(), -middle(paper, 1), SHEET) @ sheet
    return pose, sheet, np.vstack([poses.placed(pose, one.points), poses.placed(sheet, one.paper)])


def _rest(one: Staged, turn: float, turn_face_up: float = 0.0, *, rolling: bool = False) -> Any:
    """Return the pose of a stamp that is put down as its settings say, turned by so many degrees.

    ``rolling``: whether a roller lies on its drum, rather than on an end of it.
    """
    bend = one.stamp.bend
    if rolling and bend is not None and bend.closed and not bend.upward:
        level = poses.turned("z", 90.0)
        return poses.turned("z", turn) @ poses.lying(poses.placed(level, one.points)) @ level
    if one.root.stampwright.pictures.lay == "FACE_UP":
        return poses.turned("z", turn_face_up) @ poses.face_up(one.points)
    return poses.turned("z", turn) @ poses.lying(one.points)


def _shows_handle(one: Staged, pose: Any, view: CameraView) -> bool:
    """Whether enough of the handle comes out beside die and backing, as seen from far; true where there is none."""
    if "handle" not in one.parts:
        return True
    handle, before = (
        MultiPoint(poses.placed(pose, np.vstack([one.part_points(each) for each in names])) @ view.axes[:, :2])
        for names in (("handle",), [each for each in one.parts if each != "handle"])
    )
    whole = handle.convex_hull
    return bool(common(whole, before.convex_hull).area <= (1.0 - HANDLE_SEEN) * whole.area)


def _in_rows(laid: Sequence[tuple[Any, Any, Any]], columns: int, gap: float) -> tuple[list[Any], Any]:
    """Return how far each pair is moved to lie in rows of so many, ``gap`` m apart, and the corners of all."""
    moves: list[Any] = []
    shown = []
    level = 0.0
    for first in range(0, len(laid), columns):
        row = [points for _, _, points in laid[first : first + columns]]
        widths = [float(np.ptp(points[:, 0])) for points in row]
        tall = max(float(np.ptp(points[:, 1])) for points in row)
        left = -(sum(widths) + gap * (len(row) - 1)) / 2.0
        for width, points in zip(widths, row, strict=True):
            moves.append(poses.moved(left - points[:, 0].min(), level - tall / 2.0 - middle(points, 1), 0.0))
            shown.append(poses.placed(moves[-1], points))
            left += width + gap
        level -= tall + gap
    return moves, np.vstack(shown)

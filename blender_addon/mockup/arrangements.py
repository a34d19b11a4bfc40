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
from . import exploded, poses, stage
from .films.rolling import way_of
from .naming import Label, label_parts, put_labels
from .scenery import framing, keeping, tabletop
from .scenery.framing import ABOVE, CameraView, shape_of
from .scenery.lighting import light
from .scenery.places import (
    PREFERRED,
    Grouping,
    at_the_back,
    beside_rows,
    box_of,
    choose,
    in_rows,
    lay,
    middle,
    with_pad,
)
from .staging import Staged, chosen_colour, clear_ground, put_ground, put_pad, put_stamp

if TYPE_CHECKING:
    from bpy.types import Object, Scene

TURNS = (-6.0, 4.0, 7.0, -3.0, 5.0, -8.0)
"""How the sheets of a flat lay are turned, degrees: laid by hand, not by a machine."""

ASIDE = ((58.0, 35.0), (70.0, 35.0), (82.0, 35.0), (82.0, 28.0), (88.0, 24.0), (94.0, 22.0))
"""How far the face of a stamp that lies is turned aside, and from how high it is seen, degrees: no further, and no
lower, than lets its handle be seen, which a large base lies over."""

HANDLE_SEEN = 0.3
"""Share of the handle that comes out beside what is before it, at least."""

HELD = 0.34
"""How high the stamp is held over the paper, at its lowest, as a share of its base's longer side."""

WIDE = 2.0
"""Width over height of a picture from which on a stamp's impression may lie at its side rather than under it."""

UPRIGHT, ALONG = 0.7, 0.3
"""Width over height of a picture under which parts go up it, unless they come out larger by this share across."""

LIFT = 0.9
"""How high the stamp is lifted over the paper in a film, as a share of its base's longer side."""

STEPS = 12
"""Places on the way of a rocker or roller at which it must be in the picture."""

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
    ways = [_with_sheet(one, pose, each) for each in (right, below)]

    def pad_at(way: Grouping) -> tuple[float, float]:
        laid = poses.placed(way.places[1][1], one.paper)
        return float(laid[:, 0].mean()), float(laid[:, 1].max()) + 0.1 * one.size

    chosen = choose(with_pad(ways, pad, (pad_at, 9.0), (view, body), back=True), view, shape_of(one.scene))
    subject = np.vstack([body, poses.placed(chosen.places[1][1], one.paper)])
    return Composed(view, chosen.corners, subject, faces_right=True)


def held(staged: Sequence[Staged], pad: Object | None) -> Composed:
    """Hold the stamp over the paper, tilted so that its face is seen, with the impression under it.

    In a wide picture the impression may lie at the side, in an upright one the pad between both.
    """
    one = staged[0]
    view, shape = CameraView(azimuth=12.0, elevation=20.0), shape_of(one.scene)
    sheet = poses.moved(0.0, 0.0, SHEET) @ poses.turned("z", -6.0)
    tilted = poses.turned("z", -10.0) @ poses.held(one.points, HELD * one.size, 54.0)
    pose = poses.moved(0.0, 0.42 * one.size, SHEET) @ tilted
    one.face_eye(pose, view.axes[:, 2])
    ways = [_with_sheet(one, pose, sheet)]
    body = ways[0].things[0]
    if shape > WIDE:
        paper = poses.placed(sheet, one.paper)
        aside = float(body[:, 0].max() - paper[:, 0].min()) + 0.1 * one.size
        low = poses.moved(0.0, 0.0, -HELD / 2.0 * one.size) @ pose
        ways.append(_with_sheet(one, low, poses.moved(aside, 0.3 * one.size, 0.0) @ sheet))
    at = (1.15 * one.size, 0.95 * one.size)
    every = with_pad(ways, pad, (lambda _: at, 14.0), (view, body))
    if pad is not None and shape < 1.0:
        every.append(_held_over_pad(one, pose, sheet, pad, view))
    chosen = choose(every, view, shape)
    return Composed(view, chosen.corners, chosen.shown)


def taken_apart(staged: Sequence[Staged], _pad: Object | None) -> Composed:
    """Draw the parts apart in a row, or one over the other, each clear of the next, the face to the eye."""
    one = staged[0]
    view, shape = CameraView(azimuth=0.0, elevation=18.0), shape_of(one.scene)
    joined = tuple((part, np.array(part.matrix_basis)) for part in one.parts.values())
    ways = exploded.ways_apart(one, view)
    labels: dict[int, list[Label]] = {}
    if one.root.stampwright.pictures.names:
        for at, (way, aside) in enumerate(ways):
            labels[at] = label_parts(one, way, view, aside=aside)
            ways[at] = (replace(way, corners=np.vstack([way.corners, *(each.corners for each in labels[at])])), aside)
    groupings = [way for way, _ in ways]
    chosen = choose(groupings, view, shape, ALONG if shape < UPRIGHT else PREFERRED)
    # A roller's drum turns about the axle where it is at home.
    lay(replace(chosen, places=joined))
    one.face_eye(chosen.places[0][1], view.axes[:, 2])
    lay(chosen)
    put_labels(one, labels.get(groupings.index(chosen), []), view, chosen_colour(one.root, "ground"))
    return Composed(view, chosen.corners, chosen.shown)


def flat_lay(staged: Sequence[Staged], pad: Object | None) -> Composed:
    """Lay stamps and impressions out in rows, each stamp beside its own, seen from above, as large as they can be."""
    laid = [_pair(one, TURNS[at % len(TURNS)]) for at, one in enumerate(staged)]
    blocks = [corners for _, _, corners in laid]
    gap = 0.2 * min(one.size for one in staged)
    ways: list[Grouping] = []
    for columns in range(1, len(staged) + 1):
        moves = in_rows(blocks, columns, gap)
        subject = np.vstack([poses.placed(move, block) for move, block in zip(moves, blocks, strict=True)])
        around = [Grouping((), subject, subject)] if pad is None else beside_rows(pad, subject)
        ways += [replace(way, places=(*_pairs(staged, laid, moves), *way.places)) for way in around]
        if pad is not None:
            turned = poses.turned("z", 4.0)
            *moves, last = in_rows([*blocks, poses.placed(turned, box_of(pad))], columns, gap)
            subject = np.vstack([poses.placed(move, block) for move, block in zip(moves, blocks, strict=True)])
            ways.append(Grouping(_pairs(staged, laid, moves), subject, subject).and_pad(pad, last @ turned))
    whole = choose(ways, ABOVE, shape_of(staged[0].scene)).corners
    return Composed(ABOVE, whole, whole)


def press(staged: Sequence[Staged], pad: Object | None) -> Composed:
    """Stand the stamp on the paper as it prints, with room over it to be lifted."""
    one = staged[0]
    stands = poses.moved(0.0, 0.0, SHEET)
    lifted = _on_its_way(one, stands)
    subject = np.vstack([one.points, poses.placed(stands, one.paper)])
    view = CameraView(azimuth=16.0, elevation=24.0, depth=1.6)
    whole = np.vstack([subject, lifted])
    at, body = (1.4 * one.size, 0.8 * one.size), np.vstack([one.points, lifted])
    ways = [Grouping(((one.group, stands),), whole, whole, things=(body, poses.placed(stands, one.paper)))]
    # At the end of the row lies no pad: printed sheets go that way.
    every = with_pad(ways, pad, (lambda _: at, 20.0), (view, body), end=False)
    chosen = choose(every, view, shape_of(one.scene))
    return Composed(view, chosen.corners, subject)


ARRANGE: dict[str, Callable[[Sequence[Staged], Any], Composed]] = {
    "BESIDE": beside,
    "HELD": held,
    "APART": taken_apart,
    "FLAT_LAY": flat_lay,
    "PRESS": press,
}


def _on_its_way(one: Staged, stands: Any) -> Any:
    """Return the corners of a stamp that prints from where it stands, at its highest or all along its way, (n, 3)."""
    bend, lift = one.stamp.bend, LIFT * one.size
    if bend is None:
        return poses.placed(poses.moved(0.0, 0.0, lift) @ stands, one.points)
    shown = []
    for at in way_of(one.stamp, bend, STEPS, lift):
        # Of a roller, what turns is round.
        turns = (0.0, 0.0) if bend.closed else np.degrees(at.turned[:2])
        turned = poses.turned("y", turns[1]) @ poses.turned("x", turns[0])
        shown.append(poses.placed(poses.moved(*at.moved) @ stands @ turned, one.points))
    return np.vstack(shown)


def _with_sheet(one: Staged, pose: Any, sheet: Any) -> Grouping:
    """Return the grouping of a stamp in a pose and of its sheet in another."""
    body, paper = poses.placed(pose, one.points), poses.placed(sheet, one.paper)
    shown = np.vstack([body, paper])
    return Grouping(((one.group, pose), (one.sheet, sheet)), shown, shown, things=(body, paper))


def _held_over_pad(one: Staged, pose: Any, sheet: Any, pad: Object, view: CameraView) -> Grouping:
    """Return the grouping of a stamp that is held over its pad, which lies behind its sheet, clear of both as seen."""
    lies = at_the_back(box_of(pad), 7.0, view, poses.placed(sheet, one.paper))
    up = view.axes[:, 1]
    lacks = float((poses.placed(lies, box_of(pad)) @ up).max() - (poses.placed(pose, one.points) @ up).min())
    lifted = poses.moved(0.0, 0.0, max(lacks + 0.1 * one.size, 0.0) / float(up[2])) @ pose
    return _with_sheet(one, lifted, sheet).and_pad(pad, lies)


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


def _pairs(staged: Sequence[Staged], laid: Sequence[tuple[Any, Any, Any]], moves: Sequence[Any]) -> tuple[Any, ...]:
    """Return stamps and sheets with their poses, each pair moved."""
    return tuple(
        each
        for one, move, (pose, sheet, _) in zip(staged, moves, laid, strict=True)
        for each in ((one.group, move @ pose), (one.sheet, move @ sheet))
    )

"""What a new picture keeps of the one before: its camera, its ground and light, and what the user has put there."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import mathutils
import numpy as np

from .. import stage
from .framing import CameraView

if TYPE_CHECKING:
    from bpy.types import Object, Scene

SUBJECT = "stampwright_subject"
"""Custom property of a picture's scene: the box that it was lit for, m."""

RIGHT = "stampwright_faces_right"
"""Custom property of a picture's scene: whether what it was lit for looks to the right."""


def note_subject(scene: Any, framed: Any, *, faces_right: bool) -> None:
    """Note on a picture what it was lit for: ``framed``, (n, 3) float, m, and whether that looks to the right."""
    low, high = framed.min(axis=0), framed.max(axis=0)
    scene[SUBJECT], scene[RIGHT] = [*low.tolist(), *high.tolist()], faces_right


def subject_of(scene: Any) -> Any:
    """Return two corners of the box that a picture was lit for, (2, 3) float, m."""
    return np.array(scene[SUBJECT]).reshape(2, 3)


def faces_right(scene: Any) -> bool:
    """Return whether what a picture was lit for looks to the right; those of older files never do."""
    return bool(scene.get(RIGHT, False))


def before(root: Object, arrangement: str, shown: Scene | None) -> Scene | None:
    """Return the picture that a new one may keep things of: the one that is shown, else the stamp's newest alike."""
    if shown is not None and stage.MARK in shown:
        return shown
    alike = [each for each in stage.pictures() if root.name in each.get(stage.STAMPS, ())]
    same = [each for each in alike if each[stage.MARK] == arrangement]
    found = same or alike
    return found[-1] if found else None


def is_alike(scene: Any, model: Any) -> bool:
    """Whether two pictures show the same stamp arranged alike."""
    return bool(scene[stage.MARK] == model[stage.MARK] and scene[stage.STAMPS][0] == model[stage.STAMPS][0])


def view_of(camera: Any) -> CameraView:
    """Return from where a camera looks, and through which lens."""
    back = np.array(camera.matrix_world)[:3, 2]
    # From straight above, what is right in the picture tells how it is turned.
    right = np.array(camera.matrix_world)[:3, 0]
    return CameraView(
        azimuth=math.degrees(math.atan2(right[1], right[0])),
        elevation=math.degrees(math.asin(float(np.clip(back[2], -1.0, 1.0)))),
        lens=camera.data.lens,
    )


def keep_camera(scene: Any, model: Any) -> None:
    """Have a picture seen just as another is: by a copy of its camera, where that stands."""
    data = stage.mark(model.camera.data.copy())
    camera = scene.camera
    scene.camera = stage.put(scene, f"{scene.name} camera", data, role="camera")
    scene.camera.matrix_world = model.camera.matrix_world
    stage.drop(camera)


def keep_light(scene: Any, model: Any) -> None:
    """Light a picture as another is, by copies of its lamps and its world, as large as its own subject wants them."""
    old, new = subject_of(model), subject_of(scene)
    grown = float(np.linalg.norm(new[1] - new[0]) / np.linalg.norm(old[1] - old[0]))
    about, to = old.mean(axis=0), new.mean(axis=0)
    for lamp in [each for each in model.objects if each.type == "LIGHT" and stage.MARK in each]:
        data = stage.mark(lamp.data.copy())
        hung = stage.put(scene, data.name, data, role="lamp")
        matrix = lamp.matrix_world.copy()
        matrix.translation = mathutils.Vector(to + grown * (np.array(matrix.translation) - about))
        hung.matrix_world = matrix
        if data.type == "AREA":
            data.size, data.size_y = data.size * grown, data.size_y * grown
        if data.type != "SUN":
            data.energy *= grown**2
    world = scene.world
    scene.world = stage.mark(model.world.copy()) if model.world is not None else None
    stage.drop(world)
    scene.view_settings.exposure = model.view_settings.exposure


def keep_ground(scene: Any, model: Any) -> None:
    """Lay a picture's subject on the ground of another, as the user has made it, with what they have put there."""
    grounds = [next(each for each in held.objects if each.get(stage.MARK) == "ground") for held in (scene, model)]
    fresh, kept = (ground.data.materials for ground in grounds)
    fresh.clear()
    for material in kept:
        fresh.append(material)
    for each in model.collection.objects:
        if stage.MARK not in each:
            scene.collection.objects.link(each)

"""Sculpting as a hand does it, and what a sculpt is read from, for the tests of sculpts."""

import bpy
import numpy as np
from drawing import choose, circle, curve

MM = 0.001
RADIUS = 12.0


def made(*drawn, **figures):
    """Make a stamp of these objects and return its root; figures as ``face_depth=0.6``."""
    choose(*drawn)
    assert bpy.ops.stampwright.make_stamp() == {"FINISHED"}
    root = bpy.context.active_object
    for name, value in figures.items():
        section, _, field = name.partition("_")
        setattr(getattr(root.stampwright, section), field, value)
    return root


def disc(**figures):
    """Make a stamp whose face is a disc of 24 mm on a base of 30 mm; small ones are pressed sooner."""
    unit = bpy.context.scene.unit_settings.scale_length
    drawn = curve("disc", circle(RADIUS * MM / unit, 96))
    return made(drawn, layout_size_by="page", base_width=30.0, face_depth=0.6, **figures)


def part(root, role):
    return next((child for child in root.children if child.stampwright.role == role), None)


def points(die):
    """Return the die's points, mm, die frame."""
    places = np.empty(3 * len(die.data.vertices), dtype=np.float32)
    die.data.vertices.foreach_get("co", places)
    return places.reshape(-1, 3).astype(float) * bpy.context.scene.unit_settings.scale_length * 1000


def mask(die):
    values = np.empty(len(die.data.vertices), dtype=np.float32)
    die.data.attributes[".sculpt_mask"].data.foreach_get("value", values)
    return values


def brush(die, moves, *, heed_mask=True):
    """Move the die's points as a brush does: by ``moves`` of their places, mm, less where the mask is."""
    at = points(die)
    shares = (1 - mask(die))[:, None] if heed_mask else 1.0
    moved = (at + moves(at) * shares) / (bpy.context.scene.unit_settings.scale_length * 1000)
    die.data.vertices.foreach_set("co", moved.astype(np.float32).ravel())
    die.data.update()
    bpy.context.view_layer.update()


def dent(at, depth=0.4, middle=(4.0, 3.0), width=3.0):
    """Return how deep a smooth dent is at places, (n, 3) mm, die frame."""
    away = np.hypot(at[:, 0] - middle[0], at[:, 1] - middle[1])
    return -depth * np.exp(-((away / width) ** 2))


def press_in(at, **about):
    return np.column_stack((np.zeros((len(at), 2)), dent(at, **about)))


def face_heights(die):
    """Return the places of the face's points, and their heights over the highest, mm."""
    at = points(die)[mask(die) == 0]
    return at, at[:, 2] - points(die)[:, 2].max()


def heights_of(root):
    """Return what the stamp keeps of its sculpt: heights, corner and spacing."""
    _, x, y, spacing = root["stampwright_sculpt_place"]
    return np.array(root["stampwright_sculpt"], dtype=np.float32), (x, y), spacing


def sculpted(root, moves=press_in):
    """Sculpt a stamp's face from beginning to end, and return its die."""
    choose(root)
    assert bpy.ops.stampwright.sculpt_face() == {"FINISHED"}
    brush(part(root, "die"), moves)
    assert bpy.ops.stampwright.end_sculpting() == {"FINISHED"}
    return part(root, "die")

"""Small pictures of a stamp, and what can be seen in them, for the tests of pictures."""

from pathlib import Path

import bpy
import numpy as np
from drawing import curve, letter_f

ROOT = Path(__file__).resolve().parents[3]


MODULE = "bl_ext.user_default.stampwright"
SIZE = (200, 150)
ARRANGEMENTS = ("beside", "held", "apart", "flat_lay")
KINDS = ("scenes", "objects", "meshes", "materials", "images", "node_groups", "worlds", "lights", "cameras", "actions")


def make_stamp(unit=1.0):
    bpy.context.scene.unit_settings.scale_length = unit
    curve("F", letter_f(0.005 / unit))
    bpy.ops.stampwright.make_stamp()
    return ready(bpy.context.active_object)


def ready(root):
    held = root.stampwright.pictures
    (held.width, held.height), held.quality = SIZE, "LOOK"
    return root


def counts():
    # The host's own buffer for what it renders is no part of a picture.
    return {
        kind: sorted(each.name for each in getattr(bpy.data, kind) if each.name != "Render Result") for kind in KINDS
    }


def picture(arrangement):
    assert getattr(bpy.ops.stampwright, f"picture_{arrangement}")() == {"FINISHED"}
    return bpy.context.scene


def rendered(scene, path, samples=4):
    """Return a small Cycles render of a picture, (rows, columns, 3) float as shown on screen, top row first."""
    scene.render.engine = "CYCLES"
    scene.cycles.samples, scene.cycles.use_denoising = samples, False
    scene.render.filepath = str(path)
    scene.render.image_settings.file_format = "PNG"
    bpy.ops.render.render(write_still=True, scene=scene.name)
    return pixels(path)


def pixels(path):
    image = bpy.data.images.load(str(path))
    columns, rows = image.size
    held = np.empty(rows * columns * image.channels, dtype=np.float32)
    image.pixels.foreach_get(held)
    held = held.reshape(rows, columns, image.channels)[::-1, :, :3]
    bpy.data.images.remove(image)
    return held


def shown(scene, mockup, *roles):
    """Return where the vertices of parts with these roles come in the picture, (n, 2), 0 to 1, y up."""
    scene.view_layers[0].update()
    stage = mockup("stage")
    found = [each for each in scene.objects if each.get(stage.MARK) in roles and each.type == "MESH"]
    assert found
    places = []
    for each in found:
        held = np.empty(3 * len(each.data.vertices), dtype=np.float32)
        each.data.vertices.foreach_get("co", held)
        matrix = np.array(each.matrix_world)
        places.append(held.reshape(-1, 3) @ matrix[:3, :3].T + matrix[:3, 3])
    return mockup("scenery.framing").projected(scene, scene.camera, np.vstack(places))

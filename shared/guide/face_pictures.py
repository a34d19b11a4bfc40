"""Makes the pictures of the page on textured faces again: one stamp, drawn, sculpted and pressed by script in Blender.

    .venv-blender-4.5/bin/python shared/guide/face_pictures.py

Needs Blender as a Python module, as the tests do. The extension is run from its source, in an empty user folder.
"""

from __future__ import annotations

import math
import os
import sys
import tempfile
from pathlib import Path
from typing import Any

os.environ["BLENDER_USER_RESOURCES"] = tempfile.mkdtemp(prefix="stampwright-pictures-")

import bpy  # noqa: TID251  (the pictures are made in Blender)
import numpy as np
from mathutils import Vector
from PIL import Image

GUIDE = Path(__file__).resolve().parent
ADDON = GUIDE.parents[1] / "blender_addon"

MM = 0.001
"""A millimetre in Blender's units, at a unit scale of 1."""

SIZE = 480
"""Pixels along each side of a picture in the grid."""

WIDEST = 1440
"""Pixels across a whole picture at most."""

SHOWN = 40.0
"""What each of them shows, mm."""

SAMPLES = 40

DIE_GREEN = (0.16, 0.30, 0.20, 1.0)

LEAF = [(0.0, -17.0), (4.0, -14.5), (9.0, -9.0), (11.2, -3.0), (10.2, 3.5), (6.8, 9.5), (3.0, 14.0), (0.0, 18.0)]
"""Right half of a leaf, foot to tip, mm."""

VEINS = [(-11.5, 7.0), (-7.0, 9.0), (-2.2, 9.6), (2.8, 8.6), (7.4, 6.0), (11.6, 3.2)]
"""Where each pair of side veins leaves the midrib, and how far out it runs, mm."""


def main() -> None:
    """Draw a leaf, make a stamp of it, sculpt it, add a grain, and write the pictures of each step."""
    enable()
    draw_leaf()
    bpy.ops.stampwright.make_stamp(job_name="leaf")
    root = bpy.context.active_object
    held = root.stampwright
    held.layout.size_by, held.base.width, held.face.depth = "page", 40.0, 0.8
    bpy.ops.stampwright.build()
    steps = [(picture_die(root), picture_impression(root))]
    bpy.ops.stampwright.sculpt_face(symmetry="X")
    carve(part_of(root, "die"))
    bpy.ops.stampwright.end_sculpting()
    steps.append((picture_die(root), picture_impression(root)))
    held.face.texture, held.face.scale, held.face.strength, held.face.turn = "stipple", 1.5, 0.5, 0.0
    bpy.ops.stampwright.build()
    steps.append((picture_die(root), picture_impression(root)))
    write("face-steps", [[die for die, _ in steps], [print_ for _, print_ in steps]])
    bpy.ops.stampwright.clear_sculpt()
    write("face-textures", picture_textures(root))


def picture_textures(root: Any) -> list[list[Image.Image]]:
    """Return the impressions of the leaf with each grain, with a texture of Blender's, and with toned ink."""
    held = root.stampwright
    cells, ball = bpy.data.textures.new("cells", "VORONOI"), bpy.data.textures.new("ball", "BLEND")
    cells.noise_scale, cells.noise_intensity, ball.progression = 0.22, 1.4, "SPHERICAL"
    held.picture_from, held.face_texture, held.face.strength = "TEXTURE", cells, 0.9
    shown = []
    for name, scale in (("wood-grain", 2.4), ("linen", 2.0), ("stipple", 1.8), ("hatching", 1.6), ("ripple", 2.2)):
        held.face.texture, held.face.scale, held.face.turn = name, scale, 35.0
        bpy.ops.stampwright.build()
        shown.append(picture_impression(root))
    held.face.texture = "picture"
    bpy.ops.stampwright.build()
    shown.append(picture_impression(root))
    held.face.texture, held.face_texture = "none", ball
    for name in ("dots", "lines"):
        held.face.tone = name
        bpy.ops.stampwright.build()
        shown.append(picture_impression(root))
    return [shown[:4], shown[4:]]


def enable() -> None:
    """Enable the extension from its source, and empty the file."""
    import addon_utils  # noqa: PLC0415  (there once Blender is loaded)

    home = Path(os.environ["BLENDER_USER_RESOURCES"]) / "extensions" / "user_default"
    home.mkdir(parents=True)
    (home / "stampwright").symlink_to(ADDON)
    addon_utils.modules_refresh()
    bpy.ops.preferences.addon_enable(module="bl_ext.user_default.stampwright")
    bpy.ops.wm.read_homefile(use_empty=True)


def draw_leaf() -> Any:
    """Draw the leaf's outline as a closed Bezier curve, in millimetres, and select it."""
    ring = [*LEAF, *((-x, y) for x, y in reversed(LEAF[1:-1]))]
    data = bpy.data.curves.new("leaf", "CURVE")
    data.dimensions, data.fill_mode = "2D", "BOTH"
    spline = data.splines.new("BEZIER")
    spline.bezier_points.add(len(ring) - 1)
    for point, (x, y) in zip(spline.bezier_points, ring, strict=True):
        kind = "VECTOR" if x == 0 else "AUTO"
        point.co, point.handle_left_type, point.handle_right_type = (x * MM, y * MM, 0.0), kind, kind
    spline.use_cyclic_u = True
    leaf = bpy.data.objects.new("leaf", data)
    bpy.context.scene.collection.objects.link(leaf)
    leaf.select_set(True)
    bpy.context.view_layer.objects.active = leaf
    return leaf


def carve(die: Any) -> None:
    """Move the die's points as brushes do: veins pressed in, the blade hollowed between them; masked points stay."""
    count = len(die.data.vertices)
    at, mask = np.empty(3 * count, dtype=np.float32), np.empty(count, dtype=np.float32)
    die.data.attributes["position"].data.foreach_get("vector", at)
    die.data.attributes[".sculpt_mask"].data.foreach_get("value", mask)
    at = at.reshape(-1, 3)
    # The face is up and reversed: strokes are mirrored from side to side, so that makes no odds here.
    x, y = np.abs(at[:, 0]) / MM, at[:, 1] / MM
    depth = 0.75 * groove(x, 0.75 - 0.025 * y)
    for start, reach in VEINS:
        end = (reach, start + 0.62 * reach)
        away, along = from_line(x, y, (0.0, start), end)
        depth = np.maximum(depth, 0.65 * groove(away, 0.62 * (1.0 - 0.5 * along)))
    at[:, 2] -= (1 - mask) * depth * MM
    die.data.attributes["position"].data.foreach_set("vector", at.ravel())
    die.data.update()


def groove(away: Any, half: Any) -> Any:
    """Return the depth, 0 to 1, of a round-bottomed groove of a half width, mm, at distances from its middle."""
    return np.clip(1.0 - (away / half) ** 2, 0.0, 1.0) ** 0.5


def from_line(x: Any, y: Any, start: tuple[float, float], end: tuple[float, float]) -> tuple[Any, Any]:
    """Return how far places are from a line that bends upwards, mm, and how far along it, 0 to 1."""
    across, up = end[0] - start[0], end[1] - start[1]
    along = np.clip(((x - start[0]) * across + (y - start[1]) * up) / (across**2 + up**2), 0.0, 1.0)
    bend = 1.2 * along * (1.0 - along)
    return np.hypot(x - start[0] - along * across - bend, y - start[1] - along * up + bend), along


def part_of(root: Any, role: str) -> Any:
    """Return the part of a stamp with a role."""
    return next(child for child in root.children if child.stampwright.role == role)


def picture_die(root: Any) -> Image.Image:
    """Render the die alone, face up, in light that grazes it."""
    scene, die = bpy.context.scene, part_of(root, "die")
    root.stampwright.standing = "PRINT"
    bpy.ops.stampwright.build()
    others = [each for each in scene.objects if each is not die and each.type in ("MESH", "CURVE")]
    for each in others:
        each.hide_render = True
    die.data.materials[0].node_tree.nodes["Principled BSDF"].inputs["Base Color"].default_value = DIE_GREEN
    bpy.context.view_layer.update()
    middle = die.matrix_world @ Vector((0.0, 0.0, 2 * MM))
    stage = [light(middle, 24.0, 130.0, 3.2), light(middle, 60.0, -40.0, 1.4), camera(scene, middle)]
    shown = rendered(scene)
    for each in stage:
        bpy.data.objects.remove(each)
    for each in others:
        each.hide_render = False
    return shown


def rendered(scene: Any) -> Image.Image:
    """Return what the scene's camera sees, on white."""
    scene.render.engine = "CYCLES"
    scene.cycles.samples, scene.cycles.use_denoising = SAMPLES, False
    scene.render.resolution_x = scene.render.resolution_y = SIZE
    scene.render.film_transparent = True
    scene.view_settings.view_transform = "Standard"
    if scene.world is None:
        scene.world = bpy.data.worlds.new("soft")
        scene.world.use_nodes = True
        scene.world.node_tree.nodes["Background"].inputs["Strength"].default_value = 1.6
    with tempfile.TemporaryDirectory() as folder:
        scene.render.filepath = str(Path(folder) / "die.png")
        bpy.ops.render.render(write_still=True)
        shown = Image.open(scene.render.filepath).convert("RGBA")
    return Image.alpha_composite(Image.new("RGBA", shown.size, "white"), shown).convert("RGB")


def light(middle: Any, height: float, turn: float, strength: float) -> Any:
    """Return a sun that shines on a place from a height and a turn, degrees."""
    sun = bpy.data.objects.new("sun", bpy.data.lights.new("sun", "SUN"))
    sun.data.energy, sun.data.angle = strength, math.radians(4.0)
    up, round_ = math.radians(height), math.radians(turn)
    away = Vector((math.cos(up) * math.cos(round_), math.cos(up) * math.sin(round_), math.sin(up)))
    sun.rotation_euler = away.to_track_quat("Z", "Y").to_euler()
    sun.location = middle + away
    bpy.context.scene.collection.objects.link(sun)
    return sun


def camera(scene: Any, middle: Any) -> Any:
    """Return a camera that looks down on a place, a little from the front, and sees as much of it as is shown."""
    eye = bpy.data.objects.new("eye", bpy.data.cameras.new("eye"))
    eye.data.type, eye.data.ortho_scale, eye.data.clip_start = "ORTHO", SHOWN * 1.06 * MM, 1e-4
    away = Vector((0.0, -0.3, 1.0)).normalized()
    eye.location, eye.rotation_euler = middle + 0.2 * away, away.to_track_quat("Z", "Y").to_euler()
    scene.collection.objects.link(eye)
    scene.camera = eye
    return eye


def picture_impression(root: Any) -> Image.Image:
    """Return the impression as its sheet shows it in Blender, to the scale of the renders."""
    sheet = part_of(root, "paper")
    shown = next(node.image for node in sheet.data.materials[0].node_tree.nodes if node.type == "TEX_IMAGE")
    columns, rows = shown.size
    pixels = np.empty(4 * columns * rows, dtype=np.float32)
    shown.pixels.foreach_get(pixels)
    grey = Image.fromarray((pixels.reshape(rows, columns, 4)[::-1, :, 0] * 255).astype(np.uint8))
    left, low = np.array(sheet.bound_box[0][:2]) / MM
    wide = sheet.dimensions.x / MM
    scale = SIZE / SHOWN
    small = grey.resize((round(wide * scale), round(wide * scale * rows / columns)), Image.Resampling.LANCZOS)
    paper = Image.new("RGB", (SIZE, SIZE), "white")
    paper.paste(small, (round(SIZE / 2 + left * scale), round(SIZE / 2 - low * scale) - small.height))
    return paper


def write(name: str, grid: list[list[Image.Image]]) -> None:
    """Write a grid of pictures as one, with a palette of few colours, which keeps the repository small."""
    whole = Image.new("RGB", (SIZE * len(grid[0]), SIZE * len(grid)), "white")
    for row, pictures in enumerate(grid):
        for column, each in enumerate(pictures):
            whole.paste(each, (column * SIZE, row * SIZE))
    if whole.width > WIDEST:
        whole = whole.resize((WIDEST, whole.height * WIDEST // whole.width), Image.Resampling.LANCZOS)
    path = GUIDE / f"{name}.png"
    whole.quantize(128, kmeans=2, dither=Image.Dither.NONE).save(path, optimize=True)
    print(f"{path.name}: {whole.width} x {whole.height}, {path.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main()
    sys.stdout.flush()
    # Python's own end is no safe place once Blender 4.2 has had a class registered.
    os._exit(0)

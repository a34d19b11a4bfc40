"""Stamps on a stage: copies of their parts with materials, and their impressions on sheets of paper."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import bpy
import mathutils
import numpy as np

from ..scene.images import picture_on
from ..scene.impression import picture_bounds, show_picture
from ..scene.parts import HEIGHT, write_mesh, write_values
from ..scene.stamps import IN_COLOUR, PARTS, part_of
from ..scene.units import mm_per_unit
from ..stampwright.parts import heights_over_floor
from ..stampwright.stamp import Stamp
from . import poses, stage
from .materials import (
    FINISHES,
    Printed,
    Rgba,
    build_felt,
    build_filament,
    build_ground,
    build_paper,
    build_tin,
    colour,
    fade_ground,
    linear,
    set_filament,
    to_be_seen,
)
from .scenery import tabletop
from .settings import name_of

if TYPE_CHECKING:
    from bpy.types import Image, Material, Mesh, Object, Scene

MM = tabletop.MM

BARE = 0.22
"""Bare paper round the impression, as a share of the mean of its base's sides."""


WHITE, TIN = (0.9, 0.9, 0.88, 1.0), (0.02, 0.02, 0.02, 1.0)
"""Colours of paper and of the ink pad's tin in plain viewports, linear."""

Sides = tuple[float, float, float, float]
"""Left, bottom, right and top."""


@dataclass(frozen=True, eq=False)
class Staged:
    """One stamp on a stage: ``group`` moves its ``parts``, objects by name; ``sheet`` is the paper with its impression.

    Lengths are metres, those of the group's own frame: face down on paper, the base's middle at the origin.
    """

    root: Object
    stamp: Stamp
    group: Object
    parts: dict[str, Object]
    sheet: Object

    @property
    def scene(self) -> Scene:
        """The picture that it stands in."""
        return self.group.users_scene[0]

    @property
    def points(self) -> Any:
        """Corners of all parts, (n, 3) float, as they stand in use."""
        return np.vstack([self.part_points(name) for name in self.parts])

    @property
    def paper(self) -> Any:
        """Corners of the sheet, (4, 3) float, its middle at the origin."""
        width, height = sheet_size(self.stamp)
        corners = [(-width, -height), (width, -height), (width, height), (-width, height)]
        return np.array([(x / 2, y / 2, 0.0) for x, y in corners])

    @property
    def size(self) -> float:
        """Longer side of the base, or of a curved die, seen from above."""
        return base_size(self.stamp)

    @property
    def length(self) -> float:
        """From the paper to the top of the handle."""
        return float(np.ptp(self.points[:, 2]))

    def part_points(self, name: str) -> Any:
        """Return the corners of one part, (n, 3) float, as it stands in use."""
        part: Any = self.parts[name]
        places = np.empty(3 * len(part.data.vertices), dtype=np.float32)
        part.data.vertices.foreach_get("co", places)
        return poses.placed(np.array(part.matrix_basis), places.reshape(-1, 3).astype(float))

    def face_eye(self, pose: Any, eye: Any) -> None:
        """Turn a roller's drum about its axle until the middle of its print is seen; other stamps stay as they are.

        ``pose``: (4, 4) float, of the whole stamp on the stage; ``eye``: (3,) float, the way from it to the camera.
        """
        bend = self.stamp.bend
        if bend is None or not bend.closed:
            return
        axle, face = pose[:3, 0 if bend.upward else 1], -pose[:3, 2]
        degrees = math.degrees(math.atan2(axle @ np.cross(face, eye), face @ eye - (face @ axle) * (eye @ axle)))
        up = poses.moved(0.0, 0.0, bend.outer * MM)
        turn = up @ poses.turned("x" if bend.upward else "y", degrees) @ np.linalg.inv(up)
        for name in ("die", "backing"):
            part: Any = self.parts.get(name)
            if part is not None:
                own = np.array(part.matrix_basis)
                part.data.transform(mathutils.Matrix((np.linalg.inv(own) @ turn @ own).tolist()))
                part.data.update()


def put_stamp(scene: Scene, root: Object, stamp: Stamp, *, in_colour: bool = False) -> Staged:
    """Put copies of a stamp's parts, in use, and the sheet with its impression on a stage.

    ``in_colour``: on the sheet, all inks of its set, if it belongs to one that is proven.
    """
    group = stage.put(scene, f"{root.name} on stage", None)
    parts = {}
    for name, pose in stamp.stand("use").items():
        solid = getattr(stamp, name)
        mesh = bpy.data.meshes.new(f"{root.name} {name} on stage")
        write_mesh(mesh, solid.vertices * MM, solid.triangles)
        if name == "die":
            write_values(mesh, HEIGHT, "FLOAT", "POINT", heights_over_floor(stamp.job, solid, stamp.bend))
        mesh.materials.append(part_material(root, name, mesh, 1.0 / MM))
        part = parts[name] = stage.put(scene, mesh.name, mesh, group, role=name, owner=root)
        part.location = (pose.x * MM, 0.0, pose.z * MM)
        part.rotation_euler.y = np.pi if pose.turned else 0.0
    paper = tabletop.sheet(f"{root.name} paper on stage", *sheet_size(stamp))
    shown = _printed_in_colour(root) if in_colour else None
    material, place = _paper(root, stamp, scene) if shown is None else _paper_in_colour(root, *shown, scene)
    material.diffuse_color = WHITE
    paper.materials.append(material)
    sheet = stage.put(scene, paper.name, paper, role="sheet", owner=root)
    sheet[stage.PRINT] = [side * MM for side in place]
    sheet.location.z = tabletop.THICK * MM
    return Staged(root, stamp, group, parts, sheet)


def base_size(stamp: Stamp) -> float:
    """Return the longer side of a stamp's base, m, or of a curved die, whose base is as long as it rolls."""
    if stamp.bend is not None:
        return float(np.ptp(stamp.die.vertices[:, :2], axis=0).max()) * MM
    left, bottom, right, top = stamp.layout.base.bounds
    return max(right - left, top - bottom) * MM


def sheet_size(stamp: Stamp) -> tuple[float, float]:
    """Return width and height of the sheet that an impression is shown on, m."""
    left, bottom, right, top = stamp.layout.base.bounds
    width, height = right - left, top - bottom
    # By the mean of both sides: a long, narrow print would be lost on a sheet that is as bare above as beside it.
    room = 2 * BARE * math.sqrt(width * height)
    if stamp.bend is not None:
        # As long as it rolls is mostly bare; the sheet's middle is the base's.
        room = 2 * BARE * base_size(stamp) / MM
        outer = np.abs(np.array(stamp.inked.bounds).reshape(2, 2) - ((left + right) / 2.0, (bottom + top) / 2.0))
        width, height = (min(held, 2.0 * far) for held, far in zip((width, height), outer.max(axis=0), strict=True))
    return (width + room) * MM, (height + room) * MM


def part_material(root: Object, name: str, mesh: Mesh, unit: float) -> Material:
    """Return the material of a stamp's part, set to the stamp's colours and figures; ``unit``: mm in a Blender unit."""
    held = root.stampwright.pictures
    # The sheet of a cushion is bought, not printed; it looks as soft black rubber does.
    finish = FINISHES[getattr(held, f"{name}_finish", "MATTE")]
    title = f"{root.name} {name}, {finish.label.lower()}"
    if unit != 1.0 / MM:
        # On the stage and where the stamp itself stands, lengths may differ.
        title += f", {unit:g} mm per unit"
    material = bpy.data.materials.get(title)
    if material is None or material.library is not None or stage.MARK not in material:
        material = stage.mark(bpy.data.materials.new(title))
        build_filament(material, finish, heights=HEIGHT if name == "die" else "")
        stage.mark(material.node_tree.nodes["Print Lines"].node_tree)
    own = colour("filament", name_of("filament", getattr(held, f"{name}_colour", "CHARCOAL")))
    set_filament(
        material, finish, (own, chosen_colour(root, "ink")), _printed(root.stampwright, name, mesh, unit), unit
    )
    return material


def put_pad(scene: Scene, root: Object, stamp: Stamp) -> Object:
    """Put an ink pad in a stamp's ink on a stage, large enough for its die, and return what moves it."""
    sides = np.array(stamp.layout.base.bounds).reshape(2, 2) if stamp.bend is None else stamp.die.vertices[:, :2]
    width, depth = (np.ptp(sides, axis=0) * MM).tolist()
    tin, felt = tabletop.ink_pad(f"{root.name} ink pad", (width, depth))
    ink = chosen_colour(root, "ink")
    build_tin(_coat(tin, TIN))
    build_felt(_coat(felt, ink), ink)
    pad = stage.put(scene, tin.name, tin, role="pad")
    stage.put(scene, felt.name, felt, pad, role="felt", owner=root)
    return pad


def put_ground(scene: Scene, root: Object, reach: float) -> Object:
    """Put the ground on a stage, for a subject that reaches so far from the middle, m."""
    mesh = tabletop.backdrop(f"{root.name} ground", reach)
    shade = chosen_colour(root, "ground")
    build_ground(_coat(mesh, shade), shade)
    return stage.put(scene, mesh.name, mesh, role="ground", owner=root)


def clear_ground(scene: Any, ground: Object, *, clear: bool) -> None:
    """Have a picture show its ground, or nothing but the shadows on it, none of which reaches its edge."""
    scene.render.film_transparent = clear
    ground.is_shadow_catcher = clear
    for material in filter(None, ground.data.materials):
        fade_ground(material, clear=clear)
    stage.hide_what_catches(scene)


def dress_again(root: Object) -> None:
    """Bring the pictures that a stamp is in to its colours and finishes."""
    colours = {"Ink Colour": chosen_colour(root, "ink"), "Ground Colour": chosen_colour(root, "ground")}
    for scene in stage.pictures():
        printed = {**colours, "Ink Colour": printed_ink(root, scene)}
        for each in scene.objects:
            if each.get(stage.OWNER) != root.name:
                continue
            role = each[stage.MARK]
            if role == "ground":
                clear_ground(scene, each, clear=root.stampwright.pictures.transparent)
            if role in PARTS:
                each.data.materials[0] = part_material(root, role, each.data, 1.0 / MM)
            for material in each.data.materials if role in ("felt", "ground") else ():
                material.diffuse_color = colours["Ground Colour" if role == "ground" else "Ink Colour"]
            for material in each.data.materials if role in ("sheet", "felt", "ground") else ():
                for name, value in (printed if role == "sheet" else colours).items():
                    if name in material.node_tree.nodes:
                        material.node_tree.nodes[name].outputs[0].default_value = value


def dress_parts(root: Object, scene: Scene) -> None:
    """Give a stamp's own parts, where it stands, the materials of its filaments."""
    for name in PARTS:
        part = part_of(root, name)
        if part is not None:
            material = part_material(root, name, part.data, mm_per_unit(scene))
            if part.data.materials:
                part.data.materials[0] = material
            else:
                part.data.materials.append(material)


def _printed(held: Any, name: str, mesh: Mesh, unit: float) -> Printed:
    """Return how a part was printed, from the figures that a stamp's properties hold and its mesh."""
    printer = held.printer
    # Beads run as figured on paper; the die lies on the bed face up, seen from the other side.
    angle = held.press.bead_turn
    made = Printed(layer=printer.layer, line=printer.nozzle * printer.line_ratio, direction=angle)
    if name != "die":
        # Nought stands for the same as the die's.
        line = (printer.hard_nozzle or printer.nozzle) * (printer.hard_line_ratio or printer.line_ratio)
        return replace(made, layer=printer.hard_layer or printer.layer, line=line)
    top = float(_heights(mesh, held.die.floor, unit).max())
    return replace(
        made,
        direction=180.0 - angle,
        face=top - max(held.die.dressing, printer.layer / 2.0),
        inked=held.pictures.inked,
        smoothed=held.press.dressing_done / 100.0,
    )


def _heights(mesh: Any, floor: float, unit: float) -> Any:
    """Return how high the points of a die lie over its floor, (n,) mm, and have its mesh tell it where none does."""
    if HEIGHT not in mesh.attributes:
        places = np.empty(3 * len(mesh.vertices), dtype=np.float32)
        mesh.vertices.foreach_get("co", places)
        write_values(mesh, HEIGHT, "FLOAT", "POINT", places[2::3] * unit - floor)
    heights = np.empty(len(mesh.vertices), dtype=np.float32)
    mesh.attributes[HEIGHT].data.foreach_get("value", heights)
    return heights


def chosen_colour(root: Object, sort: str) -> Rgba:
    """Return the ink or the ground that a stamp's settings name; of a set each stamp has its own ink."""
    plate = root.stampwright.plate
    if sort == "ink" and plate.belongs_to:
        return linear(*plate.colour)
    return colour(sort, name_of(sort, getattr(root.stampwright.pictures, sort)))


def _coat(mesh: Mesh, seen: Rgba) -> Any:
    """Return a new material, the first of a mesh; ``seen``: its colour in plain viewports."""
    material = stage.mark(bpy.data.materials.new(mesh.name))
    material.diffuse_color = seen
    mesh.materials.append(material)
    return material


def printed_ink(root: Object, scene: Any) -> Rgba:
    """Return the colour of a stamp's ink on paper such that it is seen as itself in a picture, in full light."""
    return to_be_seen(chosen_colour(root, "ink"), scene.view_settings.view_transform)


def _printed_in_colour(root: Object) -> tuple[Image, Any] | None:
    """Return the print of all inks of a stamp's set, and where it lies, left, bottom, right and top, mm; or None."""
    name = root.stampwright.plate.belongs_to
    members = [each for each in bpy.data.objects if name and each.stampwright.plate.belongs_to == name]
    for sheet in (part_of(each, IN_COLOUR) for each in members):
        image = None if sheet is None else picture_on(sheet)
        if sheet is not None and image is not None:
            corners = np.array(sheet.bound_box)[:, :2] * mm_per_unit(root.users_scene[0])
            return image, np.concatenate((corners.min(axis=0), corners.max(axis=0)))
    return None


def _paper_in_colour(root: Object, image: Image, place: Any, scene: Any) -> tuple[Material, Sides]:
    """Return the material of a sheet with all inks of a set, and where the print lies on it, mm."""
    material = stage.mark(bpy.data.materials.new(f"{root.name} paper on stage"))
    left, bottom, right, top = place.tolist()
    build_paper(
        material, image, (left, bottom), (right - left, top - bottom), in_colour=scene.view_settings.view_transform
    )
    return material, (left, bottom, right, top)


def _paper(root: Object, stamp: Stamp, scene: Scene) -> tuple[Material, Sides]:
    """Return the material of a sheet with a stamp's impression, and where that lies on it, mm."""
    before = set(bpy.data.images)
    image = show_picture(root, stamp.impression)
    if image not in before:
        stage.mark(image)
        # A picture that is nowhere but in memory would not be saved.
        image.pack()
    material = stage.mark(bpy.data.materials.new(f"{root.name} paper on stage"))
    left, bottom, right, top = picture_bounds(stamp.impression)
    middle = np.array(stamp.layout.base.bounds).reshape(2, 2).mean(axis=0)
    x, y = left - float(middle[0]), bottom - float(middle[1])
    build_paper(material, image, (x, y), (right - left, top - bottom))
    material.node_tree.nodes["Ink Colour"].outputs[0].default_value = printed_ink(root, scene)
    return material, (x, y, x + right - left, y + top - bottom)

"""The parts' colours in plain viewports: those of their filaments, as pictures show them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ...scene.leftovers import OURS
from ...scene.meaning import meaning_of
from ...scene.nodes import first_material, tree_of
from ...scene.stamps import PARTS, part_of
from ..materials.filaments import FINISHES, Finish
from ..materials.palette import Rgba, colour
from ..settings import name_of

if TYPE_CHECKING:
    from bpy.types import Material, Object

_CUSHION = "Charcoal"


def colour_parts(root: Object) -> None:
    """Give each part of a stamp the material of its chosen colour and finish, unless it has one of the user's own.

    A finish of the assets that was dropped on a part is the chosen one from then on.
    """
    take_dropped(root)
    for name in PARTS:
        part = part_of(root, name)
        if part is None:
            continue
        held = part.data.materials
        first = held[0] if len(held) else None
        if own_material(part, name) is not None:
            continue
        wanted = plain_material(root, name)
        if first is None:
            held.append(wanted)
        elif first != wanted:
            held[0] = wanted


def own_material(part: Object, name: str) -> Material | None:
    """Return the material of the user's own that a part bears, or None; ``name``: of the part."""
    first = first_material(part)
    is_ours = first is None or OURS in first or first.name.partition(".")[0] == f"Stamp {name}"
    return None if is_ours else first


def take_dropped(root: Object) -> None:
    """Choose for each part of a stamp the finish that was dropped on it, as the host puts a material on an object."""
    pictures: Any = root.stampwright.pictures
    for name in PARTS:
        part = part_of(root, name)
        first = None if part is None else first_material(part)
        meaning = None if first is None else meaning_of(first)
        if part is None or meaning is None or meaning.finish not in FINISHES or not hasattr(pictures, f"{name}_finish"):
            continue
        chosen = name_of("filament", meaning.colour)
        # Ours first: what is chosen is shown at once, and would find the other material still.
        part.data.materials[0] = _material(chosen or _CUSHION, FINISHES[meaning.finish])
        setattr(pictures, f"{name}_finish", meaning.finish)
        if chosen:
            setattr(pictures, f"{name}_colour", meaning.colour)


def plain_material(root: Object, name: str) -> Material:
    """Return the material that shows a part's colour and finish by figures, as viewports and other programs read them.

    Stamps of one colour share it.
    """
    pictures = root.stampwright.pictures
    chosen = name_of("filament", getattr(pictures, f"{name}_colour", "")) or _CUSHION
    return _material(chosen, FINISHES[getattr(pictures, f"{name}_finish", "MATTE")])


def _material(chosen: str, finish: Finish) -> Material:
    title = f"{chosen} {finish.label}"
    material: Any = bpy.data.materials.get(title)
    if material is None or material.library is not None or OURS not in material:
        material = bpy.data.materials.new(title)
        material[OURS] = chosen
        coloured(material, colour("filament", chosen), finish)
    given: Material = material
    return given


def coloured(material: Any, own: Rgba, finish: Finish) -> Any:
    """Return a material, given a colour and a finish by figures, as viewports and other programs read them."""
    material.diffuse_color, material.roughness, material.metallic = own, finish.roughness, finish.metallic
    shader = tree_of(material).nodes.get("Principled BSDF")
    if shader is not None:
        shader.inputs["Base Color"].default_value = own
        shader.inputs["Roughness"].default_value = finish.roughness
        shader.inputs["Metallic"].default_value = finish.metallic
    return material

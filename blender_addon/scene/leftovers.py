"""What is left over of a stamp when parts of it are taken away, and goes with them; loads nothing heavy."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING

import bpy

if TYPE_CHECKING:
    from bpy.types import Mesh

OURS = "stampwright_colour"
"""Property of a material that follows the chosen colour; one of the user's own has none."""


def remove_unused(meshes: Iterable[Mesh]) -> None:
    """Take away meshes of stamps that nothing has any more, and what was made for them of materials and pictures."""
    gone = [mesh for mesh in meshes if not mesh.users]
    painted = {
        (material, number_off(mesh.name)) for mesh in gone for material in mesh.materials if material is not None
    }
    bpy.data.batch_remove(gone)
    ours = {each for each, name in painted if not each.users and (OURS in each or number_off(each.name) == name)}
    trees = [each.node_tree for each in ours if each.node_tree is not None]
    shown = {getattr(node, "image", None) for tree in trees for node in tree.nodes}
    bpy.data.batch_remove(ours)
    bpy.data.batch_remove([each for each in shown if each is not None and not each.users])


def number_off(name: str) -> str:
    """Return a name without the number that the host has put behind it."""
    return re.sub(r"\.\d{3,}$", "", name)

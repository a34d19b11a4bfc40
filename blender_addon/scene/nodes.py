"""Materials: an object's first, the tree of one on every version of the host, and matte ones of a node's colour."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

if TYPE_CHECKING:
    from bpy.types import Material, NodeTree, Object


def first_material(drawn: Object) -> Any:
    """Return the material that an object's data bears first, or None."""
    held: Any = drawn.data
    return held.materials[0] if len(held.materials) else None


def tree_of(material: Material) -> NodeTree:
    """Return a material's tree of nodes, which it has from now on if it had none."""
    # Materials have their nodes from the start from 5.0 on, where asking for them is deprecated.
    if material.node_tree is None:
        material.use_nodes = True
    return material.node_tree


def new_matte(title: str, kind: str) -> tuple[Any, Any]:
    """Return a new material, matte and coloured by a node of this kind, and that node."""
    material = bpy.data.materials.new(title)
    tree = tree_of(material)
    node = tree.nodes.new(kind)
    node.location = (-300, 300)
    shader = tree.nodes.get("Principled BSDF")
    if shader is not None:
        tree.links.new(node.outputs["Color"], shader.inputs["Base Color"])
        shader.inputs["Roughness"].default_value = 0.9
    return material, node

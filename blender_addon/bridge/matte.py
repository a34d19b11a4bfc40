"""Materials that show one node's colour, matte: paper with its print, and pressure on a face."""

from __future__ import annotations

from typing import Any

import bpy


def new_matte(title: str, kind: str) -> tuple[Any, Any]:
    """Return a new material, matte and coloured by a node of this kind, and that node."""
    material = bpy.data.materials.new(title)
    # Materials have their nodes from the start from 5.0 on, where asking for them is deprecated.
    if material.node_tree is None:
        material.use_nodes = True
    tree = material.node_tree
    node = tree.nodes.new(kind)
    node.location = (-300, 300)
    shader = tree.nodes.get("Principled BSDF")
    if shader is not None:
        tree.links.new(node.outputs["Color"], shader.inputs["Base Color"])
        shader.inputs["Roughness"].default_value = 0.9
    return material, node

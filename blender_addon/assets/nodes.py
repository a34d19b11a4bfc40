"""Nodes on the die: a group that lifts its face by a figure or a picture, for a modifier or as a part of other nodes.

They read the attributes that every die has; applied, what they have lifted is read as what brushes have moved.
"""

from __future__ import annotations

from typing import Any

import bpy

from ..scene.parts import HEIGHT, OUTWARDS, REGION

TITLE = "Lift Stamp Face"

FACE = 0
"""Number of the face among the regions."""


def lift_nodes() -> Any:
    """Return the group of nodes that lifts the points of a die's face, made when there is none yet."""
    present = bpy.data.node_groups.get(TITLE)
    if present is not None and present.library is None:
        return present
    tree: Any = bpy.data.node_groups.new(TITLE, "GeometryNodeTree")
    tree.is_modifier = True
    _sockets(tree)
    add, link = tree.nodes.new, tree.links.new
    given, told = add("NodeGroupInput"), add("NodeGroupOutput")
    region = _attribute(tree, REGION, "INT")
    is_face = add("FunctionNodeCompare")
    is_face.data_type, is_face.operation = "INT", "EQUAL"
    whole = [socket for socket in is_face.inputs if socket.type == "INT"]
    whole[1].default_value = FACE
    link(region, whole[0])
    # A point counts as the face's when any face round it is: in the mean of ones and noughts that is more than nought.
    spread = add("GeometryNodeFieldOnDomain")
    spread.domain, spread.data_type = "FACE", "FLOAT"
    link(is_face.outputs[0], spread.inputs[0])
    touches = add("FunctionNodeCompare")
    touches.data_type, touches.operation = "FLOAT", "GREATER_THAN"
    link(spread.outputs[0], touches.inputs[0])
    touches.inputs[1].default_value = 0.0
    # Up, or out from the axis of a die that is bent.
    outwards = _attribute(tree, OUTWARDS, "FLOAT_VECTOR")
    out = add("GeometryNodeSwitch")
    out.input_type = "VECTOR"
    link(next(socket for socket in outwards.node.outputs if socket.name == "Exists"), _input(out, "Switch"))
    _input(out, "False").default_value = (0.0, 0.0, 1.0)
    link(outwards, _input(out, "True"))
    way = add("ShaderNodeVectorMath")
    way.operation = "SCALE"
    link(next(socket for socket in out.outputs if socket.enabled), way.inputs["Vector"])
    link(given.outputs["Lift"], way.inputs["Scale"])
    moved = add("GeometryNodeSetPosition")
    link(given.outputs["Geometry"], moved.inputs["Geometry"])
    link(touches.outputs[0], moved.inputs["Selection"])
    link(way.outputs[0], moved.inputs["Offset"])
    link(moved.outputs[0], told.inputs["Geometry"])
    link(is_face.outputs[0], told.inputs["Face"])
    link(_attribute(tree, HEIGHT, "FLOAT"), told.inputs["Height"])
    for place, node in enumerate((given, region.node, is_face, spread, touches, outwards.node, out, way, moved, told)):
        node.location = (190.0 * place, -120.0 * (place % 2))
    return tree


def _sockets(tree: Any) -> None:
    face = tree.interface
    face.new_socket("Geometry", in_out="INPUT", socket_type="NodeSocketGeometry")
    lift = face.new_socket("Lift", in_out="INPUT", socket_type="NodeSocketFloat")
    lift.description = "How far each point of the face goes up, in the scene's units; a field, such as a texture"
    face.new_socket("Geometry", in_out="OUTPUT", socket_type="NodeSocketGeometry")
    face.new_socket("Face", in_out="OUTPUT", socket_type="NodeSocketBool").description = "Whether it is the face"
    told = face.new_socket("Height", in_out="OUTPUT", socket_type="NodeSocketFloat")
    told.description = "Height over the floor, mm, as it was built"


def _input(node: Any, name: str) -> Any:
    return next(socket for socket in node.inputs if socket.enabled and socket.name == name)


def _attribute(tree: Any, name: str, kind: str) -> Any:
    node = tree.nodes.new("GeometryNodeInputNamedAttribute")
    node.data_type = kind
    node.inputs["Name"].default_value = name
    return next(socket for socket in node.outputs if socket.enabled and socket.name == "Attribute")

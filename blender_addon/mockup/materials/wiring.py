"""Building node trees: one call a node, with sockets or plain values as inputs, on every version of the host."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ...scene.nodes import tree_of

if TYPE_CHECKING:
    from bpy.types import Material, Node, NodeTree

COLUMN, ROW = 190.0, 170.0
"""Room that a node takes in the editor, in its units."""


class Wiring:
    """A node tree that is being built."""

    def __init__(self, tree: NodeTree) -> None:
        self.tree = tree

    def add(self, kind: str, settings: dict[str, Any] | None = None, **inputs: Any) -> Node:
        """Return a new node; ``settings`` are attributes, ``inputs`` values or sockets by name with _ for spaces."""
        node = self.tree.nodes.new(f"ShaderNode{kind}")
        for name, value in (settings or {}).items():
            setattr(node, name, value)
        for name, value in inputs.items():
            self.put(node.inputs[name.replace("_", " ")], value)
        return node

    def put(self, socket: Any, value: Any) -> None:
        """Give an input a value, or what comes out of another node."""
        if isinstance(value, bpy.types.NodeSocket):
            self.tree.links.new(value, socket)
        else:
            socket.default_value = value

    def math(self, operation: str, *values: Any, clamp: bool = False) -> Any:
        """Return the outcome of arithmetic on numbers."""
        return self._worked_out("Math", {"operation": operation, "use_clamp": clamp}, values)

    def vector(self, operation: str, *values: Any) -> Any:
        """Return the outcome of arithmetic on vectors, be it a vector or a number."""
        return self._worked_out("VectorMath", {"operation": operation}, values)

    def scaled(self, vector: Any, factor: Any) -> Any:
        """Return a vector times a number."""
        return self.add("VectorMath", {"operation": "SCALE"}, Vector=vector, Scale=factor).outputs[0]

    def mixed(self, factor: Any, first: Any, second: Any) -> Any:
        """Return a colour between two."""
        node = self.add("Mix", {"data_type": "RGBA"})
        inputs = [socket for socket in node.inputs if socket.enabled]
        for socket, value in zip(inputs, (factor, first, second), strict=True):
            self.put(socket, value)
        return next(socket for socket in node.outputs if socket.enabled)

    def between(self, value: Any, low: float, high: float, to_low: Any = 0.0, to_high: Any = 1.0) -> Any:
        """Return how far a number is on its way from ``low`` to ``high``, smoothly, laid out over another range."""
        node = self.add("MapRange", {"interpolation_type": "SMOOTHSTEP"}, Value=value)
        for socket, each in zip(node.inputs[1:5], (low, high, to_low, to_high), strict=True):
            self.put(socket, each)
        return node.outputs[0]

    def noise(self, place: Any, scale: float, detail: float = 2.0) -> Any:
        """Return even noise from 0 to 1 with so many bumps to a unit of ``place``."""
        return self.add("TexNoise", Vector=place, Scale=scale, Detail=detail).outputs[0]

    def arrange(self, *ends: Node) -> None:
        """Lay the nodes out in columns by how far they are from the ends, so that the tree can be read and edited."""
        columns = {node.name: 0 for node in ends}
        found = list(ends)
        for node in found:
            for socket in node.inputs:
                for link in socket.links:
                    if columns.get(link.from_node.name, -1) <= columns[node.name]:
                        columns[link.from_node.name] = columns[node.name] + 1
                        found.append(link.from_node)
        filled: dict[int, int] = {}
        for name, column in columns.items():
            row = filled[column] = filled.get(column, -1) + 1
            self.tree.nodes[name].location = (-COLUMN * column, -ROW * row)

    def _worked_out(self, kind: str, settings: dict[str, Any], values: tuple[Any, ...]) -> Any:
        node = self.add(kind, settings)
        for socket, value in zip(node.inputs, values, strict=False):
            self.put(socket, value)
        return next(socket for socket in node.outputs if socket.enabled)


def new_wiring(material: Material) -> tuple[Wiring, Node]:
    """Return a material's tree, emptied, and its output node."""
    tree = tree_of(material)
    tree.nodes.clear()
    wiring = Wiring(tree)
    return wiring, wiring.add("OutputMaterial")

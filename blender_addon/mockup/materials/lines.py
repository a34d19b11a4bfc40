"""The lines that a filament printer leaves: layers up the sides, rows of beads across the tops, as a node group.

The shading normal is turned by arithmetic, not by Blender's bump node: bump compares places a pixel apart, and a layer
is often finer than a pixel. It so looks alike in Cycles and EEVEE, near and far, on every version.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from .wiring import Wiring

if TYPE_CHECKING:
    from bpy.types import NodeTree

GROUP = "Stamp Print Lines"

FLAT = (0.965, 0.995)
"""Share of its normal that points up from which a surface begins to show beads, and from which it shows them fully."""

ON_TOP = 0.55
"""Beads on a top are squeezed flat by the nozzle: depth as a share of that on the sides (common practice)."""

INPUTS = (
    ("Normal", "NodeSocketVector", None, "Normal that the lines are laid on, world space"),
    ("Layer Height", "NodeSocketFloat", 0.2, "Height of a layer, mm"),
    ("Line Width", "NodeSocketFloat", 0.4, "Width of a bead on top surfaces, mm"),
    ("Direction", "NodeSocketFloat", 45.0, "Direction of the beads in the part's printing position, degrees"),
    ("Millimetres per Unit", "NodeSocketFloat", 1000.0, "How many millimetres one Blender unit is"),
    ("Depth", "NodeSocketFloat", 0.5, "How steep the lines are: 0 smooth, 1 as round as a bead laid free"),
    ("Unevenness", "NodeSocketFloat", 0.25, "How much the lines differ from one another"),
)
OUTPUTS = (
    ("Normal", "NodeSocketVector"),
    ("Seam", "NodeSocketFloat"),  # 1 where two lines meet
    ("Shade", "NodeSocketFloat"),  # from 0 to 1, by chance, one for each layer
)


def print_lines() -> NodeTree:
    """Return the node group, made where the file has none."""
    group = bpy.data.node_groups.get(GROUP)
    if group is None or group.library is not None:
        group = bpy.data.node_groups.new(GROUP, "ShaderNodeTree")
        _fill(group)
    return group


def _fill(group: NodeTree) -> None:
    for name, kind, value, told in INPUTS:
        socket = group.interface.new_socket(name, in_out="INPUT", socket_type=kind, description=told)
        if value is not None:
            socket.default_value = value
    for name, kind in OUTPUTS:
        group.interface.new_socket(name, in_out="OUTPUT", socket_type=kind)
    wiring = Wiring(group)
    given = group.nodes.new("NodeGroupInput").outputs
    leaves = group.nodes.new("NodeGroupOutput")
    # The part's own frame is that of printing: it stands on the bed, up is z.
    turned = {"vector_type": "NORMAL", "convert_from": "WORLD", "convert_to": "OBJECT"}
    normal = wiring.vector("NORMALIZE", wiring.add("VectorTransform", turned, Vector=given["Normal"]).outputs[0])
    placed = wiring.scaled(wiring.add("TexCoord").outputs["Object"], given["Millimetres per Unit"])
    z = wiring.add("SeparateXYZ", Vector=placed).outputs["Z"]
    upright = wiring.add("SeparateXYZ", Vector=normal).outputs["Z"]

    layers = _bead(wiring, wiring.math("DIVIDE", z, given["Layer Height"]), given)
    up = wiring.vector("SUBTRACT", (0.0, 0.0, 1.0), wiring.scaled(normal, upright))
    turn = wiring.math("RADIANS", given["Direction"])
    across = wiring.add("CombineXYZ")
    wiring.put(across.inputs["X"], wiring.math("MULTIPLY", wiring.math("SINE", turn), -1.0))
    wiring.put(across.inputs["Y"], wiring.math("COSINE", turn))
    place = wiring.vector("DOT_PRODUCT", placed, across.outputs[0])
    beads = _bead(wiring, wiring.math("DIVIDE", place, given["Line Width"]), given)
    flat = wiring.between(wiring.math("ABSOLUTE", upright), *FLAT)
    on_top = wiring.math("MULTIPLY", flat, ON_TOP)

    leaning = wiring.vector("SUBTRACT", normal, wiring.scaled(up, layers["slope"]))
    leaning = wiring.vector(
        "SUBTRACT", leaning, wiring.scaled(across.outputs[0], wiring.math("MULTIPLY", beads["slope"], on_top))
    )
    back = wiring.add("VectorTransform", {**turned, "convert_from": "OBJECT", "convert_to": "WORLD"}, Vector=leaning)
    wiring.put(leaves.inputs["Normal"], wiring.vector("NORMALIZE", back.outputs[0]))
    sides = wiring.math("MULTIPLY", layers["seam"], wiring.math("SUBTRACT", 1.0, wiring.math("ABSOLUTE", upright)))
    tops = wiring.math("MULTIPLY", beads["seam"], on_top)
    wiring.put(leaves.inputs["Seam"], wiring.math("MAXIMUM", sides, tops))
    wiring.put(leaves.inputs["Shade"], layers["chance"])
    wiring.arrange(leaves)


def _bead(wiring: Wiring, count: Any, given: Any) -> dict[str, Any]:
    """Return slope, seam and chance of beads laid side by side, ``count`` of which have been passed.

    A bead's back is taken for a parabola: its slope falls evenly from one seam to the next.
    """
    passed = wiring.math("FRACT", count)
    chance = wiring.add("TexWhiteNoise", {"noise_dimensions": "1D"}, W=wiring.math("FLOOR", count)).outputs["Value"]
    side = wiring.math("MULTIPLY_ADD", passed, -2.0, 1.0)
    uneven = wiring.math("MULTIPLY", wiring.math("SUBTRACT", chance, 0.5), given["Unevenness"])
    slope = wiring.math("ADD", wiring.math("MULTIPLY", side, given["Depth"]), uneven)
    seam = wiring.math("POWER", wiring.math("ABSOLUTE", side), 4.0)
    return {"slope": slope, "seam": seam, "chance": chance}

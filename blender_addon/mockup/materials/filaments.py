"""Printed parts: flexible, plain, silk, matte and wood-like filament, with the printer's lines and a trace of ink."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .lines import print_lines
from .palette import Rgba
from .wiring import Wiring, new_wiring

if TYPE_CHECKING:
    from bpy.types import Material


@dataclass(frozen=True, kw_only=True)
class Finish:
    """How light meets a filament; all by eye beside printed parts.

    ``translucent``: share of the light that enters and comes out elsewhere; ``reach``: how far, mm. ``depth`` and
    ``unevenness`` are those of the lines: a matte filament hides its layers, a silk one shows every one.
    """

    label: str
    roughness: float
    specular: float = 0.5
    translucent: float = 0.0
    reach: float = 1.0
    metallic: float = 0.0
    sheen: float = 0.0
    depth: float = 0.42
    unevenness: float = 0.2
    grained: bool = False


FINISHES = {
    "FLEXIBLE": Finish(label="Flexible", roughness=0.42, specular=0.45, translucent=0.45, reach=1.4, depth=0.38),
    "PLAIN": Finish(label="Plain", roughness=0.38, translucent=0.06, reach=0.6),
    "SILK": Finish(label="Silk", roughness=0.3, metallic=0.45, depth=0.34, unevenness=0.3),
    "MATTE": Finish(label="Matte", roughness=0.78, specular=0.25, sheen=0.12, depth=0.34, unevenness=0.14),
    "WOOD": Finish(label="Wood", roughness=0.72, specular=0.3, sheen=0.05, unevenness=0.3, grained=True),
}
"""What a filament may look like, by the name that properties hold; the first is for soft parts."""


@dataclass(frozen=True, kw_only=True)
class Printed:
    """How a part was printed, and what has touched it since.

    ``layer`` and ``line``: height and width of a bead, mm. ``direction``: that of beads on top, degrees, printing
    position. ``face``: height of the inked face over the floor, mm, None for parts that take no ink. ``inked``: how
    much ink is left on it, 0 to 1; ``smoothed``: how much of the beads on it abrasive paper has taken, 0 to 1.
    """

    layer: float
    line: float
    direction: float
    face: float | None = None
    inked: float = 0.0
    smoothed: float = 0.0


EDGE = 0.18
"""Radius to which Cycles rounds the edges of printed parts for the eye, mm: about half a bead's width."""

FADE = 0.35
"""Depth under the face over which the trace of ink fades out, mm."""

WET = 0.42
"""Roughness of fresh ink."""

COLOUR, INK, UNIT = "Filament Colour", "Ink Colour", "Millimetres per Unit"
FACE, LEFT, SMOOTHED = "Face Height", "Ink Left", "Dressed"
LINES, EDGES, SHADER = "Print Lines", "Rounded Edges", "Filament"
"""Nodes that are set again when a colour or a figure changes; everything else may be edited freely."""


def build_filament(material: Material, finish: Finish, *, heights: str = "") -> None:
    """Give a material the nodes of a filament; its colours and figures are set by :func:`set_filament`.

    ``heights``: of a part that takes ink, the attribute of its points that tells how high they lie, mm.
    """
    wiring, output = new_wiring(material)
    colour = _named(wiring.add("RGB"), COLOUR).outputs[0]
    edges = _named(wiring.add("Bevel"), EDGES).outputs[0]
    lines = _named(wiring.add("Group", {"node_tree": print_lines()}, Normal=edges), LINES).outputs
    placed = wiring.scaled(wiring.add("TexCoord").outputs["Object"], _named(wiring.add("Value"), UNIT).outputs[0])
    if finish.grained:
        colour = _grained(wiring, placed, colour)
    # Light is lost in the seams, and no two layers cool alike.
    shade = wiring.math("MULTIPLY_ADD", lines["Shade"], finish.unevenness * 0.5, 1.0 - finish.unevenness * 0.25)
    shade = wiring.math("MULTIPLY", shade, wiring.math("MULTIPLY_ADD", lines["Seam"], -0.3, 1.0))
    colour = wiring.scaled(colour, shade)
    roughness: Any = finish.roughness
    translucent: Any = finish.translucent
    normal = lines["Normal"]
    if heights:
        face, trace = _face(wiring, placed, heights)
        colour = wiring.mixed(trace, colour, _named(wiring.add("RGB"), INK).outputs[0])
        # No light comes through ink: it would come out as the filament's colour, far from where it entered.
        translucent = wiring.math("MULTIPLY_ADD", trace, -finish.translucent, finish.translucent)
        roughness = wiring.math("MULTIPLY_ADD", trace, WET - finish.roughness, finish.roughness)
        flat = wiring.scaled(wiring.vector("SUBTRACT", edges, normal), face)
        normal = wiring.vector("NORMALIZE", wiring.vector("ADD", normal, flat))
    shader = wiring.add(
        "BsdfPrincipled",
        Base_Color=colour,
        Roughness=roughness,
        Metallic=finish.metallic,
        Specular_IOR_Level=finish.specular,
        Subsurface_Weight=translucent,
        Subsurface_Radius=(1.0, 0.8, 0.6),
        Sheen_Weight=finish.sheen,
        Normal=normal,
    )
    _named(shader, SHADER)
    wiring.put(output.inputs["Surface"], shader.outputs[0])
    wiring.arrange(output)


def set_filament(material: Material, finish: Finish, colours: tuple[Rgba, Rgba], how: Printed, unit: float) -> None:
    """Set a filament's colours, its own and the ink's, and its figures; ``unit``: millimetres in a Blender unit.

    They are set on the nodes that hold them by name. Nodes that the user has taken away are no fault.
    """
    material.diffuse_color = colours[0]
    lines = {
        "Layer Height": how.layer,
        "Line Width": how.line,
        "Direction": how.direction,
        "Millimetres per Unit": unit,
        "Depth": finish.depth,
        "Unevenness": finish.unevenness,
    }
    wanted: dict[str, dict[str, Any]] = {
        LINES: lines,
        EDGES: {"Radius": EDGE / unit},
        SHADER: {"Subsurface Scale": finish.reach / unit},
    }
    nodes = material.node_tree.nodes
    for name, inputs in wanted.items():
        for socket, value in inputs.items() if name in nodes else ():
            nodes[name].inputs[socket].default_value = value
    held = {COLOUR: colours[0], INK: colours[1], UNIT: unit, FACE: how.face, LEFT: how.inked, SMOOTHED: how.smoothed}
    for name, value in held.items():
        if name in nodes and value is not None:
            nodes[name].outputs[0].default_value = value


def _face(wiring: Wiring, placed: Any, heights: str) -> tuple[Any, Any]:
    """Return how far the beads of a place are dressed away, and how much ink is left at it.

    Both hold on the face; the ink reaches a little down its flanks, and lies in an uneven film.
    """
    # Not the place itself: a bent die has its face all round, and a pressed one lower than it was inked.
    height = wiring.add("Attribute", {"attribute_name": heights}).outputs["Fac"]
    over = wiring.math("SUBTRACT", height, _named(wiring.add("Value"), FACE).outputs[0])
    face = wiring.math("MULTIPLY", wiring.between(over, -0.02, 0.0), _named(wiring.add("Value"), SMOOTHED).outputs[0])
    film = wiring.between(wiring.noise(placed, 0.35, 4.0), 0.25, 0.6, 0.95, 1.0)
    inked = wiring.math("MULTIPLY", wiring.between(over, -FADE, -0.2 * FADE), film)
    return face, wiring.math("MULTIPLY", inked, _named(wiring.add("Value"), LEFT).outputs[0])


def _grained(wiring: Wiring, placed: Any, colour: Any) -> Any:
    """Return a colour with the flecks of wood flour, and the darker bands that a changing nozzle heat leaves."""
    bands = wiring.noise(wiring.vector("MULTIPLY", placed, (0.016, 0.016, 0.42)), 1.0, 3.0)
    flecks = wiring.noise(wiring.vector("MULTIPLY", placed, (0.9, 0.9, 2.6)), 1.0, 1.0)
    dark = wiring.vector("MULTIPLY", colour, (0.5, 0.43, 0.37))
    light = wiring.vector("MULTIPLY", colour, (1.35, 1.3, 1.2))
    banded = wiring.mixed(wiring.between(bands, 0.35, 0.65), dark, light)
    return wiring.mixed(wiring.between(flecks, 0.62, 0.72, 0.0, 0.6), banded, dark)


def _named(node: Any, name: str) -> Any:
    node.name = node.label = name
    return node

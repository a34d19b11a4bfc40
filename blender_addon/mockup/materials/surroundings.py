"""What lies round the stamp: paper with the impression, the ground, and the ink pad."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ...scene.nodes import tree_of
from .palette import Rgba
from .shown import seen_as_it_is
from .wiring import Wiring, new_wiring

if TYPE_CHECKING:
    from bpy.types import Image, Material

WALL_WHITE: Rgba = (0.86, 0.845, 0.80, 1.0)
"""Uncoated paper, a little warm."""

PRINTED, INK, PICTURE = "Printed", "Ink Colour", "Impression"
"""Nodes of paper: how much of the impression is there, 0 or 1; the ink's colour; the picture."""

MM_PER_UNIT = 1000.0
"""The stage is built in metres, true to size."""

CLEAR, WHOLE = "Fades Out", "Ground"
"""Nodes of the ground that is seen by its shadows alone, and of the one that is seen itself."""

PALE = 0.75, 0.97
"""From which to which darkest primary, linear, an ink gives way to the paper under it."""

FADES = 0.6, 0.98
"""From where to where shadows fade out in a picture without a ground: 0 its middle, 1 the middles of its sides."""


def build_paper(
    material: Material,
    image: Image,
    corner: tuple[float, float],
    size: tuple[float, float],
    *,
    in_colour: str = "",
) -> None:
    """Give a material the nodes of paper with an impression on it, in place and true to size.

    ``corner`` and ``size``: lower-left corner, width and height of the picture on the sheet, mm. ``in_colour``: of a
    picture that has the colours of several inks, the way to the screen under which each is seen as itself.
    """
    wiring, output = new_wiring(material)
    placed = wiring.scaled(wiring.add("TexCoord").outputs["Object"], MM_PER_UNIT)
    shown = wiring.vector("DIVIDE", wiring.vector("SUBTRACT", placed, (*corner, 0.0)), (*size, 1.0))
    # Extended, not clipped: EEVEE blends the rim with what lies beside it, and black would print as a fine line.
    picture = wiring.add("TexImage", {"image": image, "extension": "EXTEND"}, Vector=shown)
    picture.name = PICTURE
    printed = wiring.add("Value")
    printed.name = printed.label = PRINTED
    printed.outputs[0].default_value = 1.0
    ink = wiring.add("RGB")
    ink.name = ink.label = INK
    # Beside the picture is bare paper.
    off = wiring.add("SeparateXYZ", Vector=wiring.vector("ABSOLUTE", wiring.vector("SUBTRACT", shown, (0.5, 0.5, 0.0))))
    within = wiring.math("LESS_THAN", wiring.math("MAXIMUM", off.outputs["X"], off.outputs["Y"]), 0.5)
    laid = wiring.math("MULTIPLY", wiring.math("SUBTRACT", 1.0, picture.outputs["Color"]), within)
    # A stamp's ink lies a little thinner here and there, and as it is over the most of it.
    film = wiring.between(wiring.noise(placed, 2.2, 6.0), 0.3, 0.45, 0.94, 1.0)
    laid = wiring.math("MULTIPLY", wiring.math("MULTIPLY", laid, film), printed.outputs[0])
    fibres = wiring.noise(placed, 2.6, 6.0)
    sheet = wiring.mixed(wiring.between(fibres, 0.3, 0.7, 0.0, 0.10), WALL_WHITE, (0.74, 0.71, 0.65, 1.0))
    inked = _inks(wiring, picture.outputs["Color"], sheet, in_colour) if in_colour else ink.outputs[0]
    if in_colour:
        laid = wiring.math("MULTIPLY", wiring.math("MULTIPLY", within, film), printed.outputs[0])
    bump = wiring.add("Bump", Strength=0.25, Distance=0.00003, Height=fibres)
    shader = wiring.add(
        "BsdfPrincipled",
        Base_Color=wiring.mixed(laid, sheet, inked),
        Roughness=wiring.math("MULTIPLY_ADD", laid, -0.1, 0.92),
        Specular_IOR_Level=0.2,
        Normal=bump.outputs[0],
    )
    wiring.put(output.inputs["Surface"], shader.outputs[0])
    wiring.arrange(output)


def _inks(wiring: Wiring, picture: Any, sheet: Any, view: str) -> Any:
    """Return what paper with several inks on it shows: each ink as itself, and the paper where none lies."""
    parts = wiring.add("SeparateColor", Color=picture).outputs
    darkest = wiring.math("MINIMUM", wiring.math("MINIMUM", parts[0], parts[1]), parts[2])
    through = wiring.vector("MULTIPLY", sheet, picture)
    return wiring.mixed(
        wiring.between(darkest, *PALE, 1.0, 0.0), through, seen_as_it_is(wiring, picture, darkest, view)
    )


def build_ground(material: Material, colour: Rgba) -> None:
    """Give a material the nodes of the ground: limewashed board, matte and all but even."""
    wiring, output = new_wiring(material)
    placed = wiring.add("TexCoord").outputs["Object"]
    # So faint that they are no streaks where the camera looks along them.
    clouds = wiring.between(wiring.noise(placed, 9.0, 1.0), 0.25, 0.75, 0.99, 1.008)
    grain = wiring.noise(placed, 1400.0, 2.0)
    shader = wiring.add(
        "BsdfPrincipled",
        Base_Color=wiring.scaled(_colour(wiring, "Ground Colour", colour), clouds),
        Roughness=0.85,
        Specular_IOR_Level=0.2,
        Normal=wiring.add("Bump", Strength=0.2, Distance=0.0001, Height=grain).outputs[0],
    )
    shader.name = WHOLE
    seen = wiring.vector("SUBTRACT", wiring.add("TexCoord").outputs["Window"], (0.5, 0.5, 0.0))
    off = wiring.add("SeparateXYZ", Vector=wiring.scaled(seen, 2.0))
    squares = (wiring.math("POWER", wiring.math("ABSOLUTE", off.outputs[axis]), 2.0) for axis in "XY")
    share = wiring.between(wiring.math("SQRT", wiring.math("ADD", *squares)), *FADES)
    fading = wiring.add("MixShader", Fac=share)
    fading.name = fading.label = CLEAR
    wiring.put(fading.inputs[1], shader.outputs[0])
    wiring.put(fading.inputs[2], wiring.add("BsdfTransparent").outputs[0])
    wiring.put(output.inputs["Surface"], shader.outputs[0])
    wiring.arrange(output, fading)


def fade_ground(material: Material, *, clear: bool) -> None:
    """Have shadows on a ground fade out towards the picture's edge, which would cut them, or show the whole ground.

    A material of the user's own, and one from an older file, stays as it is.
    """
    tree = tree_of(material)
    shown = tree.nodes.get(CLEAR if clear else WHOLE)
    output = next((node for node in tree.nodes if node.bl_idname == "ShaderNodeOutputMaterial"), None)
    if output is not None and shown is not None and CLEAR in tree.nodes:
        tree.links.new(shown.outputs[0], output.inputs["Surface"])


def build_felt(material: Material, colour: Rgba) -> None:
    """Give a material the nodes of the pad's felt, soaked with ink."""
    wiring, output = new_wiring(material)
    placed = wiring.add("TexCoord").outputs["Object"]
    fluff = wiring.noise(placed, 1500.0, 4.0)
    soaked = wiring.between(wiring.noise(placed, 60.0, 3.0), 0.3, 0.7, 0.96, 1.03)
    shader = wiring.add(
        "BsdfPrincipled",
        Base_Color=wiring.scaled(_colour(wiring, INK, colour), soaked),
        Roughness=wiring.between(fluff, 0.3, 0.7, 0.45, 0.8),
        Sheen_Weight=0.15,
        Normal=wiring.add("Bump", Strength=0.6, Distance=0.0004, Height=fluff).outputs[0],
    )
    wiring.put(output.inputs["Surface"], shader.outputs[0])
    wiring.arrange(output)


def build_tin(material: Material) -> None:
    """Give a material the nodes of the pad's tin: dark lacquer."""
    wiring, output = new_wiring(material)
    shader = wiring.add(
        "BsdfPrincipled",
        Base_Color=(0.018, 0.020, 0.022, 1.0),
        Roughness=0.34,
        Coat_Weight=0.4,
        Coat_Roughness=0.15,
    )
    wiring.put(output.inputs["Surface"], shader.outputs[0])
    wiring.arrange(output)


def _colour(wiring: Wiring, name: str, value: Rgba) -> Any:
    node = wiring.add("RGB")
    node.name = node.label = name
    node.outputs[0].default_value = value
    return node.outputs[0]

"""Paints: the materials that artwork is drawn with, by name, and the colour that each shows."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import bpy
import numpy as np

from ..stampwright.artwork.coloured.painted import is_paper
from ..stampwright.artwork.colours import code_of
from ..stampwright.artwork.drawn import Shape
from ..stampwright.looks.light import from_linear

if TYPE_CHECKING:
    from bpy.types import Material

UNTOUCHED = 0.8
"""Grey of a new material, both of its shader and of its look in the viewport."""


def paints_in(shapes: Iterable[Shape], plain: str) -> tuple[tuple[str, str], ...]:
    """Return each paint of shapes with its colour, #rrggbb; ``plain``: of what has no material."""
    names = dict.fromkeys(shape.paint for shape in shapes)
    held = {name: bpy.data.materials.get(name) for name in names}
    return tuple((name, plain if material is None else colour_of(material)) for name, material in held.items())


def colour_of(material: Material) -> str:
    """Return the colour that a material shows, as #rrggbb: that of its strokes or fill, of its shader, or of its look.

    A shader that was never touched says nothing where the look in the viewport was chosen.
    """
    style: Any = material.grease_pencil
    if style is not None:
        name = "fill_color" if style.show_fill and not style.show_stroke else "color"
        value = np.array(getattr(style, name)[:3], dtype=np.float64)
        return code_of(value if style.bl_rna.properties[name].subtype == "COLOR_GAMMA" else from_linear(value))
    look = np.array(material.diffuse_color[:3], dtype=np.float64)
    shaded = _shaded(material)
    if shaded is None or (np.allclose(shaded, UNTOUCHED, atol=1e-3) and not np.allclose(look, UNTOUCHED, atol=1e-3)):
        return code_of(from_linear(look))
    return code_of(from_linear(shaded))


def is_white(material: Material) -> bool:
    """Whether a material is as white as paper."""
    return is_paper(colour_of(material))


def _shaded(material: Material) -> Any:
    """Return the colour of a material's shader, linear, (3,); None where it has none that is plain."""
    tree: Any = material.node_tree
    for kind, name in (("BSDF_PRINCIPLED", "Base Color"), ("EMISSION", "Color"), ("BSDF_DIFFUSE", "Color")):
        for node in tree.nodes if tree is not None else ():
            if node.type == kind and not node.inputs[name].is_linked:
                return np.clip(np.array(node.inputs[name].default_value[:3], dtype=np.float64), 0.0, 1.0)
    return None

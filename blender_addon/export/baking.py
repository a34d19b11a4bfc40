"""Materials baked into small pictures: other programs know no nodes, and show layers, grain and ink by these.

Each part gets a base colour and a normal map of its own, and one of its roughness where that differs from place to
place.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import bpy

from ..mockup.materials.filaments import SHADER
from ..scene.nodes import tree_of
from ..scene.passing import set_for_a_while
from ..scene.stamps import select_only
from ..stampwright.errors import OutputError

if TYPE_CHECKING:
    from bpy.types import Context, Material, Object

SHOWS = "stampwright_shows"
"""Property of a picture that says of which part it shows what."""

SAMPLES = 4
"""Looks at each pixel; lines finer than a pixel come out as their mean."""

MARGIN = 16
"""Pixels that colours reach over the edges of the surface's pieces, so that none shows a seam, nor from afar, where
viewers take means of this many."""

TURN = 1.15
"""Angle up to which faces lie in one piece of the surface when it is laid out flat, radians: the host's usual."""


def baked(context: Context, part: Object, material: Material, name: str, side: int) -> Material:
    """Return a material that shows by pictures what a material's nodes show on a part; selection and mode stay.

    ``material``: is spent on it, and has a shader as :func:`shader_of` finds it. ``name``: of the part. ``side``: of
    each picture, pixels. Raises :class:`OutputError` when the host cannot bake.
    """
    _lay_out(context, part)
    part.data.materials.clear()
    part.data.materials.append(material)
    tree: Any = tree_of(material)
    shader = shader_of(material)
    with _baking(context, part):
        normal = _bake(tree, "NORMAL", f"{name} normal", side)
        rough = None
        if shader.inputs["Roughness"].is_linked:
            rough = _bake(tree, "ROUGHNESS", f"{name} roughness", side)
        # As light of its own: a metallic surface has no diffuse colour to speak of.
        glow = tree.nodes.new("ShaderNodeEmission")
        output = tree.get_output_node("CYCLES")
        given = shader.inputs["Base Color"]
        if given.is_linked:
            tree.links.new(given.links[0].from_socket, glow.inputs["Color"])
        else:
            glow.inputs["Color"].default_value = given.default_value
        tree.links.new(glow.outputs[0], output.inputs["Surface"])
        colour = _bake(tree, "EMIT", f"{name} base colour", side)
    shown = _shown(part.name, colour, rough, normal, shader)
    part.data.materials[0] = shown
    return shown


def shader_of(material: Any) -> Any:
    """Return the node that a material's colour and roughness come from, or None where it is made otherwise."""
    nodes = [] if material.node_tree is None else list(tree_of(material).nodes)
    usual = [each for each in nodes if each.type == "BSDF_PRINCIPLED"]
    return next((each for each in usual if each.name == SHADER), usual[0] if len(usual) == 1 else None)


def _lay_out(context: Context, part: Object) -> None:
    """Lay a part's surface out flat, by the host's own means."""
    select_only(context, [part], part)
    bpy.ops.object.mode_set(mode="EDIT")
    bpy.ops.mesh.select_all(action="SELECT")
    bpy.ops.uv.smart_project(angle_limit=TURN, island_margin=0.004)
    bpy.ops.object.mode_set(mode="OBJECT")


@contextmanager
def _baking(context: Context, part: Object) -> Iterator[None]:
    """Have the host bake this part for a while, and nothing else stand in its way."""
    scene: Any = context.scene
    others = [each for each in scene.objects if each != part and not each.hide_render]
    try:
        with set_for_a_while(
            *((each, "hide_render", True) for each in others),
            (scene.render, "engine", "CYCLES"),
            *((owner, name, False) for owner, name in _several_levels(scene)),
            (scene.cycles, "samples", SAMPLES),
            (scene.cycles, "device", "CPU"),
        ):
            yield
    except (AttributeError, TypeError, RuntimeError) as error:
        said = " ".join(str(error).split()).removeprefix("Error: ")
        raise OutputError(
            f"The finishes could not be baked ({said}): enable Blender's own Cycles add-on, or export without textures"
        ) from error


def _several_levels(scene: Any) -> list[tuple[Any, str]]:
    """Return where the host keeps that what is baked are levels of a sculpt: 5.2 at another place."""
    places = ((scene.render, "use_bake_multires"), (scene.render.bake, "use_multires"))
    return [(owner, name) for owner, name in places if hasattr(owner, name)]


def _bake(tree: Any, kind: Any, shows: str, side: int) -> Any:
    image: Any = bpy.data.images.new(shows, side, side)
    image[SHOWS] = shows
    if kind != "EMIT":
        image.colorspace_settings.name = "Non-Color"
    node = tree.nodes.new("ShaderNodeTexImage")
    node.image = image
    tree.nodes.active = node
    bpy.ops.object.bake(type=kind, margin=MARGIN, use_clear=True, use_selected_to_active=False)
    tree.nodes.remove(node)
    image.pack()
    return image


def _shown(title: str, colour: Any, rough: Any, normal: Any, filament: Any) -> Material:
    """Return a material of pictures."""
    material: Any = bpy.data.materials.new(title)
    tree: Any = tree_of(material)
    shader = tree.nodes["Principled BSDF"]

    def picture(image: Any, place: float) -> Any:
        node = tree.nodes.new("ShaderNodeTexImage")
        node.image, node.location = image, (-600.0, place)
        return node.outputs["Color"]

    tree.links.new(picture(colour, 300.0), shader.inputs["Base Color"])
    shader.inputs["Metallic"].default_value = filament.inputs["Metallic"].default_value
    if rough is None:
        shader.inputs["Roughness"].default_value = filament.inputs["Roughness"].default_value
    else:
        tree.links.new(picture(rough, 0.0), shader.inputs["Roughness"])
    bent = tree.nodes.new("ShaderNodeNormalMap")
    bent.location = (-300.0, -300.0)
    tree.links.new(picture(normal, -300.0), bent.inputs["Color"])
    tree.links.new(bent.outputs["Normal"], shader.inputs["Normal"])
    given: Material = material
    return given

"""How a stamp looks in pictures, and how they are made: kept with the stamp in the file."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import bpy
from bpy.props import BoolProperty, EnumProperty, FloatProperty, IntProperty, StringProperty

from ..scene.overriding import overridable
from .looks.choosing import key_of, put_on
from .looks.thumbnails import look_items
from .materials.filaments import FINISHES
from .materials.palette import colours_of
from .scenery.moods import MOODS

if TYPE_CHECKING:
    from bpy.types import Context

ARRANGEMENTS = (
    ("BESIDE", "Beside", "The stamp lying beside its impression"),
    ("HELD", "Held", "The stamp held over the paper, with the impression under it"),
    ("APART", "Taken Apart", "The parts of the stamp one above the other, in the order in which they join"),
    ("FLAT_LAY", "Flat Lay", "All stamps of the scene with their impressions, from above"),
    ("PRESS", "Press", "The stamp coming down on paper and lifting again: a film"),
)

QUALITIES = (
    ("LOOK", "Look", "A quick look: few samples, smoothed"),
    ("SCREEN", "Screen", "For a screen or a shop listing"),
    ("PRINT", "Print", "For print, four times the work of Screen"),
)

ENGINES = (
    ("CYCLES", "Cycles", "Light is followed ray by ray: the better picture, on the processor or on the graphics card"),
    ("EEVEE", "EEVEE", "Quick, on the graphics card; needs a window or a screen"),
)


_state = {"quiet": False}
"""While a look is put on, what it sets one by one is shown only at the end."""


def _recoloured(held: STAMPWRIGHT_PG_pictures, _context: Context) -> None:
    """Show another colour or finish at once in the pictures that are there."""
    if _state["quiet"]:
        return
    staging = sys.modules.get(f"{__package__}.staging")
    if staging is not None:
        staging.dress_again(held.id_data)
    viewport = sys.modules.get(f"{__package__}.scenery.viewport")
    if viewport is not None:
        viewport.colour_parts(held.id_data)


def _look_chosen(held: STAMPWRIGHT_PG_pictures, _context: Context) -> None:
    """Put the look on that was chosen, and show it at once, drawn anew once."""
    if held.look:
        _state["quiet"] = True
        try:
            put_on(held, held.look)
        finally:
            _state["quiet"] = False
        _recoloured(held, _context)
        _relit(held, _context)


def _relit(held: STAMPWRIGHT_PG_pictures, _context: Context) -> None:
    """Light the pictures that are there anew."""
    arrangements = sys.modules.get(f"{__package__}.arrangements")
    if not _state["quiet"] and arrangements is not None:
        arrangements.light_again(held.id_data)


def _colour_of(sort: str, name: str, told: str, usual: str = "") -> EnumProperty:
    names = list(colours_of(sort))
    items = [(key_of(each), each, f"{each} {sort}") for each in names]
    return EnumProperty(name=name, description=told, items=items, default=key_of(usual or names[0]), update=_recoloured)


def _finish_of(part: str, usual: str) -> EnumProperty:
    items = [(key, finish.label, f"{finish.label} filament") for key, finish in FINISHES.items()]
    return EnumProperty(
        name="Finish", description=f"How the {part}'s filament looks", items=items, default=usual, update=_recoloured
    )


def name_of(sort: str, key: str) -> str:
    """Return the name of a colour from its identifier in the properties."""
    return next((each for each in colours_of(sort) if key_of(each) == key), "")


@overridable
class STAMPWRIGHT_PG_pictures(bpy.types.PropertyGroup):
    """Colours, finishes and sizes of a stamp's pictures."""

    look: EnumProperty(
        name="Style",
        description="Colours, finishes, ground and light that go together, put on all at once; each can be changed "
        "afterwards",
        items=look_items,
        update=_look_chosen,
    )
    die_colour: _colour_of("filament", "Die", "Colour of the die's filament", "Mist")
    die_finish: _finish_of("die", "FLEXIBLE")
    backing_colour: _colour_of("filament", "Backing", "Colour of the backing's filament", "Oat")
    backing_finish: _finish_of("backing", "MATTE")
    handle_colour: _colour_of("filament", "Handle", "Colour of the handle's filament", "Terracotta")
    handle_finish: _finish_of("handle", "MATTE")
    ink: _colour_of("ink", "Ink", "Colour of the impression, the ink pad and the trace on the face")
    ground: _colour_of("ground", "Ground", "Colour of what the stamp lies on")
    light: EnumProperty(
        name="Light",
        description="How pictures are lit; white paper is as white in each",
        items=[(key, mood.label, mood.told) for key, mood in MOODS.items()],
        update=_relit,
    )
    keep_camera: BoolProperty(
        name="Keep Camera",
        description="See the next picture as the one that is shown: from the same side, through the same lens, and if "
        "it is the same arrangement, from the very place",
        default=False,
    )
    keep_stage: BoolProperty(
        name="Keep Ground and Light",
        description="Take lamps, world and ground of the picture that is shown, and what you have put there, to the "
        "next picture",
        default=False,
    )
    inked: FloatProperty(
        name="Ink on Face",
        description="How much ink is left on the die's face: 0 is a stamp that was never used",
        default=0.95,
        min=0.0,
        max=1.0,
        subtype="FACTOR",
        update=_recoloured,
    )
    lay: EnumProperty(
        name="Lay",
        description="How a stamp is put down beside its impression",
        items=(
            ("SIDE", "On Its Side", "It rests on the base's rim and the handle"),
            ("FACE_UP", "Face Up", "The die to the sky, propped up where the handle alone would not hold it"),
        ),
    )
    transparent: BoolProperty(
        name="Transparent",
        description="Show no ground but the shadows on it, for pages with a ground of their own; PNG keeps it",
        default=False,
        update=_recoloured,
    )
    names: BoolProperty(
        name="Names", description="Name the parts where they are drawn apart, from the next picture on", default=False
    )
    pad: BoolProperty(name="Ink Pad", description="Show the ink pad too", default=True)
    engine: EnumProperty(name="Engine", description="What draws the pictures", items=ENGINES)
    quality: EnumProperty(name="Quality", description="How long a picture may take", items=QUALITIES, default="SCREEN")
    width: IntProperty(
        name="Width",
        description="Width of pictures.\nUsually 800 to 2400",
        default=1280,
        min=16,
        max=16384,
        soft_min=320,
        soft_max=4096,
        subtype="PIXEL",
    )
    height: IntProperty(
        name="Height",
        description="Height of pictures.\nUsually 600 to 2400",
        default=960,
        min=16,
        max=16384,
        soft_min=240,
        soft_max=4096,
        subtype="PIXEL",
    )
    seconds: FloatProperty(
        name="Length (s)",
        description="How long a film lasts.\nUsually 3 to 8 s",
        default=4.0,
        min=0.1,
        max=600.0,
        soft_min=1.0,
        soft_max=20.0,
    )
    frame_rate: IntProperty(
        name="Frame Rate",
        description="Pictures to a second of film.\nUsually 24 to 30",
        default=24,
        min=1,
        max=240,
        soft_max=60,
    )
    exaggerated: FloatProperty(
        name="Exaggerate",
        description="How many times its true amount the die gives when it is pushed in a film; 1 is true, and often "
        "too little to see",
        default=10.0,
        min=1.0,
        soft_max=30.0,
        max=1000.0,
    )
    folder: StringProperty(
        name="Folder",
        description="Folder that pictures and films come into; // is that of this file",
        default="//",
        subtype="DIR_PATH",
    )

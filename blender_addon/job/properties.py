"""What a stamp keeps in the file: its job, where its artwork comes from, and how it stands in the scene."""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import (
    BoolProperty,
    CollectionProperty,
    EnumProperty,
    FloatProperty,
    FloatVectorProperty,
    IntProperty,
    PointerProperty,
    StringProperty,
)

from ..mockup.settings import STAMPWRIGHT_PG_pictures
from ..scene.overriding import KEPT, overridable
from ..scene.stamps import STAMP
from ..scene.views import colour_views, turn_of_view
from ..stampwright.job import Job
from ..stampwright.job.made_from import as_measured
from ..stampwright.job.pieces import pieces_as_data, pieces_from_data
from . import changes
from .inks import ink_group
from .naming import give_name
from .settings import LENGTH, read_settings, section_groups, write_settings

if TYPE_CHECKING:
    from bpy.types import Context, Object

DRAWABLE = {"CURVE", "CURVES", "FONT", "MESH", "SURFACE", "META", "GREASEPENCIL", "GPENCIL"}
"""Types of object that artwork can be drawn with; empties too, where they show a collection or an image."""


def _job_changed(held: Any, _context: Context) -> None:
    changes.tell(changes.job_followers, held)


def _form_changed(held: Any, context: Context) -> None:
    # A block that is quiet sets a whole job, sides and all.
    if not changes.is_quiet():
        changes.tell(changes.form_followers, held)
    _job_changed(held, context)


def _press_changed(held: Any, _context: Context) -> None:
    if held.role == STAMP:
        changes.tell(changes.press_followers, held)


def _pressed_as_shown(held: Any, _context: Context) -> None:
    if held.role == STAMP:
        changes.tell(changes.trial_followers, held)


def _pressure_shown(held: Any, context: Context) -> None:
    colour_views(by_pressure=held.show_pressure)
    _pressed_as_shown(held, context)


def is_drawable(candidate: Object) -> bool:
    """Whether artwork can be drawn with an object."""
    shows = candidate.type == "EMPTY" and (
        candidate.instance_collection is not None
        or (candidate.empty_display_type == "IMAGE" and candidate.data is not None)
    )
    return (candidate.type in DRAWABLE or shows) and not candidate.stampwright.role


def _is_drawable(held: Any, candidate: Object) -> bool:
    return is_drawable(candidate) and candidate is not held.id_data


def _is_curve(_held: Any, candidate: Object) -> bool:
    return candidate.type == "CURVE"


def _plane_changed(source: Any, context: Context) -> None:
    if source.plane == "VIEW" and not changes.is_quiet():
        turn = turn_of_view(context)
        if turn is not None:
            with changes.quiet():
                source.view = turn
    _job_changed(source, context)


@overridable
class STAMPWRIGHT_PG_source(bpy.types.PropertyGroup):
    """One object that artwork is drawn with."""

    object: PointerProperty(
        name="Object",
        description="A curve, text, mesh, Grease Pencil or instance of a collection that is printed as it is seen",
        type=bpy.types.Object,
        poll=_is_drawable,
        update=_job_changed,
    )
    drawn_as: EnumProperty(
        name="Drawn As",
        description="Whether closed curves are filled or drawn as lines",
        items=(
            ("AUTO", "As Drawn", "Filled where the curve has a fill or is closed, a line where it is open"),
            ("FILL", "Filled", "Closed curves are filled, open ones left out"),
            ("LINE", "Line", "Every curve is a line, also closed ones"),
        ),
        update=_job_changed,
    )
    plane: EnumProperty(
        name="Seen From",
        description="From which side the artwork is seen as it prints",
        items=(
            ("AUTO", "As It Lies", "From above; what was drawn flat and stands upright is seen from its front"),
            ("ABOVE", "Above", "Along the world's Z axis, as in top view"),
            ("FRONT", "Front", "Along the world's Y axis, as in front view"),
            ("RIGHT", "Right", "Against the world's X axis, as in right view"),
            ("OWN", "Its Own Axes", "Against the object's own Z axis, however the object is turned"),
            ("FITTED", "Its Own Face", "Square to the plane that was drawn in, however it lies"),
            ("VIEW", "The View", "As the viewport looked when this was chosen"),
        ),
        update=_plane_changed,
    )
    view: FloatVectorProperty(
        name="View",
        description="Where right, up and towards the viewer point in the view that was chosen",
        size=9,
        default=(1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0),
        update=_job_changed,
    )
    line_width: FloatProperty(
        name="Line Width",
        description="Width on paper of lines that have no width of their own.\nUsually 0.8 to 3 mm",
        default=1.0,
        min=0.05,
        max=50.0,
        soft_min=0.4,
        soft_max=5.0,
        step=10,
        precision=2,
        subtype=LENGTH,
        update=_job_changed,
    )
    textured: BoolProperty(
        name="Textured",
        description="Whether the texture of the face runs over this object's ink, or leaves it plain",
        default=True,
        update=_job_changed,
    )


def _name_changed(held: Any, context: Context) -> None:
    give_name(held.id_data)
    _job_changed(held, context)


_SECTIONS = section_groups(_job_changed, {"base.outline": _form_changed})
_PLATE = ink_group(_job_changed)


@overridable
class STAMPWRIGHT_PG_stamp(bpy.types.PropertyGroup):
    """A stamp, on the empty that is its root; on its parts, only what they are."""

    role: StringProperty(name="Role", description="Stamp for the root of one, else the part that this object is")
    job_name: StringProperty(
        name="Name",
        description="Name of the stamp, on the ticket and in the files",
        default="stamp",
        update=_name_changed,
    )
    called: StringProperty(name="Called", description="Name of the empty when the stamp was last called by it")
    __annotations__.update(
        {
            section: PointerProperty(type=group, name=section.title(), description=str(group.__doc__).rstrip("."))
            for section, group in _SECTIONS.items()
        }
    )
    pieces: StringProperty(
        name="Pieces", description="Lettering, rings and codes of the job, as JSON", default="[]", update=_job_changed
    )
    measured: StringProperty(
        name="Measured",
        description="Settings that were measured on prints, with their ranges, as JSON",
        default="[]",
        update=_job_changed,
    )
    sources: CollectionProperty(
        type=STAMPWRIGHT_PG_source, name="Artwork", description="What the artwork is drawn with"
    )
    active_source: IntProperty(name="Active Artwork", description="Artwork chosen in the list")
    not_ink: StringProperty(
        name="No Ink",
        description="Materials, layers and collections of the artwork that do not print, as JSON",
        default="[]",
        update=_job_changed,
    )
    artwork_file: StringProperty(
        name="Artwork File",
        description="SVG, bitmap or pieces file that is printed when no object is",
        subtype="FILE_PATH",
        update=_job_changed,
    )
    base_curve: PointerProperty(
        name="Outline Curve",
        description="A closed curve, seen from above, that is the outline of the base",
        type=bpy.types.Object,
        poll=_is_curve,
        update=_job_changed,
    )
    profile_curve: PointerProperty(
        name="Profile Curve",
        description=(
            "An open curve from the edge of the foot up to the top, drawn beside the origin of its object, which is "
            "the axis"
        ),
        type=bpy.types.Object,
        poll=_is_curve,
        update=_job_changed,
    )
    outline_curve: PointerProperty(
        name="Outline Curve",
        description="A closed curve, seen from above, that is the outline of the handle",
        type=bpy.types.Object,
        poll=_is_curve,
        update=_job_changed,
    )
    live: BoolProperty(
        name="Live",
        description="Follow every change of the artwork and the settings at once",
        default=True,
        update=_job_changed,
    )
    standing: EnumProperty(
        name="Show",
        description="How the parts are placed in the scene",
        items=(
            ("USE", "In Use", "Put together, face down on the paper"),
            ("APART", "Taken Apart", "The parts one above the other, as they join"),
            ("PRINT", "For Printing", "The parts side by side, as they lie on the bed"),
        ),
        update=_job_changed,
    )
    paper: BoolProperty(
        name="Impression",
        description="Lay a sheet with the impression beside the stamp, at true size",
        default=True,
        update=_job_changed,
    )
    press_live: BoolProperty(
        name="Press",
        description="Press the stamp on paper after every edit, with the quick solver, as soon as it comes to rest",
        default=True,
        update=_press_changed,
    )
    sheet: EnumProperty(
        name="Sheet Shows",
        description="What the sheet beside the stamp shows",
        items=(
            ("PRESSED", "As Pressed", "What this push prints: where it is light, and where it floods"),
            ("FACE", "Whole Face", "The whole face, evenly printed"),
        ),
        update=_pressed_as_shown,
    )
    show_pressure: BoolProperty(
        name="Pressure on the Die",
        description="Lay the pressure on the die's face as colours of its vertices, dark blue for none to yellow",
        update=_pressure_shown,
    )
    picture_from: EnumProperty(
        name="Picture",
        description="What the picture of the face, or of the tone, is taken from",
        items=(
            ("IMAGE", "Image", "Any image of Blender's, painted, generated or from a file"),
            ("TEXTURE", "Texture", "A texture of Blender's, as its preview shows it"),
        ),
        update=_job_changed,
    )
    face_image: PointerProperty(
        name="Image",
        description="Image whose grey is taken: white stands high, black goes deep and prints",
        type=bpy.types.Image,
        update=_job_changed,
    )
    face_texture: PointerProperty(
        name="Texture",
        description="Texture whose strength is taken: white stands high, black goes deep and prints",
        type=bpy.types.Texture,
        update=_job_changed,
    )
    laid: FloatVectorProperty(
        name="Laid",
        description="Where the sheet was laid last; one that lies elsewhere was moved by hand, and stays",
        size=3,
        subtype="TRANSLATION",
    )
    stood: StringProperty(name="Stood", description="How the parts stood before the face was turned up to be sculpted")
    pictures: PointerProperty(type=STAMPWRIGHT_PG_pictures, name="Pictures", description="How its pictures are made")
    plate: PointerProperty(type=_PLATE, name="Plate", description="Which ink of a set it prints")
    built: StringProperty(name="Built From", description="Fingerprint of all that the parts were built from")


def job_of(held: Any) -> Job:
    """Return the job that a stamp's properties hold; raises :class:`JobError` when settings contradict each other."""
    return job_from_values(read_settings(held), held)


def job_from_values(values: dict[str, Any], held: Any) -> Job:
    """Return the job of these settings with what else a stamp's properties hold; raises :class:`JobError`."""
    pieces = pieces_from_data(json.loads(held.pieces or "[]"))
    return replace(Job().with_values(values), pieces=pieces, measured=as_measured(json.loads(held.measured or "[]")))


def set_job(held: Any, job: Job) -> None:
    """Set a stamp's properties to a job, and to the artwork that it names."""
    write_settings(held, job)
    held.pieces = json.dumps(pieces_as_data(job.pieces))
    held.measured = json.dumps([asdict(each) for each in job.measured])
    if job.artwork:
        held.artwork_file = job.artwork


_CLASSES = (*_SECTIONS.values(), _PLATE, STAMPWRIGHT_PG_source, STAMPWRIGHT_PG_pictures, STAMPWRIGHT_PG_stamp)


def register() -> None:
    """Enter the groups and hang the stamp's on every object."""
    for each in _CLASSES:
        bpy.utils.register_class(each)
    bpy.types.Object.stampwright = PointerProperty(
        type=STAMPWRIGHT_PG_stamp,
        name="Stampwright",
        description="The stamp, or the part of one, that this object is",
        override=KEPT,
    )


def unregister() -> None:
    """Take the groups back; what files hold of them stays in the files."""
    del bpy.types.Object.stampwright
    for each in reversed(_CLASSES):
        bpy.utils.unregister_class(each)

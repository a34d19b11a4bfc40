"""The panels in the viewport's sidebar, in the order of the job; only what applies is shown."""

from __future__ import annotations

import bpy

from ..mockup.looks import thumbnails
from . import signs, stamp
from .results import findings, measures, pictures, press, prints
from .settings import artwork, face, inks, parts, presets, printer

CLASSES: tuple[type, ...] = (
    *presets.CLASSES,
    stamp.STAMPWRIGHT_PT_stamp,
    artwork.STAMPWRIGHT_PT_base,
    stamp.STAMPWRIGHT_PT_upkeep,
    artwork.STAMPWRIGHT_UL_sources,
    artwork.STAMPWRIGHT_PT_artwork,
    artwork.STAMPWRIGHT_PT_ink_choice,
    artwork.STAMPWRIGHT_PT_reversal,
    inks.STAMPWRIGHT_PT_inks,
    findings.STAMPWRIGHT_PT_findings,
    press.STAMPWRIGHT_PT_press,
    press.STAMPWRIGHT_PT_assumptions,
    press.STAMPWRIGHT_PT_ink,
    prints.STAMPWRIGHT_PT_prints,
    findings.STAMPWRIGHT_PT_repair,
    parts.STAMPWRIGHT_PT_parts,
    parts.STAMPWRIGHT_PT_die,
    face.STAMPWRIGHT_PT_face,
    parts.STAMPWRIGHT_PT_backing,
    parts.STAMPWRIGHT_PT_grooves,
    parts.STAMPWRIGHT_PT_handle,
    inks.STAMPWRIGHT_PT_register,
    printer.STAMPWRIGHT_PT_printer,
    printer.STAMPWRIGHT_PT_price,
    measures.STAMPWRIGHT_PT_files,
    measures.STAMPWRIGHT_PT_measures,
    pictures.STAMPWRIGHT_PT_pictures,
    pictures.STAMPWRIGHT_PT_looks,
    pictures.STAMPWRIGHT_PT_surroundings,
    pictures.STAMPWRIGHT_PT_films,
    press.STAMPWRIGHT_PT_press_mesh,
)
"""In the order in which they stand in the sidebar; a panel within another comes after that one."""

_register_classes, _unregister_classes = bpy.utils.register_classes_factory(CLASSES)


def register() -> None:
    """Enter the panels."""
    _register_classes()


def unregister() -> None:
    """Take the panels back, and the icons that they have drawn."""
    _unregister_classes()
    signs.unregister()
    thumbnails.unregister()

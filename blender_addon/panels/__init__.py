"""The panels in the viewport's sidebar, in the order of the job; only what applies is shown."""

from __future__ import annotations

import bpy

from . import artwork, face, findings, measures, parts, pictures, presets, press, printer, signs, stamp

CLASSES: tuple[type, ...] = (
    *presets.CLASSES,
    stamp.STAMPWRIGHT_PT_stamp,
    artwork.STAMPWRIGHT_UL_sources,
    artwork.STAMPWRIGHT_PT_artwork,
    artwork.STAMPWRIGHT_PT_base,
    findings.STAMPWRIGHT_PT_findings,
    findings.STAMPWRIGHT_PT_repair,
    parts.STAMPWRIGHT_PT_die,
    face.STAMPWRIGHT_PT_face,
    parts.STAMPWRIGHT_PT_backing,
    parts.STAMPWRIGHT_PT_grooves,
    parts.STAMPWRIGHT_PT_handle,
    printer.STAMPWRIGHT_PT_printer,
    printer.STAMPWRIGHT_PT_price,
    press.STAMPWRIGHT_PT_press,
    press.STAMPWRIGHT_PT_assumptions,
    press.STAMPWRIGHT_PT_ink,
    press.STAMPWRIGHT_PT_press_mesh,
    measures.STAMPWRIGHT_PT_measures,
    measures.STAMPWRIGHT_PT_files,
    pictures.STAMPWRIGHT_PT_pictures,
    pictures.STAMPWRIGHT_PT_looks,
    pictures.STAMPWRIGHT_PT_films,
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

"""The guide's pages: where they lie on this machine, and which one tells of an operator or a property."""

from __future__ import annotations

from pathlib import Path

PAGES = Path(__file__).resolve().with_name("pages")
"""The pages as the package brings them, for a browser."""

SOURCES = Path(__file__).resolve().parent.parent / "shared" / "guide"
"""The same as they are written; they serve where the extension runs from its sources."""

HOME = "blender"
"""The page of the extension itself."""

TOLD_IN = {
    "artwork": "blender#what-prints",
    "reversal": "blender#mirror-flip-reverse",
    "base": "from-drawing-to-stamp#the-settings-that-matter",
    "findings": "blender#what-will-not-print",
    "parts": "from-drawing-to-stamp#heights",
    "handle": "blender#a-handle-of-your-own",
    "printer": "from-drawing-to-stamp#printing",
    "tracing": "preparing-artwork#a-scan",
    "face": "textured-faces#by-hand",
    "press": "pressing#in-blender",
    "ink": "from-drawing-to-stamp#inking",
    "prints": "printer#in-blender",
    "toolpaths": "toolpaths#in-blender",
    "templates": "preparing-artwork#words-of-your-own-in-a-template",
    "files": "blender#read-and-export",
    "presets": "blender#figures-that-go-together",
    "pictures": "product-pictures#in-blender",
    "films": "product-pictures#films",
    "live": "blender#live",
    "inks": "inks#in-blender",
    "assets": "blender#in-the-asset-browser",
}
"""Subjects that help is asked on, and where the guide tells of each: page and heading."""

_SUBJECTS = {
    "ops.stampwright.*press*": "press",
    "ops.stampwright.*measured": "prints",
    "ops.stampwright.export_test_die": "prints",
    "ops.stampwright.scan_beside": "prints",
    "ops.stampwright.compare_prints": "prints",
    "ops.stampwright.read_toolpath": "toolpaths",
    "ops.stampwright.draw_push_curve": "press",
    "ops.stampwright.*sculpt*": "face",
    "ops.stampwright.film_*": "films",
    "ops.stampwright.render_film": "films",
    "ops.stampwright.*picture*": "pictures",
    "ops.stampwright.use_materials": "pictures",
    "ops.stampwright.*preset": "presets",
    "ops.stampwright.*template": "templates",
    "ops.stampwright.*repair*": "findings",
    "ops.stampwright.*finding": "findings",
    "ops.stampwright.accept": "findings",
    "ops.stampwright.*way*": "findings",
    "ops.stampwright.choose_ink": "artwork",
    "ops.stampwright.*ink*": "inks",
    "ops.stampwright.leave_as_drawn": "findings",
    "ops.stampwright.*artwork": "artwork",
    "ops.stampwright.*job": "files",
    "ops.stampwright.export_*": "files",
    "ops.stampwright.*asset*": "assets",
    "ops.stampwright.*library": "assets",
    "ops.stampwright.keep_handle": "assets",
    "ops.stampwright.build": "live",
    "ops.stampwright.watch": "live",
    "ops.stampwright.stop": "live",
    "types.stampwright_pg_source*": "artwork",
    "types.stampwright_pg_layout.mirror": "reversal",
    "types.stampwright_pg_layout*": "artwork",
    "types.stampwright_pg_base*": "base",
    "types.stampwright_pg_preflight*": "findings",
    "types.stampwright_pg_die*": "parts",
    "types.stampwright_pg_bend*": "base",
    "types.stampwright_pg_register*": "inks",
    "types.stampwright_pg_backing*": "parts",
    "types.stampwright_pg_cushion*": "parts",
    "types.stampwright_pg_handle*": "handle",
    "types.stampwright_pg_printer*": "printer",
    "types.stampwright_pg_price*": "printer",
    "types.stampwright_pg_tracing*": "tracing",
    "types.stampwright_pg_face*": "face",
    "types.stampwright_pg_press*": "press",
    "types.stampwright_pg_ink*": "ink",
    "types.stampwright_pg_plate*": "inks",
    "types.stampwright_pg_pictures*": "pictures",
}
"""What the host asks about, by the names that it gives operators and properties, in small letters; the first counts."""


def address_of(subject: str = "") -> str:
    """Return the address of the place in the guide that tells of a subject, or of its page on the extension."""
    page, _, heading = TOLD_IN.get(subject, HOME).partition("#")
    if PAGES.is_dir():
        return f"{(PAGES / page).as_uri()}.html" + (f"#{heading}" if heading else "")
    return f"{(SOURCES / page).as_uri()}.md"


def manual_map() -> tuple[str, tuple[tuple[str, str], ...]]:
    """Return where the host's *Online Manual* leads, as it asks for it: the start of all addresses, and the rest."""
    start = f"{(PAGES if PAGES.is_dir() else SOURCES).as_uri()}/"
    known = [(f"bpy.{pattern}", subject) for pattern, subject in _SUBJECTS.items()]
    known += [("bpy.ops.stampwright.*", ""), ("bpy.types.stampwright_*", "")]
    return start, tuple((pattern, address_of(subject).removeprefix(start)) for pattern, subject in known)

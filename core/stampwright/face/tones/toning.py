"""Tone: a grey picture screened into the ink as dots or lines, no smaller and no closer than what prints and inks."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...errors import JobError
from ...job.sections.face import FaceSection
from ...job.sections.preflight import PreflightSection
from ...job.sections.pressing import InkSection
from ...job.sections.printing import PrinterSection
from ...job.sections.tracing import TracingSection
from ...plane.overlays import all_joined, common, without
from ...plane.regions import filled_parts
from ..textures.graining import LaidPicture
from .screens import Screen, choose_screen, screen_tones


def screen_of(
    face: FaceSection, tracing: TracingSection, preflight: PreflightSection, ink: InkSection, printer: PrinterSection
) -> Screen:
    """Return the screen of a face's tone, its dots and gaps as small as printer and ink allow.

    The smallest dot is the largest of ``tracing.smallest_dot``, the printer's two passes (preflight.warn_lines) and the
    smallest island that holds (preflight.speck); the smallest gap the larger of ``tracing.smallest_gap`` and one pass
    with the ink's spread on both sides. Letterpress shops ask for dots of 1 pt, 0.353 mm, at least (common file rules);
    filament is coarser. Raises :class:`JobError` when the spacing asked for has no room for a dot and a gap.
    """
    line = printer.line_width
    dot = max(tracing.smallest_dot, preflight.warn_lines * line, preflight.speck)
    gap = max(tracing.smallest_gap, line + 2 * ink.spread)
    if 0 < face.screen_spacing < dot + gap - 1e-9:
        raise JobError(
            f"face.screen_spacing = {face.screen_spacing:g} mm has no room for dots of {dot:g} mm and gaps of {gap:g} "
            f"mm, the smallest that print and ink; make it {dot + gap:.2f} mm or more, or 0 for the finest that does"
        )
    limits = replace(tracing, smallest_dot=dot, smallest_gap=gap)
    return choose_screen(
        replace(limits, tone=face.tone, screen_spacing=face.screen_spacing, screen_turn=face.screen_turn)
    )


def tone(
    inked: MultiPolygon, plain: MultiPolygon, picture: LaidPicture, screen: Screen, *, thinnest: float
) -> MultiPolygon:
    """Return ink, mm, paper frame, with a picture's tones screened into it: white is paper, black is solid.

    What lies outside of the picture, ``plain`` ink, and ink too narrow to bear a dot and its gap stay solid.
    ``thinnest``: what is left of solid ink narrower than this, mm, is left out. Raises :class:`JobError` when no ink is
    left.
    """
    pixel = picture.width / picture.grey.shape[1]
    seen = _on_paper(inked, picture, back=True).bounds
    placed = _on_paper(screen_tones(picture.grey.astype(np.float64), (pixel, pixel), screen, within=seen), picture)
    sheet = _on_paper(shapely.box(0, 0, *picture.size), picture)
    broad = _broader_than(inked, 2 * screen.spacing)
    toned = common(without(inked, plain), common(broad, sheet))
    dots = _printable(common(toned, placed), screen)
    # Rounding leaves hairs along what is toned; they are no ink.
    solid = _broader_than(without(inked, toned), thinnest)
    toned_ink = filled_parts(all_joined([solid, dots]))
    if toned_ink.is_empty:
        raise JobError("the picture is so light that no ink is left; use a darker one, or face.tone = none")
    return toned_ink


def _on_paper(region: BaseGeometry, picture: LaidPicture, *, back: bool = False) -> BaseGeometry:
    """Return a region of the picture, mm from its lower-left corner, in the paper frame; or ``back`` from there."""
    width, height = picture.size
    if back:
        return affinity.translate(affinity.rotate(region, -picture.turn, origin=(0, 0)), width / 2, height / 2)
    return affinity.rotate(affinity.translate(region, -width / 2, -height / 2), picture.turn, origin=(0, 0))


def _broader_than(region: BaseGeometry, width: float) -> BaseGeometry:
    """Return the parts of a region that are broader than ``width`` mm, with their corners."""
    shrunk = shapely.buffer(region, -width / 2, join_style="mitre", mitre_limit=5.0)
    # A hair more, cut off again, so that rounding leaves nothing beside the region's own edge.
    grown = shapely.buffer(shrunk, 1.002 * width / 2, join_style="mitre", mitre_limit=5.0)
    return common(region, grown)


def _printable(region: BaseGeometry, screen: Screen) -> MultiPolygon:
    """Return a screen's ink without what its outline has cut to less than a dot, and without gaps that would close."""
    dot, gap = 0.49 * screen.smallest_dot, 0.49 * screen.smallest_gap
    opened = shapely.buffer(shapely.buffer(region, -dot), dot)
    return filled_parts(common(shapely.buffer(shapely.buffer(opened, gap), -gap), region.envelope))

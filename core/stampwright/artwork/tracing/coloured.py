"""Tracing pictures of flat colours, each colour by itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...errors import ArtworkError
from ...job.sections.tracing import TracingSection
from ...plane.overlays import all_joined, common, joined, without
from ...plane.rasters.pictures import decode_picture
from ...plane.regions import filled_parts, sound_parts
from ..artwork import Artwork
from ..coloured.patches import Coloured, Patch, coloured_artwork
from ..colours import NEAR_PAPER, PAPER_FRAME, PAPER_ROUND, code_of, may_be_stock
from .bitmap import FINEST_FIT, trace_picture, true_pixel
from .flat import NEAR, FlatColours, Palette, find_mixtures, find_palette, inkness

SHADED = 0.25
"""How far the paper of a picture may be from white in any channel; a darker one lies all round it (assumed)."""


def read_coloured_bitmap(path: str | Path, data: bytes, *, tracing: TracingSection | None = None) -> Coloured:
    """Return a bitmap of a few flat colours, each as outlines, but for the paper.

    Edges between two colours run where a pixel is half of each. Raises :class:`ArtworkError` when the picture is none
    of flat colours, such as a photograph.
    """
    tracing = replace(tracing or TracingSection(), flatten_light=False, threshold="fixed", brightness=0.5, tone="none")
    picture = decode_picture(data, name=str(path))
    pixel, size_findings = true_pixel(picture, tracing)
    colours = picture.colours
    if colours is None:
        colours = np.repeat(np.rint(255.0 * picture.grey).astype(np.uint8)[..., None], 3, axis=2)
    palette = find_palette(colours)
    if palette is None:
        raise ArtworkError(
            "the picture is not of a few flat colours, so it cannot be parted into inks; reduce its colours in a "
            "picture program, or draw it as SVG"
        )
    rows, columns = picture.grey.shape
    whole = Artwork(
        MultiPolygon(),
        (columns * pixel[0], rows * pixel[1]),
        name=Path(path).stem,
        tolerance=max(tracing.tolerance, FINEST_FIT * max(pixel)),
        findings=(*picture.findings, *size_findings),
        true_size=not size_findings,
    )
    patches = _patches(colours, palette, pixel, tracing, picture.name)
    return coloured_artwork(whole, patches, sliver=2 * whole.tolerance, paper=_paper_round(colours, palette))


def _paper_round(colours: FlatColours, palette: Palette) -> str:
    """Return the colour of a picture's paper where that is nearly white, or light and all round it, else ""."""
    paper = palette.colours[palette.paper]
    if (1.0 - paper / 255.0).max() <= SHADED:
        return code_of(paper / 255.0)
    high, wide = colours.shape[:2]
    frame = max(1, round(PAPER_FRAME * min(high, wide)))
    near = np.abs(colours.astype(np.int16) - paper.astype(np.int16)).max(axis=2) <= NEAR
    inside = near[frame : high - frame, frame : wide - frame]
    along = (np.count_nonzero(near) - np.count_nonzero(inside)) / max(near.size - inside.size, 1)
    return code_of(paper / 255.0) if may_be_stock(paper / 255.0) and along >= PAPER_ROUND else ""


def _patches(
    colours: FlatColours, palette: Palette, pixel: tuple[float, float], tracing: TracingSection, name: str
) -> Iterator[Patch]:
    mixtures = find_mixtures(colours, palette)
    seen = palette.colours / 255.0
    inks = np.flatnonzero((1.0 - seen).max(axis=1) > NEAR_PAPER)
    if not len(inks):
        return

    def trace(*which: int) -> MultiPolygon:
        bright = inkness(colours, palette, np.isin(np.arange(len(seen)), which), mixtures)
        return trace_picture(bright, pixel, tracing, name=name).inked

    page = shapely.box(0.0, 0.0, colours.shape[1] * pixel[0], colours.shape[0] * pixel[1])
    whole = MultiPolygon([page]) if len(inks) == len(seen) else trace(*inks.tolist())
    regions = [trace(int(at)) for at in inks] if len(inks) > 1 else [whole]
    reach = 2.0 * max(tracing.tolerance, FINEST_FIT * max(pixel)) + max(pixel)
    for at, region in zip(inks, _fitted(regions, whole, reach), strict=True):
        if not region.is_empty:
            yield Patch(code_of(seen[at]), region)


def _fitted(regions: Sequence[MultiPolygon], whole: MultiPolygon, reach: float) -> list[MultiPolygon]:
    """Return regions that fill all that is inked, with neither gaps nor overlaps, ``reach`` mm wide, between them.

    Edges are traced once for either side, and come out a little differently: the first to be traced has what both do,
    and what neither has.
    """
    fitted: list[MultiPolygon] = []
    taken: BaseGeometry = MultiPolygon()
    for region in regions:
        fitted.append(sound_parts(without(common(region, whole), taken)))
        taken = joined(taken, region)
    left = sound_parts(without(whole, all_joined(fitted)))
    for at, region in enumerate(fitted):
        if left.is_empty:
            break
        mine = filled_parts(common(region.buffer(reach, quad_segs=2), left))
        fitted[at] = sound_parts(joined(region, mine))
        left = sound_parts(without(left, mine))
    return fitted

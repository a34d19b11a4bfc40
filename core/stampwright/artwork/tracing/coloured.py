"""Tracing pictures of flat colours, each colour by itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
from shapely.geometry import MultiPolygon

from ...errors import ArtworkError
from ...job.sections.tracing import TracingSection
from ...plane.rasters.pictures import decode_picture
from ...plane.regions import sound_parts
from ..artwork import Artwork
from ..coloured.patches import Coloured, Patch, coloured_artwork
from ..colours import NEAR_PAPER, code_of
from .bitmap import FINEST_FIT, trace_picture, true_pixel
from .flat import FlatColours, Palette, find_palette, inkness

SHADED = 0.25
"""How far the paper of a picture may be from white in any channel; a darker ground is an ink like others (assumed)."""


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
    return coloured_artwork(whole, _patches(colours, palette, pixel, tracing, picture.name), sliver=2 * whole.tolerance)


def _patches(
    colours: FlatColours, palette: Palette, pixel: tuple[float, float], tracing: TracingSection, name: str
) -> Iterator[Patch]:
    traced = MultiPolygon()
    for at, colour in enumerate(palette.colours):
        seen = colour / 255.0
        if (1.0 - seen).max() <= (SHADED if at == palette.paper else NEAR_PAPER):
            continue
        alone = np.arange(len(palette.colours)) == at
        found = trace_picture(inkness(colours, palette, alone), pixel, tracing, name=name)
        # Edges are traced once for either side and come out a little differently: the first to be traced has them.
        region = sound_parts(found.inked.difference(traced))
        traced = sound_parts(traced.union(region))
        yield Patch(code_of(seen), region)

"""Reading SVG in its colours: what is seen on top of all else, colour by colour, or layer by layer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...errors import ArtworkError
from ...job.sections.tracing import TracingSection
from ...plane.overlays import without
from ...plane.regions import made_valid, sound_parts
from ..artwork import Artwork
from ..coloured.patches import Coloured, Patch, coloured_artwork
from ..colours import NEAR_PAPER, code_of, is_paper, may_be_stock
from ..letters import Letter
from ..limits import Limits
from ..outlines.crossing import united_faces
from ..outlines.filling import united
from .notes import Notes
from .painting.sheet import Sheet
from .placing.viewports import states_true_size
from .reader import ASSUMED_COVER, SMALLEST_COVER, page_of, paint_page, unresolved
from .seeing.inking import faces_and_colours, marks_of, within
from .seeing.marks import Item
from .source import Document, parse_document, unpacked
from .source.layers import keep_after, keep_layers

MOST_COLOURS = 2_000
"""Colours that one drawing may show: gradients are drawn in steps, and each is one."""

HIDING = 0.5
"""Opacity from which on a mark hides what lies under it, where layers are told apart."""


def read_coloured_svg(
    data: bytes,
    *,
    name: str = "",
    tolerance: float = 0.005,
    fitted_to: float = 50.0,
    limits: Limits | None = None,
    tracing: TracingSection | None = None,
    layers: Sequence[str] = (),
) -> Coloured:
    """Return an SVG file as it is seen, colour by colour; curves as fine as :func:`~.reader.read_svg` has them.

    ``layers``: names of groups that are told apart whatever their colours; all else is by its colours. Raises
    :class:`ArtworkError`.
    """
    with np.errstate(all="ignore"):
        return _Reading(data, limits or Limits(), tracing or TracingSection()).read(
            name, tolerance, fitted_to, tuple(layers)
        )


class _Reading:
    """One drawing being read, again for every layer that is told apart."""

    def __init__(self, data: bytes, limits: Limits, tracing: TracingSection) -> None:
        self.data = unpacked(data, limits)
        self.limits = limits
        self.tracing = replace(tracing, ink_by="not-paper", tone="none", flatten_light=False)
        self.notes = Notes()
        self.paper = ""

    def read(self, name: str, tolerance: float, fitted_to: float, layers: tuple[str, ...]) -> Coloured:
        document = self._document()
        size = page_of(document, self.limits)
        longer = max(size)
        fineness = tolerance * min(1.0, ASSUMED_COVER * longer / fitted_to)
        try:
            patches, letters = self._patches(size, fineness, layers)
            bounds = shapely.total_bounds([patch.region for patch in patches]) if patches else np.zeros(4)
            span = max(float((bounds[2:] - bounds[:2]).max()), SMALLEST_COVER * longer)
            if patches and span < ASSUMED_COVER * longer and tolerance * span / fitted_to < fineness:
                fineness = tolerance * span / fitted_to
                patches, letters = self._patches(size, fineness, layers)
        except shapely.errors.GEOSException as error:
            raise unresolved(error) from error
        whole = Artwork(
            MultiPolygon(),
            size,
            name=name,
            tolerance=fineness,
            findings=self.notes.as_findings(),
            letters=letters,
            true_size=states_true_size(document.root.attrib.get),
        )
        return coloured_artwork(whole, patches, sliver=2 * fineness, paper=self.paper)

    def _document(self) -> Document:
        return parse_document(self.data, self.limits)

    def _patches(
        self, size: tuple[float, float], fineness: float, layers: tuple[str, ...]
    ) -> tuple[list[Patch], tuple[Letter, ...]]:
        self.notes = Notes()
        items, sheet = self._painted(self._document(), size, fineness)
        (rest, self.paper), letters = _patches_of(items, size, self.limits), tuple(sheet.letters)
        found: list[Patch] = []
        for layer in layers:
            alone, above = self._document(), self._document()
            keep_layers(alone, [layer], setting="inks.layers")
            keep_after(above, layer)
            # What is painted later hides the layer, be it as white as the paper.
            hidden = self._cover(above, size, fineness)
            own, _ = self._painted(alone, size, fineness)
            shown = [
                replace(patch, region=sound_parts(without(patch.region, hidden)), source=layer)
                for patch in _patches_of(own, size, self.limits)[0]
            ]
            found += shown
            cover = united([without(self._cover(alone, size, fineness), hidden)])
            rest = [replace(patch, region=sound_parts(without(patch.region, cover))) for patch in rest]
        return [patch for patch in (*found, *rest) if not patch.region.is_empty], letters

    def _cover(self, document: Document, size: tuple[float, float], fineness: float) -> BaseGeometry:
        """Return where a drawing lays anything that hides what is below, of whatever colour."""
        items, _ = self._painted(document, size, fineness)
        marks = [_shown(mark.region, mark.clip) for mark in marks_of(items) if mark.colour[3] >= HIDING]
        return united(marks) if marks else MultiPolygon()

    def _painted(self, document: Document, size: tuple[float, float], fineness: float) -> tuple[list[Item], Sheet]:
        return paint_page(document, size, fineness, self.limits, tracing=self.tracing, notes=self.notes, by_half=False)


def _shown(region: BaseGeometry, clip: BaseGeometry | None) -> BaseGeometry:
    return region if clip is None else within(region, clip)


def _patches_of(items: Sequence[Item], size: tuple[float, float], limits: Limits) -> tuple[list[Patch], str]:
    """Return what is seen of marks in each colour that is not white, cut off at the page's edge, and that of its paper.

    The paper's colour is "" where none lies all round the page.
    """
    faces, colours = faces_and_colours(items, limits)
    page = shapely.box(0, 0, *size)
    seen = ((1.0 - colours).max(axis=1, initial=0.0) > NEAR_PAPER) & shapely.intersects(faces, page)
    paper = colours[seen][is_paper(faces[seen], colours[seen], page)][:1]
    faces, colours = faces[seen], colours[seen]
    codes = np.array([code_of(colour) for colour in colours])
    kinds = list(dict.fromkeys(codes.tolist()))
    if len(kinds) > MOST_COLOURS:
        raise ArtworkError(
            f"it shows {len(kinds):,} colours; at most {MOST_COLOURS:,} are told apart. Paint it in flat colours"
        )
    regions = [sound_parts(made_valid(within(united_faces(faces[codes == code]), page))) for code in kinds]
    patches = [Patch(code, region) for code, region in zip(kinds, regions, strict=True) if not region.is_empty]
    return patches, code_of(paper[0]) if len(paper) and may_be_stock(paper[0]) else ""

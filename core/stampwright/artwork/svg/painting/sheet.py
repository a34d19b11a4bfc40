"""The sheet that a walk draws on: the document, what may be spent on it, and the outlines of its elements."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import Protocol

import numpy as np

from ....errors import ArtworkError
from ...letters import Letter
from ...limits import Limits, beyond
from ...outlines import shapes
from ...outlines.curves import Outline, Polylines, count_pieces, flattened, transformed
from ...outlines.pathdata import read_path
from ..notes import Notes
from ..placing.place import Place
from ..seeing.marks import Item, PaintedGroup
from ..source.document import Document, Element
from ..styling.cascade import Cascade
from ..styling.values import Matrix

SHAPES = frozenset(("path", "rect", "circle", "ellipse", "line", "polyline", "polygon"))


_URL = re.compile(r"url\(\s*['\"]?#([^'\")]+)['\"]?\s*\)")


class Painter(Protocol):
    """The walk, as what it calls needs it back: for what clip paths, masks, markers and patterns hold."""

    def elements(self, sheet: Sheet, elements: Iterable[Element], place: Place) -> list[Item]:
        """Return what elements lay on the page."""

    def content(self, sheet: Sheet, element: Element, place: Place) -> list[Item]:
        """Return what an element lays on the page, its own transform, clip and layer left out."""

    def shown(self, sheet: Sheet, element: Element, place: Place, around: Place) -> list[Item]:
        """Return what an element lays in a place already found, through its clip path and on its own layer."""


@dataclass
class Sheet:
    """What a walk needs everywhere: the document, how fine to draw, what may be spent and what was noted.

    ``pending``: layers whose effects are to be worked out once they hold all. ``toned``: tones are wanted as they are,
    to be screened. ``two_toned``: a gradient was laid in black and white alone, as it looks where nothing lies over it.
    ``evens_light``: scans in the drawing are made as if evenly lit. ``letters``: the characters of painted text.
    ``text_weight``, ``text_spacing``: what text has at least and what is added to it, as in the job's own settings.
    """

    document: Document
    cascade: Cascade
    notes: Notes
    limits: Limits
    painter: Painter
    tolerance: float
    drawn: int = 0
    points: int = 0
    dashes: float = 0.0
    references: int = 0
    filtered: int = 0
    pictured: int = 0
    pending: list[PaintedGroup] = field(default_factory=list)
    toned: bool = False
    two_toned: bool = False
    evens_light: bool = False
    text_weight: float = 0.0
    text_spacing: float = 0.0
    outlines: dict[int, Outline] = field(default_factory=dict)
    homes: dict[int, Place] = field(default_factory=dict)
    letters: list[Letter] = field(default_factory=list)

    def referred(self, link: str | None) -> Element | None:
        """Return the element that ``#id`` names in this document, None when there is none."""
        if link is None or not link.strip().startswith("#"):
            return None
        return self.document.by_id.get(link.strip()[1:])

    def referring_chain(self, element: Element) -> list[Element]:
        """Return the element and those that it takes attributes from by ``href``, one after another, each once."""
        chain = [element]
        while (link := self.referred(chain[-1].href)) is not None and link not in chain:
            chain.append(link)
        return chain

    def count_element(self) -> None:
        """Count one more element drawn; raises :class:`ArtworkError` past the limit."""
        self.drawn += 1
        if self.drawn > self.limits.most_drawn:
            raise beyond("most_drawn", "more elements are drawn, counting every use, than allowed", self.limits)

    def count_picture(self, amount: int) -> None:
        """Count bytes or pixels of an embedded picture; raises :class:`ArtworkError` past the limit."""
        self.pictured += amount
        if self.pictured > self.limits.most_pictured:
            raise beyond("most_pictured", "embedded pictures have more bytes and pixels than allowed", self.limits)

    def flat(self, outline: Outline, tolerance: float, half_width: float = 0.0) -> Polylines:
        """Return the outline as points within ``tolerance``, counting them; raises :class:`ArtworkError`."""
        pieces = count_pieces(outline, tolerance, half_width)
        self.points += int(pieces.sum())
        if self.points > self.limits.most_points:
            raise beyond("most_points", "the outlines have more points than allowed", self.limits)
        return flattened(outline, pieces)

    def placed(self, outline: Outline, matrix: Matrix, element: Element) -> Outline:
        """Return the outline in the paper frame; raises :class:`ArtworkError` when it reaches absurdly far."""
        with np.errstate(over="ignore", invalid="ignore"):
            on_paper = transformed(outline, matrix)
            reach = np.abs(on_paper.corners).max(initial=0.0)
        if not reach <= self.limits.farthest:
            if not np.isfinite(reach):
                raise ArtworkError(f"{element.described()} has a coordinate that is not finite; correct or remove it")
            raise ArtworkError(
                f"{element.described()} has a coordinate {reach:g} mm away from the page; the limit is "
                f"{self.limits.farthest:g} mm. Correct or remove the element"
            )
        return on_paper


def outline_of(sheet: Sheet, element: Element, place: Place) -> Outline:
    """Return the outline of a basic shape or path, user units; empty where the element draws nothing."""
    # Percentages and em make an outline depend on where it is drawn; path data never does.
    if element.name == "path" and id(element) in sheet.outlines:
        return sheet.outlines[id(element)]
    outline, wrong = _outline_and_error(sheet, element, place)
    if wrong:
        sheet.notes.add(
            "damaged path",
            f"drawn only up to the first error, {wrong}",
            element,
            remedy="Open the file in a drawing program, correct the path and save it again.",
        )
    sheet.outlines[id(element)] = outline
    return outline


def _outline_and_error(sheet: Sheet, element: Element, place: Place) -> tuple[Outline, str]:
    def measure(name: str, direction: str) -> float | None:
        return place.length(sheet.cascade.geometry(element, name, place.style), direction)

    match element.name:
        case "path":
            data = sheet.cascade.geometry(element, "d", place.style) or ""
            if data.startswith("path("):
                data = data[5:].strip(" )\"'")
            return read_path(data)
        case "rect":
            return shapes.rectangle(measure), ""
        case "circle":
            return shapes.circle(measure), ""
        case "ellipse":
            return shapes.ellipse(measure), ""
        case "line":
            return shapes.line(measure), ""
        case _:
            return shapes.points_list(element.attrib.get("points"), closed=element.name == "polygon")


def referred_id(text: str) -> str | None:
    """Return the id in ``url(#id)``, None when the text is no such reference."""
    matched = _URL.match(text.strip())
    return matched[1].strip() if matched else None


def home_place(sheet: Sheet, element: Element, place: Place) -> Place:
    """Return ``place`` with the properties that ``element`` inherits where it stands in the document.

    What clip paths, masks, markers and patterns hold takes nothing over from the elements that refer to them.
    """
    line: list[Element] = []
    parent = element.parent
    while parent is not None and id(parent) not in sheet.homes:
        line.append(parent)
        parent = parent.parent
    home = sheet.homes[id(parent)] if parent is not None else Place(page=place.page, root_size=place.root_size)
    for ancestor in reversed(line):
        home = sheet.homes[id(ancestor)] = home.styled(sheet.cascade.declared(ancestor))
    return replace(place, style=home.style, declared=home.declared, font_size=home.font_size)


@contextmanager
def referring(sheet: Sheet) -> Iterator[None]:
    """Count one more reference being followed inside others; raises :class:`ArtworkError` past the limit."""
    sheet.references += 1
    if sheet.references > sheet.limits.deepest_references:
        raise beyond("deepest_references", "clip paths, masks, patterns or markers refer on too deeply", sheet.limits)
    try:
        yield
    finally:
        sheet.references -= 1

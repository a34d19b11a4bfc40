"""Which colours are ink: by how dark they are, by name, or all that is not paper; and what is said of the others."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from ..errors import ArtworkError
from ..findings import Finding
from ..job.sections.tracing import TracingSection
from ..looks.light import LUMINANCE
from ..looks.numbers import percent
from ..plane.overlays import all_joined, common, without

COLOUR_LEFT_OUT = "colour left out"

WHICH_IS_INK = (
    "Say which colours are ink: tracing.ink_by (not-paper takes all, colours those of tracing.ink_colours), or print "
    "it in several inks, a die for each"
)

NEAR_PAPER = 0.03
"""What comes nearer to white than this in every channel is paper: an eye hardly tells it (assumed)."""

ALIKE = 0.12
"""Colours this near to one that is named are that one: their distance as written, black to white being 1.73."""

LEAST_SHARE = 0.002
"""Colours that cover less than this share of all that is drawn are the seams between others."""

MOST_TOLD = 8

STOCK = 0.5
"""How much of its brightest channel a colour of paper may lack in another: kraft 0.45, canary 0.4 (assumed)."""

PAPER_ROUND = 0.9
"""Share of a page's edge along which a light colour lies that is its paper."""

PAPER_FRAME = 0.01
"""Breadth of a page's edge, as a share of its shorter side."""

PAPER_SEEN = 0.1
"""Share of a page from which on a lighter colour is its paper rather than a detail."""


def is_ink(colours: NDArray[np.float64], tracing: TracingSection) -> NDArray[np.bool_]:
    """Say of colours on white paper, (n, 3) from 0 to 1, whether they are ink; (n,).

    Raises :class:`~stampwright.errors.ArtworkError` when a colour that is named is none.
    """
    match tracing.ink_by:
        case "not-paper":
            return np.asarray((1.0 - colours).max(axis=1, initial=0.0) > NEAR_PAPER)
        case "colours":
            named = np.array([_colour_of(name) for name in tracing.ink_colours]).reshape(-1, 3)
            if not len(named):
                raise ArtworkError("tracing.ink_by = colours names no colour: set tracing.ink_colours, such as #a0282a")
            apart = np.linalg.norm(colours[:, None] - named[None], axis=2)
            return np.asarray(apart.min(axis=1) <= ALIKE)
    # On the values as written (CSS Masking 1, section 6.2).
    return np.asarray(colours @ LUMINANCE < tracing.ink_darker_than)


def is_paper(
    faces: Sequence[BaseGeometry] | NDArray[np.object_], colours: NDArray[np.float64], page: Polygon
) -> NDArray[np.bool_]:
    """Say of faces of a page whether they are paper that the drawing paints: a light colour all round the page; (n,).

    ``faces``: (n,) polygons, mm, that may reach beyond the page, with their ``colours`` on white, (n, 3). A colour is
    no paper where a lighter one, or the white sheet, covers as much as a :data:`PAPER_SEEN` of the page.
    """
    none = np.zeros(len(colours), dtype=np.bool_)
    light = colours @ LUMINANCE
    left, bottom, right, top = page.bounds
    # A frame of some breadth: edges of pages and of what is painted on them meet only nearly.
    frame = without(page, page.buffer(-PAPER_FRAME * min(right - left, top - bottom), join_style="mitre"))
    tint = (light >= 0.5) & ((1.0 - colours).max(axis=1, initial=0.0) > NEAR_PAPER)
    at_edge = np.flatnonzero(shapely.intersects(faces, frame) & tint)
    if not len(at_edge):
        return none
    along = np.array([common(faces[int(at)], frame).area for at in at_edge])
    codes = np.array([code_of(colour) for colour in colours])
    round_page = {code: float(along[codes[at_edge] == code].sum()) for code in dict.fromkeys(codes[at_edge].tolist())}
    code = max(round_page, key=lambda each: round_page[each])
    those = codes == code
    areas = np.array([common(face, page).area for face in faces])
    lighter = light > light[those].max() + NEAR_PAPER
    bare = page.area - areas.sum() + areas[lighter].sum()
    if round_page[code] < PAPER_ROUND * frame.area or bare > PAPER_SEEN * page.area:
        return none
    return np.asarray(those)


NAME_PAPER = "If it shall print, name it: tracing.ink_by=colours and tracing.ink_colours"


def may_be_stock(colour: NDArray[np.float64]) -> bool:
    """Say whether paper is sold in a light colour, (3,), where several inks are printed: cream, kraft, pastel.

    A full yellow all over a page is rather an ink among others.
    """
    return bool(colour @ LUMINANCE >= 0.5 and colour.max() - colour.min() <= STOCK * colour.max())


def about_paper(colour: NDArray[np.float64], area: float, *, name_it: str = NAME_PAPER) -> Finding:
    """Return the finding that a colour, (3,), is taken for paper, as it lies all round the page.

    ``area``: mm²; ``name_it``: what to do where it shall print.
    """
    return Finding(
        kind=COLOUR_LEFT_OUT,
        severity="notes",
        stage="artwork",
        message=f"{code_of(colour)} lies all round the page and is taken for its paper",
        remedy=name_it,
        measured=area,
        unit="mm²",
    )


def no_ink(tracing: TracingSection) -> str:
    """Return in words why a drawing has no ink, and what would give it some."""
    match tracing.ink_by:
        case "colours":
            return f"no ink: it shows none of tracing.ink_colours ({', '.join(tracing.ink_colours)})"
        case "not-paper":
            return "no ink: nothing on the page is other than paper"
    tone = "half luminance" if tracing.ink_darker_than == 0.5 else f"{tracing.ink_darker_than:g} of white"
    return f"no ink: nothing on the page is darker than {tone}; tracing.ink_by=not-paper prints every colour"


def about_colours(
    faces: Sequence[BaseGeometry] | NDArray[np.object_],
    colours: NDArray[np.float64],
    inked: NDArray[np.bool_],
    *,
    asks: bool,
) -> Iterator[Finding]:
    """Yield a finding for each colour that is seen and no ink, the largest first.

    ``faces``: (n,) polygons, mm, with their ``colours`` on white, (n, 3), and whether each is ink. ``asks``: whether
    the drawing has several colours, so that leaving one out is a question.
    """
    seen = (1.0 - colours).max(axis=1, initial=0.0) > NEAR_PAPER
    areas = shapely.area(faces)
    codes = np.array([code_of(colour) for colour in colours])
    groups = [np.flatnonzero(seen & (codes == code)) for code in dict.fromkeys(codes[seen].tolist())]
    if not groups:
        return
    yield from about_areas(
        [all_joined(np.asarray(faces, dtype=object)[at]) for at in groups],
        np.array([areas[at].sum() for at in groups]),
        np.array([colours[at[0]] for at in groups]),
        np.array([inked[at[0]] for at in groups]),
        np.ones(len(groups), dtype=bool),
        asks=asks,
    )


def about_areas(
    places: Sequence[BaseGeometry],
    areas: NDArray[np.float64],
    colours: NDArray[np.float64],
    inked: NDArray[np.bool_],
    drawn: NDArray[np.bool_],
    *,
    asks: bool = True,
) -> Iterator[Finding]:
    """Yield a finding for each colour that is drawn and no ink, the largest first.

    Of each colour, (n,): its place and area, mm², itself on white, (n, 3), whether it is ink, and whether it is drawn
    at all and not the paper. ``asks``: whether leaving one out is a question.
    """
    whole = float(areas[drawn].sum())
    left = np.flatnonzero(drawn & ~inked & (areas > LEAST_SHARE * whole))
    for at in left[np.argsort(-areas[left], kind="stable")][:MOST_TOLD]:
        yield Finding(
            kind=COLOUR_LEFT_OUT,
            severity="warns" if asks else "notes",
            stage="artwork",
            message=(
                f"{code_of(colours[at])} is left out: it covers {areas[at]:.1f} mm², "
                f"{percent(areas[at] / whole)} of what is drawn, and is no ink"
            ),
            remedy=WHICH_IS_INK,
            place=places[at],
            measured=float(areas[at]),
            unit="mm²",
        )


def code_of(colour: NDArray[np.float64]) -> str:
    """Return a colour as it is written in style sheets.

    >>> code_of(np.array([1.0, 0.5, 0.0]))
    '#ff8000'
    """
    return "#" + "".join(f"{int(value):02x}" for value in np.clip(np.round(255 * np.asarray(colour)), 0, 255))


def _colour_of(name: str) -> tuple[float, float, float]:
    text = name.strip().lstrip("#")
    if len(text) == 3:
        text = "".join(2 * letter for letter in text)
    try:
        if len(text) != 6:
            raise ValueError(name)
        return tuple(int(text[at : at + 2], 16) / 255 for at in (0, 2, 4))  # type: ignore[return-value]
    except ValueError as error:
        raise ArtworkError(f"tracing.ink_colours: {name!r} is no colour; write it as #a0282a") from error

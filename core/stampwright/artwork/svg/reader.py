"""Reading SVG: from the bytes of a file to artwork."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...errors import ArtworkError
from ...findings import Finding
from ...job.sections.tracing import TracingSection
from ...plane.overlays import all_joined
from ...plane.regions import filled_parts, made_valid
from ..artwork import Artwork
from ..colours import NEAR_PAPER, about_colours, about_paper, is_ink, is_paper, no_ink
from ..letters import Letter
from ..limits import Limits
from ..outlines.crossing import united_faces
from ..tracing import choose_screen, screened_finding
from .notes import Notes
from .painting.sheet import Sheet
from .painting.walk import Walk
from .placing.place import Place
from .placing.viewports import DEFAULT_PAGE, fitting, page_size, states_true_size, view_box
from .seeing.inking import HALF, faces_and_colours, luminance, marks_of, only_solid, seen_ink, within
from .seeing.marks import Item, Painted
from .seeing.toning import toned_ink
from .source import Document, parse_document, unpacked
from .source.document import Element
from .source.layers import MOST_LAYERS_NAMED, Declares, alone, keep_layers, show_hidden, show_named
from .styling.cascade import Cascade
from .styling.values import IDENTITY, PX_TO_MM

ASSUMED_COVER = 0.7
"""Share of the page's longer side that ink is first taken to span; a drawing with less is read again, finer."""


SMALLEST_COVER = 0.001
"""Share of the page's longer side below which ink is drawn no finer: what lies beside the page is drawn with it."""

REACH_TOLERANCE = 0.05
"""mm; how fine curves are flattened to find out how far a drawing reaches."""

LAYERS_LEFT_OUT = "layers left out"
LEAVE_IT_OUT = "Leave it out of tracing.ink_layers if it shall not."
NAME_LAYERS = "Name it in tracing.ink_layers if it shall print."
SHOW_IT = "Show it in the drawing if it shall print."


def read_svg(
    data: bytes,
    *,
    name: str = "",
    tolerance: float = 0.005,
    fitted_to: float = 50.0,
    limits: Limits | None = None,
    tracing: TracingSection | None = None,
) -> Artwork:
    """Return the artwork in an SVG file, plain or gzip-compressed.

    ``tolerance``, ``fitted_to`` and ``tracing`` as in :func:`~stampwright.artwork.read_artwork`. Where ``tracing`` asks
    for a screen, tones are screened instead of cut in two. Raises :class:`ArtworkError`.
    """
    # Numbers beyond all measure are refused where they would reach the paper; on the way there they may overflow.
    with np.errstate(all="ignore"):
        return _read(data, name, (tolerance, fitted_to), limits or Limits(), tracing or TracingSection())


def _read(
    data: bytes, name: str, fineness_for: tuple[float, float], limits: Limits, tracing: TracingSection
) -> Artwork:
    tolerance, fitted_to = fineness_for
    document = parse_document(unpacked(data, limits), limits)
    hid = show_named(document, tracing.ink_layers, _declares(document))
    gone = keep_layers(document, tracing.ink_layers) if tracing.ink_layers else {}
    width, height = page_of(document, limits)
    longer = max(width, height)
    fineness = tolerance * min(1.0, ASSUMED_COVER * longer / fitted_to)
    inked, notes, letters = _inked(document, (width, height), fineness, limits, tracing)
    span = max(_longer_side(inked), SMALLEST_COVER * longer)
    if not inked.is_empty and span < ASSUMED_COVER * longer and tolerance * span / fitted_to < fineness:
        fineness = tolerance * span / fitted_to
        inked, notes, letters = _inked(document, (width, height), fineness, limits, tracing)
    if inked.is_empty:
        raise ArtworkError(_why_empty(notes, tracing))
    for layer in hid:
        named = f"{layer} is hidden in the drawing, and prints because it is named"
        notes.add("hidden layer printed", named, remedy=LEAVE_IT_OUT, severity="notes")
    for layer, elements in list(gone.items())[:MOST_LAYERS_NAMED]:
        covered = _covered(document, elements, (width, height), fineness, limits)
        if not covered.is_empty:
            told = "is not among the layers that print"
            notes.findings.append(_layer_left_out(layer, covered, told, NAME_LAYERS))
    if len(gone) > MOST_LAYERS_NAMED:
        more = f"{len(gone) - MOST_LAYERS_NAMED} more layers are not among those that print"
        notes.add(LAYERS_LEFT_OUT, more, remedy=NAME_LAYERS, severity="notes")
    for layer, elements in list(show_hidden(document, _declares(document)).items())[:MOST_LAYERS_NAMED]:
        covered = _covered(document, elements, (width, height), fineness, limits)
        if not covered.is_empty:
            notes.findings.append(
                _layer_left_out(layer, covered, "is hidden in the drawing and does not print", SHOW_IT)
            )
    found = notes.as_findings()
    return Artwork(
        inked,
        (width, height),
        name=name,
        tolerance=fineness,
        findings=found,
        letters=letters,
        true_size=states_true_size(document.root.attrib.get),
    )


def _declares(document: Document) -> Declares:
    return Cascade(document, Notes(), DEFAULT_PAGE).declared


def _covered(
    document: Document, elements: Sequence[Element], size: tuple[float, float], tolerance: float, limits: Limits
) -> MultiPolygon:
    """Return what elements that do not print would cover of the page, mm; empty also where they cannot be read."""
    everything = TracingSection(ink_by="not-paper")
    regions = []
    for element in elements:
        with alone(element):
            try:
                regions.append(_inked(document, size, tolerance, limits, everything)[0])
            except ArtworkError:
                continue
    return _clean(all_joined(regions))


def _layer_left_out(layer: str, covered: MultiPolygon, told: str, remedy: str) -> Finding:
    return Finding(
        kind=LAYERS_LEFT_OUT,
        severity="notes",
        stage="artwork",
        message=f"{layer} {told}: it covers {covered.area:.1f} mm²",
        remedy=remedy,
        place=covered,
        measured=covered.area,
        unit="mm²",
    )


def _type_size(document: Document) -> float:
    """Return the type size of the outermost ``svg``, px, which em in its own width and height refers to."""
    declared = Cascade(document, Notes(), DEFAULT_PAGE).declared(document.root)
    return Place.on_page(DEFAULT_PAGE, IDENTITY, declared).root_size


def _check_page(width: float, height: float, limits: Limits) -> None:
    if not (width > 0 and height > 0):
        raise ArtworkError(
            f"the page is {width:g} x {height:g} mm, which shows nothing; give <svg> a width, height or viewBox above 0"
        )
    if max(width, height) > limits.farthest:
        raise ArtworkError(
            f"the page is {width:g} x {height:g} mm; the limit is {limits.farthest:g} mm; make the page smaller"
        )


def _reach(document: Document, limits: Limits) -> tuple[float, float]:
    """Return how far right and down a drawing reaches, px: the page of one that states neither size nor viewBox.

    Such a drawing fills any window that it is opened in, and is cut off nowhere.
    """
    sheet = _sheet(document, Notes(), limits, REACH_TOLERANCE, page=DEFAULT_PAGE)
    matrix = (PX_TO_MM, 0.0, 0.0, -PX_TO_MM, 0.0, 0.0)
    place = Place.on_page(DEFAULT_PAGE, matrix, sheet.cascade.declared(document.root))
    try:
        marks = list(marks_of(sheet.painter.elements(sheet, [document.root], place)))
    except shapely.errors.GEOSException as error:
        raise unresolved(error) from error
    if not marks:
        return DEFAULT_PAGE
    _, bottom, right, _ = shapely.total_bounds([mark.region for mark in marks]).tolist()
    return (right / PX_TO_MM, -bottom / PX_TO_MM) if right > 0 > bottom else DEFAULT_PAGE


def unresolved(error: Exception) -> ArtworkError:
    """Return the error for outlines that overlays fail on."""
    return ArtworkError(f"the outlines could not be resolved ({error}); simplify the drawing")


def _sheet(
    document: Document,
    notes: Notes,
    limits: Limits,
    tolerance: float,
    *,
    page: tuple[float, float],
    toned: bool = False,
) -> Sheet:
    return Sheet(document, Cascade(document, notes, page), notes, limits, Walk(), tolerance, toned=toned)


def _inked(
    document: Document, size: tuple[float, float], tolerance: float, limits: Limits, tracing: TracingSection
) -> tuple[MultiPolygon, Notes, tuple[Letter, ...]]:
    """Return the ink on the page, its curves flattened within ``tolerance``, what was noted, and the letters in it."""
    notes = Notes()
    toned = tracing.tone != "none"
    screened = False
    try:
        items, sheet = paint_page(
            document, size, tolerance, limits, tracing=tracing, notes=notes, by_half=_by_half(tracing)
        )
        if toned:
            seen, screened = toned_ink(items, size, tracing, limits)
        else:
            seen = _seen(items, size, tracing, notes, limits)
        page = shapely.box(0, 0, *size)
        shown = within(seen, page)
    except shapely.errors.GEOSException as error:
        raise unresolved(error) from error
    if screened:
        finding = screened_finding(choose_screen(tracing))
        notes.add(finding.kind, finding.message, remedy=finding.remedy, severity=finding.severity)
    if seen.area - shown.area > 1e-6 * seen.area:
        notes.add(
            "beyond the page",
            f"{seen.area - shown.area:.3g} mm² of ink lies outside the page and is left out",
            remedy="Enlarge the page to hold the whole drawing.",
        )
    return _clean(shown), notes, tuple(sheet.letters)


def paint_page(
    document: Document,
    size: tuple[float, float],
    tolerance: float,
    limits: Limits,
    *,
    tracing: TracingSection,
    notes: Notes,
    by_half: bool,
) -> tuple[list[Item], Sheet]:
    """Return what a drawing lays on its page, in painting order, and the sheet that it was laid on.

    ``size``: of the page, mm; ``tolerance``: how far a flattened curve may stray, mm. ``by_half``: whether nothing
    counts but what is darker than half, so that gradients are cut in two. Raises :class:`ArtworkError`.
    """
    toned = tracing.tone != "none"
    for message in document.left_aside:
        notes.add("external reference", message, remedy="Embed what it refers to in the drawing.")
    in_px = (size[0] / PX_TO_MM, size[1] / PX_TO_MM)
    if fitting(view_box(document.root.attrib.get("viewBox")), None, *in_px) is None:
        raise ArtworkError("the viewBox has no width or no height, so the page shows nothing; correct it")
    sheet = _sheet(document, notes, limits, tolerance, page=in_px, toned=toned)
    sheet.evens_light = tracing.flatten_light and not toned
    sheet.text_weight, sheet.text_spacing = tracing.text_weight, tracing.text_spacing
    matrix = (PX_TO_MM, 0.0, 0.0, -PX_TO_MM, 0.0, size[1])
    place = replace(Place.on_page(in_px, matrix, sheet.cascade.declared(document.root)), solid=by_half and not toned)
    return _painted(document, place, sheet), sheet


def page_of(document: Document, limits: Limits) -> tuple[float, float]:
    """Return the width and height of a drawing's page, mm; raises :class:`ArtworkError` when it shows nothing."""
    in_px = page_size(document.root.attrib.get, lambda: _reach(document, limits), lambda: _type_size(document))
    width, height = (side * PX_TO_MM for side in in_px)
    _check_page(width, height, limits)
    return width, height


def _seen(
    items: list[Item], size: tuple[float, float], tracing: TracingSection, notes: Notes, limits: Limits
) -> BaseGeometry:
    """Return the ink, as the job tells it from other colours, and note the colours that are left out."""
    by_half = _by_half(tracing)
    # What is laid through a group or blended may leave a colour that none of its marks has.
    if by_half and only_solid(items) is not None and not any(_is_tint(mark) for mark in marks_of(items)):
        return seen_ink(items, limits)
    faces, colours = faces_and_colours(items, limits)
    inked = is_ink(colours, tracing)
    page = shapely.box(0, 0, *size)
    shown = shapely.intersects(faces, page)
    paper = np.zeros(len(faces), dtype=np.bool_)
    if tracing.ink_by != "colours":
        paper[shown] = is_paper(faces[shown], colours[shown], page)
    if paper.any():
        inked &= ~paper
        notes.findings.append(about_paper(colours[paper.argmax()], float(shapely.area(faces[paper]).sum())))
    told = shown & ~paper
    asks = bool(inked[shown].any())
    notes.findings += about_colours(faces[told], colours[told], inked[told], asks=asks)
    return seen_ink(items, limits) if by_half else united_faces(faces[inked])


def _by_half(tracing: TracingSection) -> bool:
    """Say whether ink is what is darker than half, which is found without cutting the page into colours."""
    return tracing.ink_by == "darkness" and tracing.ink_darker_than == HALF


def _is_tint(mark: Painted) -> bool:
    """Say whether a mark may leave a colour on the page that is neither ink nor paper."""
    on_white = [1 - mark.colour[3] * (1 - value) for value in mark.colour[:3]]
    return luminance(on_white) >= HALF and 1 - min(on_white) > NEAR_PAPER


def _painted(document: Document, place: Place, sheet: Sheet) -> list[Item]:
    """Return what the drawing lays on the page, in painting order."""
    items = sheet.painter.elements(sheet, [document.root], place)
    if sheet.two_toned and only_solid(items) is None:
        # What is translucent or blended over a gradient needs its colours, not only what of it is dark.
        again = Sheet(document, sheet.cascade, sheet.notes, sheet.limits, sheet.painter, sheet.tolerance)
        again.toned, again.evens_light = sheet.toned, sheet.evens_light
        return again.painter.elements(again, [document.root], replace(place, solid=False))
    return items


def _clean(region: BaseGeometry) -> MultiPolygon:
    """Return a valid, oriented MultiPolygon of parts that have an area."""
    whole: MultiPolygon = shapely.orient_polygons(filled_parts(made_valid(region)))
    return whole


def _longer_side(inked: MultiPolygon) -> float:
    if inked.is_empty:
        return 0.0
    left, bottom, right, top = inked.bounds
    return float(max(right - left, top - bottom))


def _why_empty(notes: Notes, tracing: TracingSection) -> str:
    told = "; ".join(finding.message for finding in notes.as_findings()[:3])
    return no_ink(tracing) + (f" ({told})" if told else "")

"""Reading PDF: the outlines of a page, held against the page as it is rendered, which is traced where they differ."""

from __future__ import annotations

from dataclasses import dataclass, replace
from importlib.util import find_spec
from threading import Lock
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...errors import ArtworkError
from ...findings import Finding
from ...job.sections.tracing import TracingSection
from ...plane.rasters.pictures import LUMINANCE_OF_BANDS, Picture
from ...plane.rasters.raster import MM_PER_INCH, picture_of
from ..artwork import Artwork
from ..letters import Letter
from ..limits import Limits
from ..svg import read_svg
from ..tracing import trace_as_told
from ..tracing.deskewing import level_scan
from ..unused import not_used

if TYPE_CHECKING:
    from .objects import Matrix

READS_PDF = "pypdfium2"

POINT = MM_PER_INCH / 72.0
"""mm; the unit of a page (ISO 32000-1, section 8.3.2.3)."""

TRACED_DPI, MOST_TRACED = 1200.0, 16_000_000
"""Resolution that a page is rendered at to be traced, and how many pixels it may have: an A4 page has 405 dpi."""

COMPARED = 1600
"""Pixels of the longer side at which outlines are held against the rendered page."""

LARGEST_SIDE = 5_000.0
"""mm; a page that is longer is no stamp's artwork."""

_OPENING = Lock()
"""Held while the library works, which takes one caller at a time."""


def is_pdf(data: bytes) -> bool:
    """Say whether a file begins as a PDF does; some programs write a little before its header."""
    return b"%PDF-" in data[:1024]


def read_pdf(
    data: bytes,
    *,
    name: str = "",
    tolerance: float = 0.005,
    fitted_to: float = 50.0,
    limits: Limits | None = None,
    tracing: TracingSection | None = None,
) -> Artwork:
    """Return the artwork on one page of a PDF file, the one that ``tracing.page`` says.

    Arguments are those of :func:`~stampwright.artwork.read_artwork`. Paths and letters are taken over as outlines; a
    page that holds images, shadings or other than outlines is rendered and traced, which a finding tells. Raises
    :class:`ArtworkError` when the file is damaged, locked or empty, or the library for PDF is not installed.
    """
    if find_spec(READS_PDF) is None:
        raise ArtworkError(
            "PDF is read by a library that is not installed here (stampwright[pdf]): save the drawing as SVG, text "
            "turned into outlines if its fonts are not installed"
        )
    with _OPENING:
        return _read(data, _Asked(name, tolerance, fitted_to, limits or Limits(), tracing or TracingSection()))


@dataclass(frozen=True)
class _Asked:
    """How a page is to be read: the arguments of :func:`read_pdf`."""

    name: str
    tolerance: float
    fitted_to: float
    limits: Limits
    tracing: TracingSection


def _read(data: bytes, asked: _Asked) -> Artwork:
    # Not all who make stamps read PDFs: the library is an extra.
    import pypdfium2  # noqa: PLC0415

    number = asked.tracing.page
    try:
        document = pypdfium2.PdfDocument(data)
    except pypdfium2.PdfiumError as error:
        if "password" in str(error).lower():
            raise ArtworkError("the PDF is locked by a password; save it again without one") from error
        raise ArtworkError("the PDF is damaged, broken off or has no pages; save it again") from error
    try:
        count = len(document)
        if not 1 <= number <= count:
            raise ArtworkError(f"the PDF has {count} pages; there is no page {number} (tracing.page)")
        page = _flat_page(document, number - 1)
        try:
            artwork = _page_artwork(document, page, data, asked)
        finally:
            page.close()
    except pypdfium2.PdfiumError as error:
        raise ArtworkError(f"page {number} of the PDF cannot be read ({error}); save it again") from error
    finally:
        document.close()
    told = [_one_of(number, count)] if count > 1 else []
    if b"/UserUnit" in data:
        told.append(_unit_of_its_own())
    return replace(artwork, findings=(*artwork.findings, *told))


def _flat_page(document: Any, index: int) -> Any:
    """Return a page, ``index`` from 0, that holds as drawn what its form's fields and its remarks show on it."""
    import pypdfium2.raw as pdfium  # noqa: PLC0415

    page = document[index]
    if pdfium.FPDFPage_GetAnnotCount(page) > 0:
        # In the box that is shown: the library flattens into a box of its own where a page has its parents'.
        page.set_mediabox(*_shown_box(page))
        pdfium.FPDFPage_Flatten(page, pdfium.FLAT_NORMALDISPLAY)
        page.close()
        page = document[index]
    return page


def _page_artwork(document: Any, page: Any, data: bytes, asked: _Asked) -> Artwork:
    name, tracing = asked.name, asked.tracing
    width, height = page.get_size()
    if not (0 < width * POINT < LARGEST_SIDE and 0 < height * POINT < LARGEST_SIDE):
        raise ArtworkError(f"its page is {width * POINT:g} x {height * POINT:g} mm, which is no stamp's artwork")
    if tracing.tone != "none":
        return _traced(page, name, tracing, "tones are asked for")
    # A drawing has no uneven light: what is darker than mid grey is ink, as in other drawings.
    drawn_tones = replace(tracing, flatten_light=False, threshold="fixed", brightness=0.5)
    # Not at the top: the library is an extra.
    from .layers import hidden_on  # noqa: PLC0415
    from .objects import Photographed, Pictured, page_as_svg  # noqa: PLC0415

    try:
        hidden = hidden_on(page, data)
        drawn = page_as_svg(document, page, _placed(page), (width, height), asked.limits, hidden=hidden)
    except Photographed as held:
        return _traced(page, name, tracing, f"it holds {held}")
    except Pictured as held:
        return _traced(page, name, drawn_tones, f"it holds {held}")
    artwork = _outlined(drawn.encode(), page, asked)
    if artwork is not None:
        return replace(artwork, letters=_letters(page, artwork.inked))
    return _traced(page, name, drawn_tones, "its outlines do not give what it shows")


def _outlined(drawn: bytes, page: Any, asked: _Asked) -> Artwork | None:
    """Return the artwork that a page drawn as outlines gives; None where that is not what the page shows."""
    tracing = asked.tracing
    # What is held against the page is all of it that is dark; other ink may be asked for.
    as_shown = replace(tracing, ink_by="darkness", ink_darker_than=0.5, ink_layers=())

    def read(tracing: TracingSection) -> Artwork:
        return read_svg(
            drawn,
            name=asked.name,
            tolerance=asked.tolerance,
            fitted_to=asked.fitted_to,
            limits=asked.limits,
            tracing=tracing,
        )

    try:
        seen = read(as_shown)
    except ArtworkError as error:
        if _grey(page, COMPARED / max(page.get_size())).min() <= 0.5:
            return None
        if tracing == as_shown:
            raise ArtworkError(f"page {tracing.page} of the PDF shows no ink: {error}") from error
        return read(tracing)
    if _differs(seen, page):
        return None
    return seen if tracing == as_shown else read(tracing)


def _placed(page: Any) -> Matrix:
    """Return the matrix from a page's own points to the shown page, y down, turned as the page says."""
    left, bottom, right, top = _shown_box(page)
    match page.get_rotation():
        case 90:
            return 0.0, 1.0, 1.0, 0.0, -bottom, -left
        case 180:
            return -1.0, 0.0, 0.0, 1.0, right, -bottom
        case 270:
            return 0.0, -1.0, -1.0, 0.0, top, right
    return 1.0, 0.0, 0.0, -1.0, -left, top


def _shown_box(page: Any) -> tuple[float, float, float, float]:
    """Return the part of a page that is shown, points: its crop box within its media box, its own or its parents'."""
    import pypdfium2.raw as pdfium  # noqa: PLC0415

    box = pdfium.FS_RECTF()
    pdfium.FPDF_GetPageBoundingBox(page, box)
    return box.left, box.bottom, box.right, box.top


def _grey(page: Any, scale: float) -> NDArray[np.float32]:
    """Return a page as brightness, (rows, columns), 0 black to 1 white, top row first; ``scale``: pixels a point."""
    return _pictured(page, scale, name="").grey


def _pictured(page: Any, scale: float, *, name: str) -> Picture:
    """Return a page as a picture, ``scale`` pixels a point."""
    shown = page.render(scale=scale, rev_byteorder=True, force_bitmap_format=4).to_numpy()
    grey = np.zeros(shown.shape[:2], dtype=np.float32)
    # Channel by channel, for a large page takes much memory as it is.
    for channel, share in enumerate(LUMINANCE_OF_BANDS[:3]):
        grey += shown[..., channel] * np.float32(share / 255.0)
    np.minimum(grey, np.float32(1.0), out=grey)
    plain = np.array_equal(shown[..., 0], shown[..., 1]) and np.array_equal(shown[..., 1], shown[..., 2])
    return Picture(grey, None, name, colours=None if plain else shown[..., :3])


def _differs(artwork: Artwork, page: Any) -> bool:
    """Say whether the page as rendered shows other ink than the artwork, beyond the width of an edge."""
    scale = COMPARED / max(page.get_size())
    shown = _grey(page, scale) < 0.5
    drawn = picture_of(artwork.inked, shown.shape, (0.0, 0.0), 72.0 * scale) < 128
    other = shown != drawn
    # A pixel to either side is what rounding and hinted edges do; three in both directions are something else.
    core = np.ones((other.shape[0] - 2, other.shape[1] - 2), dtype=np.bool_)
    for row in range(3):
        for column in range(3):
            core &= other[row : row + core.shape[0], column : column + core.shape[1]]
    return bool(core.sum() > 3)


def _traced(page: Any, name: str, tracing: TracingSection, why: str) -> Artwork:
    width, height = page.get_size()
    dpi = min(TRACED_DPI, 72.0 * (MOST_TRACED / (width * height)) ** 0.5)
    picture = _pictured(page, dpi / 72.0, name=f"page {tracing.page} of the PDF")
    rows, columns = picture.grey.shape
    pixel = (width * POINT / columns, height * POINT / rows)
    traced = trace_as_told(picture, pixel, tracing)
    told = Finding(
        kind="page traced",
        severity="notes",
        stage="artwork",
        message=f"The page was rendered at {dpi:.0f} dpi and traced, for {why}.",
        remedy="For outlines as exact as they were drawn, save it with nothing but filled and stroked outlines.",
    )
    page_size = (width * POINT, height * POINT)
    inked, letters, askew = level_scan(traced.inked, page_size, tracing, _letters(page, traced.inked))
    layers = [not_used("tracing.ink_layers is not used: a traced page has no layers")] if tracing.ink_layers else []
    return Artwork(
        inked=inked,
        page_size=page_size,
        name=name,
        tolerance=max(tracing.tolerance, 0.2 * max(pixel)),
        findings=(told, *askew, *layers, *traced.findings),
        letters=letters,
        true_size=True,
    )


def _letters(page: Any, inked: MultiPolygon) -> tuple[Letter, ...]:
    """Return the letters of a page's text that are seen in its ink, paper frame, mm."""
    from .letters import letters_on  # noqa: PLC0415

    return letters_on(page, _placed(page), inked, POINT)


def _one_of(page: int, count: int) -> Finding:
    return Finding(
        kind="other pages left out",
        severity="notes",
        stage="artwork",
        message=f"Page {page} of {count} is read.",
        remedy="Another one is read by tracing.page.",
    )


def _unit_of_its_own() -> Finding:
    # The library tells nothing of it, nor does it draw by it.
    return Finding(
        kind="page unit left out",
        severity="warns",
        stage="artwork",
        message="The PDF measures pages in a unit of its own (UserUnit); it is read as points of 1/72 inch.",
        remedy="Check the size of the print, or save the drawing again at its true size.",
    )

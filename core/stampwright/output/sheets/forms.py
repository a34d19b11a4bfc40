"""The forms that a sheet is written in: SVG, PNG, and PDF where the library for it is installed."""

from __future__ import annotations

from collections.abc import Callable, Collection

from ...files import png_bytes
from ...plane.rasters.raster import MM_PER_INCH
from ...stamp import Stamp
from ..origin import Origin
from ..sketches.as_pdf import WRITES_PDF, can_write_pdf, sketch_pdf
from ..sketches.as_pixels import sketch_picture
from ..sketches.as_svg import sketch_svg
from ..sketches.marks import Sketch
from .customer import customer_sketch

CUSTOMER = ("customer.svg", "customer.png", "customer.pdf")
"""The page that the customer signs, in the order of SVG, PNG, PDF."""

SHEET_DPI = 200.0
"""Of pictures: a QR module of half a millimetre is four pixels, and a page goes into a message."""


def customer_names(wanted: Collection[str] = CUSTOMER) -> tuple[str, ...]:
    """Return the names of the customer's page in those forms that are wanted and can be written."""
    return tuple(name for name in (CUSTOMER if can_write_pdf() else CUSTOMER[:2]) if name in wanted)


def left_out(wanted: Collection[str] = CUSTOMER) -> dict[str, str]:
    """Return the forms of the customer's page that are wanted and cannot be written, each with the library it takes."""
    return {name: WRITES_PDF for name in CUSTOMER if name in wanted and name not in customer_names()}


def customer_pages(stamp: Stamp, origin: Origin, wanted: Collection[str] = CUSTOMER) -> dict[str, bytes]:
    """Return the customer's page in each form that is wanted and can be written, by name."""
    names = customer_names(wanted)
    if not names:
        return {}
    sketch, title = customer_sketch(stamp, origin), stamp.job.name or "stamp"
    drawn: dict[str, Callable[[], bytes]] = {
        CUSTOMER[0]: lambda: sketch_svg(sketch, title=title).encode(),
        CUSTOMER[1]: lambda: sheet_png(sketch),
        CUSTOMER[2]: lambda: sketch_pdf(sketch, title=title),
    }
    return {name: drawn[name]() for name in names}


def sheet_png(sketch: Sketch) -> bytes:
    """Return a sheet as PNG, its resolution recorded."""
    columns = round(sketch.width * SHEET_DPI / MM_PER_INCH)
    return png_bytes(sketch_picture(sketch, columns=columns), dpi=SHEET_DPI)

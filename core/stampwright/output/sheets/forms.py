"""The forms that a sheet is written in: SVG, PNG, and PDF where the library for it is installed."""

from __future__ import annotations

from ...files import png_bytes
from ...plane.raster import MM_PER_INCH
from ...stamp import Stamp
from ..origin import Origin
from ..sketches.as_pdf import PDF_LIBRARY, can_write_pdf, sketch_pdf
from ..sketches.as_pixels import sketch_picture
from ..sketches.as_svg import sketch_svg
from ..sketches.marks import Sketch
from .customer import customer_sketch

CUSTOMER = ("customer.svg", "customer.png", "customer.pdf")
"""The page that the customer signs, in the order of SVG, PNG, PDF."""

SHEET_DPI = 200.0
"""Of pictures: a QR module of half a millimetre is four pixels, and a page goes into a message."""


def customer_names() -> tuple[str, ...]:
    """Return the names of the customer's page in those forms that can be written."""
    return CUSTOMER if can_write_pdf() else CUSTOMER[:2]


def left_out() -> dict[str, str]:
    """Return the forms of the customer's page that cannot be written, each with the library that it takes."""
    return {name: PDF_LIBRARY for name in CUSTOMER if name not in customer_names()}


def customer_pages(stamp: Stamp, origin: Origin) -> dict[str, bytes]:
    """Return the customer's page in each form that can be written, by name."""
    sketch, title = customer_sketch(stamp, origin), stamp.job.name or "stamp"
    pages = (sketch_svg(sketch, title=title).encode(), sheet_png(sketch))
    with_pdf = (*pages, sketch_pdf(sketch, title=title)) if can_write_pdf() else pages
    return dict(zip(customer_names(), with_pdf, strict=True))


def sheet_png(sketch: Sketch) -> bytes:
    """Return a sheet as PNG, its resolution recorded."""
    columns = round(sketch.width * SHEET_DPI / MM_PER_INCH)
    return png_bytes(sketch_picture(sketch, columns=columns), dpi=SHEET_DPI)

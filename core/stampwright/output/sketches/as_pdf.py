"""A sketch as PDF, by a library that not every installation has (the extra ``pdf``)."""

from __future__ import annotations

import io
from importlib.util import find_spec
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from ...errors import OutputError
from ...job.written.texts import as_line
from ...looks.colours import rgb
from ...plane.rasters.raster import MM_PER_INCH
from .marks import Area, Dot, DrawnLine, Fill, Sketch, SketchMark, Words
from .wrapping import bundled_font, in_bundled_font

WRITES_PDF = "reportlab"

_FONT = "Bundled"


def can_write_pdf() -> bool:
    """Say whether the library for PDF is installed."""
    return find_spec(WRITES_PDF) is not None


def sketch_pdf(sketch: Sketch, *, title: str) -> bytes:
    """Return a drawing as a PDF document of one page, at true size, its text set in the bundled font.

    The same sketch gives the same bytes. Raises :class:`~stampwright.errors.OutputError` without the library.
    """
    try:
        # Not all who make stamps send PDFs: the library is an extra (stampwright[pdf]).
        from reportlab import rl_config  # noqa: PLC0415
        from reportlab.pdfbase import pdfmetrics  # noqa: PLC0415
        from reportlab.pdfbase.ttfonts import TTFont  # noqa: PLC0415
        from reportlab.pdfgen.canvas import Canvas  # noqa: PLC0415
    except ImportError as error:
        raise OutputError(f"PDF takes {WRITES_PDF}; install stampwright[pdf]") from error
    if _FONT not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont(_FONT, str(bundled_font().path)))
    # Bytes as they are: putting them into letters takes longer than all the rest, and PDF has taken any byte since 1.0.
    rl_config.useA85 = 0
    points = 72.0 / MM_PER_INCH
    held = io.BytesIO()
    canvas = Canvas(held, pagesize=(sketch.width * points, sketch.height * points), invariant=1)
    canvas.setTitle(as_line(title))
    canvas.setCreator("Stampwright")
    # Upright, with the origin in the upper left corner and a unit a millimetre.
    canvas.transform(points, 0, 0, points, 0, sketch.height * points)
    for mark in sketch.marks:
        _draw(canvas, mark)
    canvas.showPage()
    canvas.save()
    return held.getvalue()


def _draw(canvas: Any, mark: SketchMark) -> None:
    """Draw a mark; the canvas has y upwards, so it is taken times minus one."""
    match mark:
        case Area():
            canvas.setFillColorRGB(*rgb(mark.fill))
            canvas.rect(mark.left, -mark.top - mark.height, mark.width, mark.height, stroke=0, fill=1)
        case Fill():
            canvas.setFillColorRGB(*rgb(mark.fill))
            rings = shapely.get_rings(shapely.get_parts(mark.region))
            traced = [_traced(shapely.get_coordinates(ring)[:-1]) + " h" for ring in rings]
            canvas.addLiteral(" ".join([*traced, "f*"]))
        case DrawnLine():
            canvas.setStrokeColorRGB(*rgb(mark.colour))
            canvas.setLineWidth(mark.width)
            canvas.setDash(list(mark.dashes) or [])
            canvas.addLiteral(f"{_traced(np.array(mark.points))} S")
        case Dot():
            canvas.setFillColorRGB(*rgb(mark.fill))
            canvas.circle(mark.x, -mark.y, mark.radius, stroke=0, fill=1)
        case Words():
            canvas.setFillColorRGB(*rgb(mark.colour))
            canvas.setFont(_FONT, mark.size)
            draw = {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}
            draw[mark.anchor](mark.x, -mark.y, in_bundled_font(mark.said))


def _traced(points: NDArray[np.float64]) -> str:
    """Return a path through points, (n, 2) mm, in the operators of PDF (ISO 32000-1, table 59), to the micrometre.

    The library's own paths do the same, a point at a time.
    """
    upright = points * (1.0, -1.0)
    return ("%.3f %.3f m" + " %.3f %.3f l" * (len(points) - 1)) % tuple(upright.ravel().tolist())

"""A sketch as PDF, by a library that not every installation has (the extra ``pdf``)."""

from __future__ import annotations

import io
import zlib
from importlib.util import find_spec
from typing import Any

import shapely

from ...errors import OutputError
from ...job.written.texts import as_line
from ...looks.colours import rgb
from ...plane.rasters.raster import MM_PER_INCH
from .as_svg import art_data, path_data
from .marks import Area, Dot, DrawnLine, Fill, InSketch, Sketch, SketchMark, Words
from .wrapping import bundled_font, in_bundled_font

WRITES_PDF = "reportlab"

_FONT = "Bundled"

_PACKING = 4
"""Of 9: four times as fast on outlines as the library's 6, for a file hardly larger."""

_WITHIN = 0.001  # by which what rounding moves out of its box stays in it, mm


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
    art: dict[str, str] = {}
    for mark in sketch.marks:
        _draw(canvas, mark, art)
    canvas.showPage()
    canvas.save()
    return held.getvalue()


class _Packed:
    """What the library asks of a filter, for streams of outlines."""

    pdfname = "FlateDecode"

    def encode(self, content: bytes) -> bytes:
        """Return bytes packed."""
        return zlib.compress(content, _PACKING)


def _draw(canvas: Any, mark: SketchMark, art: dict[str, str]) -> None:
    """Draw a mark; the canvas has y upwards, so it is taken times minus one. ``art``: names of regions drawn before."""
    match mark:
        case Area():
            canvas.setFillColorRGB(*rgb(mark.fill))
            canvas.rect(mark.left, -mark.top - mark.height, mark.width, mark.height, stroke=0, fill=1)
        case Fill(frame=None):
            canvas.setFillColorRGB(*rgb(mark.fill))
            canvas.addLiteral(f"q 1 0 0 -1 0 0 cm {_filled(path_data(mark.region))} Q")
        case Fill(frame=InSketch(x, y, scale)):
            canvas.setFillColorRGB(*rgb(mark.fill))
            name = _kept(canvas, mark.region, art)
            canvas.saveState()
            canvas.transform(scale, 0, 0, scale, x, -y)
            canvas.doForm(name)
            canvas.restoreState()
        case DrawnLine():
            canvas.setStrokeColorRGB(*rgb(mark.colour))
            canvas.setLineWidth(mark.width)
            canvas.setDash(list(mark.dashes) or [])
            traced = " l ".join(f"{x:.3f} {0.0 - y:.3f}" for x, y in mark.points)
            canvas.addLiteral(f"{traced.replace(' l ', ' m ', 1)} l S")
        case Dot():
            canvas.setFillColorRGB(*rgb(mark.fill))
            canvas.circle(mark.x, -mark.y, mark.radius, stroke=0, fill=1)
        case Words():
            canvas.setFillColorRGB(*rgb(mark.colour))
            canvas.setFont(_FONT, mark.size)
            draw = {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}
            draw[mark.anchor](mark.x, -mark.y, in_bundled_font(mark.said))


def _kept(canvas: Any, region: shapely.Geometry, art: dict[str, str]) -> str:
    """Return the name under which a region of the paper frame is in the document, where it is once."""
    data = art_data(region)
    if data not in art:
        # The library's own paths do the same, a point at a time.
        from reportlab.pdfbase.pdfdoc import PDFStream  # noqa: PLC0415

        art[data] = f"art-{len(art) + 1}"
        left, bottom, right, top = region.bounds
        canvas.beginForm(art[data], left - _WITHIN, bottom - _WITHIN, right + _WITHIN, top + _WITHIN)
        canvas.endForm(Contents=PDFStream(content=_filled(data).encode(), filters=[_Packed()]), compression=0)
    return art[data]


def _filled(data: str) -> str:
    """Return the data of an SVG path filled, in the operators of PDF (ISO 32000-1, tables 59 and 60)."""
    rings = (ring[1:].partition("L") for ring in data.split("Z")[:-1])
    return " ".join([*(f"{first} m {rest.replace('L', ' l ')} l h" for first, _, rest in rings), "f*"])

"""What people look at of a set: its proof, with perfect register and the worst miss, and the page for the customer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely

from ..findings import gathered
from ..inks import Miss
from ..inks.misregister import THROWS
from ..looks.colours import QUIET, RULE
from ..looks.numbers import spoken
from ..output.origin import Origin
from ..output.sheets.forms import customer_names, sheet_png
from ..output.sheets.signs import bar_marks, sign_marks
from ..output.sheets.writing import Column
from ..output.sketches.as_pdf import can_write_pdf, sketch_pdf
from ..output.sketches.as_svg import sketch_svg
from ..output.sketches.marks import Area, DrawnLine, InSketch, Sketch, Words, stacked
from .making import InkSet
from .picture import set_regions

_EDGE = 12.0  # margin of a page, mm
_LEAST = 124.0  # its narrowest column, mm
_PAGES = ((148.0, 210.0), (210.0, 297.0))  # A5 and A4 (ISO 216), mm
_MOST_FINDINGS = 30


@dataclass(frozen=True)
class _Shown:
    """One picture of a set on a page, and what is said under it."""

    miss: Miss
    told: str


def proof_page(made: InkSet, origin: Origin) -> str:
    """Return the proof of a set as SVG at true size: every ink, perfect register, the worst miss, what was found."""
    column = Column(_width(made))
    _head(column, made, f"Proof in {len(made.stamps)} inks, at true size. Artwork: {origin.in_words()}")
    for shown in _shown(made):
        _picture(column, made, shown, 1.0)
    column.put(bar_marks(0.0, column.down + 2.0, 10.0, "10 mm when printed at true size (100 %)"))
    column.down += 6.0
    _inks(column, made)
    _register(column, made)
    _findings(column, made)
    page = stacked([column.sketch()], 0.0, _EDGE)
    return sketch_svg(page, title=f"{made.job.name}: proof in {len(made.stamps)} inks")


def set_customer_pages(made: InkSet, origin: Origin) -> dict[str, bytes]:
    """Return the customer's page of a set in each form that can be written, by name."""
    page = _customer_page(made, origin)
    title = made.job.name or "stamps"
    pages = (sketch_svg(page, title=title).encode(), sheet_png(page))
    with_pdf = (*pages, sketch_pdf(page, title=title)) if can_write_pdf() else pages
    return dict(zip(customer_names(), with_pdf, strict=True))


def _customer_page(made: InkSet, origin: Origin) -> Sketch:
    """Return the customer's page on the first of a printer's pages that holds it, or as large as it is."""
    for wide, tall in _PAGES:
        column = Column(max(_width(made), wide - 2 * _EDGE))
        _head(column, made, "The impression of your stamps, for you to approve")
        _picture(column, made, _Shown(made.misregister.perfect, ""), 1.0)
        column.put(bar_marks(0.0, column.down + 2.0, 10.0, "10 mm when printed at true size (100 %)"))
        column.down += 6.0
        _inks(column, made)
        _foot(column, made, origin)
        body = stacked([column.sketch()], 0.0, _EDGE)
        if body.width <= wide and body.height <= tall:
            break
    return Sketch(body.width, max(body.height, tall), body.marks)


def draw_perfect(column: Column, made: InkSet) -> None:
    """Draw a set in perfect register at true size; the column comes to be as wide as that."""
    left, _, right, _ = shapely.total_bounds(list(made.misregister.perfect.printed))
    column.width = float(right - left)
    _picture(column, made, _Shown(made.misregister.perfect, ""), 1.0)


def _width(made: InkSet) -> float:
    left, _, right, _ = shapely.total_bounds([made.layout.base, *made.misregister.worst.printed])
    return max(_LEAST, float(right - left))


def _head(column: Column, made: InkSet, told: str) -> None:
    column.write(made.job.name or "stamps", 6.5, heading=True)
    column.write(told, 3.0, colour=QUIET)
    column.down += 4.0


def _shown(made: InkSet) -> Iterator[_Shown]:
    perfect, worst = made.misregister.perfect, made.misregister.worst
    yield _Shown(perfect, f"Perfect register: two inks over one another on {perfect.overlap:.1f} mm²")
    yield _Shown(
        worst,
        f"The worst of {THROWS} throws within {made.play.source}: white gaps {worst.gap_area:.2f} mm², at most "
        f"{worst.gap_width:.2f} mm wide; two inks over one another on {worst.overlap:.1f} mm²",
    )


def _picture(column: Column, made: InkSet, shown: _Shown, scale: float) -> None:
    left, bottom, right, top = shapely.total_bounds(list(shown.miss.printed))
    frame = InSketch((column.width - scale * (left + right)) / 2.0, column.down + scale * top, scale)
    for region, colour in set_regions(shown.miss.printed, made.colours):
        column.put(frame.filled(region, colour))
    column.down += scale * (top - bottom) + 2.0
    if shown.told:
        column.write(shown.told, 2.6, colour=QUIET)
        column.down += 4.0


def _inks(column: Column, made: InkSet) -> None:
    """Show every ink in the order of printing, with its colour and how much it prints."""
    column.write("Inks, in the order of printing", 3.6, heading=True)
    for number, (separation, stamp) in enumerate(zip(made.separations, made.stamps, strict=True), start=1):
        ink, down = separation.ink, column.down + 1.2
        column.put([Area(0.0, down, 6.0, 4.0, ink.colour)])
        laid = "over the others" if ink.laid == "overprint" else "beside the others"
        column.put([Words(8.0, down + 3.0, f"{number}. {ink.name}", 3.0)])
        area = stamp.impression.outlines.area
        column.put([Words(44.0, down + 3.0, f"{ink.colour}, {area:.0f} mm², {laid}", 2.7, QUIET)])
        column.down = down + 4.0
    column.down += 3.0


def _register(column: Column, made: InkSet) -> None:
    column.write("Register", 3.6, heading=True)
    column.write(
        f"Impressions miss each other by {made.play.likely:.2f} mm (95 of 100) and {made.play.worst:.2f} mm at most: "
        f"{made.play.source}.",
        2.7,
    )
    for trap in made.trapped.traps:
        column.write(
            f"{trap.lighter} (density {trap.densities[0]:.2f}) runs {spoken(round(trap.width, 2))} mm under "
            f"{trap.darker} ({trap.densities[1]:.2f}): the lighter ink gives way.",
            2.7,
        )
    if not made.trapped.traps:
        column.write("No ink runs under another.", 2.7)
    column.write(
        "Inks over one another are shown by multiplying what each reflects, in linear light; real inks cover a little.",
        2.5,
        colour=QUIET,
    )
    column.down += 3.0


def _findings(column: Column, made: InkSet) -> None:
    groups = gathered(made.all_findings)
    if not groups:
        return
    column.write("Found", 3.6, heading=True)
    for number, group in enumerate(groups[:_MOST_FINDINGS], start=1):
        start = column.down
        more = f" (and {len(group) - 1} more of this kind)" if len(group) > 1 else ""
        column.down += 1.0
        column.write(f"{group[0].message}{more}", 2.6, x=6.0)
        column.put(sign_marks(group[0].severity, number, 2.2, start + 3.4))
    if len(groups) > _MOST_FINDINGS:
        column.write(f"and {len(groups) - _MOST_FINDINGS} more kinds; the report lists all", 2.6, colour=QUIET)


def _foot(column: Column, made: InkSet, origin: Origin) -> None:
    column.put([DrawnLine(((0.0, column.down), (column.width, column.down)), RULE, 0.2)])
    column.down += 1.5
    for name, value in (
        ("Artwork", f"{origin.artwork}, version {origin.version}"),
        ("Impression", _size(made)),
        ("Date", origin.day.isoformat()),
    ):
        start = column.down
        column.write(value, 3.0, x=26.0)
        column.put([Words(0.0, start + 3.2, name, 3.0, QUIET)])
    column.write(
        "Colours are those of the inks on white paper, over one another in simulation. Ink, paper and push differ; "
        f"one colour may miss another by about {made.play.likely:.1f} mm.",
        2.5,
        colour=QUIET,
    )
    column.down += 13.0
    for start, share, told in ((0.0, 0.62, "To be made as shown: name and signature"), (0.66, 0.34, "Date")):
        x = start * column.width
        column.put([DrawnLine(((x, column.down), (x + share * column.width, column.down)), QUIET, 0.2)])
        column.put([Words(x, column.down + 3.4, told, 2.5, QUIET)])
    column.down += 5.0


def _size(made: InkSet) -> str:
    left, bottom, right, top = shapely.total_bounds(list(made.misregister.perfect.printed))
    return f"{right - left:.1f} × {top - bottom:.1f} mm in {len(made.stamps)} inks"

"""The examination sheet: the art large with all that was found, the worst places enlarged, and what would help."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from html import escape
from pathlib import Path

import shapely
from shapely.geometry.base import BaseGeometry

from ...errors import OutputError
from ...examination import Examination
from ...findings import counted, gathered, total
from ...job.written.texts import as_line
from ...likeness import likeness_in_words
from ...looks.colours import ADDED, DESK, INK, PAPER, QUIET, REMOVED, SEVERITY
from ...looks.numbers import percent, spoken
from ...looks.signs import KEY
from ...remedy import Answer, Way
from ..sketches.as_svg import sketch_element, sketch_svg
from ..sketches.marks import Fill, InSketch, Sketch, SketchMark, moved, stacked
from .figure import MOST_NUMBERED, art_figure, scale_said, shown_scale
from .forms import sheet_png
from .loupes import loupe_rows, printed_and_lost
from .signs import SIGN, sign_marks
from .writing import Column

_WIDTH, _EDGE, _GAP = 190.0, 10.0, 4.0  # A4 with margins, and between two blocks, mm
_PAIR, _TALL = 92.0, 78.0  # width and greatest height of one of two pictures side by side, mm


def examination_blocks(answer: Answer) -> list[Sketch]:
    """Return the sheet as blocks, each 190 mm wide and short enough for one page of A4, in their order."""
    examined = answer.examined
    blocks = [_head(examined), art_figure(examined, _WIDTH), _remarks(examined)]
    if loupes := loupe_rows(examined, _WIDTH):
        blocks += _under(_heading("The worst places", _LOUPE_KEY), loupes)
    blocks += _under(_heading("What was found", KEY), [*_found(examined)])
    blocks += _under(_heading("What a reader sees of it"), [*_prints(answer)])
    if answer.ways:
        blocks += _under(_heading(answer.ways.in_words()), [*map(_way, answer.ways)])
    elif answer.ways is not None and examined.blocked:
        tried = "; ".join(answer.ways.remarks)
        remark = f"{tried[0].upper()}{tried[1:]}. " if tried else ""
        blocks.append(_heading(answer.ways.heading, f"{remark}Draw it anew where it is marked."))
    return blocks


def examination_body(answer: Answer) -> str:
    """Return what stands in the body of the sheet as HTML, which needs nothing else and prints on A4."""
    return _body(block for block in examination_blocks(answer) if block.height)


def _body(blocks: Iterable[Sketch]) -> str:
    return "\n".join(f"<section>{sketch_element(block, label='')}</section>" for block in blocks)


def html_page(title: str, body: str, script: str = "") -> str:
    """Return an HTML document for a sheet's body."""
    return (
        f'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width">\n<link rel="icon" href="data:,">\n'
        f"<title>{escape(as_line(title))}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n"
        f"<main>\n{body}\n</main>\n{script}</body>\n</html>\n"
    )


def examination_file(path: str | Path, answer: Answer) -> bytes:
    """Return the sheet in the form that a file's name asks for: .svg, .png or .html.

    Raises :class:`~stampwright.errors.OutputError` for any other; see :func:`check_form`.
    """
    blocks = [block for block in examination_blocks(answer) if block.height]
    return blocks_file(path, blocks, sheet_title(answer.examined))


def blocks_file(path: str | Path, blocks: Sequence[Sketch], title: str) -> bytes:
    """Return blocks one under the other as :func:`examination_file` returns a sheet.

    Raises :class:`~stampwright.errors.OutputError` for a form that no sheet is written in.
    """
    return _FORMS[check_form(path)](blocks, title)


def check_form(path: str | Path) -> str:
    """Return the ending of a file's name when a sheet can be written so; raises :class:`OutputError` when not."""
    ending = Path(path).suffix.lower()
    if ending not in _FORMS:
        raise OutputError(f"{path}: a sheet is written as {', '.join(_FORMS)}; name such a file")
    return ending


def sheet_title(examined: Examination) -> str:
    """Return what the sheet is called."""
    return f"{examined.job.name or 'stamp'}: examination"


_FORMS: dict[str, Callable[[Sequence[Sketch], str], bytes]] = {
    ".svg": lambda blocks, title: sketch_svg(_whole(blocks), title=title).encode(),
    ".png": lambda blocks, _: sheet_png(_whole(blocks)),
    ".html": lambda blocks, title: html_page(title, _body(blocks)).encode(),
}

_MOST_RINGS = 60
"""Changes ringed in one picture; more would hide it."""

_LOUPE_KEY = "Dark: the art. Pale: where ink prints beside it. Violet: art that does not print."

_STYLE = (
    f"body{{margin:0;background:{DESK}}}main{{max-width:210mm;margin:0 auto;padding:{_EDGE}mm;box-sizing:border-box;"
    f"background:{PAPER}}}section{{break-inside:avoid;margin:0 0 {_GAP}mm}}svg{{display:block;width:100%;height:auto}}"
    "@page{size:A4;margin:10mm}@media print{body{background:none}main{padding:0}}"
)


def _whole(blocks: Sequence[Sketch]) -> Sketch:
    return stacked(list(blocks), _GAP, _EDGE)


def _heading(said: str, remark: str = "") -> Sketch:
    column = Column(_WIDTH)
    column.down = 2.0
    column.write(said, 4.2, heading=True)
    if remark:
        column.write(remark, 2.5, colour=QUIET)
    return column.sketch()


def _under(heading: Sketch, blocks: list[Sketch]) -> list[Sketch]:
    """Return blocks under a heading, which stays on the page of the first."""
    return [stacked([heading, blocks[0]], 2.0, 0.0), *blocks[1:]]


def _head(examined: Examination) -> Sketch:
    column = Column(_WIDTH)
    column.write(examined.job.name or "stamp", 6.5, heading=True)
    blocks, warns = (total(examined.findings, severity) for severity in ("blocks", "warns"))
    notes = sum(each.severity == "notes" and each.rest_of is None for each in examined.findings)
    verdict = f"It is not made like this: {_counted(blocks, 'place blocks', 'places block')}" if blocks else "It prints"
    others = f"{_counted(warns, 'warning', 'warnings')}, {_counted(notes, 'note', 'notes')}"
    colour = SEVERITY["blocks"] if blocks else INK
    column.write(f"{verdict}; {others}.", 3.4, colour=colour)
    left, bottom, right, top = examined.given.inked.bounds
    printer, ink = examined.job.printer, examined.job.ink
    column.write(
        f"{examined.given.name or 'The art'}: ink {right - left:.1f} × {top - bottom:.1f} mm; nozzle "
        f"{spoken(printer.nozzle)} mm, lines {spoken(round(printer.line_width, 3))} mm wide, ink spreading "
        f"{spoken(ink.spread)} mm" + ("; repaired" if examined.laid.repair is not None else ""),
        2.8,
        colour=QUIET,
    )
    return column.sketch()


def _remarks(examined: Examination) -> Sketch:
    column = Column(_WIDTH)
    if any(len(alike) > MOST_NUMBERED for alike in gathered(examined.findings)):
        column.write(
            f"Up to {MOST_NUMBERED} places of a kind have its number beside the art; the others are ringed.",
            2.5,
            colour=QUIET,
        )
    return column.sketch()


def _found(examined: Examination) -> Iterator[Sketch]:
    """Yield what was found in words, a block for each kind."""
    if not examined.findings:
        yield _heading("", "Nothing: the artwork prints as drawn.")
    for number, alike in enumerate(gathered(examined.findings), start=1):
        first, column = alike[0], Column(_WIDTH)
        count = 1 if first.rest_of else counted(examined.findings, first.severity)[first.kind]
        places = f", {count} places; the first" if count > 1 else ""
        column.put(sign_marks(first.severity, number, SIGN, SIGN + 0.4))
        column.write(f"{first.kind}{places}: {first.message.rstrip('. ')}.", 2.9, x=6.0)
        for remedy in dict.fromkeys(each.remedy.rstrip(". ") for each in alike if each.remedy):
            column.write(f"{remedy}.", 2.7, colour=QUIET, x=6.0)
        column.down = max(column.down, 2 * SIGN + 0.8)
        yield column.sketch()


def _way(way: Way) -> Sketch:
    column = Column(_WIDTH)
    column.put([Fill(shapely.Point(1.6, 2.6).buffer(0.7), INK)])
    column.write(f"{way.in_words()}.", 2.9, x=6.0)
    column.write(way.as_typed(), 2.7, colour=QUIET, x=6.0)
    return column.sketch()


def _prints(answer: Answer) -> Iterator[Sketch]:
    """Yield the art beside its print, and what repair would change beside the print of that."""
    examined, repaired = answer.examined, answer.repaired
    if examined.laid.repair is None:
        shown = _picture(examined, [(examined.given.inked, INK)], "The art as given")
    else:
        shown = _mended(examined, "What repair changed")
    yield _side_by_side(shown, _printed(examined, "As it would print"))
    if answer.too_fine:
        yield _heading(
            "", "Repair was not tried: so much would be mended that it takes minutes. Ask for it (--repair)."
        )
    if repaired is not None:
        yield _side_by_side(_mended(repaired, "What repair would change"), _printed(repaired, "Repaired, as it prints"))


def _printed(examined: Examination, title: str) -> Column:
    printed, lost = printed_and_lost(examined)
    column = _picture(examined, [(printed, INK), (lost, REMOVED)], title)
    frame = _frame(examined)
    for change in examined.judgement.likeness.changes[:_MOST_RINGS]:
        ring = change.place.simplify(0.05).buffer(0.4 / frame.scale, quad_segs=4)
        column.put(frame.outlined(ring, SEVERITY["blocks"], 0.15))
    said = likeness_in_words(examined.judgement.likeness, examined.job.ink.spread)
    column.write(f"Prints {said}.", 2.6, width=_PAIR)
    if not lost.is_empty and lost.area > 1e-3:
        column.write(f"Violet: {lost.area:.2f} mm² of the art that do not print.", 2.5, colour=QUIET, width=_PAIR)
    return column


def _mended(examined: Examination, title: str) -> Column:
    mended = examined.laid.repair
    if mended is None:
        return _picture(examined, [(examined.given.inked, INK)], title)
    layers = [(mended.inked, INK), (mended.removed, REMOVED), (mended.added, ADDED)]
    column = _picture(examined, layers, title)
    share = mended.added.area / max(examined.given.inked.area, 1e-9)
    said = f"Green: {mended.added.area:.2f} mm² added ({percent(share, 1)} of the ink)."
    if mended.removed.area >= 0.005:
        said += f" Violet: {mended.removed.area:.2f} mm² taken away."
    column.write(said, 2.6, width=_PAIR)
    return column


def _frame(examined: Examination) -> InSketch:
    """Return how art lies in one of two pictures, the same in both; their titles take 5 mm."""
    bounds = shapely.total_bounds([examined.given.inked, examined.printed]).tolist()
    left, _, right, top = bounds
    scale = shown_scale(bounds, _PAIR - 4.0, _TALL)
    return InSketch((_PAIR - scale * (left + right)) / 2.0, 6.0 + scale * top, scale)


def _picture(examined: Examination, layers: Sequence[tuple[BaseGeometry, str]], title: str) -> Column:
    frame = _frame(examined)
    column = Column(_PAIR)
    column.write(f"{title}, {scale_said(frame.scale)}", 2.8, colour=QUIET)
    for region, fill in layers:
        column.put(frame.filled(region, fill))
    bottom = shapely.total_bounds([examined.given.inked, examined.printed])[1]
    column.down = frame.spot(0.0, float(bottom))[1] + 2.0
    return column


def _side_by_side(one: Column, other: Column) -> Sketch:
    right = _WIDTH - _PAIR
    marks: list[SketchMark] = [*one.marks, *(moved(mark, right, 0.0) for mark in other.marks)]
    return Sketch(_WIDTH, max(one.down, other.down), tuple(marks))


def _counted(count: int, one: str, several: str) -> str:
    return f"{count} {one if count == 1 else several}"

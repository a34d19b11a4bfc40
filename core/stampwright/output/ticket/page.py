"""The ticket: one stamp's sheet for the workshop, two or three A4 pages as a web page that needs nothing else."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from html import escape

import shapely

from ...job import Job
from ...job.heights import snap_heights
from ...job.materials import MATERIALS
from ...likeness import likeness_in_words
from ...looks.numbers import percent, spoken
from ...looks.signs import KEY, WORDS
from ...parts.measures import Measures, in_hours
from ...solids.solid import Solid
from ...stamp import Stamp
from ..origin import Origin
from ..paper.bend_words import bend_in_words, ground_in_words
from ..paper.drawing import BAR_ROOM, Drawing, Told, draw_impression, inline_svg, shortened, sign_svg, tell
from ..paper.face_words import face_in_words, push_in_words
from ..sketches.wrapping import titled, wrapped
from .advice import cautions, making
from .known import figures_behind
from .note import Note
from .style import STYLE

_WIDE, _TALL = 100.0, 110.0
"""Beyond this width, mm, figures stand below the proof; beyond this height, or the page's width, it shrinks."""

_PAGE, _PAGE_HEIGHT = 178.0, 271.0  # usable of an A4 page, mm
_LINE, _TYPE, _COLUMN = 4.6, 3.175, 78.0  # height of a line of text, its type, and half the page's width for it, mm
_TITLE_SIZES, _TITLE_WIDTH = (8.1, 6.0, 4.4), 142.0  # mm
_OUTLINES = {"follow": "follows the artwork", "custom": "own outline"}
_LONGEST = 320  # letters told of one finding


def ticket_html(stamp: Stamp, origin: Origin | None = None) -> str:
    """Return the ticket as one self-contained HTML document that prints on two A4 pages, three if much was found.

    ``origin``: which artwork it was made from, by what and when, told where known.
    """
    name = stamp.job.name or "stamp"
    drawing = draw_impression(stamp)
    found, rest = _found(drawing, _room_left(stamp, drawing))
    first = (
        f"{_heading(name)}{_origin(origin)}{_proof(stamp, drawing)}{_parts_table(stamp)}{found}"
        '<div class="sign"><span>Proof read and approved</span><span>Name</span><span>Date</span></div>'
    )
    second = f"<header><h1>Making it</h1><p>{escape(name)}</p></header>{_steps(stamp)}{_known(stamp)}{_care(stamp)}"
    third = f'\n<section class="sheet">{rest}</section>' if rest else ""
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width">\n'
        f"<title>{escape(name)}: stamp ticket</title>\n<style>{STYLE}</style>\n</head>\n<body>\n"
        f'<section class="sheet">{first}</section>\n<section class="sheet">{second}</section>{third}\n'
        "</body>\n</html>\n"
    )


def _heading(name: str) -> str:
    """Return the head of the first page: a long name in smaller type, in as many lines as it takes."""
    size, _ = titled(name, _TITLE_WIDTH, _TITLE_SIZES)
    return f'<header><h1 style="font-size:{size:g}mm">{escape(name)}</h1><p>Stamp ticket</p></header>'


def _origin(origin: Origin | None) -> str:
    if origin is None:
        return ""
    words = replace(origin, artwork=shortened(origin.artwork, 60)).in_words()
    return f'<p class="small">Artwork: {escape(words)}</p>'


def _proof(stamp: Stamp, drawing: Drawing) -> str:
    scale, beside = _shown_as(drawing)
    told = (
        "Proof at true size" if scale == 1.0 else f"Proof at {percent(scale)} of true size; proof.svg is at true size"
    )
    if stamp.face is not None:
        told += f", as {push_in_words(stamp)} print it"
    elif stamp.job.ink.spread:
        told += f", ink spread {stamp.job.ink.spread:g} mm"
    tall = "" if beside else " tall"
    rows = "".join(f"<dt>{escape(name)}</dt><dd>{escape(value)}</dd>" for name, value in _facts(stamp))
    return (
        f'<div class="proof{tall}"><figure>{inline_svg(drawing, scale=scale, label="Proof of the impression")}'
        f"<figcaption>{told}. Print at 100 %; the bar is 10 mm.</figcaption></figure>"
        f'<div class="facts"><dl>{rows}</dl></div></div>'
    )


def _facts(stamp: Stamp) -> Iterator[tuple[str, str]]:
    """Yield what the stamp is, by name and value."""
    job, base, heights = stamp.job, stamp.layout.base, snap_heights(stamp.job)
    if stamp.judgement is not None:
        yield "Prints", likeness_in_words(stamp.judgement.likeness, job.ink.spread)
    yield "Impression", _size(stamp.inked.bounds) if not stamp.inked.is_empty else "none"
    ground, outline = ground_in_words(stamp), _OUTLINES.get(job.laid_on.outline, job.laid_on.outline)
    yield ground.capitalize(), f"{_size(base.bounds)}, {outline}"
    if stamp.bend is not None:
        yield "Face", bend_in_words(stamp)
    yield "Ink cover", f"{percent(stamp.inked.area / base.area)} of the {ground}, {stamp.inked.area:.0f} mm²"
    yield "Floor and relief", f"{heights.floor:g} + {heights.relief:g} mm"
    yield "To dress off", _dressed_to(stamp)
    if stamp.face is not None:
        yield "Face", face_in_words(stamp)
    yield "Shoulder", f"{job.die.shoulder:g}° from the vertical"
    if job.die.compensate_spread:
        yield "Face drawn in", f"{job.ink.spread:g} mm for ink spread"
    if stamp.repair is not None:
        added, removed = stamp.repair.added.area, stamp.repair.removed.area
        changed = f"{added:.2f} mm² added, {removed:.2f} mm² removed"
        yield "Repaired", changed if added or removed else "nothing needed it"
    yield "Nozzle and layer", _process(job)
    yield "Finished", _finished(stamp)
    yield "Points of outline", f"{shapely.get_num_coordinates(stamp.inked)}"


def _dressed_to(stamp: Stamp) -> str:
    """Say what comes off the face, and how thick that leaves the die; a caliper measures it where paper does not."""
    dressing = snap_heights(stamp.job).dressing
    thick = stamp.thick
    if not dressing:
        return f"nothing extra; the die is {spoken(round(thick, 2))} mm thick"
    return f"{dressing:g} mm: the die from {spoken(round(thick, 2))} to {spoken(round(thick - dressing, 2))} mm"


def _finished(stamp: Stamp) -> str:
    """Say how high the stamp stands once it is dressed and glued, and what it weighs."""
    poses, height = stamp.stand("use"), 0.0
    for name, solid in stamp.parts.items():
        height = max(height, poses[name].z + (0.0 if poses[name].turned else float(solid.bounds[1][2])))
    weight = sum(measured.mass for measured in stamp.measures.values())
    without = ", without the cushion" if stamp.cushion is not None else ""
    return f"{height - snap_heights(stamp.job).dressing:.1f} mm high, about {weight:.0f} g{without}"


def _process(job: Job) -> str:
    """Say what the printer lays, and of the hard parts what is otherwise."""
    die, hard = job.printer, job.printer.hard
    said = f"{die.nozzle:g} mm, {die.layer:g} mm"
    if (hard.nozzle, hard.layer) == (die.nozzle, die.layer) or (
        job.backing.form != "plate" and job.handle.form == "none"
    ):
        return said
    return f"{said}; hard parts {hard.nozzle:g} mm, {hard.layer:g} mm"


def _parts_table(stamp: Stamp) -> str:
    rows = [_part_row(stamp, solid) for solid in stamp.printed.values()]
    rows.append(f'<tr class="sum"><td colspan="3">together</td>{_estimates(list(stamp.measures.values()))}</tr>')
    heads = ("part", "filament", "size, mm", "solid, cm³", "mass, g", "filament, m", "time")
    titles = "".join(f"<th>{head}</th>" for head in heads) + f"<th>cost, {escape(stamp.job.price.currency)}</th>"
    return (
        f"<h2>Parts</h2><table><thead><tr>{titles}</tr></thead><tbody>{''.join(rows)}</tbody></table>"
        '<p class="small">Mass, filament, time and cost are estimates; a slicer\'s own figures come before them. '
        "Every part is filed in the position in which it prints.</p>"
    )


def _part_row(stamp: Stamp, solid: Solid) -> str:
    low, high = solid.bounds
    size = " × ".join(f"{side:.1f}" for side in high - low)
    measured = stamp.measures.get(solid.name)
    if measured is None:
        return f"<tr><td>{escape(solid.name)}</td><td>cut from sheet</td><td>{size}</td>{'<td></td>' * 5}</tr>"
    filament = escape(MATERIALS[measured.material].label)
    return f"<tr><td>{escape(solid.name)}</td><td>{filament}</td><td>{size}</td>{_estimates([measured])}</tr>"


def _estimates(measured: Sequence[Measures]) -> str:
    """Return the cells for volume, mass, filament, time and cost of parts taken together."""
    cells = (
        f"{sum(part.volume for part in measured) / 1000:.2f}",
        f"{sum(part.mass for part in measured):.1f}",
        f"{sum(part.filament_length for part in measured) / 1000:.2f}",
        in_hours(sum(part.minutes for part in measured)),
        f"{sum(part.cost for part in measured):.2f}",
    )
    return "".join(f"<td>{cell}</td>" for cell in cells)


def _found(drawing: Drawing, room: float) -> tuple[str, str]:
    """Return the findings in words, as many as ``room``, mm of the page's height, holds, and a page of the others."""
    if not drawing.marks:
        return "<h2>Found</h2><p>Nothing: the artwork prints as drawn.</p>", ""
    told = tell(drawing.marks)
    shown = _as_many_as_fit(told, room)
    key = f'<p class="small">{KEY}</p>'
    if shown == len(told):
        return f"<h2>Found</h2>{_listed(told)}{key}", ""
    others = told[shown:]
    more = _as_many_as_fit(others, _PAGE_HEIGHT - 40.0)
    left = f"And {len(others) - more} more; report.json lists all of them. " if more < len(others) else ""
    first = f'<h2>Found</h2>{_listed(told[:shown])}<p class="small">{len(others)} more on page 3. {KEY}</p>'
    return first, f'<h2>Found, continued</h2>{_listed(others[:more])}<p class="small">{left}{KEY}</p>'


def _as_many_as_fit(told: Sequence[Told], room: float) -> int:
    """Return how many findings have room in two columns ``room`` mm high; two at least."""
    lines = [len(wrapped(shortened(each.words, _LONGEST), _TYPE, _COLUMN)) for each in told]
    shown = 0
    while shown < len(told):
        room -= 1.4 + _LINE * max(lines[shown : shown + 2])
        if room < 0 and shown:
            break
        shown = min(shown + 2, len(told))
    return shown


def _listed(told: Sequence[Told]) -> str:
    return f'<ul class="found">{"".join(map(_found_item, told))}</ul>'


def _room_left(stamp: Stamp, drawing: Drawing) -> float:
    """Reckon what height, mm, the first page has left for findings."""
    scale, beside = _shown_as(drawing)
    count = len(list(_facts(stamp)))
    facts = 0.0 if beside else 4.0 + 6.2 * math.ceil(count / 2)
    beside_proof = 6.2 * count if beside else 0.0
    parts = 22.0 + 6.6 * (len(stamp.parts) + 1)
    size, named = titled(stamp.job.name or "stamp", _TITLE_WIDTH, _TITLE_SIZES)
    head, found_head, signing = 18.0 + 1.15 * size * len(named), 22.0, 16.0
    return (
        _PAGE_HEIGHT
        - head
        - max(drawing.height * scale + BAR_ROOM + 9.0, beside_proof)
        - facts
        - parts
        - found_head
        - signing
    )


def _shown_as(drawing: Drawing) -> tuple[float, bool]:
    """Return the scale that the proof is shown at, and whether figures have room beside it."""
    scale = min(1.0, _PAGE / drawing.width, _TALL / (drawing.height + BAR_ROOM))
    return scale, drawing.width * scale <= _WIDE


def _found_item(told: Told) -> str:
    severity, words = told.severity, shortened(told.words, _LONGEST)
    return (
        f'<li><svg width="4.6mm" height="4.6mm" viewBox="-2.3 -2.3 4.6 4.6" role="img" aria-label="{WORDS[severity]}">'
        f"{sign_svg(severity, told.number, 0, 0)}</svg>{escape(words)}</li>"
    )


def _steps(stamp: Stamp) -> str:
    steps = [
        f'<div class="step"><b>{number}</b><h3>{escape(step.title)}</h3>{"".join(map(_note, step.notes))}</div>'
        for number, step in enumerate(making(stamp), start=1)
    ]
    return f'<h2>Step by step</h2><div class="steps">{"".join(steps)}</div>'


def _known(stamp: Stamp) -> str:
    """Return which figures are assumed and which measured, in one paragraph."""
    told = [
        f"<b>{escape(figure.in_words())}</b>" if figure.measured else escape(figure.in_words())
        for figure in figures_behind(stamp.job)
    ]
    return f'<h2>Assumed and measured</h2><p class="small">{"; ".join(told)}.</p>'


def _care(stamp: Stamp) -> str:
    rows = "".join(f"<dt>{escape(word)}</dt><dd>{_said(note)}</dd>" for word, note in cautions(stamp))
    return (
        f'<div class="care"><h2>Take care</h2><dl>{rows}</dl><p class="small">The data sheets of the makers of '
        "filament, glue, ink and printer, and your local rules, come before anything said here.</p></div>"
    )


def _note(note: Note) -> str:
    return f"<p>{_said(note)}</p>"


def _said(note: Note) -> str:
    return f'{escape(note.words)} <span class="source">({escape(note.source)})</span>'


def _size(bounds: tuple[float, float, float, float]) -> str:
    return f"{bounds[2] - bounds[0]:.1f} × {bounds[3] - bounds[1]:.1f} mm"

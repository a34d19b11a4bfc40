"""The ticket of a set: in which order it is printed, how it is held in register, how pads are kept clean."""

from __future__ import annotations

import math
from collections.abc import Iterator
from html import escape

from ..inks.misregister import THROWS
from ..inks.separating import density_of
from ..job.inks import folder_of
from ..looks.numbers import spoken
from ..output.origin import Origin
from ..output.sheets.writing import Column
from ..output.sketches.as_svg import sketch_svg
from ..output.sketches.marks import stacked
from ..output.ticket.style import STYLE
from ..parts.gauge import UNDER
from .making import InkSet
from .pages import draw_perfect
from .plates import push_over

COMMON = "common practice"


def set_ticket(made: InkSet, origin: Origin) -> str:
    """Return the ticket of a set as one HTML document; the ticket of each stamp is in the folder of its ink."""
    name = escape(made.job.name or "stamps")
    rows = "".join(_ink_rows(made))
    heads = "".join(f"<th>{head}</th>" for head in ("order", "ink", "colour", "density", "prints, mm²", "folder"))
    steps = "".join(
        f'<div class="step"><b>{number}</b><h3>{escape(title)}</h3>{"".join(map(_note, notes))}</div>'
        for number, (title, notes) in enumerate(_steps(made), start=1)
    )
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f"<title>{name}: ticket in {len(made.stamps)} inks</title>\n<style>{STYLE}</style>\n</head>\n<body>\n"
        f'<section class="sheet"><header><h1>{name}</h1><p>Ticket in {len(made.stamps)} inks</p></header>'
        f'<p class="small">Artwork: {escape(origin.in_words())}</p>'
        f'<div class="proof"><figure>{_drawing(made)}<figcaption>As printed in perfect register, at true size'
        f'</figcaption></figure><div class="facts"><dl>{"".join(_facts(made))}</dl></div></div>'
        f"<h2>Inks</h2><table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"
        f'<h2>Step by step</h2><div class="steps">{steps}</div>'
        f'<div class="care"><h2>Take care</h2><dl>{_care()}</dl><p class="small">The data sheets of the makers of '
        "filament, glue, ink and printer, and your local rules, come before anything said here. Each stamp has a "
        "ticket of its own, with its printing, dressing and gluing.</p></div></section>\n</body>\n</html>\n"
    )


def _drawing(made: InkSet) -> str:
    column = Column(0.0)
    draw_perfect(column, made)
    drawn = sketch_svg(stacked([column.sketch()], 0.0, 1.0), title="Impression in colour")
    return drawn[drawn.index("<svg") :]


def _facts(made: InkSet) -> Iterator[str]:
    worst = made.misregister.worst
    for name, value in (
        ("Held by", made.play.source),
        ("Likely miss", f"{made.play.likely:.2f} mm (95 of 100)"),
        ("Greatest miss", f"{made.play.worst:.2f} mm"),
        ("Trap", f"{spoken(round(made.trap_width, 2))} mm" if made.trapped.traps else "none"),
        ("Gives way", "the ink of lower neutral density"),
        (f"Worst of {THROWS}", f"white gaps {worst.gap_area:.2f} mm², up to {worst.gap_width:.2f} mm"),
        ("Inks over inks", f"{worst.overlap:.1f} mm²; {made.misregister.perfect.overlap:.1f} mm² in register"),
    ):
        yield f"<dt>{escape(name)}</dt><dd>{escape(value)}</dd>"


def _ink_rows(made: InkSet) -> Iterator[str]:
    for number, (separation, stamp) in enumerate(zip(made.separations, made.stamps, strict=True), start=1):
        ink = separation.ink
        swatch = f'<span style="display:inline-block;width:5mm;height:3mm;background:{escape(ink.colour)}"></span>'
        cells = (str(number), escape(ink.name), f"{swatch} {escape(ink.colour)}", f"{density_of(ink):.2f}")
        area = f"{stamp.impression.outlines.area:.0f}"
        yield f"<tr>{''.join(f'<td>{cell}</td>' for cell in (*cells, area, escape(folder_of(ink.name))))}</tr>"


def _steps(made: InkSet) -> Iterator[tuple[str, tuple[str, ...]]]:
    names = [separation.ink.name for separation in made.separations]
    yield (
        "Make the stamps",
        (f"One for each ink, as its own ticket says: {', '.join(names)}. Label the handles before they are glued on.",),
    )
    if made.gauge is not None:
        yield (
            "Print the gauge",
            (
                "gauge.stl, as it lies in the file: its upper side on the bed, no supports, hard filament. Every "
                "backing goes into its window in one way only, the tab to the right, with "
                f"{made.job.register.clearance:g} mm of play all round; file the window rather than "
                "the tabs, or all of them alike.",
            ),
        )
        yield (
            "Lay the sheet",
            (
                "Push the sheet's upper left corner under the frame, against both fences; it takes paper and card of "
                f"up to {UNDER - 0.2:.1f} mm. Hold the gauge down with two fingers; always lean the stamp to the "
                f"same two sides of the window: that halves the play ({COMMON}).",
            ),
        )
    else:
        yield ("Lay the sheet", ("Without a gauge, mark the corners of the base lightly with a pencil for every ink.",))
    yield (
        "Print in order",
        (
            f"{', then '.join(names)}. Let each ink dry before the next: minutes on open paper, longer on coated "
            f"({COMMON}). Print the whole run in one ink before you change to the next.",
            *_pushes(made),
            "Try on scrap first: measure how far the inks miss each other, and enter it as register.measured.",
        ),
    )
    yield (
        "Keep the pads clean",
        (
            "One pad for each ink, never a die on another's pad. Wipe a die with water and mild soap and dry it before "
            f"it goes from wet print to pad: light pads are spoilt by what they take up from dark prints ({COMMON}).",
        ),
    )


def _pushes(made: InkSet) -> Iterator[str]:
    """Say where the stamps are pushed whose marks lie to one side of their bases."""
    told = []
    for separation in made.separations:
        x, y = push_over(made.job, separation, made.layout.base)
        if math.hypot(x, y) >= 1.0:
            sides = (f"{abs(x):.0f} mm {'right' if x > 0 else 'left'}", f"{abs(y):.0f} mm {'up' if y > 0 else 'down'}")
            near = [side for at, side in zip((x, y), sides, strict=True) if abs(at) >= 0.5]
            told.append(f"{separation.ink.name} {' and '.join(near)}")
    if told:
        held = " The lip of the backing comes to rest on the gauge and keeps it from tilting further."
        yield f"Push over the mark, from the middle of the stamp: {', '.join(told)}.{held if made.gauge else ''}"


def _note(words: str) -> str:
    return f"<p>{escape(words)}</p>"


def _care() -> str:
    rows = (
        (
            "Inks",
            "Read the makers' data sheets; some inks stain skin and cloth, solvent inks give off vapours: ventilate.",
        ),
        (
            "Cleaning",
            "Water and mild soap; no solvents on the die, which they may swell. Keep cleaners off skin and eyes.",
        ),
        ("Dust", "Filing gauge or tabs makes dust: file wet, or wear a particle mask."),
    )
    return "".join(f"<dt>{word}</dt><dd>{told}</dd>" for word, told in rows)

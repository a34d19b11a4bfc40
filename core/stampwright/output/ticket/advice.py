"""What the ticket says about printing, dressing, gluing, inking and care, each sentence with where it comes from.

The figures are the job's own; cautions defer to the makers' data sheets and local rules.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from ...job.heights import snap_heights
from ...job.materials import MATERIALS, Material
from ...job.measured import measured_in
from ...looks.numbers import newtons, percent, spoken
from ...press import WHOLE, PressFigures, range_in_words
from ...solids.solid import Solid
from ...stamp import Stamp
from ..paper.face_words import dressing_in_words
from . import rolling
from .note import COMMON, Note

TPU_PAGE = "a guide to printing TPU"
MAKER_PAGE = "a filament maker's page on TPU"
CA_DOSSIER = "ECHA registration dossier 16286, first aid"
SAFE_PRINTING = "NIOSH, Approaches to Safe 3D Printing, 2023"
SMALL_PARTS = "16 CFR 1501.4"
RECKONED = "computed for this die as written, with assumed ink and paper"
NO_FOOD = "Food Packaging Forum on printed parts in contact with food"

_CYLINDER, _CYLINDER_DEPTH = 31.7, 57.1
"""Inner diameter and greatest depth of the small parts cylinder, mm (16 CFR 1501.4: 1.25 in and 2.25 in)."""


SMALL_NOZZLE = 0.4
"""Bore under which flexible filament is hard to push through, mm (common practice)."""


@dataclass(frozen=True)
class MakingStep:
    """One step of making the stamp."""

    title: str
    notes: tuple[Note, ...]


def making(stamp: Stamp) -> tuple[MakingStep, ...]:
    """Return the steps from the files to a stamp that prints, in the order in which they are done."""
    steps = [MakingStep("Print the die", tuple(_die_printing(stamp)))]
    hard = _hard_parts(stamp)
    if hard:
        steps.append(MakingStep(f"Print the {' and the '.join(hard)}", tuple(_hard_printing(stamp))))
    steps.append(MakingStep("Dress the face", tuple(_dressing(stamp))))
    if hard or stamp.cushion is not None:
        steps.append(MakingStep("Glue", tuple(_gluing(stamp))))
    steps.append(MakingStep("Ink and try", tuple(_inking(stamp))))
    if stamp.pressing is not None:
        what = "the face" if stamp.face is None else "what stands of the textured face"
        steps.append(MakingStep("Press", (*_pressing(stamp.pressing, what), *rolling.pressing(stamp))))
    return tuple(steps)


def cautions(stamp: Stamp) -> tuple[tuple[str, Note], ...]:
    """Return a headword and a caution for each danger that the job brings with it."""
    found = [
        (
            "Fumes",
            Note(
                "Printers give off ultrafine particles and vapours. Ventilate or enclose the printer, and keep your "
                "distance while it runs.",
                SAFE_PRINTING,
            ),
        ),
        (
            "Heat",
            Note(
                "Nozzle and bed burn skin; let both cool. Printed plastic softens from about 60 °C: keep the stamp off "
                "heaters and out of hot cars, and do not use it for hot wax.",
                "guides to printing TPU and PLA",
            ),
        ),
        (
            "Dust",
            Note("Dress wet where you can; wear a particle mask and eye protection, and wipe up rather than blow."),
        ),
    ]
    if _is_glued(stamp):
        found.append(
            (
                "Glue",
                Note(
                    "Cyanoacrylate bonds skin and eyelids in seconds and gets hot on cotton. Do not pull bonded skin "
                    "apart: soak it in warm soapy water and peel. Eyes: force nothing, see a doctor. Ventilate.",
                    CA_DOSSIER,
                ),
            )
        )
    small = [solid.name for solid in stamp.parts.values() if _may_be_swallowed(solid)]
    named = f" The {' and the '.join(small)} may count as small parts." if small else ""
    found.append(("Children", Note(f"Keep loose parts and glue away from children under three.{named}", SMALL_PARTS)))
    found.append(("Food", Note("Layers hold dirt and germs: no stamp for food or its wrappings.", NO_FOOD)))
    found.append(
        (
            "Rights",
            Note("Stamp only marks that you may use; the law protects official seals, postage and signatures."),
        )
    )
    return tuple(found)


def _die_printing(stamp: Stamp) -> Iterator[Note]:
    job, bend = stamp.job, stamp.bend
    material, printer = MATERIALS[job.die.material], job.printer
    stands = "Floor down, face up, no supports" if bend is None else rolling.standing_of(job, bend)
    yield Note(
        f"{stands}. {material.label}, layers of {printer.layer:g} mm, {printer.nozzle:g} mm "
        f"nozzle, {job.die.walls} printed outlines, {percent(job.die.infill)} infill.",
        "this job",
    )
    if bend is not None:
        yield from rolling.printing(job, bend)
    else:
        yield Note(
            "Before it prints, save the sliced file here as die.gcode and look at what its beads will print: "
            "stampwright impress die.gcode -o beads.png."
        )
    yield Note(f"Nozzle {_temperatures(material)}", _profile_of(material))
    yield from _face_printing(material.flexible)
    if not material.flexible:
        return
    yield Note(f"Slow: {printer.speed_flexible:g} mm/s; over 30 mm/s layers bond less well.", TPU_PAGE)
    if printer.nozzle < SMALL_NOZZLE:
        yield Note(
            f"Through {printer.nozzle:g} mm soft filament backs up: halve the speed, go to the upper end of its "
            "temperatures, and watch the first layers; some grades do not feed at all."
        )
    yield Note("Dry the filament first, as its maker says, and print it from the dryer: it draws water.", MAKER_PAGE)
    yield Note(
        "Use a direct-drive extruder with little or no retraction; soft filament buckles in a long tube.", TPU_PAGE
    )


def _face_printing(flexible: bool) -> Iterator[Note]:
    """Say what the face's edges and top hang on, whatever the filament."""
    yield Note(
        "Lay outer lines before inner ones, so that edges lie where they are drawn; turn ironing of the top off."
    )
    if flexible:
        yield Note("Strings print, too: keep travel within the part, and cut off what is left before dressing.")


def _hard_printing(stamp: Stamp) -> Iterator[Note]:
    job = stamp.job
    told = []
    if stamp.backing is not None:
        stands = "standing on its end" if stamp.bend is not None and stamp.bend.closed else "seat up"
        told.append(("backing", job.backing.material, job.backing.walls, job.backing.infill, stands))
    if stamp.handle is not None:
        stands = "lying on its side" if stamp.bend is not None and stamp.bend.closed else "standing on its foot"
        told.append(("handle", job.handle.material, job.handle.walls, job.handle.infill, stands))
    for name, key, walls, infill, standing in told:
        yield Note(
            f"{name.capitalize()}: {standing}, {MATERIALS[key].label}, {walls} printed outlines, "
            f"{percent(infill)} infill.",
            "this job",
        )
    yield Note(f"Layers of {job.printer.hard.layer:g} mm, {job.printer.hard.nozzle:g} mm nozzle.", "this job")
    for key in dict.fromkeys(key for _, key, *_ in told):
        if key != job.die.material:
            yield Note(f"{MATERIALS[key].label}: nozzle {_temperatures(MATERIALS[key])}", _profile_of(MATERIALS[key]))


def _dressing(stamp: Stamp) -> Iterator[Note]:
    allowance = snap_heights(stamp.job).dressing
    if stamp.bend is not None:
        yield from rolling.dressing(stamp)
    elif allowance > 0:
        yield Note(
            f"Take {allowance:g} mm off the face, until the die is {_finished_thickness(stamp)} mm thick: 150 grit "
            "paper on a flat plate, light strokes, the die turned a little between them, until all of the face is dull."
        )
    else:
        yield Note("A printed face is not flat. Rub it a few strokes on 150 grit paper on a flat plate.")
    if stamp.face is not None:
        yield Note(dressing_in_words(stamp), "this job")
    yield Note("Rinse, let dry, and check the edges against the proof under a low light.")


def _finished_thickness(stamp: Stamp) -> str:
    """Return how thick the dressed die is, mm, in words."""
    return spoken(round(stamp.thick - snap_heights(stamp.job).dressing, 2))


def _gluing(stamp: Stamp) -> Iterator[Note]:
    if _is_glued(stamp):
        if MATERIALS[stamp.job.die.material].flexible:
            yield Note("Cyanoacrylate holds TPU.", MAKER_PAGE)
        yield Note("Roughen and degrease both faces; a thin film, not to the edge; press together for 20 to 30 s.")
    if stamp.bend is not None:
        yield from rolling.gluing(stamp, stamp.bend)
        if stamp.bend.closed:
            return
    if stamp.backing is not None and stamp.job.backing.seat_depth > 0:
        gap = stamp.job.backing.clearance
        yield Note(f"The die goes into the backing's seat, face out, with {gap:g} mm of play all round.", "this job")
    if stamp.cushion is not None:
        thickness = stamp.job.cushion.thickness
        yield Note(
            f"Cut the cushion from {thickness:g} mm sheet to the outline of the base; it goes behind the die.",
            "this job",
        )
    if stamp.handle is not None:
        told = "its up mark points" if stamp.job.handle.up_mark else "its front points"
        yield Note(f"Turn the handle so that {told} to the top of the impression, glue it on, and wait overnight.")


def _inking(stamp: Stamp) -> Iterator[Note]:
    if stamp.bend is not None:
        yield from rolling.inking(stamp.bend)
    else:
        yield Note(
            "Dab the face on a firm pad, a thin even film; print three sheets before you judge. Press, do not rock."
        )
    known = measured_in(stamp.job).get("ink.spread")
    if known is not None:
        yield Note(
            f"The proof takes {known.value:.3g} mm of spread, measured on {known.prints} "
            f"print{'s' if known.prints != 1 else ''} ({known.low:.3g} to {known.high:.3g} mm).",
            known.source or "this job",
        )
    elif stamp.job.ink.spread:
        yield Note(
            f"The proof assumes {stamp.job.ink.spread:g} mm of spread; measure your own ink and paper.", "this job"
        )
    yield Note(
        "Clean with water and mild soap. Oils do TPU no harm, acids and alcohols may: try ink and cleaner on a scrap.",
        MAKER_PAGE,
    )


def _pressing(figures: PressFigures, what: str) -> Iterator[Note]:
    hand = figures.hand
    if figures.whole_at is None:
        yield Note(f"No push this relief can take prints all of {what}; see Found on page 1.", RECKONED)
    else:
        taken = f"With {spoken(figures.dressed)} mm dressed off" if figures.dressed else "Undressed"
        about = newtons(figures.whole_at)
        told = f"{taken}, {'' if about.startswith('under') else 'about '}{about} print all of {what} ({percent(WHOLE)})"
        told += f"; {range_in_words(figures.whole_between)}"
        if figures.needed:
            told += f"; dress at least {max(figures.needed, 0.1):.1f} mm and a hand's push is enough"
        yield Note(f"{told}.", RECKONED)
    if figures.off_centre is not None:
        yield Note(f"{figures.off_centre}.", RECKONED)
    yield Note(f"{hand}.", hand.source)


def _temperatures(material: Material) -> str:
    nozzle, bed = material.nozzle, material.bed
    return f"{nozzle[0]} to {nozzle[1]} °C, bed {bed[0]} to {bed[1]} °C; the spool's label goes first."


def _profile_of(material: Material) -> str:
    return "common profiles for this filament" if material.flexible else COMMON


def _hard_parts(stamp: Stamp) -> list[str]:
    return [solid.name for solid in (stamp.backing, stamp.handle) if solid is not None]


def _is_glued(stamp: Stamp) -> bool:
    return bool(_hard_parts(stamp)) or stamp.cushion is not None


def _may_be_swallowed(solid: Solid) -> bool:
    """Whether a part might fit the small parts cylinder; its box is tried, so some that do not fit are named too."""
    low, high = solid.bounds
    sides = np.sort(high - low)
    return bool(sides[1] <= _CYLINDER and sides[2] <= _CYLINDER_DEPTH)

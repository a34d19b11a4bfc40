"""What a stamp will print, from its mesh and its job: pressed, inked, and judged against its artwork."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from shapely.geometry import MultiPolygon, box

from ..findings import Finding, by_severity
from ..job import Job
from ..looks.numbers import newtons, percent
from ..memory import Share
from ..parts.gauge import rest_of
from .contact.rolling import Rolling
from .faces.printed import as_printed, dressed, face_of, texture_of
from .faces.seen import outlines_in
from .impressing import Mesh
from .impression import HeightMap, Impression, Pressing
from .inking.ink import InkFilm, ink_of
from .inking.ink_pad import Inking, dab_of, glance_at_inking, ink_die, ink_pad, inking_finding
from .inking.printing import ink_impression
from .inking.verdict import PrintFaults, judge_print
from .pushing.conditions import PressConditions, conditions_of
from .pushing.hands import pushed_with
from .pushing.pressing import Rig, push, set_up
from .pushing.relief import line_widths
from .pushing.stiffness import buckling_stress

_GIVE = 0.1  # mm; how far die and paper give under a curved face, to see how much of it the hand feels (assumed)

MOST_STATIC_STRAIN = 0.15
"""Compression that a rubber part may be held at, as a share of its height (a rubber spring designer's handbook)."""


@dataclass(frozen=True, eq=False)
class Prediction:
    """What a stamp will print.

    ``face``: the ideal face, as the mesh has it; ``printed``: the same as it leaves the printer; ``pressing``: that,
    dressed, held against paper; ``impression``: what it leaves, with its findings; ``verdict``: how that compares;
    ``inking``: how the ink pad sags; ``rig``: the face set up, to push it again.
    """

    face: HeightMap
    printed: HeightMap
    pressing: Pressing
    impression: Impression
    verdict: PrintFaults
    inking: Inking
    rig: Rig

    @property
    def conditions(self) -> PressConditions:
        """What it was pressed under."""
        return self.rig.conditions

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All that is to be said, places in the paper frame."""
        return self.impression.findings


def predict_print(
    job: Job,
    mesh: Mesh,
    inked: MultiPolygon | None = None,
    *,
    meant: MultiPolygon | None = None,
    allowance: float | None = None,
    textured: bool = True,
    dpi: float = 300.0,
    progress: Share | None = None,
) -> Prediction:
    """Press a die as its job says and return what it will print.

    ``mesh``: the die, die frame, face up. ``inked``: the artwork that it should print, paper frame; left out, its own
    face is taken. ``meant``: the outlines of its face, where that is not flat and so does not tell by itself.
    ``allowance``: how far the mesh's top stands over the finished face, mm; the job's dressing unless given.
    ``textured``: whether the printer's beads and bow are laid on the mesh's face; a sculpted or scanned face may
    have its own. The job says how much of the allowance has been dressed off. Raises
    :class:`~stampwright.errors.MeshFileError` and :class:`~stampwright.errors.PressError`.
    """
    top = job.die.dressing if allowance is None else allowance
    face = face_of(mesh, dpi=dpi, dressing=top, meant=meant)
    return predict_from_face(job, face, inked, allowance=top, textured=textured, progress=progress)


def impress_uneven(
    mesh: Mesh,
    meant: MultiPolygon,
    conditions: PressConditions,
    ink: InkFilm,
    *,
    allowance: float,
    taken: float,
    dpi: float = 300.0,
) -> Impression:
    """Return what a die whose face is meant to be uneven prints under a push: light where it lies lower.

    ``mesh``, ``meant`` and ``allowance`` are as for :func:`predict_print`, which also says what is raised; ``taken``:
    how much has been dressed off the face, mm. The face is pressed as it is drawn, without a printer's beads and bow,
    with the quick solver.
    """
    face = face_of(mesh, dpi=dpi, dressing=allowance, meant=meant)
    quick = as_pushed(replace(conditions, solver="quick"), face)
    return ink_impression(push(set_up(dressed(face, None, taken), quick)), ink)


def predict_from_face(
    job: Job,
    face: HeightMap,
    inked: MultiPolygon | None = None,
    *,
    allowance: float,
    textured: bool = True,
    brief: bool = False,
    progress: Share | None = None,
) -> Prediction:
    """Press a face that has been mapped and return what it will print; the second half of :func:`predict_print`.

    ``brief``: how the ink pad sags is only looked at closely where it comes near the floor, and the impression has no
    outlines, only its picture.
    """
    tell = progress or (lambda _: None)
    ink = ink_of(job.ink)
    conditions = as_pushed(stated_conditions(job), face)
    texture = texture_of(job.printer, job.die, job.press, job.bend) if textured else None
    printed = face if texture is None else as_printed(face, texture)
    finished = dressed(printed, None, allowance * job.press.dressed)
    tell(0.0)
    rig = set_up(finished, conditions)
    # Beside the full solver all the rest is quick.
    pressing = push(rig, progress=lambda share: tell(0.9 * share))
    tell(0.9)
    impression = ink_impression(pressing, ink, widths=rig.widths, brief=brief)
    tell(0.93)
    artwork = outlines_in(face) if inked is None else inked
    verdict = judge_print(pressing, impression, artwork, ink)
    tell(0.96)
    dab = glance_at_inking if brief else ink_die
    inking = dab(finished, ink_pad(job.ink), dab_of(job.ink, face))
    held_back = _held_back(conditions, job.press.force, face)
    about = [*face.findings, *held_back, *verdict.findings, *_about_relief(pressing, conditions)]
    sagging = inking_finding(inking, job.printer.layer)
    if sagging is not None:
        about.append(sagging)
    return Prediction(face, printed, pressing, replace(impression, findings=by_severity(about)), verdict, inking, rig)


def stated_conditions(job: Job) -> PressConditions:
    """Return the conditions that a job states; raises :class:`~stampwright.errors.PressError` as ``conditions_of``."""
    stated = conditions_of(job.press, job.die, job.backing, job.cushion, job.printer, bend=job.bend)
    return replace(stated, rests_at=rest_of(job))


def as_pushed(conditions: PressConditions, face: HeightMap) -> PressConditions:
    """Return the conditions for this face: the push from the middle of the die, and no more than the hand gives it."""
    (x, y), (off_x, off_y) = face.middle, conditions.at
    area, wanted = face.face_area, conditions.force
    if conditions.rolling is not None:
        area = _in_touch(face, conditions.rolling)
        wanted = min(wanted, conditions.line_force * _band_length(face, conditions.rolling))
    force = pushed_with(wanted, conditions.pressure, area) or conditions.force
    return replace(conditions, at=(x + off_x, y + off_y), force=force)


def _in_touch(face: HeightMap, rolling: Rolling) -> float:
    """Return how much of a curved face is in touch at a time, mm², about so."""
    rows, columns = face.height.shape
    length = (rows if rolling.upward else columns) * face.pitch
    band = 2.0 * math.sqrt(2.0 * rolling.radius * _GIVE)
    return float(face.face_area) * min(1.0, float(band / length))


def _band_length(face: HeightMap, rolling: Rolling) -> float:
    """Return how long the band is that a curved face touches paper with, mm: as long as its print is across the way."""
    inked = np.flatnonzero(face.face.any(axis=0 if rolling.upward else 1))
    return float(np.ptp(inked) + 1) * face.pitch if len(inked) else 0.0


def _held_back(conditions: PressConditions, wanted: float, face: HeightMap) -> list[Finding]:
    """Return the note that a face is pushed more lightly than the job has it."""
    rolling = conditions.rolling
    if conditions.force >= wanted - 1e-9:
        return []
    if rolling is not None and conditions.force == conditions.line_force * _band_length(face, rolling):
        # A rolled face touches with a band alone, so that it always is.
        return []
    return [
        Finding(
            kind="pushed lightly",
            severity="notes",
            stage="impression",
            message=f"a face of {face.face_area:.0f} mm² is pushed with {newtons(conditions.force)} rather than "
            f"{newtons(wanted)}: the hand is assumed to stop at {conditions.pressure:g} MPa",
            remedy="Raise press.pressure if you push harder.",
            measured=conditions.force,
            limit=wanted,
            unit="N",
        )
    ]


def _about_relief(pressing: Pressing, conditions: PressConditions) -> list[Finding]:
    """Return what the push does to the relief itself: crushed, or bent over."""
    findings = []
    if pressing.strain > MOST_STATIC_STRAIN:
        findings.append(
            Finding(
                kind="relief crushed",
                severity="warns",
                stage="impression",
                message=f"the push compresses the relief by {percent(pressing.strain)} of its height where it is "
                f"hardest pressed; over {percent(MOST_STATIC_STRAIN)} it prints swollen and wears",
                remedy="Push less hard, print the die solid, or dress the face flat so that no place stands out.",
                measured=pressing.strain,
                limit=MOST_STATIC_STRAIN,
                unit="share",
            )
        )
    face = pressing.face
    pressed = np.flatnonzero(pressing.pressure)
    # A ridge that broadens to its foot bears what one of an even width does, measured a third of the way down, or up to
    # twice that (Euler's column with that taper, solved by finite differences for flares up to 25 degrees).
    stands = face.face | (face.height > -face.relief / 3.0)
    widths = line_widths(replace(face, face=stands), conditions.rolling).at(*face.rows_and_columns(pressed))
    bearable = buckling_stress(conditions.stiffness, 1.0, face.relief) * widths**2
    over = pressing.pressure.reshape(-1)[pressed] / bearable
    if over.size and over.max() > 1.0:
        worst = int(np.argmax(over))
        (x,), (y,) = face.places(pressed[[worst]])
        width = float(widths[worst])
        findings.append(
            Finding(
                kind="relief bends over",
                severity="warns",
                stage="impression",
                message=f"a ridge {width:.2f} mm wide below its face and {face.relief:.2f} mm high is under "
                f"{float(pressing.pressure.reshape(-1)[pressed][worst]):.2f} MPa and bends over from "
                f"{float(bearable[worst]):.2f} MPa on",
                remedy="Lower the relief, thicken the line, or flare its shoulder more.",
                place=box(x - 1.0, y - 1.0, x + 1.0, y + 1.0),
                measured=float(pressing.pressure.reshape(-1)[pressed][worst]),
                limit=float(bearable[worst]),
                unit="MPa",
            )
        )
    return findings

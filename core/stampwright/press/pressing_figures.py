"""The few figures on pressing that go with every stamp, quick enough to be reckoned whenever one is made."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from ..findings import Finding, by_severity
from ..job import Job
from ..job.materials import MATERIALS
from ..job.measured import measured_in
from ..looks.numbers import newtons
from ..plane.rasters.raster import MM_PER_INCH
from .faces.printed import map_face, texture_of
from .impressing import PressedFace
from .inking.ink import ink_of
from .prediction import predict_from_face
from .press_report import PUSHING_DPI, depth_needed, hard_to_press
from .pushing.advice import Design
from .pushing.assumptions import circumstances_of, force_between
from .pushing.centres import easier_centre
from .pushing.conditions import stiffness_of
from .pushing.hands import WHOLE_BODY, HandForce, handle_force
from .pushing.off_centre import OffCentre, reach_off_centre
from .pushing.pressing import push
from .pushing.push_curve import force_to_print

_MOST_PIXELS = 1_600_000
"""Of the map; larger stamps than some 210 by 210 mm are looked at more coarsely, so that they take no longer."""

_NOTABLE = 0.5  # mm²; smaller places than this are below what so coarse a map can tell from its own pixels
_TOLD = frozenset(
    {"pushed lightly", "printed light", "missing", "relief crushed", "relief bends over", "floor takes ink"}
)


@dataclass(frozen=True)
class PressFigures:
    """What pressing a stamp takes.

    ``force``: the job's push, N; ``printed_share``: the share of the face that it prints solid. ``whole_at``: the push
    that prints it whole, N, None when none that the relief bears does; ``whole_between``: that push where all that is
    assumed of die, paper and ink is at its softest, and at its hardest. ``hand``: the most that a hand should
    push with its handle.
    ``dressed``: how much the job has taken off the face, mm; ``needed``: the least that lets the hand's push print
    it whole, mm, None when no depth does. ``off_centre``: how far off centre the push may pass, None for a stamp
    that is kept level or rolled. ``band``: how wide what of a curved face touches at a time is, mm, under the push
    that prints it whole, and ``width``: how long that band is, across the way; both 0 for a flat one.
    ``findings``: what is to be said, places in the paper frame.
    """

    force: float
    printed_share: float
    whole_at: float | None
    whole_between: tuple[float | None, float | None]
    hand: HandForce
    dressed: float
    needed: float | None
    off_centre: OffCentre | None
    findings: tuple[Finding, ...]
    band: float = 0.0
    width: float = 0.0

    @property
    def per_width(self) -> float | None:
        """The push that prints a curved face whole, N for each mm of its width; None for a flat one, or none."""
        return self.whole_at / self.width if self.whole_at is not None and self.width else None


def range_in_words(between: tuple[float | None, float | None]) -> str:
    """Say between which pushes, N, the one that prints whole may lie; more than a body leans with is told as that."""
    soft, hard = between
    body = WHOLE_BODY.newtons
    if soft is None or soft > body:
        return f"more than a body leans with ({newtons(body)}), however soft die, paper and ink are"
    upper = f"more than a body leans with ({newtons(body)})" if hard is None or hard > body else newtons(hard)
    if upper == newtons(soft):
        return f"{upper}, however soft or hard die, paper and ink are"
    return f"{newtons(soft)} to {upper}, as die, paper and ink are softer or harder than assumed"


def press_figures(job: Job, found: PressedFace, *, allowance: float) -> PressFigures:
    """Press a face that has been found and return the figures; the quick solver is used whatever the job says.

    ``allowance``: the depth that the face was found at, how far the die's top stands over it, mm. Gaps that fill in are
    left to preflight, which measures them exactly. Raises :class:`~stampwright.errors.PressError`.
    """
    job = job.with_value("press.solver", "quick")
    ink = ink_of(job.ink)
    face = map_face(found, dpi=_resolution(found), dressing=allowance)
    hand = handle_force(job.handle, face.across)
    prediction = predict_from_face(job, face, found.outlines, allowance=allowance, brief=True)
    rig = prediction.rig
    whole_at, rolling = force_to_print(rig, ink), rig.conditions.rolling
    circumstances = circumstances_of(rig.conditions, job.ink, measured_in(job))
    texture = texture_of(job.printer, job.die, job.press, job.bend)
    needed = depth_needed(rig, prediction.printed, hand, ink)
    design = Design(face, texture, allowance * job.press.dressed, rig.conditions, ink)
    dressing = f"{design.dressing:g} mm"
    deeper = (
        f"Dress the face {needed:.2f} mm deep instead of {dressing}." if needed and needed > design.dressing else ""
    )
    between = force_between(rig, circumstances, stiffness_of(MATERIALS[job.die.material]))
    remedy = deeper
    if whole_at is None or whole_at > hand.newtons:
        centre = easier_centre(design, hand, job.layout, job.base)
        remedy = f"{centre.in_words(whole_at)} {deeper}".strip() if centre else deeper
    hard = hard_to_press(whole_at, hand, remedy, range_in_words(between))
    return PressFigures(
        force=prediction.pressing.force,
        printed_share=prediction.pressing.printed_share(ink.solid_from),
        whole_at=whole_at,
        whole_between=between,
        hand=hand,
        dressed=design.dressing,
        needed=needed,
        off_centre=reach_off_centre(rig, ink),
        findings=by_severity((*((hard,) if hard else ()), *notable(prediction.findings))),
        band=0.0 if rolling is None or whole_at is None else push(rig, whole_at).band,
        width=0.0 if rolling is None else face.height.shape[1 if rolling.upward else 0] * face.pitch,
    )


def _resolution(found: PressedFace) -> float:
    left, bottom, right, top = found.bounds
    pixels = (right - left) * (top - bottom) * (PUSHING_DPI / MM_PER_INCH) ** 2
    return PUSHING_DPI * min(1.0, math.sqrt(_MOST_PIXELS / pixels))


def notable(findings: Iterable[Finding]) -> list[Finding]:
    """Return the findings that a quick look can stand by."""

    def small(finding: Finding) -> bool:
        return finding.unit == "mm²" and finding.measured is not None and finding.measured < _NOTABLE

    return [finding for finding in findings if finding.kind in _TOLD and not small(finding)]

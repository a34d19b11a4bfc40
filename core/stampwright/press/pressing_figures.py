"""The few figures on pressing that go with every stamp, quick enough to be reckoned whenever one is made."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from ..findings import Finding, by_severity
from ..job import Job
from .as_printed import as_printed, map_face, texture_of
from .impression import Face
from .inking.ink import ink_of
from .prediction import predict_from_face
from .press_report import depth_needed, hard_to_press
from .pushing.hands import HandForce, handle_force
from .pushing.press_curve import force_to_print

QUICK_DPI = 100.0
"""On the demo stamps pushes are within 3 % of those at 300 dpi, dressing within 0.02 mm, in an eighth of the time."""

_NOTABLE = 0.5  # mm²; smaller places than this are below what so coarse a map can tell from its own pixels
_TOLD = frozenset({"printed light", "missing", "relief crushed", "relief bends over", "floor takes ink"})


@dataclass(frozen=True)
class PressFigures:
    """What pressing a stamp takes.

    ``force``: the job's push, N; ``printed_share``: the share of the face that it prints solid. ``whole_at``: the push
    that prints it whole, N, None when none that the relief bears does. ``hand``: what is comfortable with its handle.
    ``dressed``: how much the job has taken off the face, mm; ``needed``: the least that lets the comfortable push print
    it whole, mm, None when no depth does. ``findings``: what is to be said, places in the paper frame.
    """

    force: float
    printed_share: float
    whole_at: float | None
    hand: HandForce
    dressed: float
    needed: float | None
    findings: tuple[Finding, ...]


def press_figures(job: Job, found: Face, *, allowance: float) -> PressFigures:
    """Press a face that has been found and return the figures; the quick solver is used whatever the job says.

    ``allowance``: the depth that the face was found at, how far the die's top stands over it, mm. Gaps that fill in are
    left to preflight, which measures them exactly. Raises :class:`~stampwright.errors.PressError`.
    """
    job = job.with_value("press.solver", "foundation")
    ink, hand = ink_of(job), handle_force(job)
    face = map_face(found, dpi=QUICK_DPI, dressing=allowance)
    prediction = predict_from_face(job, face, found.outlines, allowance=allowance)
    rig = prediction.rig
    whole_at = force_to_print(rig, ink)
    hard = hard_to_press(whole_at, hand)
    return PressFigures(
        force=prediction.pressing.force,
        printed_share=prediction.pressing.printed_share(ink.threshold),
        whole_at=whole_at,
        hand=hand,
        dressed=allowance * job.press.dressed,
        needed=depth_needed(rig, as_printed(face, texture_of(job)), hand, ink),
        findings=by_severity((*((hard,) if hard else ()), *_notable(prediction.findings))),
    )


def _notable(findings: Iterable[Finding]) -> list[Finding]:
    """Return the findings that a quick look can stand by."""
    told = []
    for finding in findings:
        small = finding.unit == "mm²" and finding.measured is not None and finding.measured < _NOTABLE
        if finding.kind in _TOLD and not small:
            told.append(replace(finding, stage="impression"))
    return told

"""How a stamp wants to be pressed: before and after dressing, against what hands can do, and what would help."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ..findings import Finding
from ..job import Job
from ..job.materials import MATERIALS
from ..job.measured import measured_in
from ..looks.numbers import newtons
from ..memory import Memory, Share
from .faces.printed import as_printed, face_of, texture_of
from .impressing import Mesh
from .impression import HeightMap
from .inking.ink import InkFilm
from .inking.ink_pad import dab_of
from .prediction import as_pushed, stated_conditions
from .pushing.advice import Advice, Design, advise
from .pushing.assumptions import Sensitivity, circumstances_of, sensitivities
from .pushing.centres import Centre, easier_centre
from .pushing.conditions import stiffness_of
from .pushing.hands import HandForce, handle_force, held_width
from .pushing.off_centre import OffCentre, reach_off_centre
from .pushing.pressing import Rig, look_at_print, set_up, with_heights
from .pushing.push_curve import WHOLE, PushCurve, push_curve

_FINE = 0.01  # mm; abrasive paper is no finer
_DEEPER = (0, 8, 32, 100)  # times that: between which the depth that is needed is looked for; no hand takes off more


PUSHING_DPI = 150.0
"""How finely a face is looked at that is pushed over and over. The figures that go with every stamp and the report on
one that is pushed are taken at the same, so that they say the same."""


@dataclass(frozen=True)
class PressReport:
    """How a stamp wants to be pressed.

    ``printed``: the push curve of the face as it leaves the printer; ``finished``: dressed as the job says.
    ``needed``: how deep it must be dressed until the push of ``hand`` prints it whole, mm; None when no
    depth will do. ``off_centre``: how far off the middle the job's push may pass; None for a stamp that is kept level.
    ``centre``: the centre of the artwork that would do, where the finished face asks too much as it lies.
    ``advice`` says what would help if the finished face asks too much; ``sensitivities`` how far the
    assumptions matter; ``about_face`` what was to be said of the mesh that was pressed.
    """

    printed: PushCurve
    finished: PushCurve
    needed: float | None
    hand: HandForce
    off_centre: OffCentre | None
    advice: tuple[Advice, ...]
    sensitivities: tuple[Sensitivity, ...]
    about_face: tuple[Finding, ...] = ()
    centre: Centre | None = None

    @property
    def finding(self) -> Finding | None:
        """What is to be said when the finished face asks more than the hand has; None when it does not."""
        whole = self.finished.whole_at
        centred = [self.centre.in_words(whole)] if self.centre else []
        remedies = " ".join([*centred, *(piece.message for piece in self.advice if piece.enough)])
        return hard_to_press(self.finished.whole_at, self.hand, remedies)


def report_press(
    job: Job,
    mesh: Mesh,
    *,
    allowance: float | None = None,
    textured: bool = True,
    dpi: float = PUSHING_DPI,
    progress: Share | None = None,
) -> PressReport:
    """Press a die over and over with the quick solver and report how it wants to be pressed.

    Arguments are those of :func:`~stampwright.press.prediction.predict_print`, which also says what is raised.
    """
    top = job.die.dressing if allowance is None else allowance
    face = face_of(mesh, dpi=dpi, dressing=top)
    return report_from_face(job, face, allowance=top, textured=textured, progress=progress)


def report_from_face(
    job: Job,
    face: HeightMap,
    *,
    allowance: float,
    textured: bool = True,
    brief: bool = False,
    memory: Memory | None = None,
    progress: Share | None = None,
) -> PressReport:
    """Report how a face that has been mapped wants to be pressed: the second half of :func:`report_press`.

    ``brief`` leaves out advice and sensitivities, which take by far the longest. ``memory``: what was reckoned before;
    the curves do not hang on the push that is worked with.
    """
    whole, memory = 0.4 if brief else 1.0, Memory() if memory is None else memory

    def tell(share: float) -> None:
        if progress is not None:
            progress(share / whole)

    circumstances = circumstances_of(replace(stated_conditions(job), solver="quick"), job.ink, measured_in(job))
    dab = dab_of(job.ink, face)
    circumstances = replace(circumstances, conditions=as_pushed(circumstances.conditions, face), dab=dab)
    ink, hand = circumstances.ink, handle_force(job.handle, face.across)
    texture = texture_of(job.printer, job.die, job.press, job.bend) if textured else None
    design = Design(face, texture, allowance * job.press.dressed, circumstances.conditions, ink)
    tell(0.0)
    # Neither how a face gives way nor its curves hang on the push that the job states.
    unpushed = replace(design, conditions=replace(circumstances.conditions, force=1.0))
    rig = replace(memory.recall(Design.rig, unpushed), conditions=circumstances.conditions)
    printed, finished, needed = memory.recall(
        _curves, unpushed, hand, memory=memory, progress=lambda share: tell(0.3 * share)
    )
    tell(0.3)
    hard = finished.whole_at is None or finished.whole_at > hand.newtons
    centre = easier_centre(unpushed, hand, job.layout, job.base) if hard else None
    off_centre = reach_off_centre(rig, ink, progress=lambda share: tell(0.3 + 0.1 * share))
    if brief:
        return PressReport(printed, finished, needed, hand, off_centre, (), (), face.findings, centre)
    _, pieces = advise(
        design, hand, held_width(job.handle, face.across), progress=lambda share: tell(0.4 + 0.3 * share)
    )
    span = stiffness_of(MATERIALS[job.die.material])
    effects = sensitivities(rig, circumstances, span, progress=lambda share: tell(0.7 + 0.3 * share))
    return PressReport(printed, finished, needed, hand, off_centre, pieces, effects, face.findings, centre)


def _curves(
    design: Design, hand: HandForce, *, memory: Memory, progress: Share
) -> tuple[PushCurve, PushCurve, float | None]:
    """Return the push curves of a design as printed and as dressed, and the dressing that it needs, mm."""
    face, texture, ink, rig = design.face, design.texture, design.ink, memory.recall(Design.rig, design)
    undressed = face if texture is None else as_printed(face, texture)
    printed = push_curve(set_up(undressed, design.conditions), ink, progress=lambda share: progress(0.4 * share))
    finished = push_curve(rig, ink, progress=lambda share: progress(0.4 + 0.4 * share))
    progress(0.8)
    return printed, finished, depth_needed(rig, undressed, hand, ink)


def hard_to_press(force: float | None, hand: HandForce, remedy: str = "", between: str = "") -> Finding | None:
    """Return what is to be said when printing whole takes ``force`` N, or no force does; None when the hand has it.

    ``between``: how far that may be off, in words.
    """
    if force is not None and force <= hand.newtons:
        return None
    asks = "no push that the relief bears prints it whole"
    if force is not None:
        asks = f"it takes {newtons(force)} to print whole" + (f" ({between})" if between else "")
    return Finding(
        kind="hard to press",
        severity="warns",
        stage="impression",
        message=f"{asks}; {str(hand)[:1].lower()}{str(hand)[1:]}, by {hand.source}",
        remedy=remedy or "Make the design smaller or lighter, and dress the face flat.",
        measured=force,
        limit=hand.newtons,
        unit="N",
    )


def depth_needed(rig: Rig, printed: HeightMap, hand: HandForce, ink: InkFilm) -> float | None:
    """Return the least dressing, to a hundredth of a millimetre, with which the hand's push prints the face whole.

    ``printed``: the rig's face as it leaves the printer. None when a millimetre would not do.
    """
    height = printed.height.reshape(-1)[rig.pixels].astype(np.float64)
    rig = rig.quick
    top, force = float(height.max()), min(hand.newtons, rig.greatest_force)

    before: tuple[int, NDArray[np.float64]] | None = None

    def whole(steps: int) -> bool:
        nonlocal before
        # What is taken off the top, the face comes forward more.
        start = before and before[1] + np.array([(steps - before[0]) * _FINE, 0.0, 0.0])
        cut = with_heights(rig, np.minimum(height, top - steps * _FINE))
        seen = look_at_print(cut, force, ink.solid_from, start=start)
        before = None if seen.motion is None else (steps, seen.motion)
        return seen.share >= WHOLE

    low, high = -1, 0
    # Little is mostly enough, and a face that is cut far down touches with all that it has.
    for high in _DEEPER:
        if whole(high):
            break
        low = high
    else:
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if whole(middle) else (middle, high)
    return high * _FINE

"""What to change so that a hand's push prints the face whole; every piece of advice is solved again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from ...looks.numbers import newtons, percent
from ...memory import Share
from ..contact.layers import Layer
from ..faces.printed import Texture, dressed, scaled, thinned
from ..impression import HeightMap
from ..inking.ink import InkFilm
from .conditions import CUSHION_POISSON, PressConditions
from .hands import PALM_WIDTH, STANDING_PALM, HandForce
from .pressing import Rig, push, set_up
from .push_curve import WHOLE, force_to_print


@dataclass(frozen=True)
class Design:
    """What advice may change: the ``face`` as built, its printed ``texture``, ``dressing`` taken mm, and the press."""

    face: HeightMap
    texture: Texture | None
    dressing: float
    conditions: PressConditions
    ink: InkFilm

    def rig(self) -> Rig:
        """Return the design's face, as printed and dressed, set up to be pressed."""
        return set_up(dressed(self.face, self.texture, self.dressing), self.conditions)


@dataclass(frozen=True)
class Advice:
    """One change: what is to be set to ``value`` ``unit``, the push that then prints the face whole, and if it will do.

    ``message`` says so in a sentence.
    """

    change: str
    value: float
    unit: str
    force: float
    enough: bool
    message: str


CUSHION_STIFFNESS = 0.6
"""Young's modulus of the cushion advised, cellular rubber, MPa (assumed, 0.2 to 2)."""

_DRESSINGS = (0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5)  # mm, in steps that a hand can take off
_INFILLS = (0.8, 0.6, 0.4, 0.3, 0.2, 0.15)
_CUSHIONS = (0.5, 1.0, 2.0, 3.0, 4.0, 6.0)  # mm, as sheet is sold
_SIZES = (0.95, 0.9, 0.8, 0.7, 0.6)
_INSETS = (0.05, 0.1, 0.15, 0.2)  # mm
_LEFT = 0.6  # share of the inked area that must be left when lines are thinned
_WORTH_SAYING = 0.95  # of the push now; what saves less is not worth the trouble


def advise(
    design: Design, hand: HandForce, grip_width: float, *, progress: Share | None = None
) -> tuple[float | None, tuple[Advice, ...]]:
    """Return the push that prints the design whole, N, and what would bring it within the hand's.

    ``grip_width``: across the handle, mm. For each thing that can be changed the mildest setting that will do is given,
    or the best there is when none will; what does not help is left out. No advice is given when the hand's
    push does already, and None comes back for a push when none prints the design whole.
    """
    quick = replace(design, conditions=replace(design.conditions, solver="quick"))
    now = force_to_print(quick.rig(), design.ink)
    if now is not None and now <= hand.newtons:
        return now, ()
    pieces = []
    ladders = _ladders(quick)
    for done, ladder in enumerate(ladders):
        if progress is not None:
            progress(done / len(ladders))
        piece = _mildest(ladder, hand, now)
        if piece is not None:
            pieces.append(piece)
    if grip_width < PALM_WIDTH and now is not None and now <= STANDING_PALM.newtons:
        pieces.append(_broader_handle(now))
    return now, tuple(sorted(pieces, key=lambda piece: (not piece.enough, piece.force)))


@dataclass(frozen=True)
class _Steps:
    """One thing that can be changed: its ``steps``, mildest first, and how each is ``taken`` and ``said``."""

    change: str
    unit: str
    said: str
    steps: Sequence[float]
    taken: Callable[[float], Design]


def _ladders(design: Design) -> list[_Steps]:
    conditions = design.conditions

    def under(**changes: object) -> Design:
        return replace(design, conditions=replace(conditions, **changes))  # type: ignore[arg-type]

    def cushioned(thickness: float) -> Design:
        stiffness = CUSHION_STIFFNESS if conditions.cushion is None else conditions.cushion.stiffness
        return under(cushion=Layer(thickness, stiffness, CUSHION_POISSON))

    present = 0.0 if conditions.cushion is None else conditions.cushion.thickness
    ladders = [
        _Steps(
            "less infill",
            "share",
            "Print the die with {share} infill",
            [infill for infill in _INFILLS if infill < conditions.infill - 1e-9],
            lambda infill: under(infill=infill),
        ),
        _Steps(
            "cushion",
            "mm",
            "Put a cushion of {value:g} mm cellular rubber behind the die",
            [thickness for thickness in _CUSHIONS if thickness > present],
            cushioned,
        ),
        _Steps(
            "smaller design",
            "share",
            "Make the design {share} of its size",
            _SIZES,
            lambda size: replace(design, face=scaled(design.face, size)),
        ),
        _Steps(
            "thinner lines",
            "mm per edge",
            "Draw every edge of the design in by {value:g} mm",
            [inset for inset in _INSETS if _survives(design.face, inset)],
            lambda inset: replace(design, face=thinned(design.face, inset)),
        ),
    ]
    if design.texture is not None:
        deeper = [depth for depth in _DRESSINGS if depth > design.dressing + 1e-9]
        said = f"Dress the face {{value:g}} mm deep instead of {design.dressing:g} mm"
        ladders.append(_Steps("dress deeper", "mm", said, deeper, lambda depth: replace(design, dressing=depth)))
    return ladders


def _survives(face: HeightMap, inset: float) -> bool:
    """Say whether enough of the design is left for its lines not to be lost."""
    return thinned(face, inset).face_area > _LEFT * face.face_area


def _mildest(ladder: _Steps, hand: HandForce, now: float | None) -> Advice | None:
    """Return the mildest step that brings the push within the hand's, or the best; None when none helps."""
    best: tuple[float, float, Rig] | None = None
    for value in ladder.steps:
        design = ladder.taken(value)
        rig = design.rig()
        share = push(rig, min(hand.newtons, rig.greatest_force)).printed_share(design.ink.solid_from)
        if best is None or share > best[0]:
            best = (share, value, rig)
        if share >= WHOLE:
            break
    force = None if best is None else force_to_print(best[2], ladder.taken(best[1]).ink)
    if best is None or force is None or (now is not None and force > _WORTH_SAYING * now):
        return None
    value = best[1]
    enough = force <= hand.newtons
    before = "no push does now" if now is None else f"{newtons(now)} now"
    message = (
        f"{ladder.said.format(value=value, share=percent(value))}: {newtons(force)} then print it whole ({before})"
        f"{'' if enough else f', still more than the {newtons(hand.newtons)} that a hand should push at most'}."
    )
    return Advice(ladder.change, value, ladder.unit, force, enough, message)


def _broader_handle(now: float) -> Advice:
    message = (
        f"Take a handle {PALM_WIDTH:g} mm across or more: with the palm, {STANDING_PALM.newtons:.0f} N can be pushed "
        f"(standing), and {newtons(now)} are needed."
    )
    return Advice("broader handle", PALM_WIDTH, "mm", now, True, message)

"""What the ticket says of printing, dressing, gluing and inking a curved face, and of a roller's axle."""

from __future__ import annotations

from collections.abc import Iterator

from ...curved import Bend
from ...job import Job
from ...job.heights import snap_heights
from ...looks.numbers import spoken
from ...parts.rolling.fork import FIT
from ...parts.rolling.joining import PLAY
from ...stamp import Stamp
from ..paper.bend_words import rolled_in_words
from .note import COMMON, Note

UNSUPPORTED = 45.0
"""Flare of the shoulder from which on a relief needs no support when the die stands, degrees from the upright face."""


def standing_of(job: Job, bend: Bend) -> str:
    """Say how a bent die goes on the bed."""
    if job.bend.stands == "standing":
        return "Standing on its end, as filed"
    under = "its plane down" if job.backing.form == "one-piece" else "with supports under all of its hollow"
    return f"Lying, face up, as filed, {'with supports all round' if bend.closed else under}"


def printing(job: Job, bend: Bend) -> Iterator[Note]:
    """Say what the position on the bed does to a curved face."""
    if bend.joint is not None:
        yield Note(
            f"Die and drum come in two halves, side by side: {spoken(job.bend.band)} mm are more than the printer "
            f"builds ({spoken(job.printer.bed_height)} mm). Print both halves on the ends on which they are filed.",
            "this job",
        )
    if job.bend.stands == "standing":
        yield Note(
            f"Layers of {job.printer.layer:g} mm lie across the print: undressed, their sides show as fine lines that "
            "run the way it rolls. Give the die a brim, for it stands on little."
        )
        if job.die.shoulder < UNSUPPORTED:
            yield Note(
                f"The undersides of the relief hang out by {spoken(job.die.relief)} mm: let the slicer support them, "
                f"or raise the shoulder from {job.die.shoulder:g} to {UNSUPPORTED:g} degrees, which needs none."
            )
        return
    yield Note(
        f"The curve comes out in steps of {job.printer.layer:g} mm, the wider the nearer to the top: thinner layers "
        "help, and so does dressing it round."
    )


def dressing(stamp: Stamp) -> Iterator[Note]:
    """Say how a curved face is dressed."""
    allowance = snap_heights(stamp.job).dressing
    taken = f"Take {allowance:g} mm off the face" if allowance > 0 else "Rub the face lightly"
    yield Note(
        f"{taken}: mount the die first, then roll it over 150 grit paper on a flat plate without turning or sliding it "
        "aside, until all of the face is dull. A sliding stroke would flatten the curve."
    )


def gluing(stamp: Stamp, bend: Bend) -> Iterator[Note]:
    """Say what gluing a bent die asks for besides."""
    if bend.closed:
        if bend.joint is not None:
            yield Note(
                f"Join the drum first: glue its halves on the axle, tongue into groove ({PLAY:g} mm of play); they go "
                "together in one way. Then the die's halves over it, edge to edge with a film of glue between, their "
                "print in line across the joint; wipe off what comes out, and dress over the joint last.",
                "this job",
            )
        gap = stamp.job.backing.clearance
        yield Note(
            f"Draw the die over the drum ({gap:g} mm of play all round) with a film of glue that is still wet; its "
            "ends level with the drum's.",
            "this job",
        )
        axle = stamp.job.bend.axle
        long = stamp.job.bend.band + 14.0
        yield Note(
            f"Axle: a rod or bolt of {axle:g} mm, {long:g} mm long or more. It sits in the arms with {FIT:g} mm of "
            f"play and turns in the drum with {stamp.job.bend.play:g} mm; washers keep the roller off the arms.",
            "this job",
        )
        return
    yield Note(
        "Printed flat and bent, the die would pull at the glue for ever, most at its ends, where it peels; printed "
        "bent it does not. Clamp the ends first, then the middle."
    )


def inking(bend: Bend) -> Iterator[Note]:
    """Say how a curved face is inked and printed."""
    how = "roll it over the pad a whole turn or more" if bend.closed else "rock it over the pad from end to end"
    yield Note(f"Ink: {how}, a thin even film. Print in one even motion, without stopping or pushing sideways.")
    if bend.closed:
        yield Note("Start where nothing prints, against a rule that keeps the roller straight; three turns to try.")


def pressing(stamp: Stamp) -> Iterator[Note]:
    """Say what the rolled push is."""
    told = "" if stamp.pressing is None else rolled_in_words(stamp.pressing)
    if told:
        yield Note(f"{told[:1].upper()}{told[1:]} (speed is assumed not to matter).", COMMON)

"""Heights of all parts in whole layers, with a note for each that the layers changed."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..findings import Finding
from .job import Job
from .sections.face import FaceSection
from .sections.parts import BackingSection, DieSection

LEAST_LEFT = 0.4
"""What a recess leaves of the plate under it, mm, as the job's own check demands."""


@dataclass(frozen=True, kw_only=True)
class PartHeights:
    """Heights and depths, mm, each a whole number of layers.

    ``floor``, ``relief`` (finished face over the floor), ``dressing`` (allowance over the face) and ``texture`` (how
    far a textured face goes down) of the die;
    ``backing`` (thickness), ``seat_depth`` and ``groove_depth`` of the backing; ``handle`` (height) and
    ``index_depth`` of the handle.
    """

    layer: float
    floor: float
    relief: float
    dressing: float
    texture: float
    backing: float
    seat_depth: float
    groove_depth: float
    handle: float
    index_depth: float
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, kw_only=True)
class BackingHeights:
    """Heights and depths of the backing, mm, each a whole number of layers; see :class:`PartHeights`."""

    backing: float
    seat_depth: float
    groove_depth: float


def die_heights(die: DieSection, layer: float) -> tuple[float, float, float]:
    """Return floor, relief and dressing of a die in whole layers, mm; ``layer``: their height, mm."""
    return whole_layers(die.floor, layer), whole_layers(die.relief, layer), whole_layers(die.dressing, layer)


def texture_depth(face: FaceSection, die: DieSection, layer: float) -> float:
    """Return how far a textured face goes down in whole layers, mm; ``layer``: their height, mm.

    A layer of relief stays under the deepest texture, so that it still stands over the floor.
    """
    _, relief, dressing = die_heights(die, layer)
    return _at_most(whole_layers(face.depth, layer), relief + dressing - layer)


def backing_heights(backing: BackingSection, layer: float) -> BackingHeights:
    """Return the heights of a backing in whole layers, mm; recesses leave something under them."""
    whole = whole_layers(backing.thickness, layer)
    room = whole - _layers_up(LEAST_LEFT, layer)
    seat = _at_most(whole_layers(backing.seat_depth, layer), room)
    groove = _at_most(whole_layers(backing.groove_depth, layer), room - seat)
    return BackingHeights(backing=whole, seat_depth=seat, groove_depth=groove)


def snap_heights(job: Job) -> PartHeights:
    """Return the job's heights in whole layers: the nearest number, a half upwards, one at least where any was asked.

    Recesses of the backing stay shallow enough to leave something under them. A height that changes by more than a
    thousandth of a millimetre is noted, if the part that has it is made.

    >>> snap_heights(Job().with_value("die.relief", 1.9)).relief
    2.0
    """
    layer, hard = job.printer.layer, job.printer.hard.layer
    # A plate in one piece with the die is printed with it.
    plate = layer if job.backing.form == "one-piece" else hard
    floor, relief, dressing = die_heights(job.die, layer)
    backing = backing_heights(job.backing, plate)
    snapped = {
        "die.floor": floor,
        "die.relief": relief,
        "die.dressing": dressing,
        "face.depth": texture_depth(job.face, job.die, layer),
        "backing.thickness": backing.backing,
        "backing.seat_depth": backing.seat_depth,
        "backing.groove_depth": backing.groove_depth,
        "handle.height": whole_layers(job.handle.height, hard),
        "handle.index_depth": whole_layers(job.handle.index_depth, hard),
    }
    return PartHeights(
        layer=layer,
        floor=floor,
        relief=relief,
        dressing=dressing,
        texture=snapped["face.depth"],
        backing=backing.backing,
        seat_depth=backing.seat_depth,
        groove_depth=backing.groove_depth,
        handle=snapped["handle.height"],
        index_depth=snapped["handle.index_depth"],
        findings=tuple(_notes(job, snapped)),
    )


def whole_layers(height: float, layer: float) -> float:
    """Return ``height``, mm, as the nearest whole number of layers; a half counts upwards, nothing stays nothing.

    >>> whole_layers(20.1, 0.2)
    20.2
    """
    if height <= 0:
        return 0.0
    # The hair's breadth keeps 0.3 / 0.2 = 1.4999999999999998 a half.
    return _tidy(max(1, math.floor(height / layer + 0.5 + 1e-9)) * layer)


def _layers_up(height: float, layer: float) -> float:
    return _tidy(math.ceil(height / layer - 1e-9) * layer)


def _at_most(depth: float, room: float) -> float:
    return _tidy(max(0.0, min(depth, room)))


def _tidy(height: float) -> float:
    return round(height, 6)


def _notes(job: Job, snapped: dict[str, float]) -> list[Finding]:
    notes = []
    for path, height in snapped.items():
        section, _, name = path.partition(".")
        asked = getattr(getattr(job, section), name)
        if _is_made(job, path) and abs(asked - height) > 1e-3:
            hard = section == "handle" or (section == "backing" and job.backing.form != "one-piece")
            layer = job.printer.hard.layer if hard else job.printer.layer
            own = "printer.hard_layer" if hard and job.printer.hard_layer else "printer.layer"
            layers = f"{round(height / layer)} layers of {layer:g} mm"
            notes.append(
                Finding(
                    kind="height in whole layers",
                    severity="notes",
                    stage="build",
                    message=f"{path} = {asked:g} mm becomes {height:g} mm, {layers}",
                    remedy=f"Set {path} to a multiple of {layer:g} mm, or change {own}",
                    measured=asked,
                    limit=height,
                )
            )
    return notes


def _is_made(job: Job, path: str) -> bool:
    """Whether a part with this height is made at all."""
    made = {
        "face.depth": job.face.texture != "none" or job.face.sculpt != "",
        "backing.thickness": job.backing.form != "none",
        "backing.seat_depth": job.backing.form == "plate",
        "backing.groove_depth": job.backing.form == "plate" and job.backing.grooves,
        "handle.height": job.handle.form not in ("none", "turned"),
        "handle.index_depth": job.handle.form != "none" and job.handle.index != "none",
    }
    return made.get(path, True)

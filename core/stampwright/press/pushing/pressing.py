"""A face pressed on paper: how much pressure comes where."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ...errors import PressError
from ...memory import Share
from ..contact.bounded import Bed, press_on_bed
from ..contact.elastic import ElasticSurface, layered
from ..contact.foundation import Springs
from ..contact.push import Held, Places, Push, Top
from ..contact.rolling import Rolled, Rolling, force_at, roll_on_springs
from ..impression import HeightMap, Pressing
from .conditions import PressConditions
from .relief import Blocks, column_compliance, measure_lines

Floats = NDArray[np.float64]
Solved = tuple[NDArray[np.intp], Held]
"""Which of the rig's places were looked at, and how they are held."""

MOST_STRAIN = 0.5
"""Compression of the relief, as a share of its height, beyond which linear elasticity says nothing any more."""

_SMALLEST_FACE = 1.0  # mm²; less is no face of a stamp
_NEAR_TOP = 0.25  # of the relief: places lower than this are out of reach in the quick solver's first try
_LOOKS = 6.0  # how often to a band a curved face is looked at; between two, pressure falls by under 3 %
_REACHABLE = 3.0  # places lower than this many approaches are out of reach in the full solver's first try


@dataclass(frozen=True, eq=False)
class Rig:
    """A face set up to be pressed, over and over: what does not depend on the push is reckoned once.

    ``pixels``: (n,) int, flat numbers of the pixels where the die stands; ``columns`` and ``springs``: (n,) float,
    mm/MPa, how the relief alone, and everything together, gives way there. ``widths`` of lines, mm, and share that is
    ``inked``: by squares. ``top``: the places that the quick solver looks at first.
    """

    face: HeightMap
    conditions: PressConditions
    pixels: NDArray[np.intp]
    places: Places
    columns: Floats
    springs: Floats
    widths: Blocks
    inked: Blocks
    top: Top

    @cached_property
    def greatest_force(self) -> float:
        """The force at which the relief, evenly pressed, is compressed by ``MOST_STRAIN``, N."""
        rolling = self.conditions.rolling
        if rolling is not None:
            return force_at(self.places, self.springs, rolling, MOST_STRAIN * self.face.relief)
        return MOST_STRAIN * self.face.relief * float((1.0 / self.columns[self.meant]).sum()) * self.places.area

    @property
    def quick(self) -> Rig:
        """The same, to be pressed by the quick solver."""
        if self.conditions.solver == "quick":
            return self
        return replace(self, conditions=replace(self.conditions, solver="quick"))

    @cached_property
    def meant(self) -> NDArray[np.bool_]:
        """Which places are meant to print, (n,) bool."""
        return np.asarray(self.face.face.reshape(-1)[self.pixels])

    @cached_property
    def meant_count(self) -> int:
        """How many places are meant to print."""
        return int(np.count_nonzero(self.meant))

    @cached_property
    def meant_at_top(self) -> NDArray[np.bool_]:
        """Which of the places at the top are meant to print, (t,) bool."""
        return np.asarray(self.meant[self.top.numbers])

    @cached_property
    def columns_at_top(self) -> Floats:
        """How the relief alone gives way at the places at the top, (t,) mm/MPa."""
        return np.asarray(self.columns[self.top.numbers])

    @cached_property
    def top_on_springs(self) -> Springs:
        """The places at the top on their springs."""
        return Springs(self.top.places, self.springs[self.top.numbers])

    def stays_off(self, held: Held) -> bool:
        """Say whether what lies lower than the top surely stays off the paper."""
        (left, bottom), (rows, columns), pitch = self.face.corner, self.face.height.shape, self.face.pitch
        rises = [
            max(slope * start, slope * (start + size * pitch))
            for slope, start, size in zip(held.slopes, (left, bottom), (columns, rows), strict=True)
        ]
        return bool(self.top.lower + held.approach + sum(rises) <= 0.0)


def press_on_paper(face: HeightMap, conditions: PressConditions, *, progress: Share | None = None) -> Pressing:
    """Press a face on paper and return the pressure everywhere.

    ``progress`` is told the share done by the full solver, 0 to 1, and may raise
    :class:`~stampwright.errors.Cancelled`. Raises :class:`PressError` when there is no face, when the push would tip
    the stamp, or when the force is more than its relief can bear.
    """
    return push(set_up(face, conditions), progress=progress)


def set_up(face: HeightMap, conditions: PressConditions, *, like: Rig | None = None) -> Rig:
    """Set a face up to be pressed; ``like``: the same face set up before, perhaps under other conditions.

    Raises :class:`PressError` when it has no face or no relief.
    """
    if face.face_area < _SMALLEST_FACE:
        raise PressError(
            f"the face that is to print measures {face.face_area:.2f} mm²; less than {_SMALLEST_FACE:g} mm² is no "
            "stamp: check that the face points up and that the size is in mm"
        )
    if not 0.0 < face.relief < 1e3:
        raise PressError(f"the face stands {face.relief:g} mm over its floor; there must be a raised face to press")
    pixels, places = (like.pixels, like.places) if like is not None else _places_of(face)
    widths, inked = (like.widths, like.inked) if like is not None else measure_lines(face, conditions.rolling)
    top = like.top if like is not None else Top.of(places, _NEAR_TOP * face.relief)
    row, column = face.rows_and_columns(pixels)
    # Compliance changes slowly over the face: reckoned by squares, then blended.
    squares = column_compliance(widths.values, face.relief, conditions), _give_of_layers(face, inked, conditions)
    columns, layers = (Blocks(values, inked.side).at(row, column) for values in squares)
    return Rig(face, conditions, pixels, places, columns, columns + layers, widths, inked, top)


def _places_of(face: HeightMap) -> tuple[NDArray[np.intp], Places]:
    height = face.height.reshape(-1)
    pixels = np.flatnonzero(np.isfinite(height))
    return pixels, Places(height[pixels].astype(np.float64), *face.places(pixels), face.pitch**2)


def with_heights(rig: Rig, height: Floats) -> Rig:
    """Return the rig with its places at other heights, (n,) mm, as when more is dressed off, to be looked at."""
    return replace(rig, places=rig.places.at_heights(height), top=rig.top.at_heights(height))


def push(
    rig: Rig,
    force: float | None = None,
    *,
    at: tuple[float, float] | None = None,
    depth: float | None = None,
    solver: str | None = None,
    progress: Share | None = None,
) -> Pressing:
    """Push a face that is set up; force, place and solver are those of its conditions unless given here.

    ``depth``: push level to this far past first touch, mm, whatever force that takes.

    Raises :class:`~stampwright.errors.PressError` when the push would tip the stamp, or is more or less than the face
    can carry.
    """
    conditions = rig.conditions
    if conditions.rolling is not None and depth is None:
        force, full = conditions.force if force is None else force, (solver or conditions.solver) == "full"
        return _rolled(rig, conditions.rolling, force, full=full, progress=progress)
    load = Push(depth=depth) if depth is not None else _load(rig, conditions.force if force is None else force, at)
    solver = conditions.solver if solver is None else solver
    load, within, _, held = _held_on_springs(rig, load)
    if solver == "full":
        within, held = _pressed_fully(rig, load, (within, held), progress)
    pressure = np.zeros(rig.face.height.size, dtype=np.float32)
    pressure[rig.pixels[within]] = held.pressure
    strain = float((held.pressure * rig.columns[within]).max()) / rig.face.relief
    return Pressing(
        face=rig.face,
        pressure=pressure.reshape(rig.face.height.shape),
        force=held.force,
        approach=held.approach,
        slopes=held.slopes,
        strain=strain,
        solver=solver,
        rounds=held.rounds,
        error=held.error,
    )


def _held_on_springs(rig: Rig, load: Push, start: Floats | None = None) -> tuple[Push, NDArray[np.intp], Springs, Held]:
    """Solve as :func:`_pressed_on_springs` a push of a stamp that a gauge may hold, and return it with that push.

    In a gauge it tilts until its lip rests there, and the gauge takes the rest. The lip lies as far out as the die, or
    farther, so that the tilt that it leaves is the greatest.
    """
    rests_at = rig.conditions.rests_at
    if load.at is None or math.isinf(rests_at):
        return load, *_pressed_on_springs(rig, load, start)
    middle = np.array([rig.places.x[rig.meant].mean(), rig.places.y[rig.meant].mean()])
    try:
        within, springs, held = _pressed_on_springs(rig, load, start)
    except PressError:
        # Alone it would tip over, towards the push.
        slopes, turned = np.array(load.at) - middle, math.inf
    else:
        slopes = np.array(held.slopes)
        turned = float(np.hypot(*slopes))
    toward = slopes / max(float(np.hypot(*slopes)), 1e-12)
    reach = float(((rig.places.x - middle[0]) * toward[0] + (rig.places.y - middle[1]) * toward[1]).max())
    most = rests_at / max(reach, 1e-6)
    if turned <= most:
        return load, within, springs, held
    load = replace(load, at=None, slopes=(float(most * toward[0]), float(most * toward[1])))
    return load, *_pressed_on_springs(rig, load)


@dataclass(frozen=True, eq=False)
class PrintLook:
    """What one of many pushes on a face prints: the ``share`` of it that comes solid, and the greatest ``strain``.

    ``nearest``: the push that would print the wanted share if the face did not turn any further, N, infinite where none
    does, None where that is not told. ``motion``: approach and slopes, (3,), mm and mm per mm.
    """

    share: float
    strain: float
    nearest: float | None
    motion: Floats | None


def look_at_print(
    rig: Rig,
    force: float,
    threshold: float,
    *,
    at: tuple[float, float] | None = None,
    wanted: float | None = None,
    start: Floats | None = None,
) -> PrintLook:
    """Push a face that is set up and return what prints; for the quick solver without a map of the pressure.

    ``threshold``: pressure from which on it prints solid, MPa; ``wanted``: a share of the face, to say which push
    would print it; ``start``: the motion near which this one is expected. Raises as :func:`push`.
    """
    if rig.conditions.rolling is not None or rig.conditions.solver == "full":
        pressing = push(rig, force, at=at)
        return PrintLook(pressing.printed_share(threshold), pressing.strain, None, None)
    load = _load(rig, force, at)
    _, within, springs, held = _held_on_springs(rig, load, start)
    at_top, count = within is rig.top.numbers, rig.meant_count
    meant, columns = (rig.meant_at_top, rig.columns_at_top) if at_top else (rig.meant[within], rig.columns[within])
    share = float(np.count_nonzero(held.pressure[meant] >= threshold)) / count if count else 0.0
    strain = float((held.pressure * columns).max()) / rig.face.relief
    motion = np.array([held.approach, *held.slopes])
    nearest = None if wanted is None else _nearest(springs, motion, meant, math.ceil(wanted * count - 1e-9), threshold)
    return PrintLook(share, strain, nearest, motion)


def _nearest(springs: Springs, motion: Floats, meant: NDArray[np.bool_], most: int, threshold: float) -> float:
    """Return the push, N, that brings ``most`` of the meant places to a pressure with the slopes of a motion."""
    if not 0 < most <= int(np.count_nonzero(meant)):
        return math.inf
    places = springs.places
    turned = places.height + motion[1] * places.x + motion[2] * places.y
    needed = (springs.compliance * threshold - turned)[meant]
    approach = float(np.partition(needed, most - 1)[most - 1])
    return float((springs.stiffness * np.maximum(turned + approach, 0.0)).sum())


def _load(rig: Rig, force: float, at: tuple[float, float] | None) -> Push:
    """Return a push of a force, N; raises :class:`PressError` when it is more than the relief bears."""
    _check_force(rig, force)
    line = (rig.conditions.at if at is None else at) if rig.conditions.free else None
    return Push(force=force, at=line)


def _rolled(rig: Rig, rolling: Rolling, force: float, *, full: bool, progress: Share | None) -> Pressing:
    """Roll a curved face over paper; pressure is the greatest that each place comes under."""
    face = rig.face
    rolled = roll_on_springs(rig.places, rig.springs, rolling, force, deepest=face.relief)
    greatest = _rolled_fully(rig, rolling, force, rolled, progress) if full else rolled.pressure
    pressure = np.zeros(face.height.size, dtype=np.float32)
    pressure[rig.pixels] = greatest
    return Pressing(
        face=face,
        pressure=pressure.reshape(face.height.shape),
        force=force,
        approach=float(np.median(rolled.approach)) - float(rig.places.height.max()),
        slopes=(0.0, 0.0),
        strain=float((greatest * rig.columns).max()) / face.relief,
        solver="rolled, full" if full else "rolled",
        rounds=0,
        error=0.0,
        band=float(np.median(rolled.band)),
    )


def _rolled_fully(rig: Rig, rolling: Rolling, force: float, quick: Rolled, progress: Share | None) -> Floats:
    """Return the greatest pressure on each place, (n,) MPa, all of the band yielding together wherever the axis is.

    ``quick``: the same on springs, which says where to look.
    """
    surface = _surface(rig)
    along, greatest = rolling.along(rig.places), np.zeros(len(rig.pixels))
    between = float(np.median(quick.band)) / _LOOKS
    step = max(1, round(between / max(float(np.diff(quick.at).min(initial=np.inf)), 1e-6))) if len(quick.at) > 1 else 1
    looks = range(0, len(quick.at), step)
    for done, look in enumerate(looks):
        if progress is not None:
            progress(done / len(looks))
        set_back = rig.places.height - rolling.set_back(along, quick.at[look])
        reach = _REACHABLE * float(quick.approach[look])
        while True:
            within = np.flatnonzero(set_back > set_back.max() - reach)
            some = replace(rig.places.at(within), height=set_back[within])
            held = press_on_bed(some, Bed(surface, rig.pixels[within], rig.columns[within]), Push(force=force))
            come = set_back + held.approach
            come[within] = 0.0
            if come.max() <= 0.0:
                break
            reach *= 4.0
        greatest[within] = np.maximum(greatest[within], held.pressure)
    return greatest


def _check_force(rig: Rig, force: float) -> None:
    most = rig.greatest_force
    if force > most:
        raise PressError(
            f"force = {force:g} N would press the relief to less than half of its height, where no figure "
            f"holds any more; this face takes up to {most:.0f} N"
        )


def _give_of_layers(face: HeightMap, inked: Blocks, conditions: PressConditions) -> Floats:
    """Return how far floor, backing and bedding give way under unit pressure on the whole face, by squares, mm/MPa.

    As springs they answer to an even pressure exactly as the layers do; only what uneven pressure adds is left out.
    """
    surface = layered(
        (inked.values.shape[0], inked.values.shape[1]),
        inked.side * face.pitch,
        (conditions.behind_face(), conditions.bedding),
        "float64",
    )
    give = surface.yield_to(inked.values)
    # Off the face, hardly anything is felt, and a spring must not be stiffer than the layers under any one line.
    return np.maximum(give, float(give.max()) * 0.02)


def _pressed_on_springs(rig: Rig, load: Push, start: Floats | None = None) -> tuple[NDArray[np.intp], Springs, Held]:
    """Solve with each place on its own spring; only those near the top are looked at, unless lower ones touch."""
    springs = rig.top_on_springs
    held = springs.press(load, start)
    if rig.stays_off(held):
        return rig.top.numbers, springs, held
    top, reach = rig.top, _NEAR_TOP * rig.face.relief
    while _missed(rig.places, top.numbers, held):
        reach *= 4.0
        top = Top.of(rig.places, reach)
        springs = Springs(top.places, rig.springs[top.numbers])
        held = springs.press(load)
    return top.numbers, springs, held


def _pressed_fully(rig: Rig, load: Push, guess: Solved, progress: Share | None) -> Solved:
    """Solve with all places yielding together; only those in reach of the paper are looked at."""
    surface = _surface(rig)
    start = np.zeros(len(rig.pixels))
    start[guess[0]] = guess[1].pressure
    come = _come_forward(rig.places, guess[1])
    reach = _REACHABLE * float(come.max())
    while True:
        within = np.flatnonzero(come > -reach)
        bed = Bed(surface, rig.pixels[within], rig.columns[within])
        held = press_on_bed(rig.places.at(within), bed, load, start=start[within], progress=progress)
        if not _missed(rig.places, within, held):
            return within, held
        reach *= 4.0


def _surface(rig: Rig) -> ElasticSurface:
    """Return what is behind the relief and under the paper, as one surface that gives way, pixel for pixel."""
    conditions, face = rig.conditions, rig.face
    shape = (face.height.shape[0], face.height.shape[1])
    return layered(shape, face.pitch, (conditions.behind_face(), conditions.bedding), "float32")


def _missed(places: Places, within: NDArray[np.intp], held: Held) -> bool:
    """Say whether a place that was left out has come past where the paper lay; the paper's surface only recedes."""
    come = _come_forward(places, held)
    come[within] = 0.0
    return bool(come.max() > 0.0)


def _come_forward(places: Places, held: Held) -> Floats:
    return places.height + held.approach + held.slopes[0] * places.x + held.slopes[1] * places.y

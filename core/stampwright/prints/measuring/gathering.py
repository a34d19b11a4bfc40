"""What several prints say together: each figure with its spread, and which setting of a job it stands for."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ...errors import PrintError
from ...job import Job
from ...job.sections.printing import PrinterSection
from ...job.settings import limits_of
from ..testdie import CLEARANCES
from .face_shape import FaceShape, Fitted
from .reading import LEAST_OPEN, PrintReading

DIRECTIONS = {"along": "along the beads", "across": "across the beads", "diagonal": "diagonal to the beads"}

_LEAST_DOUBT = 0.003
"""Half of the range that even the surest figure of a length has, mm: what a scan at 600 dpi leaves open."""

_TWO = 2.0  # standard errors to either side: nineteen of twenty
_NEAR = 22.5  # degrees within which a direction on paper is one of the beads'
_UNLIKE = 0.04  # mm, between directions, from which on ink hardly creeps so by itself
_TRUE_ENOUGH = 0.2  # %, to which a size must be known to be put right by it
_THRESHOLD_RANGE = (0.25, 5.0)  # of what prints solid, where nobody weighed the push: 0.005 to 0.1 MPa of 0.02


@dataclass(frozen=True)
class Figure:
    """A measured figure: its value with the likely range, the deviation from print to print, and from how many.

    ``setting``: the setting of a job that it stands for, empty where there is none. ``told``: whether the prints tell
    it; what they do not tell is only known to be less than ``most``, either way.
    """

    name: str
    value: float
    low: float
    high: float
    deviation: float
    prints: int
    unit: str
    basis: str
    setting: str = ""
    most: float = math.inf
    told: bool = True


@dataclass(frozen=True, eq=False)
class MeasuredPrinter:
    """All that prints of a test die say of printer, ink and paper; ``notes``: what they cannot say, and what to do."""

    figures: tuple[Figure, ...]
    readings: tuple[PrintReading, ...]
    shapes: tuple[FaceShape | None, ...]
    notes: tuple[str, ...]


def gather(
    readings: Sequence[PrintReading],
    shapes: Sequence[FaceShape | None],
    job: Job,
    *,
    clearance: float | None = None,
) -> MeasuredPrinter:
    """Return what prints say together.

    ``shapes``: the face behind each print, None where it says nothing; ``clearance``: of the narrowest socket of the
    seat gauge that took the peg by hand, mm. Raises :class:`~stampwright.errors.PrintError` when there is no print, the
    prints are of different test dies, or the clearance is none of the gauge's.
    """
    if not readings:
        raise PrintError("there is no print to measure: name a scan or a photograph of one")
    if len({reading.chart.says for reading in readings}) > 1:
        raise PrintError("the prints are of different test dies: measure those of each die by themselves")
    figures = [*_about_spread(readings, job), *_about_ladders(readings, job), *_about_ink(readings, shapes)]
    figures += [*_about_face(shapes, job), *_about_size(readings, job)]
    if clearance is not None:
        figures.append(_about_seat(clearance))
    return MeasuredPrinter(tuple(figures), tuple(readings), tuple(shapes), tuple(_notes(readings, shapes, figures)))


def relation(direction: float, bead_turn: float) -> str:
    """Return how a direction on paper lies to the beads: along, across or diagonal.

    >>> relation(45.0, 45.0), relation(135.0, 45.0), relation(0.0, 45.0)
    ('along', 'across', 'diagonal')
    """
    off = abs((direction - bead_turn + 90.0) % 180.0 - 90.0)
    return "along" if off < _NEAR else "across" if off > 90.0 - _NEAR else "diagonal"


def _about_spread(readings: Sequence[PrintReading], job: Job) -> list[Figure]:
    means = [reading.mean_spread for reading in readings]
    within = float(np.mean([np.std([each.mean for each in reading.spread.values()]) for reading in readings]))
    # How brightness is held is the same in every picture: that doubt no number of prints takes away.
    held = float(np.mean([reading.doubt for reading in readings]))
    doubt = max(math.hypot(_TWO * _standard_error(means, within), held), _LEAST_DOUBT)
    value = float(np.clip(np.mean(means), 0.0, 1.0))
    figures = [
        _length("ink spread", value, doubt, means, "edges of lines and gaps, all directions", setting="ink.spread")
    ]
    for name, told in DIRECTIONS.items():
        by_print = [
            [each.mean for turn, each in reading.spread.items() if relation(turn, job.press.bead_turn) == name]
            for reading in readings
        ]
        some = [float(np.mean(values)) for values in by_print if values]
        if some:
            each_doubt = max(math.hypot(_TWO * _standard_error(some, within), held), _LEAST_DOUBT)
            figures.append(_length(f"ink spread {name}", float(np.mean(some)), each_doubt, some, f"edges {told}"))
    return figures


def _about_ladders(readings: Sequence[PrintReading], job: Job) -> list[Figure]:
    figures = []
    line = readings[0].chart.line_width
    for kind, name in (("lines", "least line"), ("gaps", "least gap")):
        worst: list[float] = []
        for reading in readings:
            least = [rungs.least for rungs in getattr(reading, kind).values()]
            worst.append(max((each if each is not None else math.inf) for each in least))
        if not np.isfinite(worst).all():
            continue
        widths = sorted(getattr(readings[0], kind)[0.0].widths)
        value = max(worst)
        below = max((each for each in widths if each < value - 1e-9), default=value)
        basis = "narrowest rung whole in every direction, on every print"
        figures.append(Figure(name, value, below, value, float(np.std(worst)), len(worst), "mm", basis))
        if kind == "gaps":
            figures.append(_about_closing(readings, below, value))
        if kind == "lines":
            figures.append(
                Figure(
                    "least line in line widths",
                    value / line,
                    below / line,
                    value / line,
                    float(np.std(worst)) / line,
                    len(worst),
                    "",
                    basis,
                    "preflight.block_lines",
                )
            )
        for told, turns in DIRECTIONS.items():
            some = [
                rungs.least
                for reading in readings
                for turn, rungs in getattr(reading, kind).items()
                if relation(turn, job.press.bead_turn) == told
            ]
            whole = [each for each in some if each is not None]
            if whole and len(whole) == len(some):
                figures.append(
                    Figure(
                        f"{name} {told}", max(whole), min(whole), max(whole), 0.0, len(readings), "mm", f"rungs {turns}"
                    )
                )
    return figures


def _about_closing(readings: Sequence[PrintReading], closed: float, opened: float) -> Figure:
    """Return under which width gaps close: between the ladder's rungs, by how far ink spreads where it does most."""
    widths = [2.0 * max(each.mean for each in reading.spread.values()) + LEAST_OPEN for reading in readings]
    return Figure(
        "gaps close under",
        float(np.clip(max(widths), closed, opened)),
        closed,
        opened,
        float(np.std(widths)),
        len(widths),
        "mm",
        "between the widest rung that closed and the next, by the spread",
        "preflight.least_gap",
    )


def _about_ink(readings: Sequence[PrintReading], shapes: Sequence[FaceShape | None]) -> list[Figure]:
    densities = [reading.density for reading in readings]
    doubt = max(_TWO * _standard_error(densities, 0.0), 0.05 * float(np.mean(densities)))
    figures = [
        _figure(
            "density of solid ink",
            float(np.mean(densities)),
            doubt,
            densities,
            unit="",
            basis="brightness of the file, which no one has calibrated",
        )
    ]
    weighed = [shape.solid_from for shape in shapes if shape is not None and shape.seen and not shape.assumed]
    if weighed:
        values = [each.value for each in weighed]
        within = float(np.mean([each.error for each in weighed]))
        value = float(np.median(values))
        doubt = max(_TWO * _standard_error(values, within), 0.1 * value)
        figures.append(
            _figure(
                "pressure that prints solid",
                value,
                doubt,
                values,
                unit="MPa",
                basis="darkness against the weighed push",
                setting="ink.solid_from",
            )
        )
    return figures


def _about_face(shapes: Sequence[FaceShape | None], job: Job) -> list[Figure]:
    printed = [shape for shape in shapes if shape is not None]
    if not printed:
        return []
    seen = [shape for shape in printed if shape.seen]
    assumed = any(shape.assumed for shape in printed)
    weighed = "push not weighed" if assumed else "push weighed"
    spread = _THRESHOLD_RANGE if assumed else (1.0, 1.0)
    bow = _together([shape.bow for shape in printed], spread)
    basis = f"light places, by the press model; {weighed}" if seen else f"no light places; {weighed}"
    figure = _face_figure("bow of the face", bow, [shape.bow for shape in seen or printed], basis)
    # What is surely less than was assumed is known better than by assuming.
    better = bow.told or (bool(seen) and bow.most < abs(job.press.bow))
    figures = [replace(figure, setting="press.bow" if better else "")]
    for name, axis in (("right", 0), ("up", 1)):
        # Where the push passed is as sure as the tilt that it made.
        places = [shape.off_centre[axis] for shape in seen if shape.off_centre and shape.rise[axis].told]
        if places:
            doubt = max(_TWO * _standard_error(places, 0.0), 0.2)
            figures.append(
                _figure(
                    f"push off centre, {name}",
                    float(np.mean(places)),
                    doubt,
                    places,
                    unit="mm",
                    basis="tilt of the face",
                )
            )
        rises = [shape.rise[axis] for shape in printed]
        tilt = _together(rises, spread)
        # Every print has a tilt of its own: told are all, or none, and the most is the most of any.
        most = max(each.most_if(spread[1]) for each in rises)
        tilt = replace(tilt, most=most, told=all(each.told for each in rises))
        figures.append(_face_figure(f"tilt of the face, {name}", tilt, rises, f"rise over the whole side; {weighed}"))
    return figures


def _face_figure(name: str, joint: _Joint, each: Sequence[Fitted], basis: str) -> Figure:
    low, high = (joint.low, joint.high) if joint.told else (-joint.most, joint.most)
    deviation = float(np.std([one.value for one in each]))
    return Figure(name, joint.value, low, high, deviation, len(each), "mm", basis, most=joint.most, told=joint.told)


@dataclass(frozen=True)
class _Joint:
    """What several prints say of one figure: its value with the likely range, the most that it is, whether told."""

    value: float
    low: float
    high: float
    most: float
    told: bool


def _together(each: Sequence[Fitted], spread: tuple[float, float]) -> _Joint:
    """Return what prints say of one figure together, the surest most; lengths grow with what is assumed to print solid.

    ``spread``: the range of that, as shares.
    """
    limit = min(one.limit for one in each)
    fitted = [one for one in each if math.isfinite(one.error)]
    if not fitted:
        return _Joint(0.0, -limit, limit, limit, told=False)
    weights = np.array([1.0 / max(one.error, 1e-9) ** 2 for one in fitted])
    values = np.array([one.value for one in fitted])
    value = float((weights * values).sum() / weights.sum())
    error = float(1.0 / np.sqrt(weights.sum()))
    if len(fitted) > 1:
        error = max(error, float(np.std(values, ddof=1)) / math.sqrt(len(fitted)))
    joint = Fitted(value, error, limit)
    ends = [(value + sign * _TWO * error) * share for sign in (-1.0, 1.0) for share in spread]
    return _Joint(value, min(ends), max(ends), joint.most_if(spread[1]), joint.told)


def _about_size(readings: Sequence[PrintReading], job: Job) -> list[Figure]:
    """Return how large prints are; as a setting it is the printer's, which a corrected die has less of already."""
    sized = [reading for reading in readings if reading.size is not None and reading.scale is not None]
    figures = []
    for axis, name in ((0, "across"), (1, "up")):
        setting = f"printer.size_{name}"
        low, high = limits_of(PrinterSection, f"size_{name}")
        values = [100.0 * reading.size[axis] for reading in sized if reading.size is not None]
        if not values:
            continue
        error = max(100.0 * reading.scale.error for reading in sized if reading.scale is not None)
        doubt = math.hypot(_TWO * _standard_error(values, 0.0), error)
        sources = ", ".join(dict.fromkeys(reading.scale.source for reading in sized if reading.scale is not None))
        basis = f"marks, by {sources}"
        figures.append(_figure(f"size {name}", float(np.mean(values)), doubt, values, unit="%", basis=basis))
        made = [value * job.printer.grows[axis] for value in values]
        mean = float(np.mean(made))
        if doubt <= _TRUE_ENOUGH and low <= mean <= high:
            # Nothing is put right that may as well be true.
            value = 100.0 if abs(mean - 100.0) <= doubt else mean
            basis = "size of prints, and what the test die's file made up for"
            figures.append(
                replace(
                    _figure(f"printer's size {name}", mean, doubt, made, unit="%", basis=basis, setting=setting),
                    value=value,
                )
            )
    return figures


def _about_seat(clearance: float) -> Figure:
    if not any(abs(clearance - each) < 1e-9 for each in CLEARANCES):
        listed = ", ".join(f"{each:g}" for each in CLEARANCES)
        raise PrintError(f"--seat {clearance:g} is no clearance of the seat gauge; it has {listed} mm")
    below = max((each for each in CLEARANCES if each < clearance - 1e-9), default=0.0)
    return Figure(
        "clearance of the seat", clearance, below, clearance, 0.0, 1, "mm", "seat gauge, by hand", "backing.clearance"
    )


def _notes(
    readings: Sequence[PrintReading], shapes: Sequence[FaceShape | None], figures: Sequence[Figure]
) -> list[str]:
    notes = []
    if all(reading.size is None for reading in readings):
        notes.append("the size is taken for true: nothing in the pictures says how large they are (--dpi, --scale)")
    elif not any(figure.setting.startswith("printer.size_") for figure in figures):
        notes.append(
            f"the size is not known to {_TRUE_ENOUGH:g} %, and is not put right: scan the prints flat, or lay a ruler "
            "beside them"
        )
    if not any(figure.told for shape in shapes if shape is not None for figure in (shape.bow, *shape.rise)):
        notes.append(
            "bow and tilt are not told: the prints are solid nearly all over; stamp once more, lightly and undressed"
        )
    elif all(shape is None or shape.assumed for shape in shapes):
        notes.append("what prints solid stays assumed: weigh the push on a kitchen scale, and say it with --push")
    for kind, name in (("lines", "line"), ("gaps", "gap")):
        if any(rungs.least is None for reading in readings for rungs in getattr(reading, kind).values()):
            notes.append(f"not even the broadest {name} is whole in every direction: push more evenly, or ink anew")
    for reading in readings:
        means = [each.mean for each in reading.spread.values()]
        if max(means) - min(means) > _UNLIKE:
            notes.append(
                f"{reading.scan}: ink reaches {max(means):.2f} mm in one direction and {min(means):.2f} mm in another: "
                "if the stamp slid or came down twice, stamp again; if not, printer or ink differ so"
            )
        notes += [f"{reading.scan}: {note}" for note in reading.notes]
    if len(readings) == 1:
        notes.append("one print tells nothing of how prints differ: stamp five, and measure all of them together")
    return notes


def _standard_error(values: Sequence[float], within: float) -> float:
    """Return the standard error of a mean: from print to print where there are several, else from within one."""
    if len(values) < 2:
        return within
    return max(float(np.std(values, ddof=1)), within) / math.sqrt(len(values))


def _length(name: str, value: float, doubt: float, values: Sequence[float], basis: str, *, setting: str = "") -> Figure:
    low, high = max(value - doubt, 0.0), value + doubt
    return Figure(name, value, low, high, float(np.std(values)), len(values), "mm", basis, setting)


def _figure(
    name: str, value: float, doubt: float, values: Sequence[float], *, unit: str, basis: str, setting: str = ""
) -> Figure:
    return Figure(name, value, value - doubt, value + doubt, float(np.std(values)), len(values), unit, basis, setting)

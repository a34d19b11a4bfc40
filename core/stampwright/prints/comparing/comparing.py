"""Prints of any stamp beside the stamp itself: how they differ, how like the art they are, and what to do."""

from __future__ import annotations

import math
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import shapely
from shapely.geometry import MultiPolygon

from ...errors import PrintError
from ...examination.laying import lay_out_job, limits_of
from ...files import read_mesh
from ...findings import Finding, by_severity
from ...job import Job
from ...job.heights import snap_heights
from ...job.kinds import (
    COUNTER_LOST,
    COUNTER_OPENED,
    FELL_APART,
    GAP_CLOSED,
    PART_LOST,
    RUN_TOGETHER,
    STROKE_LOST,
    WIDENED,
)
from ...job.written.files import read_job
from ...likeness import GivenArt, Judgement, judge_by_art, likeness_in_words
from ...looks.numbers import percent
from ...memory import Memory
from ...parts.true_size import off_printer
from ...plane.frames import die_to_paper
from ...plane.overlays import all_joined, joined, without
from ...press import find_face
from ...solids import Solid
from ...workshop import artwork_of
from ..finding.colours import without_colours
from ..finding.scans import Scan, read_scan
from .around import LOOKED_BESIDE
from .differences import PrintDifferences, find_differences, shared_places
from .registering import Registered, register_all
from .scanned import MORE_SPREAD, NOTABLE, about_scan
from .striking import LEAST_SHIFT

MOST_PRINTS = 20
"""Scans of one stamp, and prints in them, that are compared together."""

_ALWAYS = 0.75  # share of the prints from which on a place is the die's, and not the hand's
_LEAN = 0.12  # of solid ink from edge to edge, that is a push off centre
_LESS = 0.5  # times as much off, where a colour is left out
_STRAY = 0.3  # mm² of ink away from the face that is told of

_DRESS = "Dress the face there, push more, or ink anew; where it never prints, draw it wider"
_LESS_INK = "Ink less, or push less; where it always fills, enlarge the artwork or open it"
_REMEDIES = {
    **dict.fromkeys((PART_LOST, STROKE_LOST, FELL_APART, COUNTER_OPENED), _DRESS),
    **dict.fromkeys((COUNTER_LOST, GAP_CLOSED, RUN_TOGETHER, WIDENED), _LESS_INK),
}
"""What to do about a stamp that is there already, before it is drawn anew."""


@dataclass(frozen=True, eq=False)
class PrintComparison:
    """Prints of one stamp beside it.

    ``face``: what the die's file prints without spread; ``given``: the art; both mm, paper frame. ``prints``: in the
    order of the scans, ``judgements``: each judged by the art as given. ``always``: what is missing or light on nearly
    every print; ``sometimes``: on some. ``findings``: what to say and to do, the gravest first.
    """

    job: Job
    face: MultiPolygon
    given: GivenArt
    prints: tuple[PrintDifferences, ...]
    judgements: tuple[Judgement, ...]
    always: MultiPolygon
    sometimes: MultiPolygon
    findings: tuple[Finding, ...]

    @property
    def mean_spread(self) -> float:
        """Mean of the spread over prints, mm."""
        return sum(each.mean_spread for each in self.prints) / len(self.prints)

    def in_words(self) -> str:
        """Say how like the art the prints are: the worst of them."""
        worst = min(self.judgements, key=lambda each: each.likeness.printed_share)
        return likeness_in_words(worst.likeness, round(self.mean_spread, 2))

    def as_record(self) -> dict[str, Any]:
        """Return plain data; lengths in mm, areas in mm²."""
        return {
            "name": self.job.name,
            "spread": round(self.mean_spread, 4),
            "assumed_spread": self.job.ink.spread,
            "prints": [
                {
                    "scan": each.registered.scan.name,
                    "number": each.registered.number,
                    "like": round(each.registered.like, 3),
                    "register_error": round(each.registered.error, 4),
                    "dpi": round(each.registered.view.pixels_per_mm() * 25.4, 1),
                    "spread": round(each.mean_spread, 4),
                    "again": None if (again := each.registered.again) is None else [round(part, 3) for part in again],
                    "tone": round(each.tone, 3),
                    "lean": [round(part, 3) for part in each.lean],
                    **{name: round(getattr(each, name).area, 3) for name in ("missing", "light", "stray", "beside")},
                    "likeness": judgement.as_record(),
                }
                for each, judgement in zip(self.prints, self.judgements, strict=True)
            ],
            "always": round(self.always.area, 3),
            "sometimes": round(self.sometimes.area, 3),
            "findings": [finding.as_record() for finding in self.findings],
        }


def compare_prints(
    scans: Sequence[str | Path], folder: str | Path, *, dpi: float | None = None, given: GivenArt | None = None
) -> PrintComparison:
    """Compare prints of a stamp, one or several to a scan or photograph, with the stamp in its folder.

    ``dpi``: of the scans, in place of what the files record. The face is that of the die's file; the art is ``given``,
    or that which the folder keeps, or where it keeps none, as of art that was no file, the face itself. Raises
    :class:`~stampwright.errors.PrintError` when a scan shows no print of it, :class:`~stampwright.errors.JobError`,
    :class:`~stampwright.errors.ArtworkError` and :class:`~stampwright.errors.MeshFileError` when the folder is none of
    a stamp.
    """
    folder = Path(folder)
    if not scans or len(scans) > MOST_PRINTS:
        raise PrintError(f"one to {MOST_PRINTS} scans are compared at a time, not {len(scans)}")
    job = read_job(folder / "job.json")
    if job.bend != Job().bend:
        raise PrintError(
            f"{folder}: prints of bent dies are not compared yet; stampwright impress shows what one prints"
        )
    given = given or _kept_art(job)
    die = off_printer(read_mesh(folder / "die.stl"), job.printer)
    face = find_face(die, depth=snap_heights(job).dressing).outlines
    given = given or GivenArt(face, name=job.name)
    stamp = _outline_on_paper(die)
    prints = tuple(each for path in scans for each in _differences(path, face, stamp, dpi))[:MOST_PRINTS]
    judgements = tuple(_judged(each, given, job) for each in prints)
    lacking = [shapely.MultiPolygon(_parts(joined(each.missing, each.light))) for each in prints]
    always = shared_places(lacking, max(1, round(_ALWAYS * len(lacking) + 0.49)))
    sometimes = shapely.MultiPolygon(_parts(without(all_joined(lacking), always.buffer(0.2))))
    findings = _said(job, face, prints, judgements, lacking=(always, sometimes))
    return PrintComparison(job, face, given, prints, judgements, always, sometimes, findings)


def _differences(
    path: str | Path, face: MultiPolygon, stamp: shapely.Polygon, dpi: float | None
) -> tuple[PrintDifferences, ...]:
    """Return how every print that a scan shows differs; where a colour laid what is stray in it, without that colour.

    Raises :class:`~stampwright.errors.PrintError` when there is none.
    """

    def found_in(seen: Scan, shown: Sequence[Registered]) -> tuple[PrintDifferences, ...]:
        found = tuple(find_differences(each, face, stamp=stamp, others=shown) for each in shown)
        if all(each.is_of_another(face) for each in found):
            raise PrintError(
                f"{seen.name}: no print of this stamp is seen; scan the whole print by itself, or name the folder of "
                "the stamp that made it"
            )
        return found

    scan = read_scan(path, dpi=dpi)
    try:
        best, reason = found_in(scan, register_all(scan, face)), None
    except PrintError as error:
        best, reason = (), error
    if reason is not None or max(each.too_much for each in best) > _STRAY:
        for other in without_colours(scan, path):
            with suppress(PrintError):
                found = found_in(other, register_all(other, face, reasons=False))
                if not best or _off(found) < _LESS * _off(best):
                    best = tuple(replace(each, recoloured=True) for each in found)
    if not best and reason is not None:
        raise reason
    return best


def _off(found: Sequence[PrintDifferences]) -> float:
    """Return how much of prints is off, mm² each: too much, or lacking."""
    return float(sum(each.too_much + each.missing.area + each.light.area for each in found)) / len(found)


def _kept_art(job: Job) -> GivenArt | None:
    """Return the art of a job where it lies; None where the job names none: it was drawn elsewhere."""
    if not (job.artwork or job.pieces):
        return None
    artwork = artwork_of(job)
    laid = lay_out_job(job, artwork, Memory(), picture=None).layout
    return GivenArt.placed(artwork, laid.matrix, laid.repeat)


def _outline_on_paper(die: Solid) -> shapely.Polygon:
    """Return the outline that a die reaches, hollows and all, mm, paper frame."""
    flat = die_to_paper(shapely.MultiPoint(die.vertices[:, :2]).convex_hull)
    return shapely.Polygon(flat.exterior)


def _parts(region: shapely.Geometry) -> list[shapely.Polygon]:
    return [part for part in shapely.get_parts(region) if part.geom_type == "Polygon" and part.area > 0.02]


def _judged(each: PrintDifferences, given: GivenArt, job: Job) -> Judgement:
    measured = job.with_value("ink.spread", min(max(each.mean_spread, 0.0), 1.0))
    return judge_by_art(each.printed, given, limits_of(measured), job.preflight.accept)


def _said(
    job: Job,
    face: MultiPolygon,
    prints: Sequence[PrintDifferences],
    judgements: Sequence[Judgement],
    *,
    lacking: tuple[MultiPolygon, MultiPolygon],
) -> tuple[Finding, ...]:
    """Return what prints show, and what to do about it; ``lacking``: always, and sometimes."""
    always, sometimes = lacking
    several = len(prints) > 1
    findings: list[Finding] = []
    if always.area > NOTABLE * face.area:
        findings.append(_lacking(always, face, several=several))
    if several and sometimes.area > NOTABLE * face.area:
        findings.append(
            _finding(
                "prints differ",
                f"{percent(sometimes.area / face.area, 1)} of the face is missing or light on some prints only: that "
                "is the hand or the ink, not the die",
                "Ink evenly, push straight down and as hard every time.",
                sometimes,
            )
        )
    findings += [found for each in prints for found in about_scan(each, face)]
    findings += [_twice(each.registered.again) for each in prints if each.registered.again is not None]
    findings += _about_hand(prints)
    spread = sum(each.mean_spread for each in prints) / len(prints)
    least = sum(each.mean_spread - each.registered.unsure for each in prints) / len(prints)
    if least > job.ink.spread + MORE_SPREAD:
        findings.append(
            Finding(
                kind="ink spreads more",
                severity="warns",
                stage="impression",
                message=f"the ink spreads by {spread:.2f} mm where the job has {job.ink.spread:g} mm",
                remedy=f"Ink less or push less; or make it anew with ink.spread={spread:.2f}, drawn in by it.",
                measured=spread,
                limit=job.ink.spread,
            )
        )
    findings += _strays(prints) + _beside(prints)
    findings += _shared_findings(judgements)
    return by_severity(findings)


def _twice(again: tuple[float, float]) -> Finding:
    """Say that a print was struck twice, which its spread leaves out."""
    right, up = again
    shift = math.hypot(right, up)
    return Finding(
        kind="struck twice",
        severity="warns",
        stage="impression",
        message=f"struck twice, or slid: every edge again {shift:.2f} mm off ({right:+.2f} right, {up:+.2f} up)",
        remedy="Lift straight up after one push, and hold the paper; its spread is told without that.",
        measured=shift,
        limit=LEAST_SHIFT,
    )


def _beside(prints: Sequence[PrintDifferences]) -> list[Finding]:
    """Say where ink lies that the stamp did not reach."""
    largest = max(prints, key=lambda each: each.beside.area).beside
    if largest.area <= _STRAY:
        return []
    found = _finding(
        "ink beside the stamp",
        f"{largest.area:.1f} mm² of ink lie within {LOOKED_BESIDE:g} mm of the stamp, where it does not reach",
        "Fingers, the pad's rim or drops; what is printed there already is none of the stamp's.",
        largest,
    )
    return [replace(found, severity="notes")]


def _strays(prints: Sequence[PrintDifferences]) -> list[Finding]:
    """Say where ink away from the face comes onto nearly every print."""
    stray = shared_places([each.stray for each in prints], max(1, round(_ALWAYS * len(prints) + 0.49)))
    if stray.area <= _STRAY:
        return []
    return [
        _finding(
            "stray ink",
            f"{stray.area:.1f} mm² of ink away from the face{' on nearly every print' if len(prints) > 1 else ''}: "
            "floor or shoulder took ink, or strings of filament print",
            "Clean the floor, cut strings off, ink with a firmer pad, or raise the relief.",
            stray,
        )
    ]


def _lacking(always: MultiPolygon, face: MultiPolygon, *, several: bool) -> Finding:
    where = "on nearly every print" if several else "on this print"
    return _finding(
        "face prints light",
        f"{percent(always.area / face.area, 1)} of the face is missing or light {where}"
        + (": that is the die" if several else ""),
        "Dress the face until the dull marks of the paper reach these places, or look there for a gap in the print."
        if several
        else "Stamp again and compare several prints: what is always light is the die, what changes the hand.",
        always,
    )


def _about_hand(prints: Sequence[PrintDifferences]) -> list[Finding]:
    right = sum(each.lean[0] for each in prints) / len(prints)
    up = sum(each.lean[1] for each in prints) / len(prints)
    findings = []
    lean = min(max(abs(right), abs(up)), 1.0)
    if lean > _LEAN:
        side = (
            ("left" if right > 0 else "right") if abs(right) >= abs(up) else ("lower side" if up > 0 else "upper side")
        )
        findings.append(
            Finding(
                kind="push off centre",
                severity="warns",
                stage="impression",
                message=f"the print is lighter at its {side}, by {percent(lean)} of solid ink",
                remedy=f"Push more towards the {side}, or level: the push passes beside the middle.",
                measured=lean,
                limit=_LEAN,
                unit="",
            )
        )
    tone = sum(each.tone for each in prints) / len(prints)
    if tone < 0.85:
        findings.append(
            Finding(
                kind="print uneven",
                severity="warns",
                stage="impression",
                message=f"what prints is {percent(tone)} as dark as its darkest places",
                remedy="Push more, or ink more evenly; a firm pad and a flat table help.",
                measured=tone,
                limit=0.85,
                unit="",
            )
        )
    return findings


def _shared_findings(judgements: Sequence[Judgement]) -> list[Finding]:
    """Return what the art's reader loses, once each, with how many prints lose it."""
    counted: dict[tuple[str, str], list[Finding]] = {}
    for judgement in judgements:
        for finding in judgement.findings:
            at = finding.as_record()["at"]
            place = ",".join(f"{round(part)}" for part in at) if at else finding.message
            counted.setdefault((finding.kind, place), []).append(finding)
    told = []
    for found in counted.values():
        on = f" (on {len(found)} of {len(judgements)} prints)" if len(judgements) > 1 else ""
        # Prints are there already: nothing of what they show keeps a stamp from being made.
        told.append(
            replace(
                found[0],
                severity="warns" if found[0].severity == "blocks" else found[0].severity,
                message=found[0].message + on,
                remedy=_REMEDIES.get(found[0].kind, found[0].remedy),
            )
        )
    return told


def _finding(kind: str, message: str, remedy: str, place: MultiPolygon) -> Finding:
    largest = max(shapely.get_parts(place), key=lambda part: part.area)
    return Finding(
        kind=kind,
        severity="warns",
        stage="impression",
        message=message,
        remedy=remedy,
        place=largest.convex_hull if shapely.get_num_coordinates(largest) > 64 else largest,
        measured=float(place.area),
        unit="mm²",
    )

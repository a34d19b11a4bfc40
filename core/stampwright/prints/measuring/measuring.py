"""From scans to what they say: every print in them found, read, and gathered."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

from ...errors import PressError, PrintError
from ...job import Job
from ...job.written.files import read_job
from ..finding.colours import without_colours
from ..finding.impressions import find_impressions
from ..finding.scans import Scan, read_scan
from ..testdie import Chart, chart_of, job_of_test_die
from .face_shape import FaceShape, fit_face, set_up_face
from .gathering import MeasuredPrinter, gather
from .reading import PrintReading, read_print
from .slides import Slide, find_slide


def measure_prints(
    scans: Sequence[str | Path],
    *,
    test: str | Path | None = None,
    dpi: float | None = None,
    scale: str = "",
    pushes: Mapping[str, float] | None = None,
    push: float | None = None,
    clearance: float | None = None,
) -> MeasuredPrinter:
    """Read every print of a test die in scans and photographs, and return what they say together.

    ``test``: the folder of the test die, from which come its job and chart; without it, their codes say the chart, and
    the job is the usual one. ``dpi``: of the scans, in place of what the files record; ``scale``: what the scale is
    taken from, as :func:`~stampwright.prints.finding.scales.find_scale` has it. ``push``: N, that all were stamped
    with, ``pushes``: those of single scans, by file name. ``clearance``: as :func:`gather` has it. Raises
    :class:`~stampwright.errors.PrintError` with the reason when a scan cannot be measured,
    :class:`~stampwright.errors.JobError` when the folder holds no job.
    """
    job, chart = (None, None) if test is None else _known(Path(test))
    readings: list[PrintReading] = []
    slid: list[PrintError] = []
    recoloured: list[str] = []
    for path in scans:
        scan = read_scan(path, dpi=dpi)
        weighed = (pushes or {}).get(Path(path).name, push)
        # Who says the resolution means it: it is not given up for another scale.
        asked = _Asked(chart, scale or ("dpi" if dpi else ""), weighed)
        read_here, seen = _readings(scan, path, asked)
        if seen is not scan:
            recoloured.append(f"{scan.name}: what is there in another colour than the print's is left out")
        for read in read_here:
            slide = find_slide({turn: each.mean for turn, each in read.spread.items()})
            if slide is None:
                readings.append(read)
            else:
                slid.append(_slid(path, slide))
    if slid and not readings:
        raise slid[0]
    if not readings:
        raise PrintError("there is no print to measure: name a scan or a photograph of one")
    job = job or _usual(readings[0].chart)
    measured = gather(readings, _shapes(readings, job), job, clearance=clearance)
    return replace(measured, notes=(*measured.notes, *recoloured, *(f"left out: {each}" for each in slid)))


@dataclass(frozen=True)
class _Asked:
    """How prints are to be read: the chart that they are of, where it is known, the scale, and the push, N."""

    chart: Chart | None
    scale: str
    push: float | None


def _readings(scan: Scan, path: str | Path, asked: _Asked) -> tuple[list[PrintReading], Scan]:
    """Read every print of a scan; where none can be read for a colour that lies over it, without that colour."""
    try:
        return _readings_in(scan, asked), scan
    except PrintError:
        for other in without_colours(scan, path):
            with suppress(PrintError):
                return _readings_in(other, asked), other
        raise


def _readings_in(scan: Scan, asked: _Asked) -> list[PrintReading]:
    found = find_impressions(scan, asked.chart)
    return [read_print(scan, each, scale=asked.scale, push=asked.push) for each in found]


def _slid(path: str | Path, slide: Slide) -> PrintError:
    right, up = (slide.length * part(math.radians(slide.turn)) for part in (math.cos, math.sin))
    return PrintError(
        f"{path}: a print was struck twice, or slid, by {slide.length:.2f} mm ({abs(right):.2f} across, {abs(up):.2f} "
        "up or down): its lines are broader than ink makes them; lift straight up after one push, and stamp again"
    )


def _shapes(readings: Sequence[PrintReading], job: Job) -> list[FaceShape | None]:
    """Return the faces behind prints."""
    try:
        rig = set_up_face(job)
        return [fit_face(each.tones, rig, job.ink.solid_from, push=each.push) for each in readings]
    except PressError as error:
        raise PrintError(f"the face behind the prints cannot be reckoned: {error}") from error


def _known(folder: Path) -> tuple[Job, Chart]:
    job = read_job(folder / "job.json")
    return job, chart_of(job)


def _usual(chart: Chart) -> Job:
    """Return the job of a test die that nothing else is known of."""
    return job_of_test_die(Job().with_value("printer.nozzle", chart.line_width), chart.size)

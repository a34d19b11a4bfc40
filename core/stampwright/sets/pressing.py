"""Pressing a set: every die of it read back from its file, printed one over the other in the colours of its inks."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ..errors import JobError
from ..findings import Finding
from ..inks import in_printing_order
from ..job import Job
from ..job.inks import folder_of
from ..job.written.files import read_job
from ..press import impress
from .picture import set_picture


@dataclass(frozen=True, eq=False)
class SetImpression:
    """What the dies of a set leave on paper: ``printed`` by ink, in printing order, mm, and the picture in colour."""

    printed: dict[str, MultiPolygon]
    colours: tuple[str, ...]
    picture: NDArray[np.uint8]
    dpi: float
    findings: tuple[Finding, ...]


def is_set(folder: str | Path) -> bool:
    """Say whether a path is the folder of a set in several inks; raises :class:`JobError` when its job is broken."""
    job = Path(folder) / "job.json"
    return job.is_file() and bool(read_job(job).inks)


def impress_set(folder: str | Path, *, spread: float = 0.0, dpi: float = 600.0, depth: float = 0.0) -> SetImpression:
    """Press every die of the set in a folder on paper, in perfect register; arguments as :func:`~stampwright.impress`.

    Raises :class:`~stampwright.errors.JobError` when the folder holds no set, and what pressing raises.
    """
    folder = Path(folder)
    job: Job = read_job(folder / "job.json")
    if not job.inks:
        raise JobError(f"{folder}: its job has no inks, so it is no set; name the die of a single stamp")
    inks = in_printing_order(job.inks)
    pressed = {
        ink.name: impress(folder / folder_of(ink.name) / "die.stl", spread=spread, dpi=dpi, depth=depth) for ink in inks
    }
    printed = {name: each.outlines for name, each in pressed.items()}
    colours = tuple(ink.colour for ink in inks)
    findings = tuple(finding for each in pressed.values() for finding in each.findings)
    return SetImpression(printed, colours, set_picture(list(printed.values()), colours, dpi=dpi), dpi, findings)

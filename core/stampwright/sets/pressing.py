"""Pressing a set: every die of it read back from its file, printed one over the other in the colours of its inks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from itertools import chain
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ..errors import JobError
from ..files import read_stl
from ..findings import Finding, by_severity, with_name
from ..inks import coloured_picture, in_printing_order
from ..job import Job
from ..job.heights import snap_heights
from ..job.inks import Ink, folder_of
from ..job.written.files import read_job
from ..memory import Share
from ..plane.rasters.raster import MM_PER_INCH
from ..press import Impression, Prediction, impress, predict_print
from .picture import set_picture


@dataclass(frozen=True, eq=False)
class SetImpression:
    """What the dies of a set leave on paper: ``printed`` by ink, in printing order, mm, and the picture in colour.

    ``pushed``: how each ink was pushed, where it was, and ``shares`` how much of its face that prints solid, 0 to 1.
    """

    printed: dict[str, MultiPolygon]
    colours: tuple[str, ...]
    picture: NDArray[np.uint8]
    dpi: float
    findings: tuple[Finding, ...]
    pushed: Mapping[str, Prediction] = field(default_factory=dict)
    shares: Mapping[str, float] = field(default_factory=dict)


def is_set(folder: str | Path) -> bool:
    """Say whether a path is the folder of a set in several inks; raises :class:`JobError` when its job is broken."""
    job = Path(folder) / "job.json"
    return job.is_file() and bool(read_job(job).inks)


def impress_set(folder: str | Path, *, spread: float = 0.0, dpi: float = 600.0, depth: float = 0.0) -> SetImpression:
    """Press every die of the set in a folder on paper, in perfect register; arguments as :func:`~stampwright.impress`.

    Raises :class:`~stampwright.errors.JobError` when the folder holds no set, and what pressing raises.
    """
    folder, inks = Path(folder), _inks_in(folder)
    pressed = {
        ink.name: impress(folder / folder_of(ink.name) / "die.stl", spread=spread, dpi=dpi, depth=depth) for ink in inks
    }
    printed = {name: each.outlines for name, each in pressed.items()}
    colours = tuple(ink.colour for ink in inks)
    findings = _named({name: each.findings for name, each in pressed.items()})
    return SetImpression(printed, colours, set_picture(list(printed.values()), colours, dpi=dpi), dpi, findings)


def push_set(
    folder: str | Path,
    *,
    values: Mapping[str, Any] | None = None,
    textured: bool = True,
    dpi: float = 300.0,
    progress: Share | None = None,
) -> SetImpression:
    """Push every die of the set in a folder on paper as its own job says, and print them over one another.

    ``values``: settings by path that are otherwise for all of them; a place of the push counts from where each is
    pushed. Other arguments as :func:`~stampwright.press.prediction.predict_print`, and it raises as that does, and
    :class:`~stampwright.errors.JobError` for a folder or a value that is no set's.
    """
    folder, inks = Path(folder), _inks_in(folder)
    pushed: dict[str, Prediction] = {}
    shares: dict[str, float] = {}
    for done, ink in enumerate(inks):
        own = folder / folder_of(ink.name)
        job = read_job(own / "job.json")
        given = dict(values or {})
        for path, own_place in (
            ("press.off_centre_x", job.press.off_centre_x),
            ("press.off_centre_y", job.press.off_centre_y),
        ):
            given[path] = own_place + given.get(path, 0.0)
        job = job.with_values(given)
        pushed[ink.name] = predict_print(
            job,
            read_stl(own / "die.stl"),
            allowance=snap_heights(job).dressing,
            textured=textured,
            dpi=dpi,
            progress=None if progress is None else partial(_within, progress, done, len(inks)),
        )
        shares[ink.name] = pushed[ink.name].pressing.printed_share(job.ink.solid_from)
    impressions = [each.impression for each in pushed.values()]
    colours = tuple(ink.colour for ink in inks)
    return SetImpression(
        {name: each.impression.outlines for name, each in pushed.items()},
        colours,
        coloured_picture(_on_one_sheet(impressions), colours),
        dpi,
        _named({name: each.findings for name, each in pushed.items()}),
        pushed,
        shares,
    )


def _inks_in(folder: Path) -> tuple[Ink, ...]:
    job: Job = read_job(folder / "job.json")
    if not job.inks:
        raise JobError(f"{folder}: its job has no inks, so it is no set; name the die of a single stamp")
    return in_printing_order(job.inks)


def _named(found: Mapping[str, Iterable[Finding]]) -> tuple[Finding, ...]:
    return by_severity(chain.from_iterable(with_name(name, each) for name, each in found.items()))


def _within(progress: Share, done: int, count: int, share: float) -> None:
    progress((done + share) / count)


def _on_one_sheet(impressions: Sequence[Impression]) -> list[NDArray[np.uint8]]:
    """Return the pictures of impressions on sheets of one size, pixel over pixel as nearly as they are printed."""
    pixel = MM_PER_INCH / impressions[0].dpi
    corners = np.round(np.array([each.corner for each in impressions]) / pixel).astype(int)
    sizes = np.array([each.picture.shape[::-1] for each in impressions])
    low, high = corners.min(axis=0), (corners + sizes).max(axis=0)
    sheets = []
    for (column, row), each in zip(corners - low, impressions, strict=True):
        sheet = np.full((high - low)[::-1], 255, dtype=np.uint8)
        rows, columns = each.picture.shape
        below = sheet.shape[0] - row
        sheet[below - rows : below, column : column + columns] = each.picture
        sheets.append(sheet)
    return sheets

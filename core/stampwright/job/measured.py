"""What of a job was measured and not assumed: single settings with their spread, and where they come from."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from os import PathLike
from pathlib import Path
from typing import Any

from ..errors import JobError
from .job import Job, job_settings
from .made_from import Measured
from .written.tables import as_path, read_table

KIND = "measured printer"
"""What a settings file of measured figures says that it is."""

FORMAT_VERSION = 1
"""Raised when an entry of such a file changes its meaning."""


@dataclass(frozen=True)
class MeasuredSettings:
    """What a settings file holds: its name, the settings that it gives, and plain lines on what else it says."""

    name: str
    settings: tuple[Measured, ...]


def holds_measured(path: str | PathLike[str]) -> bool:
    """Say whether a file says of itself that it holds measured settings, and is no job."""
    try:
        data = read_table(as_path(path, "a settings file"), "a settings file")
    except JobError:
        return False
    return isinstance(data, dict) and data.get("kind") == KIND


def read_measured(path: str | PathLike[str]) -> MeasuredSettings:
    """Read a settings file as ``stampwright measure`` writes it, TOML or JSON.

    Raises :class:`JobError` when it cannot be read, is no such file, or gives a setting that no job has, or a value
    that it cannot have.
    """
    file = as_path(path, "a settings file")
    try:
        data = read_table(file, "a settings file")
        if not isinstance(data, dict) or data.get("kind") != KIND:
            raise JobError(f'not measured settings: they say kind = "{KIND}"; make them with stampwright measure')
        version = data.get("format")
        if version != FORMAT_VERSION:
            raise JobError(f"format = {version!r} is not one that this program reads ({FORMAT_VERSION})")
        figures = data.get("figures", [])
        if not isinstance(figures, list) or not all(isinstance(each, dict) for each in figures):
            raise JobError("figures is a list of tables, one for each figure")
        settings = tuple(_setting_of(each, file.name) for each in figures if each.get("setting"))
        # Tried on a job of defaults, so that a value out of range is named with its file.
        take_measured(Job(), settings)
    except JobError as error:
        raise JobError(f"{file}: {error}") from error
    return MeasuredSettings(file.name, settings)


def take_measured(job: Job, settings: Iterable[Measured]) -> Job:
    """Return the job with measured settings in place of its own, marked as measured; later ones win.

    Raises :class:`JobError` when a setting is unknown or a value not allowed.
    """
    latest = {each.setting: each for each in settings}
    if not latest:
        return job
    job = job.with_values({path: each.value for path, each in latest.items()})
    values = {path: value for path, value, _ in job_settings(job)}
    # As the job holds it: a whole number may have been rounded, a name may have been an old one.
    kept = {each.setting: each for each in job.measured} | {
        path: replace(each, value=float(values[path])) for path, each in latest.items() if path in values
    }
    return replace(job, measured=tuple(kept.values()))


def measured_in(job: Job) -> Mapping[str, Measured]:
    """Return what of a job is measured, by setting: only where the job still holds the value that was measured."""
    values = {path: value for path, value, _ in job_settings(job)}
    return {each.setting: each for each in job.measured if values.get(each.setting) == each.value}


def _setting_of(figure: dict[str, Any], source: str) -> Measured:
    numbers = {}
    for name in ("value", "low", "high"):
        value = figure.get(name, figure.get("value"))
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            raise JobError(f"the figure of {figure['setting']} has no number as its {name}")
        numbers[name] = float(value)
    return Measured(str(figure["setting"]), prints=figure.get("prints", 1), source=Path(source).name, **numbers)

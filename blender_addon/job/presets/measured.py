"""Measured settings as presets of the user's own: those of a printer, of an ink, each marked as measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict

from ...stampwright.errors import JobError
from ...stampwright.job.made_from import Measured, as_measured
from .shelf import drop, keep, own_presets

SORT = "measured"
"""What the user's own file of them is called."""


def own_measured() -> dict[str, tuple[Measured, ...]]:
    """Return the user's own measured settings by label; what cannot be read of them counts as none."""
    found = {}
    for label, settings in own_presets(SORT).items():
        try:
            found[label] = as_measured([{"setting": path, **about} for path, about in settings.items()])
        except (JobError, TypeError):
            continue
    return found


def keep_measured(label: str, settings: Sequence[Measured]) -> None:
    """Keep measured settings under a label, in place of those of the same; raises what :func:`keep` raises."""
    kept = {}
    for each in settings:
        about = asdict(each)
        kept[about.pop("setting")] = about
    keep(SORT, label, kept)


def drop_measured(label: str) -> None:
    """Drop measured settings; raises :class:`OutputError` when their file cannot be read or written."""
    drop(SORT, label)

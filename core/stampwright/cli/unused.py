"""Settings that were typed and change nothing, as another says otherwise: a width without sizing by width."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from ..job import Job
from ..job.job import job_settings

_ROLLED, _ROLLER = ("bend.form", ("rocker", "roller")), ("bend.form", ("roller",))
_REPAIRED = ("preflight.repair", (True,))

_NEEDS: dict[str, tuple[str, tuple[Any, ...]]] = {
    "layout.width": ("layout.size_by", ("width",)),
    "layout.height": ("layout.size_by", ("height",)),
    "base.height": ("base.outline", ("rectangle", "ellipse", "follow")),
    "base.corner_radius": ("base.outline", ("rectangle",)),
    "base.margin": ("base.outline", ("follow",)),
    "base.smoothing": ("base.outline", ("follow",)),
    "base.points": ("base.outline", ("custom",)),
    **dict.fromkeys((f"preflight.repair_{what}" for what in ("at", "lines", "by", "to", "gaps", "specks")), _REPAIRED),
    "preflight.repair_spikes": _REPAIRED,
    "bend.rolls": _ROLLED,
    "bend.radius": _ROLLED,
    **dict.fromkeys(
        (f"bend.{what}" for what in ("size_by", "repeat", "turns", "band", "seam", "axle", "play")), _ROLLER
    ),
    "handle.profile": ("handle.form", ("turned",)),
    "handle.outline": ("handle.form", ("straight",)),
}
"""Settings that count only where another has one of these values."""


def unused_of(job: Job, typed: Iterable[str]) -> Iterator[str]:
    """Yield a line for each setting that was typed, by its path, and does not count in the job as it is."""
    values = {path: value for path, value, _ in job_settings(job)}
    for path in typed:
        other, counted = _NEEDS.get(path, ("", ()))
        if other and values[other] not in counted:
            wanted = " or ".join(_as_typed(value) for value in counted)
            yield f"{path} is set and not used: it counts with {other}={wanted}, not {_as_typed(values[other])}"


def _as_typed(value: Any) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)

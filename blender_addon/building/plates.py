"""The plates of a set: what its stamps have in common, parted once for all of them; nothing here touches Blender."""

from __future__ import annotations

import threading
from dataclasses import dataclass, replace
from typing import Any

from ..stampwright.artwork.coloured.patches import Coloured
from ..stampwright.errors import ArtworkError
from ..stampwright.job import Job
from ..stampwright.job.written.files import job_as_json
from ..stampwright.memory import Memory
from ..stampwright.parts.gauge import Gauge
from ..stampwright.sets import coloured_of
from ..stampwright.sets.drawing import draw_coloured
from ..stampwright.sets.making import PartedArt, part_art
from .orders import BuildOrder


@dataclass(frozen=True, eq=False)
class Plates:
    """What the stamps of a set have in common: the job with all inks, the art in its colours, and what each prints."""

    job: Job
    coloured: Coloured
    parted: PartedArt

    def leads(self, order: BuildOrder) -> bool:
        """Whether an order is for the ink that is printed first, with which what belongs to all of them is shown."""
        return self.parted.placed[0].ink.name == order.plate


def plates_of(order: BuildOrder) -> Plates:
    """Return what the stamps of an order's set are made from; the set that was parted last is not parted again.

    Raises :class:`StampwrightError`.
    """
    job = replace(order.job, inks=order.inks)
    key = (order.mark, order.paints, job_as_json(job))
    with _parting:
        if _parted.get("key") != key:
            coloured = coloured_for(order, job)
            _check_paints(coloured, job)
            _parted.update(key=key, plates=Plates(job, coloured, part_art(job, coloured)))
        plates: Plates = _parted["plates"]
        return plates


def coloured_for(order: BuildOrder, job: Job) -> Coloured:
    """Return the artwork of an order in its colours; raises :class:`StampwrightError`."""
    if order.shapes:
        return draw_coloured(job, order.shapes, dict(order.paints), name=job.name)
    return coloured_of(job, str(order.file or ""))


def kept(plates: Plates) -> Plates:
    """Return the same; a memory then has it as what was made last."""
    return plates


def gauge_in(memory: Memory) -> Gauge | None:
    """Return the gauge of the set whose stamp was made last, or None."""
    plates = memory.last(kept)
    return None if plates is None else plates.parted.gauge


def _check_paints(coloured: Coloured, job: Job) -> None:
    named = {name for ink in job.inks for name in (ink.name, *ink.layers)}
    for patch in coloured.patches:
        if patch.source and patch.source not in named:
            raise ArtworkError(
                f"the art has the material {patch.source}, too, which no stamp of this set prints: part it again"
            )


_parting = threading.Lock()
_parted: dict[str, Any] = {}
"""The set that was parted last: stamps of one set are built beside each other, and ask for the same."""

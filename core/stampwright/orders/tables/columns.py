"""Columns of a table of orders: a place of the template, a setting by its name, or what the shop is told."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from ...errors import OrderError
from ...job import Job
from ...job.job import job_settings
from ...job.pieces import FILE_SETTINGS
from ...job.written.old_names import current_path
from ...templates import Template
from ...templates.template import places_in
from .rows import CUSTOMER, ORDER, shown

COUNT, RUSH, ARTWORK = "count", "rush", "artwork"

OF_THE_SHOP = {
    ORDER: "what the order is called, which names its folder",
    CUSTOMER: "whose it is",
    COUNT: "how many of the stamp",
    RUSH: "yes, when it comes first",
    ARTWORK: "the file that it prints, beside the table",
}
"""Columns that fill no place and are no setting, and what they say."""


@dataclass(frozen=True)
class Columns:
    """What each column is for.

    ``places``: of the template; ``file_places``: those of them that name files; ``settings``: of the job; ``left_out``:
    for nobody here.
    """

    places: tuple[str, ...]
    file_places: frozenset[str]
    settings: tuple[str, ...]
    left_out: frozenset[str]


def columns_of(names: Sequence[str], template: Template, left_out: Collection[str] = ()) -> Columns:
    """Return what the columns of a table are for; raises :class:`OrderError` when one is for nothing, or for two."""
    known = {path for path, _, _ in job_settings(Job())}
    for place in template.words:
        if place in OF_THE_SHOP:
            raise OrderError(
                f"the template {template.name!r} has a place {{{place}}}, and a column of that name says "
                f"{OF_THE_SHOP[place]}; call the place otherwise"
            )
    files = frozenset(_file_places(template.job.get("pieces", ())))
    places, settings, spare = [], [], set()
    for name in names:
        if name in left_out:
            spare.add(name)
        elif name in template.words:
            places.append(name)
        elif current_path(name) in known:
            settings.append(name)
        elif name not in OF_THE_SHOP:
            may = [*template.words, *OF_THE_SHOP, *sorted(known)]
            near = get_close_matches(name, may, n=1, cutoff=0.6)
            raise OrderError(
                f"the column {shown(name)} is for no place of the template ({', '.join(template.words) or 'none'}), no "
                f"setting and none of {', '.join(OF_THE_SHOP)}{f'; nearest: {near[0]}' if near else ''}; rename it, or "
                "leave it out (--ignore)"
            )
    return Columns(tuple(places), files, tuple(settings), frozenset(spare))


def _file_places(pieces: Sequence[Mapping[str, Any]]) -> list[str]:
    return [place for piece in pieces for setting in FILE_SETTINGS for place in places_in(piece.get(setting, ""))]

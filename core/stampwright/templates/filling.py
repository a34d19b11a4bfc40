"""Filling: a template's places with words, each set as large as its room allows and no smaller than prints."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from ..artwork.made import make_artwork
from ..errors import JobError
from ..job import Job
from ..job.files import job_from_data
from ..job.pieces import Lettering, Piece, QrCode, RoundLettering, Typeset, pieces_from_data
from .template import PLACE, Template, demand_places, places_in
from .type_sizes import least_cap_height

MODULE_LINES = 2.0
"""Least side of a code's module, printed lines."""

_STEP = 0.05
"""Sizes are set in such steps, mm, rounded down."""


_MOST_RAISED = 1.25
"""Letters that need it, such as Å, are set larger than in the template by this much at most: lines stay apart."""


@dataclass(frozen=True)
class _Room:
    """The room of a piece: ``fits``, mm or degrees; ``places``: the words in it; ``line_width``, ``spread``: mm."""

    fits: float
    places: tuple[str, ...]
    line_width: float
    spread: float

    @property
    def where(self) -> str:
        return " and ".join(self.places)


def fill_template(template: Template, said: Mapping[str, str], settings: Mapping[str, Any] | None = None) -> Job:
    """Return the job of a template with words of one's own.

    ``said``: words by the name of their place; the others say what the template says; nothing leaves a place out.
    ``settings``: of the job, by ``section.setting``. Text that is too long for its room is set smaller, down to what
    the printer of the job prints, then without the space between its letters. Raises :class:`JobError` when there is
    no such place, nothing is said at all, or text does not fit even so; it says how much would.
    """
    demand_places(template, said)
    words = {**template.words, **{name: text.strip() for name, text in said.items()}}
    data = {name: value for name, value in template.job.items() if name != "pieces"}
    job = job_from_data(data).with_values(dict(settings or {}))
    pieces = []
    for table in template.job["pieces"]:
        filled = _filled(table, words)
        if filled is None:
            continue
        fits = filled.pop("fits", None)
        (piece,) = pieces_from_data([filled], template.name)
        room = _Room(fits or math.inf, tuple(places_in(table)), job.printer.line_width, job.ink.spread)
        pieces.append(_fitted(piece, room))
    if not any(isinstance(piece, Typeset | QrCode) for piece in pieces):
        raise JobError(f"the template {template.name!r} has nothing to say; give words for {', '.join(template.words)}")
    return replace(job, pieces=tuple(pieces))


def _filled(table: Mapping[str, Any], words: Mapping[str, str]) -> dict[str, Any] | None:
    """Return a piece's plain data with its words, or None when it has places and nothing is said in any."""
    places = list(places_in(table))
    dated = table["kind"] == "date"
    if places and not dated and not any(words[place] for place in places):
        return None
    filled: dict[str, Any] = {}
    for name, value in table.items():
        if isinstance(value, list):
            # A line whose words are left out leaves no gap.
            said = [_said(line, words) for line in value]
            filled[name] = [line for line in said if line]
        else:
            filled[name] = _said(value, words) if isinstance(value, str) else value
    return filled


def _said(text: str, words: Mapping[str, str]) -> str:
    return PLACE.sub(lambda place: words[place[1]], text).strip()


def _fitted(piece: Piece, room: _Room) -> Piece:
    if isinstance(piece, QrCode):
        return _fitted_code(piece, room)
    return _fitted_text(piece, room) if isinstance(piece, Typeset) else piece


def _fitted_text(piece: Typeset, room: _Room) -> Typeset:
    """Return type that fits its room: as it is, smaller, or smaller and without space between its letters."""
    said = " ".join((getattr(piece, "label", ""), getattr(piece, "text", "")))
    least = least_cap_height(said, room.line_width, room.spread)
    if piece.cap_height < least <= _MOST_RAISED * piece.cap_height:
        piece = replace(piece, cap_height=least)
    least = min(least, piece.cap_height)
    wide = _width(piece)
    if wide <= room.fits:
        return piece
    if piece.cap_height * room.fits / wide >= least + _STEP:
        return _resized(piece, piece.cap_height * room.fits / wide)
    narrow = replace(piece, cap_height=least, spacing=min(piece.spacing, 0.0))
    wide = _width(narrow)
    if wide <= room.fits:
        return narrow
    longest = max(said.splitlines(), key=len).strip()
    unit = "°" if isinstance(piece, RoundLettering) else " mm"
    raise JobError(
        f"{room.where}: {longest[:40]!r} takes {wide:.0f}{unit} at the smallest letters that print, {least:g} mm, and "
        f"there are {room.fits:.0f}{unit}: about {int(len(longest) * room.fits / wide)} such characters fit. Shorten it"
        + (", or set it in capitals" if longest != longest.upper() else "")
    )


def _fitted_code(piece: QrCode, room: _Room) -> QrCode:
    least = MODULE_LINES * room.line_width
    wide = make_artwork([piece]).page_size[0]
    if wide <= room.fits:
        return piece
    module = round(math.floor(piece.module * room.fits / wide / _STEP + 1e-6) * _STEP, 2)
    if module >= least - 1e-9:
        return replace(piece, module=module)
    raise JobError(
        f"{room.where}: {len(piece.text)} characters make a code of {wide / piece.module * least:.0f} mm at the "
        f"smallest modules that print, {least:g} mm, and there are {room.fits:.0f} mm. Shorten it: capitals, digits "
        "and $%*+-./: take the least room"
    )


def _resized(piece: Typeset, cap_height: float) -> Typeset:
    cap_height = round(math.floor(cap_height / _STEP + 1e-6) * _STEP, 2)
    return replace(piece, cap_height=cap_height, spacing=piece.spacing * cap_height / piece.cap_height)


def _width(piece: Typeset) -> float:
    """Return how much room type takes: mm, or degrees round its circle."""
    if not isinstance(piece, RoundLettering):
        return make_artwork([replace(piece, x=0.0, y=0.0, turn=0.0)]).page_size[0]
    straight = {name: getattr(piece, name) for name in ("font", "weight", "italic", "cap_height", "spacing", "kerning")}
    return math.degrees(make_artwork([Lettering(text=piece.text, **straight)]).page_size[0] / piece.radius)

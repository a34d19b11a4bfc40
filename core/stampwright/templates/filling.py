"""Filling: a template's places with words, each set as large as its room allows and no smaller than prints."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from ..errors import JobError, WordsError
from ..job import Job
from ..job.pieces import Piece, QrCode, Typeset, pieces_from_data
from ..job.written.files import job_from_data, with_named
from .fitting import PieceRoom, fit_code, fit_text
from .larger import grown, growth, with_what_fits
from .template import PLACE, RULES, Template, demand_places, places_in


def fill_template(template: Template, said: Mapping[str, str], settings: Mapping[str, Any] | None = None) -> Job:
    """Return the job of a template with words of one's own.

    ``said``: words by the name of their place; the others say what the template says; nothing leaves a place out.
    ``settings``: of the job, by ``section.setting``. Text that is too long for its room is set smaller, down to what
    the printer of the job prints or the template allows, then closer, then in several lines if it may be. A base that
    settings make larger than the template's makes its places as much larger. Raises :class:`JobError` when there is no
    such place, and :class:`~stampwright.errors.WordsError` when nothing is said where it is needed, or text does not
    fit; it says how much would, and on how large a base all of it would.
    """
    settings = dict(settings or {})
    try:
        return _filled_job(template, said, settings)
    except WordsError as refused:
        if not refused.places or refused.places == tuple(template.words):
            raise
        job, _ = _job_of(template, said, settings)
        raise with_what_fits(refused, job, lambda base: _filled_job(template, said, {**settings, **base})) from refused


def _job_of(
    template: Template, said: Mapping[str, str], settings: Mapping[str, Any]
) -> tuple[Job, tuple[float, dict[str, str]]]:
    """Return a template's job but for its pieces, how many times as large it comes, and its words."""
    words = {**template.words, **{name: text.strip() for name, text in said.items()}}
    data = {name: _filled_in(value, words) for name, value in template.job.items() if name != "pieces"}
    if isinstance(data.get("name"), str):
        # What the stamp is called has one line, whatever it says.
        data["name"] = " ".join(data["name"].split())
    by, job = growth(job_from_data(data), settings)
    return job, (by, words)


def _filled_job(template: Template, said: Mapping[str, str], settings: Mapping[str, Any]) -> Job:
    demand_places(template, said)
    job, (by, words) = _job_of(template, said, settings)
    if empty := tuple(name for name in template.needed if not words[name]):
        raise WordsError(f"the template {template.name!r} is no use without {' and '.join(empty)}; give words", empty)
    tables = [grown(table, by) for table in template.job.get("pieces", ())]
    pieces = [
        _piece(table, f"{template.name}: pieces[{number}]", words, job) for number, table in enumerate(tables, start=1)
    ]
    kept = tuple(piece for piece in pieces if piece is not None)
    said_in = any(piece is not None and any(places_in(table)) for piece, table in zip(pieces, tables, strict=True))
    if template.words and not said_in and not any(isinstance(piece, Typeset | QrCode) for piece in kept):
        raise WordsError(
            f"the template {template.name!r} has nothing to say; give words for {', '.join(template.words)}",
            tuple(template.words),
        )
    job = replace(job, pieces=kept)
    folder = template.folder
    return job if folder is None else with_named(job, lambda file: os.path.realpath(folder / file))


def _piece(table: Mapping[str, Any], where: str, words: Mapping[str, str], job: Job) -> Piece | None:
    """Return a piece with its words, fitted to its room, or None when it has places and nothing is said in any."""
    filled = _filled(table, words)
    if filled is None:
        return None
    rules = {name: filled.pop(name) for name in RULES if name in filled}
    lines = [place for place in places_in(table) if "\n" in words[place]]
    # A list has a place for each line; other text may have several where its height is limited.
    one_line = "fits" in rules and "fits_up" not in rules and rules.get("most_lines", 1) < 2
    if lines and (isinstance(table.get("text"), list) or one_line):
        raise WordsError(f"{lines[0]}: there is room for one line; leave the line break out", (lines[0],))
    try:
        (piece,) = pieces_from_data([filled])
    except JobError as error:
        named = tuple(places_in(table))
        told = str(error).removeprefix("pieces[1]")
        raise WordsError(f"{where}{told}", named) if named else JobError(f"{where}{told}") from error
    closes = max(job.ink.spread, job.preflight.least_gap / 2.0)
    room = PieceRoom(tuple(places_in(table)), job.printer.line_width, closes, **rules)
    if isinstance(piece, QrCode):
        return fit_code(piece, room)
    return fit_text(piece, room) if isinstance(piece, Typeset) else piece


def _filled(table: Mapping[str, Any], words: Mapping[str, str]) -> dict[str, Any] | None:
    """Return a piece's plain data with its words, or None when it has places and nothing is said in any."""
    places = list(places_in(table))
    dated = table.get("kind") == "date"
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


def _filled_in(value: Any, words: Mapping[str, str]) -> Any:
    """Return plain data with the words in all its texts."""
    if isinstance(value, str):
        return _said(value, words)
    if isinstance(value, list):
        return [_filled_in(each, words) for each in value]
    return {name: _filled_in(each, words) for name, each in value.items()} if isinstance(value, dict) else value


def _said(text: Any, words: Mapping[str, str]) -> Any:
    return PLACE.sub(lambda place: words[place[1]], text).strip() if isinstance(text, str) else text

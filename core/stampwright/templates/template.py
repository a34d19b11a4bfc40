"""A template: a job file whose pieces have places for words."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from ..errors import JobError
from ..job.written.tables import as_path, read_table

READY = Path(__file__).parent / "ready"

PLACE = re.compile(r"\{(\w+)\}")
"""How a place for words is written in a template's pieces."""


RULES: dict[str, tuple[float, float]] = {
    "fits": (0.5, 1000.0),
    "fits_up": (0.5, 1000.0),
    "smallest": (0.3, 300.0),
    "narrowest": (-10.0, 100.0),
    "most_lines": (1, 4),
}
"""What a piece of a template may have beside its settings, with its limits; see :class:`Template`."""


@dataclass(frozen=True)
class Template:
    """A stamp to be filled with words.

    ``about``: what it is for. ``words``: its places by name, each with what it says unless told otherwise. ``job``:
    the job as plain data, its pieces with places in braces; beside their settings these may have ``fits``, mm of width,
    or degrees for round lettering, that their words must not exceed; and rules for words that are too long:
    ``smallest``: capitals, mm; ``narrowest``: space between letters, mm; ``most_lines``: into how many lettering may
    be broken between words, within ``fits_up`` mm of height. ``folder``: where the files are that the job names.
    ``needed``: places without whose words the stamp would be of no use.
    """

    name: str
    about: str
    words: Mapping[str, str]
    job: Mapping[str, Any]
    folder: Path | None = None
    needed: tuple[str, ...] = ()


def list_templates() -> tuple[Template, ...]:
    """Return the templates that come along, by name."""
    return tuple(_read(path) for path in sorted(READY.glob("*.toml")))


def template_called(name: str) -> Template:
    """Return the template of a name, or the one in a file; raises :class:`JobError` that says which there are.

    A name that ends with .toml or .json is a file's, as :func:`read_template` takes it.

    >>> template_called("address").words["line1"]
    'Mossgate Seed Library'
    """
    if Path(name).suffix.lower() in (".toml", ".json"):
        return read_template(name)
    known = sorted(path.stem for path in READY.glob("*.toml"))
    if name not in known:
        raise JobError(f"there is no template {name!r}; there {_are(known)}{_nearest(name, known)}")
    return _read(READY / f"{name}.toml")


def read_template(path: str | Path) -> Template:
    """Return the template in a job file: its places are where its texts have names in braces, such as ``{name}``.

    A table ``[template]`` may say what it is for (``about``), what its places say unless told otherwise
    (``[template.words]``; without it they say nothing), and which may not be left out (``needed``). Raises
    :class:`JobError` when it cannot be read or is no job.
    """
    path = as_path(path, "a template")
    try:
        data = read_table(path, "a template")
        if not isinstance(data, dict):
            raise JobError("a template is a job file, a table of sections")
        data = dict(data)
        about = data.pop("template", {})
        said = about.get("words", {}) if isinstance(about, dict) else None
        if not isinstance(said, dict) or not all(isinstance(words, str) for words in said.values()):
            raise JobError("[template] takes what it is about, and [template.words] a text for each place")
        _check_pieces(data.get("pieces", []))
        words = dict.fromkeys(places_in(data), "")
        for name in said:
            if name not in words:
                raise JobError(f"[template.words] has {name!r}, and no text of the job has a place {{{name}}}")
        needed = _needed(about, words)
        return Template(path.stem, str(about.get("about", "")), {**words, **said}, data, path.absolute().parent, needed)
    except JobError as error:
        raise JobError(f"{path}: {error}") from error


def _needed(about: Mapping[str, Any], words: Mapping[str, str]) -> tuple[str, ...]:
    needed = about.get("needed", [])
    if not isinstance(needed, list) or not all(isinstance(name, str) and name in words for name in needed):
        raise JobError(f"[template] needed is a list of places, out of: {', '.join(words) or 'none'}")
    return tuple(needed)


def _check_pieces(pieces: Any) -> None:
    if not isinstance(pieces, list) or not all(isinstance(piece, dict) for piece in pieces):
        raise JobError("pieces is a list of tables, [[pieces]], one a piece")
    for number, piece in enumerate(pieces, start=1):
        for rule, (low, high) in RULES.items():
            value = piece.get(rule, low)
            # A switch is a whole number to Python.
            if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
                raise JobError(f"pieces[{number}].{rule} = {value!r} is not allowed: it takes {low:g} to {high:g}")


def demand_places(template: Template, said: Mapping[str, str]) -> None:
    """Raise :class:`JobError` when words are given for a place that a template has not."""
    for name in said:
        if name not in template.words:
            raise JobError(
                f"the template {template.name!r} has no place {name!r}; there {_are(list(template.words))}"
                f"{_nearest(name, list(template.words))}"
            )


def places_in(value: Any) -> Iterator[str]:
    """Yield the places for words in a piece's plain data."""
    if isinstance(value, str):
        yield from PLACE.findall(value)
    elif isinstance(value, list):
        for each in value:
            yield from places_in(each)
    elif isinstance(value, Mapping):
        for each in value.values():
            yield from places_in(each)


def _read(path: Path) -> Template:
    data = dict(read_table(path, "a template"))
    about = data.pop("template")
    return Template(path.stem, about["about"], dict(about["words"]), data, needed=tuple(about.get("needed", ())))


def _are(names: list[str]) -> str:
    return f"{'is' if len(names) == 1 else 'are'} {', '.join(names)}"


def _nearest(name: str, known: list[str]) -> str:
    near = get_close_matches(name, known, n=1, cutoff=0.5)
    return f"; nearest: {near[0]}" if near else ""

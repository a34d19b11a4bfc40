"""A template: a job file whose pieces have places for words."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from ..errors import JobError
from ..job.tables import read_table

READY = Path(__file__).parent / "ready"

PLACE = re.compile(r"\{(\w+)\}")
"""How a place for words is written in a template's pieces."""


@dataclass(frozen=True)
class Template:
    """A stamp to be filled with words.

    ``about``: what it is for. ``words``: its places by name, each with what it says unless told otherwise. ``job``:
    the job as plain data, its pieces with places in braces; beside their settings these may have ``fits``, mm of width,
    or degrees for round lettering, that their words must not exceed.
    """

    name: str
    about: str
    words: Mapping[str, str]
    job: Mapping[str, Any]


def list_templates() -> tuple[Template, ...]:
    """Return the templates that come along, by name."""
    return tuple(_read(path) for path in sorted(READY.glob("*.toml")))


def template_called(name: str) -> Template:
    """Return the template of a name; raises :class:`JobError` that says which there are.

    >>> template_called("address").words["line1"]
    'Mossgate Seed Library'
    """
    known = sorted(path.stem for path in READY.glob("*.toml"))
    if name not in known:
        raise JobError(f"there is no template {name!r}; there {_are(known)}{_nearest(name, known)}")
    return _read(READY / f"{name}.toml")


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
    return Template(path.stem, about["about"], dict(about["words"]), data)


def _are(names: list[str]) -> str:
    return f"{'is' if len(names) == 1 else 'are'} {', '.join(names)}"


def _nearest(name: str, known: list[str]) -> str:
    near = get_close_matches(name, known, n=1, cutoff=0.5)
    return f"; nearest: {near[0]}" if near else ""

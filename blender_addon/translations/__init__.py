"""The extension in other languages, by the host's own means: three tables a language beside this file.

One gives for every English text of panels, menus, properties and operators what stands there instead, one for every
tooltip, and one for every message. Texts are looked up in a context of our own, as the host has words of the same
spelling that mean other things; tooltips in the one that the host looks in for those.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path

import bpy

from ..loading import EXTENSION
from ..stampwright.job.labels import SETTINGS, in_labels, label_of, labelled, unit_of

CONTEXT = "Stampwright"
"""The host's context of translations in which our words mean what they mean here."""

LANGUAGES = ("de", "fr")
"""Languages that there is a table of, by the codes that the host takes for all countries that speak them."""

MESSAGES = ".messages"
"""What the name of a language's table of messages has behind it."""

ENGLISH: Mapping[str, str] = {}
"""Table of the language that everything is written in."""

USUALLY = "Usually {low} to {high}"
"""Second line of a tooltip, before the unit."""

_CONTEXTS = (CONTEXT, "*", "Operator")
"""Ours, and those in which the host looks for texts and for operators that name no other."""


def translated(text: str) -> str:
    """Return a text of ours in the language that the host speaks."""
    told: str = bpy.app.translations.pgettext_iface(text, CONTEXT)
    return told


def tooltip_of(path: str, table: Mapping[str, str] = ENGLISH) -> str:
    """Return a setting's reason and normal range, capital first, no full stop; in another language by its table."""
    about = SETTINGS[path]
    text = about.reason[:1].upper() + about.reason[1:].rstrip(".")
    text = table.get(text, text)
    if about.normal is not None:
        low, high = (f"{limit:g}" for limit in about.normal)
        unit = table.get(unit_of(path), unit_of(path))
        text += f".\n{table.get(USUALLY, USUALLY).format(low=low, high=high)} {unit}".rstrip()
    return text


def table_of(language: str) -> dict[str, str]:
    """Return every text of a language by the English one, settings with their units and ranges behind them, too."""
    table: dict[str, str] = {}
    for kind in ("", ".tooltips", MESSAGES):
        table |= _read(f"{language}{kind}.toml")
    for setting in SETTINGS:
        label, unit = label_of(setting), unit_of(setting)
        if unit and label in table:
            table[labelled(setting)] = f"{table[label]} ({table.get(unit, unit)})"
    ranged = {tooltip_of(setting): tooltip_of(setting, table) for setting in SETTINGS}
    return table | ranged


def said(message: str) -> str:
    """Return a message in the language that the host speaks, with settings called as panels call them.

    Messages name things: one is looked up by its words, and what it names is put into the other language's.
    """
    for template, pattern in _patterns():
        found = pattern.fullmatch(message)
        if found is not None:
            return in_labels(translated(template).format(*found.groups()))
    return in_labels(message)


@cache
def _patterns() -> list[tuple[str, re.Pattern[str]]]:
    """Return every message, and what tells it; those of many words first, as others may fit them, too."""
    templates = sorted(_read(f"{LANGUAGES[0]}{MESSAGES}.toml"), key=len, reverse=True)
    return [(each, re.compile("(.*)".join(map(re.escape, each.split("{}"))), re.DOTALL)) for each in templates]


def _read(name: str) -> dict[str, str]:
    return tomllib.loads(Path(__file__).with_name(name).read_text(encoding="utf-8"))


def register() -> None:
    """Enter all languages."""
    told = {
        language: {(context, text): said for text, said in table_of(language).items() for context in _CONTEXTS}
        for language in LANGUAGES
    }
    bpy.app.translations.register(EXTENSION, told)


def unregister() -> None:
    """Take them back."""
    bpy.app.translations.unregister(EXTENSION)

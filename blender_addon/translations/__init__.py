"""The extension in other languages, by the host's own means: five tables a language beside this file.

One gives for every English text of panels, menus, properties and operators what stands there instead, one for every
tooltip, one for every message, and two for what findings and errors of the core say, which knows no language but its
own. Texts are looked up in a context of our own, as the host has words of the same spelling that mean other things;
tooltips in the one that the host looks in for those.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache, lru_cache
from pathlib import Path

import bpy

from ..loading import EXTENSION
from ..stampwright.job.labels import SETTINGS, in_labels, label_of, unit_of

CONTEXT = "Stampwright"
"""The host's context of translations in which our words mean what they mean here."""

LANGUAGES = ("de", "fr")
"""Languages that there is a table of, by the codes that the host takes for all countries that speak them."""

TOLD = (".messages", ".findings", ".errors")
"""What the names of a language's tables have behind them that hold whole sentences, with gaps for what is put in."""

JOINTS = ("or", "and")
"""What stands before the last of what is listed."""

ABOUT = "{}: {}"
"""Sentence behind what it is about, such as the name of a file."""

MOST_KEPT = 4096
"""Messages whose words are kept: panels say the same at every redraw."""

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
        whole, unit = (100.0, "%") if about.is_share else (1.0, table.get(unit_of(path), unit_of(path)))
        low, high = (f"{whole * limit:g}" for limit in about.normal)
        text += f".\n{table.get(USUALLY, USUALLY).format(low=low, high=high)} {unit}".rstrip()
    return text


def table_of(language: str) -> dict[str, str]:
    """Return every text of a language by the English one, settings with their units and ranges behind them, too."""
    table: dict[str, str] = {}
    for kind in ("", ".tooltips", *TOLD):
        table |= _read(f"{language}{kind}.toml")
    for setting in SETTINGS:
        label, unit = label_of(setting), unit_of(setting)
        # Under a title that says the first of them, a label is shown without these words.
        words = label.split(" ") if unit else []
        for shown in (" ".join(words[first:]) for first in range(len(words))):
            if shown in table:
                table[f"{shown} ({unit})"] = f"{table[shown]} ({table.get(unit, unit)})"
    ranged = {tooltip_of(setting): tooltip_of(setting, table) for setting in SETTINGS}
    return table | ranged


def said(message: str) -> str:
    """Return a message, or what a finding says, in the language that the host speaks; settings as panels call them.

    Messages name things: one is looked up by its words, and what it names is put into the other language's.
    """
    return in_labels(_told(message), translated)


def _told(message: str) -> str:
    found = _taken_apart(message)
    if found is not None:
        template, named = found
        return translated(template).format(*map(_named, named))
    for joint in JOINTS:
        parts = _listed(message, joint)
        if len(parts) > 1 and all(_taken_apart(each) is not None for each in parts):
            *rest, last = map(_told, parts)
            return f"{', '.join(rest)} {translated(joint)} {last}"
    parts = message.split(", ")
    if len(parts) > 1 and all(_taken_apart(each) is not None for each in parts):
        return ", ".join(map(_told, parts))
    return _told_of_something(message)


def _told_of_something(message: str) -> str:
    """Return a sentence that stands behind one or more names of what it is about, each with a colon."""
    about, _, rest = message.partition(": ")
    if not rest:
        return message
    told = _told(rest)
    # Of what nobody has a sentence for, at least what it is about may be a word of ours.
    return message if told == rest and _named(about) == about else translated(ABOUT).format(_named(about), told)


def _listed(message: str, joint: str) -> list[str]:
    """Return what a sentence lists, such as ways to mend something."""
    rest, _, last = message.rpartition(f" {joint} ")
    return [*rest.rstrip(",").split(", "), last] if rest else []


def _named(words: str) -> str:
    """Return what is put into a sentence: a sentence, or a word of the core; what people named stays as it is."""
    told = _told(words)
    if told != words or not words[:1].islower():
        return told
    label = words[:1].upper() + words[1:]
    told = translated(label)
    return words if told == label else told


@lru_cache(MOST_KEPT)
def _taken_apart(message: str) -> tuple[str, tuple[str, ...]] | None:
    """Return the sentence that a message is, and what is put into it; None when it is none of ours.

    One that stands within another is written small there, and with a capital by itself.
    """
    small = message[:1].lower() + message[1:]
    for template, pattern in _patterns():
        found = pattern.fullmatch(message) or pattern.fullmatch(small)
        if found is not None:
            return template, found.groups()
    return None


@cache
def _patterns() -> list[tuple[str, re.Pattern[str]]]:
    """Return every message, and what tells it; those of many words first, as others may fit them, too."""
    known = {each: None for kind in TOLD for each in _read(f"{LANGUAGES[0]}{kind}.toml") if each != ABOUT}
    templates = sorted(known, key=len, reverse=True)
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

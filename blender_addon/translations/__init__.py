"""The extension in other languages, by the host's own means: one table a language beside this file.

A table gives for every English text of panels, menus, properties and operators what stands there instead. Texts are
looked up in a context of our own, as the host has words of the same spelling that mean other things.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import bpy

from ..loading import EXTENSION
from ..stampwright.job.labels import SETTINGS, label_of, labelled, unit_of

CONTEXT = "Stampwright"
"""The host's context of translations in which our words mean what they mean here."""

LANGUAGES = ("de", "fr")
"""Languages that there is a table of, by the codes that the host takes for all countries that speak them."""

_CONTEXTS = (CONTEXT, "*", "Operator")
"""Ours, and those in which the host looks for texts and for operators that name no other."""


def translated(text: str) -> str:
    """Return a text of ours in the language that the host speaks."""
    told: str = bpy.app.translations.pgettext_iface(text, CONTEXT)
    return told


def table_of(language: str) -> dict[str, str]:
    """Return every text of a language by the English one, settings with their units behind them, too."""
    path = Path(__file__).with_name(f"{language}.toml")
    table: dict[str, str] = tomllib.loads(path.read_text(encoding="utf-8"))
    for setting in SETTINGS:
        label, unit = label_of(setting), unit_of(setting)
        if unit and label in table:
            table[labelled(setting)] = f"{table[label]} ({table.get(unit, unit)})"
    return table


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

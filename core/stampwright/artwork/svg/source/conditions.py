"""Conditions under which an element is there at all (SVG 2, section 5.8)."""

from __future__ import annotations

from .document import Element

LANGUAGE = "en"
"""The reader's language, for ``systemLanguage``."""


def applies(element: Element) -> bool:
    """Say whether an element's conditions hold; extensions are never at hand, not even one without a name."""
    languages = element.attrib.get("systemLanguage")
    if languages is not None:
        offered = [language.strip().lower() for language in languages.split(",")]
        if not any(language == LANGUAGE or language.startswith(f"{LANGUAGE}-") for language in offered):
            return False
    return "requiredExtensions" not in element.attrib

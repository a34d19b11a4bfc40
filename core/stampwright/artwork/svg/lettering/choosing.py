"""The font that a style asks for, as it is at hand, and what of its own tables is put to use."""

from __future__ import annotations

import re

from ...fonts import Font
from ..painting.sheet import Sheet
from ..placing.place import Place
from ..source.document import Element

_FEATURES = {
    "none": {"liga": 0, "clig": 0, "calt": 0},
    "common-ligatures": {"liga": 1, "clig": 1},
    "no-common-ligatures": {"liga": 0, "clig": 0},
    "discretionary-ligatures": {"dlig": 1},
    "no-discretionary-ligatures": {"dlig": 0},
    "historical-ligatures": {"hlig": 1},
    "no-historical-ligatures": {"hlig": 0},
    "contextual": {"calt": 1},
    "no-contextual": {"calt": 0},
    "lining-nums": {"lnum": 1},
    "oldstyle-nums": {"onum": 1},
    "proportional-nums": {"pnum": 1},
    "tabular-nums": {"tnum": 1},
    "diagonal-fractions": {"frac": 1},
    "stacked-fractions": {"afrc": 1},
    "ordinal": {"ordn": 1},
    "slashed-zero": {"zero": 1},
}
"""What the words of font-variant turn on and off in a font's own tables (CSS Fonts 4, sections 6.4 and 6.7)."""

_SETTING = re.compile(r"['\"]([\x20-\x7e]{4})['\"]\s*(on|off|\d{1,5})?\s*(?:,|$)")
"""One feature of font-feature-settings (CSS Fonts 4, section 6.12)."""


def font_of(sheet: Sheet, element: Element, place: Place) -> Font:
    """Return the font for what stands in ``place``; what had to be substituted is noted for ``element``."""
    font, findings = place.font_of_weight(sheet.text_weight) if sheet.text_weight else place.font
    for finding in findings:
        sheet.notes.add(
            finding.kind, finding.message.rstrip("."), element, remedy=finding.remedy, severity=finding.severity
        )
    return font


def features_of(place: Place) -> tuple[dict[str, int], dict[str, int]]:
    """Return the features that a style turns on and off by their names, and those that it sets, which come first."""
    style = place.style
    words = f"{style['font-variant-ligatures']} {style['font-variant-numeric']}".lower().split()
    named = {tag: state for word in words for tag, state in _FEATURES.get(word, {}).items()}
    stated = _SETTING.findall(style["font-feature-settings"])
    return named, {tag: int(state) if state.isdigit() else int(state != "off") for tag, state in stated}

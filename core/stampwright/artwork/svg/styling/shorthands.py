"""Shorthands: values that stand for several properties at once."""

from __future__ import annotations

import re

import tinycss2

from .properties import ANYWHERE, INHERITED, Declared
from .tints import colour
from .tokens import words_of

_FONT = re.compile(
    r"((?:[a-z-]+\s+|\d{3}\s+)*)"
    r"(\d*\.?\d+(?:px|pt|pc|em|rem|ex|mm|cm|in|q|%)?)(?:\s*/\s*[^\s]+)?\s+(.+)",
    re.IGNORECASE,
)

VARIANTS = {
    "font-variant-caps": frozenset(
        ("small-caps", "all-small-caps", "petite-caps", "all-petite-caps", "unicase", "titling-caps")
    ),
    "font-variant-ligatures": frozenset(
        (
            *("common-ligatures", "no-common-ligatures", "discretionary-ligatures", "no-discretionary-ligatures"),
            *("historical-ligatures", "no-historical-ligatures", "contextual", "no-contextual"),
        )
    ),
    "font-variant-numeric": frozenset(
        (
            *("lining-nums", "oldstyle-nums", "proportional-nums", "tabular-nums"),
            *("diagonal-fractions", "stacked-fractions", "ordinal", "slashed-zero"),
        )
    ),
}
"""The properties of font-variant, and the words of each (CSS Fonts 4, section 6.11)."""


LONGHANDS = {
    "background": ("background-color",),
    "font": (
        *("font-family", "font-feature-settings", "font-size", "font-stretch", "font-style", "font-variation-settings"),
        *("font-weight", *VARIANTS),
    ),
    "font-variant": tuple(VARIANTS),
    "marker": ("marker-start", "marker-mid", "marker-end"),
}
"""The properties that each shorthand stands for."""


class Pending(str):
    """A shorthand's value as that of one of its properties, which it gives when its references are replaced.

    Pending-substitution value in CSS Custom Properties 1, section 3.2. ``shorthand``: its name.
    """

    __slots__ = ("shorthand",)

    shorthand: str

    def __new__(cls, value: str, shorthand: str) -> Pending:
        """Return ``value`` with its ``shorthand``."""
        pending = super().__new__(cls, value)
        pending.shorthand = shorthand
        return pending


def put_off(name: str, value: str) -> Declared | None:
    """Return the properties of a shorthand whose value holds ``var()``; None for what is no shorthand."""
    return dict.fromkeys(LONGHANDS[name], Pending(value, name)) if name in LONGHANDS else None


def written_out(name: str, value: str) -> Declared | None:
    """Return the properties that a shorthand sets, none where it is wrong; None for what is no shorthand.

    >>> written_out("font-variant", "small-caps lining-nums")["font-variant-caps"], written_out("fill", "none")
    ('small-caps', None)
    """
    if name not in LONGHANDS:
        return None
    word = value.strip().lower()
    if word in ANYWHERE:
        return dict.fromkeys(LONGHANDS[name], word)
    match name:
        case "font":
            return _font(value)
        case "font-variant":
            return _variants(word.split())
        case "background":
            return _background(value)
    return dict.fromkeys(LONGHANDS[name], value)


def _background(value: str) -> Declared:
    """Return the colour of a ground; its pictures are left aside."""
    tokens = [token.serialize() for token in words_of(tinycss2.parse_component_value_list(value))]
    return {"background-color": next((token for token in tokens if colour(token) is not None), "transparent")}


def _variants(words: list[str]) -> Declared:
    declared = dict.fromkeys(VARIANTS, "normal")
    if words == ["none"]:
        return {**declared, "font-variant-ligatures": "none"}
    for word in words if words != ["normal"] else []:
        name = next((name for name, known in VARIANTS.items() if word in known), None)
        if name is None:
            return {}
        declared[name] = word if declared[name] == "normal" else f"{declared[name]} {word}"
    return declared


def _font(value: str) -> Declared:
    """Return the properties that the ``font`` shorthand sets (CSS Fonts 4, section 2.7); none when it is wrong."""
    matched = _FONT.match(value)
    if matched is None:
        return {}
    before, size, family = matched.groups()
    declared = {name: INHERITED[name] for name in LONGHANDS["font"]}
    declared.update({"font-size": size, "font-family": family.strip()})
    for word in before.lower().split():
        if word in {"italic", "oblique"}:
            declared["font-style"] = word
        elif word == "small-caps":
            declared["font-variant-caps"] = word
        elif word.endswith(("condensed", "expanded")):
            declared["font-stretch"] = word
        elif word in {"bold", "bolder", "lighter"} or word.isdigit():
            declared["font-weight"] = word
    return declared

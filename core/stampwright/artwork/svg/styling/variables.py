"""Custom properties: values that stand for others by var() (CSS Custom Properties 1, chapter 3)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import tinycss2

from .properties import Declared
from .shorthands import Pending, written_out
from .tokens import words_of

DEEPEST = 32
"""How often a value may lead on to another, brackets counted."""

MOST_REPLACED = 500
"""References that one value may lead to in all."""

LONGEST = 10_000
"""Characters that a value may come to."""


def with_variables(declared: Declared, style: Declared) -> Declared:
    """Return values with each ``var()`` replaced by its custom property or fallback; those that have neither left out.

    ``style``: holds the custom properties.

    >>> with_variables({"fill": "var(--a, var(--b))", "x": "var(--c)"}, {"--b": "#000"})
    {'fill': '#000'}
    """
    if not any("var(" in value.lower() for value in declared.values()):
        return declared
    found = {}
    for name, value in declared.items():
        if name.startswith("--") or "var(" not in value.lower():
            found[name] = value
            continue
        replaced = _Replacing(style).text_of(tinycss2.parse_component_value_list(value), 0)
        if replaced is not None and isinstance(value, Pending):
            replaced = (written_out(value.shorthand, replaced.strip()) or {}).get(name)
        if replaced is not None:
            found[name] = replaced.strip()
    return found


class _Replacing:
    """One value whose references are followed, none without end."""

    def __init__(self, style: Declared) -> None:
        self._style = style
        self._followed = 0

    def text_of(self, tokens: Sequence[Any], depth: int) -> str | None:
        """Return the text of tokens; None where it refers to nothing, to itself, or too far."""
        if depth > DEEPEST:
            return None
        parts: list[str] = []
        for token in tokens:
            part: str | None
            if token.type == "function" and token.lower_name == "var":
                part = self._variable(token.arguments, depth + 1)
            elif token.type in {"function", "() block"}:
                inside = self.text_of(token.arguments if token.type == "function" else token.content, depth + 1)
                part = None if inside is None else f"{getattr(token, 'name', '')}({inside})"
            else:
                part = token.serialize()
            if part is None:
                return None
            parts.append(part)
        text = "".join(parts)
        return text if len(text) <= LONGEST else None

    def _variable(self, arguments: Sequence[Any], depth: int) -> str | None:
        self._followed += 1
        words = words_of(arguments)
        if self._followed > MOST_REPLACED or not words or words[0].type != "ident":
            return None
        value = self._style.get(words[0].value)
        found = None if value is None else self.text_of(tinycss2.parse_component_value_list(value), depth)
        if found is not None or len(words) < 2 or words[1].type != "literal" or words[1].value != ",":
            return found
        return self.text_of(arguments[arguments.index(words[1]) + 1 :], depth)

"""Conditions of @supports: whether a declaration, or a selector, is understood here."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import cssselect2
import tinycss2

from ..tokens import words_of

_DEEPEST = 20


def supported(condition: Sequence[Any], understood: Callable[[str, str], bool], depth: int = 0) -> bool:
    """Say whether a condition holds (CSS Conditional Rules 4, section 2), what cannot be read never does.

    ``condition``: tokens as tinycss2 reads them; ``understood``: says of a property's name and value whether they are.

    >>> read = tinycss2.parse_component_value_list
    >>> supported(read("(fill: red) and (not (x-y: 1))"), lambda name, value: name == "fill")
    True
    """
    tokens = words_of(condition)
    if not tokens or depth > _DEEPEST:
        return False
    if tokens[0].type == "ident" and tokens[0].lower_value == "not":
        return not supported(tokens[1:], understood, depth + 1)
    if len(tokens) > 1:
        words = {token.lower_value for token in tokens[1::2] if token.type == "ident"}
        parts = [supported([token], understood, depth + 1) for token in tokens[::2]]
        return (words == {"and"} and all(parts)) or (words == {"or"} and any(parts))
    return _understands(tokens[0], understood, depth)


def _understands(token: Any, understood: Callable[[str, str], bool], depth: int) -> bool:
    """Say whether a single condition holds: a selector, a declaration or a condition in brackets."""
    if token.type == "function" and token.lower_name == "selector":
        try:
            return bool(cssselect2.compile_selector_list(token.arguments))
        except (cssselect2.SelectorError, RecursionError):
            return False
    if token.type != "() block":
        return False
    declared = tinycss2.parse_one_declaration(token.content, skip_comments=True)
    if declared.type == "declaration":
        return understood(declared.lower_name, tinycss2.serialize(declared.value).strip())
    return supported(token.content, understood, depth + 1)

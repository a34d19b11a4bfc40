"""The parts of a value that say something: its tokens without the space and the comments between them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any


def words_of(tokens: Iterable[Any]) -> list[Any]:
    """Return tokens of a value, as tinycss2 reads them, that are neither space nor comment.

    >>> import tinycss2
    >>> [token.type for token in words_of(tinycss2.parse_component_value_list("a /* b */ 2px"))]
    ['ident', 'dimension']
    """
    return [token for token in tokens if token.type not in {"whitespace", "comment"}]

"""What a stamp was made from: its artwork, and the SHA-256 of every file, as they were then."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from ..errors import JobError
from .texts import described, fits

MOST_FILES = 1_000
"""Files that one stamp is made from."""

_SHA256 = re.compile("[0-9a-f]{64}")


def as_artwork(value: Any) -> str:
    """Return the name of a job's artwork file, empty for none; raises :class:`JobError`."""
    if not isinstance(value, str) or not fits(value, "path"):
        raise JobError(f"artwork = {value!r} is not allowed: it takes {described('path')}")
    return value


def as_made_from(value: Any) -> tuple[tuple[str, str], ...]:
    """Return files and their SHA-256 as pairs, from pairs or a table; raises :class:`JobError`.

    >>> as_made_from({"mark.svg": "0" * 64})[0][0]
    'mark.svg'
    """
    pairs = value.items() if isinstance(value, Mapping) else value
    if (not isinstance(pairs, list | tuple) and not isinstance(value, Mapping)) or len(pairs) > MOST_FILES:
        raise JobError("made_from takes a table: the name of each file, and its SHA-256")
    checked = []
    for pair in pairs:
        if not isinstance(pair, list | tuple) or len(pair) != 2:
            raise JobError("made_from takes a table: the name of each file, and its SHA-256")
        name, digest = pair
        if not isinstance(name, str) or not name or not fits(name, "path"):
            raise JobError(f"made_from names {name!r}; it takes {described('path')}")
        if not isinstance(digest, str) or not _SHA256.fullmatch(digest):
            raise JobError(f"made_from: {digest!r} is no SHA-256 of {name}; it has 64 digits, 0 to 9 and a to f")
        checked.append((name, digest))
    return tuple(checked)

"""Names of folders: each stamp has one of its own, plain enough for every file system, and the same at every run."""

from __future__ import annotations

import hashlib
import json
import re
import unicodedata
from collections import Counter
from typing import Any

from .rows import shown

LONGEST = 40
"""Letters of a folder's name, besides its digits."""

_PLAIN = re.compile(f"[A-Za-z0-9][A-Za-z0-9_-]{{0,{LONGEST - 1}}}")

_DIGITS = 8

_DEVICES = re.compile(r"(?i)(con|prn|aux|nul|com\d|lpt\d)")
"""Names that one system keeps for its devices."""


class Names:
    """Gives folders their names, each once, capitals and small letters being the same."""

    def __init__(self) -> None:
        self._taken: dict[str, int] = {}
        self._orders: dict[str, int] = {}
        self._copies: Counter[str] = Counter()

    def give(self, row: int, order: str, words: str, made_of: Any) -> tuple[str, str]:
        """Return the name for a row's folder, and why it has none, one of them empty.

        ``order``: what the table calls it; without, the name is of its ``words`` and of what it is ``made_of``, plain
        data, so that it stays when rows are put before it.
        """
        if not order:
            name = f"{plain(words) or 'stamp'}-{_digest(made_of)}"
            first = name
            while name.casefold() in self._taken:
                self._copies[first] += 1
                name = f"{first}-{self._copies[first] + 1}"
        else:
            key = unicodedata.normalize("NFC", order).casefold()
            before = self._orders.setdefault(key, row)
            if before != row:
                return "", f"row {before} is called so too, but for capitals and blanks at most; each needs its own"
            known = _PLAIN.fullmatch(order) and not _DEVICES.fullmatch(order)
            name = order if known else f"{plain(order) or 'stamp'}-{_digest(order)}"
            before = self._taken.get(name.casefold(), row)
            if before != row:
                return "", f"its folder would be that of row {before}, {shown(name)}; call it otherwise"
        self._taken[name.casefold()] = row
        return name, ""


def plain(words: str) -> str:
    """Return words as a name that every file system takes, without what makes it a path; it may be empty.

    >>> plain("../Åsa  O'Hara/x"), plain("شرق"), plain("a" * 300) == "a" * LONGEST
    ('asa-o-hara-x', '', True)
    """
    letters = unicodedata.normalize("NFKD", words).encode("ascii", "ignore").decode("ascii").lower()
    return re.sub("[^a-z0-9]+", "-", letters).strip("-")[:LONGEST].strip("-")


def _digest(value: Any) -> str:
    told = json.dumps(value, sort_keys=True, ensure_ascii=True)
    return hashlib.sha256(told.encode("ascii")).hexdigest()[:_DIGITS]

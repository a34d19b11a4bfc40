"""A piece of advice and where it comes from."""

from __future__ import annotations

from dataclasses import dataclass

COMMON = "common practice"


@dataclass(frozen=True)
class Note:
    """One piece of advice and its source."""

    words: str
    source: str = COMMON

"""Sources: the files that artwork was read from, as they were then, to be kept with what is made of it."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path


@dataclass(frozen=True)
class SourceFile:
    """A file that was read: the name that it was called by, and its bytes."""

    name: str
    data: bytes = field(repr=False)

    @cached_property
    def sha256(self) -> str:
        """The SHA-256 of its bytes, in hexadecimal (FIPS 180-4)."""
        return hashlib.sha256(self.data).hexdigest()

    @property
    def own_name(self) -> str:
        """Its name without the folders that it lies in."""
        return Path(self.name).name


@dataclass(frozen=True)
class Sources:
    """What artwork came from.

    ``file``: the drawing, bitmap or pieces file itself, None when it was made or drawn in a program. ``named``: the
    marks and fonts that its pieces name, each once, by the name that they have there.
    """

    file: SourceFile | None = None
    named: tuple[SourceFile, ...] = ()

"""Where a stamp comes from: which artwork, in which version, made by which program, on which day."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from datetime import date

import shapely

from ..job.pieces import pieces_as_data
from ..job.written.texts import as_line
from ..stamp import Stamp
from ..version import __version__
from .sheets.dating import day_of_making

SHORT = 8
"""Digits of a SHA-256 that tell versions of one file apart for people."""


@dataclass(frozen=True)
class Origin:
    """What a stamp comes from.

    ``artwork``: what it was read from or made of; ``version``: the first digits of its SHA-256; ``program``: the
    version of this program; ``day``: when the stamp was made.
    """

    artwork: str
    version: str
    program: str
    day: date

    def in_words(self) -> str:
        """Return all of it as a line for people."""
        return f"{self.artwork}, version {self.version}; made {self.day.isoformat()} by Stampwright {self.program}"


def origin_of(stamp: Stamp, *, program: str = "", day: date | None = None) -> Origin:
    """Return where a stamp comes from. ``day``: today's, or the one of SOURCE_DATE_EPOCH, when None."""
    sources = stamp.sources
    if sources.file is not None:
        artwork, digests = as_line(sources.file.own_name), [sources.file.sha256]
    elif stamp.job.pieces:
        table = json.dumps(pieces_as_data(stamp.job.pieces), sort_keys=True)
        artwork, digests = "pieces of the job", [hashlib.sha256(table.encode("utf-8")).hexdigest()]
    else:
        ink = stamp.layout.inked if stamp.given is None else stamp.given.inked
        artwork, digests = "drawn", [hashlib.sha256(shapely.to_wkb(ink)).hexdigest()]
    digests += [file.sha256 for file in sources.named]
    version = digests[0] if len(digests) == 1 else hashlib.sha256("".join(digests).encode("ascii")).hexdigest()
    return Origin(artwork, version[:SHORT], program or __version__, day or day_of_making())

"""What a test die says: the code with its size and the job's fingerprint, and letters to be read."""

from __future__ import annotations

import hashlib
import json

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...artwork.made import make_artwork
from ...errors import JobError
from ...job import Job
from ...job.pieces import Lettering
from ...job.written.files import job_as_data

VERSION = "M3"
"""Of the micro QR symbol (ISO/IEC 18004): 15 by 15 squares, 14 capitals and digits."""

CHARACTERS = 14

_DIGITS = 7  # of the fingerprint
_BESIDE = ("name", "artwork", "made_from", "pieces", "measured")  # what is of the files and not of the die


def fingerprint(job: Job) -> str:
    """Return seven hexadecimal digits that stand for the settings of a job: SHA-256 of those changed, cut short.

    Settings that are as they come count nothing, so that a later version with more of them tells the same dies.

    >>> len(fingerprint(Job()))
    7
    """
    plain = job_as_data(Job())
    settings = {
        name: {each: value for each, value in part.items() if value != plain[name][each]}
        for name, part in job_as_data(job).items()
        if name not in _BESIDE and isinstance(part, dict) and part != plain[name]
    }
    told = json.dumps(settings, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(told.encode("utf-8")).hexdigest()[:_DIGITS].upper()


def code_matrix(says: str) -> NDArray[np.bool_]:
    """Return the squares of a code, (15, 15) bool, top row first, True for ink.

    Raises :class:`~stampwright.errors.JobError` when the text does not fit.
    """
    # Loaded here: most commands need no code.
    import segno  # noqa: PLC0415

    try:
        symbol = segno.make_micro(says, version=VERSION, error="L", boost_error=False)
    except ValueError as error:
        raise JobError(f"a test die's code holds {CHARACTERS} capitals and digits, not {says!r}") from error
    return np.array([list(row) for row in symbol.matrix], dtype=np.bool_)


def letters_of_height(text: str, height: float) -> MultiPolygon:
    """Return text whose capitals are ``height`` high, its baseline at y = 0; drawn large and scaled down."""
    large = make_artwork([Lettering(text=text, cap_height=10.0)]).inked
    left, _, _, _ = large.bounds
    # Of R and a, the lowest point is the baseline; g reaches below it, so the capital is looked for by its left edge.
    capital = min(shapely.get_parts(large), key=lambda part: part.bounds[0])
    low = capital.bounds[1]
    drawn = shapely.transform(large, lambda points: (points - (left, low)) * (height / 10.0))
    return MultiPolygon(list(shapely.get_parts(drawn)))

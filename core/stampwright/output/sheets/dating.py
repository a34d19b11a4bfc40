"""Which day a sheet says it was made on, and which version of a stamp it shows."""

from __future__ import annotations

import hashlib
import os
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import shapely

from ...errors import OutputError
from ...job.written.files import job_as_json, with_named
from ...stamp import Stamp

_DIGITS = 8


def day_of_making() -> date:
    """Return today, or the day that SOURCE_DATE_EPOCH names, by which builds are repeated (reproducible-builds.org).

    Raises :class:`~stampwright.errors.OutputError` when that holds no time.
    """
    told = os.environ.get("SOURCE_DATE_EPOCH", "").strip()
    if not told:
        return datetime.now().date()
    try:
        return datetime.fromtimestamp(int(told), UTC).date()
    except (ValueError, OverflowError, OSError) as error:
        raise OutputError(f"SOURCE_DATE_EPOCH = {told!r} is no time: it takes whole seconds since 1970") from error


def version_of(stamp: Stamp) -> str:
    """Return the version of a stamp: eight digits that change with its art or with any setting of its job."""
    art = stamp.inked if stamp.given is None else stamp.given.inked
    job = replace(stamp.job, artwork="", made_from=())
    content = job_as_json(with_named(job, lambda file: Path(file).name)).encode() + shapely.to_wkb(
        shapely.normalize(art)
    )
    return hashlib.sha256(content).hexdigest()[:_DIGITS]

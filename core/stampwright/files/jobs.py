"""Jobs into files."""

from __future__ import annotations

from os import PathLike
from pathlib import Path

from ..job import Job
from ..job.written.files import job_as_json, job_as_toml
from .whole import write_file


def write_job(path: str | PathLike[str], job: Job, *, overwrite: bool = False) -> None:
    """Write a job into a file that :func:`~stampwright.read_job` reads: TOML, each setting with its reason, or JSON.

    The name says which: ``.toml`` for TOML, any other for JSON. Files that the job names are written relative to the
    folder. Raises :class:`~stampwright.errors.OutputError` when the file is there already (unless ``overwrite``) or
    cannot be written.
    """
    path = Path(path)
    text = (job_as_toml if path.suffix.lower() == ".toml" else job_as_json)(job, folder=path.parent)
    write_file(path, text.encode("utf-8"), overwrite=overwrite)

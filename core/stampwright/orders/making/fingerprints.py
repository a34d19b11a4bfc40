"""Fingerprints: of a job with all its files and of the program, by which the same stamp is known again."""

from __future__ import annotations

import hashlib
import json
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path

from ...files.whole import digest_at
from ...job import Job
from ...job.written.files import job_as_data, with_named
from ...memory import Fingerprint, fingerprint

_LIBRARIES = ("numpy", "shapely", "manifold3d", "uharfbuzz", "pillow", "contourpy", "segno", "reportlab")
"""What the bytes of a stamp come from beside this program."""

_OURS = (".py", ".toml", ".json", ".ttf", ".otf")


def stamp_fingerprint(job: Job, *extra: str) -> str:
    """Return the SHA-256 of all that a stamp is made from: job, files that it names, and program.

    ``extra``: what else changes the folder. The folders of the files do not count, so that an order may be moved.
    """
    digests: list[str] = []

    def change(name: str) -> str:
        digests.append(_digest(fingerprint(name)))
        return Path(name).name

    data = job_as_data(with_named(job, change))
    told = json.dumps([data, digests, program_fingerprint(), *extra], sort_keys=True)
    return hashlib.sha256(told.encode("utf-8", "surrogatepass")).hexdigest()


@lru_cache(maxsize=1)
def program_fingerprint() -> str:
    """Return the SHA-256 of this program's own files and of the versions of the libraries that it computes with."""
    home = Path(__file__).resolve().parents[2]
    digest = hashlib.sha256()
    for path in sorted(path for path in home.rglob("*") if path.suffix in _OURS):
        digest.update(path.relative_to(home).as_posix().encode())
        digest.update(path.read_bytes())
    for name in _LIBRARIES:
        digest.update(f"{name} {_version(name)}".encode())
    return digest.hexdigest()


def _version(name: str) -> str:
    try:
        return version(name)
    except ModuleNotFoundError:
        return "none"


@lru_cache(maxsize=4096)
def _digest(file: Fingerprint) -> str:
    """Return the digest of a file as it was when it was looked at."""
    return digest_at(file.path)

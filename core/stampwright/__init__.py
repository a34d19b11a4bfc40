"""Stampwright: line art in, a working hand stamp out.

The whole job in three lines::

    artwork = stampwright.read_artwork("mark.svg")
    stamp = stampwright.make_stamp(stampwright.Job(), artwork)
    print(stamp.die.volume, stamp.findings)
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from .version import __version__

if TYPE_CHECKING:
    from .artwork import Artwork, make_artwork, read_artwork
    from .errors import (
        ArtworkError,
        Cancelled,
        JobError,
        MeshFileError,
        OutputError,
        ProofError,
        SolidError,
        StampwrightError,
    )
    from .files import read_mesh
    from .findings import Finding
    from .job import Job
    from .job.files import read_job
    from .press import Impression, impress
    from .stamp import Stamp
    from .workshop import examine_artwork, fitted_size, make_files, make_stamp

__all__ = [
    "Artwork",
    "ArtworkError",
    "Cancelled",
    "Finding",
    "Impression",
    "Job",
    "JobError",
    "MeshFileError",
    "OutputError",
    "ProofError",
    "SolidError",
    "Stamp",
    "StampwrightError",
    "__version__",
    "examine_artwork",
    "fitted_size",
    "impress",
    "make_artwork",
    "make_files",
    "make_stamp",
    "read_artwork",
    "read_job",
    "read_mesh",
]

_ROOMS = {
    "artwork": ("Artwork", "make_artwork", "read_artwork"),
    "errors": (
        "ArtworkError",
        "Cancelled",
        "JobError",
        "MeshFileError",
        "OutputError",
        "ProofError",
        "SolidError",
        "StampwrightError",
    ),
    "findings": ("Finding",),
    "job": ("Job",),
    "job.files": ("read_job",),
    "output": ("read_mesh",),
    "press": ("Impression", "impress"),
    "stamp": ("Stamp",),
    "workshop": ("examine_artwork", "fitted_size", "make_files", "make_stamp"),
}
"""Where each name lives. Rooms load when they are first asked for: most of a second that a host's start-up keeps."""


def __getattr__(name: str) -> Any:
    """Load the room that holds a public name."""
    for room, names in _ROOMS.items():
        if name in names:
            value = getattr(import_module(f".{room}", __name__), name)
            globals()[name] = value
            return value
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    """Return the public names."""
    return sorted(__all__)

"""Stampwright: line art in, a working hand stamp out.

The whole job in three lines::

    artwork = stampwright.read_artwork("mark.svg")
    stamp = stampwright.make_stamp(stampwright.Job(), artwork)
    print(stamp.die.volume, stamp.findings)
"""

from .artwork import Artwork, read_artwork
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
from .findings import Finding
from .job import Job
from .jobfile import read_job
from .output import read_mesh
from .press import Impression, impress
from .stamp import Stamp
from .version import __version__
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
    "make_files",
    "make_stamp",
    "read_artwork",
    "read_job",
    "read_mesh",
]

"""Stampwright: line art in, a working hand stamp out.

The whole job in three lines::

    artwork = stampwright.read_artwork("mark.svg")
    stamp = stampwright.make_stamp(stampwright.Job(), artwork)
    print(stamp.die.volume, stamp.findings)

All names here are public; five short programs that use them are in the guide, on the page for Python.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from .version import __version__

if TYPE_CHECKING:
    from .artwork import Artwork, make_artwork, read_artwork
    from .errors import (
        AlreadyThereError,
        ArtworkError,
        Cancelled,
        JobError,
        MeshFileError,
        OutputError,
        PressError,
        ProofError,
        SolidError,
        StampwrightError,
        ToolpathError,
    )
    from .files import PrintedPart, read_mesh, write_3mf, write_stl
    from .files.jobs import write_job
    from .findings import Finding
    from .job import Job
    from .job.inks import Ink
    from .job.pieces import (
        Barcode,
        DateLine,
        Frame,
        Lettering,
        Mark,
        NumberLine,
        QrCode,
        Ring,
        RoundLettering,
        Rule,
    )
    from .job.written.files import read_job
    from .memory import Memory
    from .output import Written, printed_parts
    from .press import Impression, impress, predict_print, report_press
    from .sets import InkSet, WrittenSet, coloured_of, examine_set, make_set, make_set_files, proposed_job
    from .solids import Solid
    from .stamp import Stamp
    from .toolpaths import examine_toolpath, expected_of, read_gcode
    from .workshop import artwork_of, examine_artwork, fitted_size, make_die, make_files, make_stamp

__all__ = [
    "AlreadyThereError",
    "Artwork",
    "ArtworkError",
    "Barcode",
    "Cancelled",
    "DateLine",
    "Finding",
    "Frame",
    "Impression",
    "Ink",
    "InkSet",
    "Job",
    "JobError",
    "Lettering",
    "Mark",
    "Memory",
    "MeshFileError",
    "NumberLine",
    "OutputError",
    "PressError",
    "PrintError",
    "PrintedPart",
    "ProofError",
    "QrCode",
    "Ring",
    "RoundLettering",
    "Rule",
    "Solid",
    "SolidError",
    "Stamp",
    "StampwrightError",
    "ToolpathError",
    "Written",
    "WrittenSet",
    "__version__",
    "artwork_of",
    "coloured_of",
    "examine_artwork",
    "examine_set",
    "examine_toolpath",
    "expected_of",
    "fitted_size",
    "impress",
    "make_artwork",
    "make_die",
    "make_files",
    "make_set",
    "make_set_files",
    "make_stamp",
    "predict_print",
    "printed_parts",
    "proposed_job",
    "read_artwork",
    "read_gcode",
    "read_job",
    "read_mesh",
    "report_press",
    "write_3mf",
    "write_job",
    "write_stl",
]

_ROOMS = {
    "artwork": (
        "Artwork",
        "make_artwork",
        "read_artwork",
    ),
    "errors": (
        "AlreadyThereError",
        "ArtworkError",
        "Cancelled",
        "JobError",
        "MeshFileError",
        "OutputError",
        "PressError",
        "PrintError",
        "ProofError",
        "SolidError",
        "StampwrightError",
        "ToolpathError",
    ),
    "files": (
        "PrintedPart",
        "read_mesh",
        "write_3mf",
        "write_stl",
    ),
    "files.jobs": ("write_job",),
    "findings": ("Finding",),
    "job": ("Job",),
    "job.written.files": ("read_job",),
    "job.inks": ("Ink",),
    "job.pieces": (
        "Barcode",
        "DateLine",
        "Frame",
        "Lettering",
        "Mark",
        "NumberLine",
        "QrCode",
        "Ring",
        "RoundLettering",
        "Rule",
    ),
    "memory": ("Memory",),
    "output": (
        "Written",
        "printed_parts",
    ),
    "press": (
        "Impression",
        "impress",
        "predict_print",
        "report_press",
    ),
    "sets": (
        "InkSet",
        "WrittenSet",
        "coloured_of",
        "examine_set",
        "make_set",
        "make_set_files",
        "proposed_job",
    ),
    "solids": ("Solid",),
    "stamp": ("Stamp",),
    "toolpaths": (
        "examine_toolpath",
        "expected_of",
        "read_gcode",
    ),
    "workshop": (
        "artwork_of",
        "examine_artwork",
        "fitted_size",
        "make_die",
        "make_files",
        "make_stamp",
    ),
}
"""Where each name lives. Rooms load when they are first asked for: most of a second that a host's start-up keeps."""


def __getattr__(name: str) -> Any:
    """Load the room that holds a public name; raises ``AttributeError`` for any other."""
    for room, names in _ROOMS.items():
        if name in names:
            value = getattr(import_module(f".{room}", __name__), name)
            globals()[name] = value
            return value
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    """Return the public names."""
    return sorted(__all__)

"""All files of a test die: those of any stamp, and the gauges beside them."""

from __future__ import annotations

from pathlib import Path

from ...files import StagedFolder, check_clear, stl_bytes
from ...job import Job
from ...memory import Progress
from ...output import Written
from ...stamp import Stamp
from ...workshop import make_files
from .gauges import height_comb, seat_gauge, seat_peg
from .making import artwork_of_chart, chart_of, job_of_test_die

GAUGES = ("seat-gauge.stl", "seat-peg.stl", "height-comb.stl")
"""Files that come with a test die besides those of a stamp."""


def write_test_die(
    job: Job, folder: str | Path, *, size: float = 50.0, overwrite: bool = False, progress: Progress | None = None
) -> tuple[Stamp, Written | None]:
    """Make a test die for the printer, ink and materials of a job, and write all its files into a folder.

    ``size``: its side, mm. The die is made and proven as any stamp is; the gauges come with it. Returns as
    :func:`~stampwright.make_files`. Raises :class:`~stampwright.errors.JobError` when the ladders of its chart have no
    room at that size, and what making files raises.
    """
    test = job_of_test_die(job, size)
    artwork = artwork_of_chart(chart_of(test))
    check_clear(Path(folder), GAUGES, overwrite=overwrite)
    stamp, written = make_files(test, artwork, folder, overwrite=overwrite, progress=progress)
    if written is None:
        return stamp, None
    solids = (seat_gauge(), seat_peg(), height_comb(test.printer.layer))
    with StagedFolder(folder, GAUGES, overwrite=overwrite) as staged:
        for name, solid in zip(GAUGES, solids, strict=True):
            staged.write(name, stl_bytes(solid))
    return stamp, written

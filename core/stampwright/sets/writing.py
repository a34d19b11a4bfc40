"""Writing a set: a folder for each ink's stamp, and what belongs to all of them, together or not at all."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from ..artwork.coloured.patches import Coloured
from ..errors import JobError, OutputError, ProofError
from ..files import StagedFolder, png_bytes, read_stl, stl_bytes
from ..files.whole import check_clear
from ..job import Job
from ..job.inks import folder_of
from ..job.written.files import job_as_json, read_job
from ..memory import Memory, Progress, Steps
from ..output import RESULT_FILES, Written, write_folder
from ..output.kept import Kept, keep_sources, still_to_write
from ..output.origin import Origin, origin_of
from ..output.proving import BlockedInPrintError
from ..output.sheets.forms import CUSTOMER, left_out
from ..output.wanted import Wanted
from ..solids.soundness import judge_merged, merge_equal
from ..stamp import Stamp
from ..version import __version__
from .making import InkSet, RaisedSet, raise_set
from .pages import proof_page, set_customer_pages
from .picture import DPI, set_picture
from .report import set_report
from .ticket import set_ticket

PICTURE, PROOF, TICKET, GAUGE, JOB, REPORT = (
    "impression.png",
    "proof.svg",
    "ticket.html",
    "gauge.stl",
    "job.json",
    "report.json",
)

SET_FILES = (PICTURE, PROOF, *CUSTOMER, TICKET, GAUGE, JOB, REPORT)
"""Every file that a set may bring beside the folders of its inks; copies of its artwork come besides."""

WANTED = Wanted(customer=())
"""Of each stamp: all but the page that the customer signs, which shows all inks together."""

BUILDING = 0.4
"""Share of the whole work that building takes, the rest being writing and proving (measured)."""


@dataclass(frozen=True, eq=False)
class WrittenSet:
    """What came into the folder: ``files`` by name, those of inks with their folder before it; the set as proven.

    ``stamps``: what was written for each ink, by its name, though under names that are no more: take ``files``.
    ``left_out``: files that take a library which is not installed, with its name. ``left_over``: folders of inks that
    an earlier set brought and this one does not have.
    """

    files: Mapping[str, Path]
    made: InkSet
    stamps: Mapping[str, Written]
    left_out: Mapping[str, str]
    left_over: tuple[str, ...]
    report: Mapping[str, Any]


def make_set_files(
    job: Job, coloured: Coloured, folder: str | Path, *, overwrite: bool = False, progress: Progress | None = None
) -> tuple[InkSet, WrittenSet | None]:
    """Make a stamp for each ink and write all files of the set, each stamp proven from its own, into a folder.

    Returns the set and what was written: None when a finding blocks it, and then the folder is untouched. Raises
    :class:`~stampwright.errors.OutputError` when files are there already (unless ``overwrite``) or cannot be written,
    :class:`~stampwright.errors.ProofError` when a written die does not print its separation, and what
    :func:`~stampwright.sets.make_set` raises.
    """
    folder = Path(folder)
    _check_folder(folder, job, coloured, overwrite=overwrite)
    raised = raise_set(job, coloured, progress=Steps(progress, until=BUILDING).tell)
    if raised.blocked:
        return raised.as_built(), None
    try:
        written = _write(folder, raised, Steps(progress, since=BUILDING), overwrite=overwrite)
    except BlockedInPrintError:
        # What one ink prints blocks the set; beside it is shown all there is to say of the others.
        return raised.as_built(), None
    return written.made, written


def _check_folder(folder: Path, job: Job, coloured: Coloured, *, overwrite: bool) -> None:
    """Check, before any work, that a set's files could come into a folder."""
    inside = [f"{folder_of(ink.name)}/{name}" for ink in job.inks for name in RESULT_FILES]
    check_clear(folder, (*SET_FILES, *inside), overwrite=overwrite)
    taken = {folder_of(ink.name).casefold() for ink in job.inks}
    for name in taken & {name.casefold() for name in SET_FILES}:
        raise OutputError(f"{folder / name}: an ink's folder has the name of a file of the set; rename the ink")
    kept = keep_sources(job, coloured.whole.sources, folder, _taken(job))
    check_clear(folder, still_to_write(kept.files, folder), overwrite=overwrite)


def _taken(job: Job) -> tuple[str, ...]:
    return (*SET_FILES, *(folder_of(ink.name) for ink in job.inks))


def _write(folder: Path, raised: RaisedSet, steps: Steps, *, overwrite: bool) -> WrittenSet:
    job, sources = raised.job, raised.coloured.whole.sources
    kept = keep_sources(job, sources, folder, _taken(job))
    copies, left_over = still_to_write(kept.files, folder), _left_over(folder, job)
    with StagedFolder(folder, (*SET_FILES, *copies), overwrite=overwrite) as staged:
        stamps = _write_stamps(staged, raised, shown := _Shown(raised), steps)
        made = shown.finished([written.stamp for written in stamps.values()])
        report = _write_common(staged, made, kept, stamps, steps)
        for name, content in (*shown.pages.items(), *copies.items()):
            staged.write(name, content)
        names = staged.written
    return WrittenSet({name: folder / name for name in names}, made, stamps, left_out(), left_over, report)


class _Shown:
    """What shows the impressions of all inks together, made as soon as the last of them is proven."""

    def __init__(self, raised: RaisedSet) -> None:
        self._raised = raised
        self._proven: list[Stamp] = []
        self._made: InkSet | None = None
        self.pages: dict[str, bytes] = {}

    def proven(self, stamp: Stamp) -> None:
        """Take the stamp of the next ink, its impression being that of the written die."""
        self._proven.append(stamp)
        if len(self._proven) < len(self._raised.stamps):
            return
        made = self._made = self._raised.printed(self._proven)
        picture = set_picture(made.misregister.perfect.printed, made.colours)
        self.pages = {PICTURE: png_bytes(picture, dpi=DPI), **set_customer_pages(made, _origin(made))}

    def finished(self, stamps: Sequence[Stamp]) -> InkSet:
        """Return the set with the same stamps once all is known of them."""
        made = self._made or self._raised.printed(stamps)
        return replace(made, stamps=tuple(stamps))


def _write_stamps(staged: StagedFolder, raised: RaisedSet, shown: _Shown, steps: Steps) -> dict[str, Written]:
    """Write the folder of each ink, and return what was written by its name."""
    stamps, memory, share = {}, Memory(), 0.8 / len(raised.stamps)
    for at, (separation, stamp) in enumerate(zip(raised.parted.placed, raised.stamps, strict=True)):
        name = folder_of(separation.ink.name)
        told = Steps(steps.progress, steps.since + at * share * 0.45, steps.since + (at + 1) * share * 0.45)
        try:
            written = write_folder(
                staged.path(name),
                stamp,
                progress=told.tell,
                version=__version__,
                wanted=WANTED,
                memory=memory,
                meanwhile=shown.proven,
            )
        except ProofError as error:
            raise ProofError(f"ink {separation.ink.name!r}: {error}") from error
        stamps[separation.ink.name] = written
        for each in written.files:
            staged.adopt(f"{name}/{each}")
    return stamps


def _left_over(folder: Path, job: Job) -> tuple[str, ...]:
    """Return the folders of inks that the set which is in a folder brought, and that a job does not have."""
    try:
        before = read_job(folder / JOB).inks
    except JobError:
        return ()
    now = {folder_of(ink.name) for ink in job.inks}
    return tuple(
        name for name in map(folder_of, (ink.name for ink in before)) if name not in now and (folder / name).is_dir()
    )


def _write_common(
    staged: StagedFolder, made: InkSet, kept: Kept, stamps: Mapping[str, Written], steps: Steps
) -> dict[str, Any]:
    """Write what belongs to all inks and takes all that is known of their stamps."""
    steps.tell("picture the set", 0.85)
    origin = _origin(made)
    staged.write(PROOF, proof_page(made, origin))
    staged.write(TICKET, set_ticket(made, origin))
    if made.gauge is not None:
        _write_gauge(staged, made)
    staged.write(JOB, job_as_json(kept.job, folder=staged.folder))
    report = set_report(made, stamps={name: each.report for name, each in stamps.items()}, version=__version__)
    staged.write(REPORT, json.dumps(report, indent=2, ensure_ascii=False) + "\n")
    steps.tell("move into place", 0.95)
    return report


def _write_gauge(staged: StagedFolder, made: InkSet) -> None:
    """Write the gauge, and prove from its file that it is a sound solid."""
    if made.gauge is None:
        return
    staged.write(GAUGE, stl_bytes(made.gauge.solid))
    read = read_stl(staged.path(GAUGE))
    verdict = judge_merged(*merge_equal(read.vertices, read.triangles))
    if not verdict.sound:
        raise ProofError(f"{GAUGE}: as written it is no sound solid ({verdict.explain()}); nothing was kept")


def _origin(made: InkSet) -> Origin:
    """Return where the set comes from: its origin is that of a stamp that has the sources of the whole art."""
    whole = replace(made.stamps[0], sources=made.whole.sources, job=made.job, given=None, layout=made.layout)
    return origin_of(whole, program=__version__)

"""Writing the files of stamps: what they are made from is read from the scene first; the rest needs no Blender."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy

from .. import loading
from ..building import benches
from ..job.inks import stamps_of_set
from ..live.tasks import LiveTask
from ..stampwright.errors import Cancelled, OutputError
from ..stampwright.job.inks import folder_of
from .naming import folders_of

if TYPE_CHECKING:
    from bpy.types import Object

    from ..stampwright.memory import Progress

BUILDING = 0.4
"""Share of the work that building takes, the rest being writing and proving; much is known of a stamp that is shown."""

_tasks: dict[int, LiveTask] = {}
"""The export that is under way for each stamp, by its session number; of several together, the one worked on."""


@dataclass(frozen=True, eq=False)
class Parcel:
    """One stamp to be written: what it is, as read from the scene, what is known of it, and where its files go.

    Of a set the order is that of any of its stamps, and all of them are written.
    """

    name: str
    number: int
    order: Any
    memory: Any
    folder: Path


def pack(roots: Sequence[Object], place: Path) -> tuple[Parcel, ...]:
    """Return what is to be written of stamps, each into a folder of its name in the place that was chosen.

    The stamps of a set go into one folder together, with their gauge and their proof.

    Raises :class:`StampwrightError` when it is not clear what one of them is made from.
    """
    orders = loading.load("building.orders")
    depsgraph = bpy.context.evaluated_depsgraph_get()
    roots = list(dict.fromkeys(next(iter(stamps_of_set(root, depsgraph.scene)), root) for root in roots))
    return tuple(
        Parcel(
            name=root.name,
            number=root.session_uid,
            order=orders.read_order(root, depsgraph),
            memory=benches.bench_of(root).memory.copy(),
            folder=folder,
        )
        for root, folder in zip(roots, folders_of(roots, place), strict=True)
    )


def would_overwrite(parcels: Sequence[Parcel]) -> list[Path]:
    """Return the files of stamps that are there already where these would go."""
    return [place for parcel in parcels for name in _names_of(parcel) if (place := parcel.folder / name).exists()]


def _names_of(parcel: Parcel) -> list[str]:
    """Return the names of the files that a parcel brings, but for copies of its artwork."""
    own: list[str] = list(loading.load("stampwright.output").RESULT_FILES)
    if not parcel.order.plate:
        return own
    common = loading.load("stampwright.sets.writing").SET_FILES
    return [*common, *(f"{folder_of(ink.name)}/{name}" for ink in parcel.order.inks for name in own)]


def write(parcels: Sequence[Parcel], *, overwrite: bool, tell: Progress) -> list[Any]:
    """Build the stamps, write their files, each stamp's all or none, and return what was written.

    Raises :class:`OutputError` when files are there already, or findings block a stamp, and whatever ``tell`` raises;
    a :class:`Cancelled` says how many stamps are written by then.
    """
    written: list[Any] = []
    try:
        _write_all(parcels, written, overwrite=overwrite, tell=tell)
    except Cancelled as stopped:
        if not written:
            raise
        raise Cancelled(f"Stopped; {len(written)} of {len(parcels)} stamps are written") from stopped
    return written


def _write_all(parcels: Sequence[Parcel], written: list[Any], *, overwrite: bool, tell: Progress) -> None:
    """Write as :func:`write`, and add what is written of each stamp as it is there."""
    making, output = loading.load("building.making"), loading.load("stampwright.output")
    for parcel in parcels:
        if not parcel.order.plate:
            output.check_folder(parcel.folder, overwrite=overwrite)
    for done, parcel in enumerate(parcels):

        def within(since: float, until: float, done: int = done) -> Progress:
            return lambda step, share: tell(step, (done + since + share * (until - since)) / len(parcels))

        if parcel.order.plate:
            written.append(_write_set(parcel, overwrite=overwrite, tell=within(0.0, 1.0)))
            continue
        stamp = making.make(parcel.order, parcel.memory, within(0.0, BUILDING))
        if stamp.blocked:
            kinds = ", ".join(sorted({finding.kind for finding in stamp.blocked}))
            raise OutputError(
                f"{parcel.name} is not written: {len(stamp.blocked)} of its findings block it ({kinds}); repair, "
                "accept, or change the artwork"
            )
        version = loading.load("stampwright.version").__version__
        progress = within(BUILDING, 1.0)
        written.append(
            output.write_folder(parcel.folder, stamp, overwrite=overwrite, progress=progress, version=version)
        )


def _write_set(parcel: Parcel, *, overwrite: bool, tell: Progress) -> Any:
    """Make and write a whole set; raises :class:`OutputError` as :func:`write`."""
    plates = loading.load("building.plates").plates_of(parcel.order)
    made, written = loading.load("stampwright.sets").make_set_files(
        plates.job, plates.coloured, parcel.folder, overwrite=overwrite, progress=tell
    )
    if written is None:
        kinds = ", ".join(sorted({finding.kind for finding in made.blocked}))
        raise OutputError(
            f"{parcel.name} is not written: {len(made.blocked)} of its set's findings block it ({kinds}); repair, "
            "accept, or change the artwork"
        )
    return written


def start(root: Object, parcels: Sequence[Parcel], *, overwrite: bool) -> LiveTask:
    """Begin to write beside Blender, for the stamp that is worked on."""
    return begin(root, Writing(lambda tell: write(parcels, overwrite=overwrite, tell=tell)))


def begin(root: Object, task: LiveTask) -> LiveTask:
    """Begin a task for the stamp that is worked on; what was written of it till now is stopped."""
    return begin_at(root.session_uid, task)


def begin_at(number: int, task: LiveTask) -> LiveTask:
    """Begin a task by the session number of its stamp, or by 0 where it is of none; the one before is stopped."""
    stop_at(number)
    _tasks[number] = task
    task.begin()
    return task


def work_at(number: int) -> LiveTask | None:
    """Return the export that is under way for the stamp with a session number, or None when it has ended."""
    task = _tasks.get(number)
    if task is not None and task.is_done:
        del _tasks[number]
        return None
    return task


def stop_at(number: int) -> None:
    """Stop the export that is under way for the stamp with a session number; its folder stays as it was."""
    task = _tasks.pop(number, None)
    if task is not None:
        task.stop()


def stop_all() -> None:
    """Stop every export, as when the extension goes."""
    for number in list(_tasks):
        stop_at(number)


class Writing(LiveTask):
    """An export, as it says how it came out."""

    failed, stopped = "The files could not be written", "Stopped; nothing was written"

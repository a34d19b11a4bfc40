"""One stamp of an order made: its folder, the files that beds and shop need, proven, and the record of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray

from ...errors import ArtworkError, JobError, OutputError, ProofError, StampwrightError
from ...files import png_bytes, write_file
from ...files.whole import digest_at
from ...findings import Finding
from ...likeness import likeness_in_words
from ...memory import Memory
from ...output import Wanted, Written, examination_file
from ...output.wanted import ALL
from ...plane.overlays import all_joined
from ...remedy import answer_for
from ...solids import Solid
from ...solids.kernel import shadow
from ...stamp import Stamp
from ...workshop import artwork_of, make_files
from ..tables.checking import Order
from .record import FILE, PartMade, Record, in_short, record_bytes
from .stores import Store

SMALL, EXAMINATION = "small.png", "examination.html"
"""The impression as the contact sheet shows it, and what keeps a stamp from being made."""

SMALL_SHARE = 5
"""Pixels of the impression in one of the small picture, each way: 120 of 600 an inch."""

_OUTLINE = 0.05
"""How far the outline of a part may lie outside it, mm, so that it has few corners."""

_GREYS = 17
_SAID = 3  # messages of what blocks a row


@dataclass(frozen=True)
class Task:
    """A stamp to be made: for which ``order``, known by which ``fingerprint``, dated ``day``.

    ``whole``: with all files, the push and the plates, not only those that beds and shop need; ``ways``: with what
    would make it pass, where it is blocked. ``out``: the address of the order's place; ``token``: of this try, found
    nowhere else.
    """

    order: Order
    fingerprint: str
    out: str
    token: str
    day: date
    whole: bool = False
    ways: bool = False


def make_one(task: Task, store: Store, memory: Memory) -> Record:
    """Make a stamp in its folder and return its record, which is in the folder, too.

    Raises :class:`~stampwright.errors.OutputError` when the place cannot be written; whatever else keeps the stamp from
    being made is told in the record.
    """
    with store.staged(task.token) as folder:
        record = _made_in(folder, task, memory)
        write_file(folder / FILE, record_bytes(record))
        store.commit(folder, task.order.name)
    return record


def _made_in(folder: Path, task: Task, memory: Memory) -> Record:
    job = task.order.job
    wanted = Wanted(
        plates=task.whole,
        customer=ALL.customer if task.whole else ("customer.svg", "customer.pdf"),
        push=task.whole,
        seconds=False,
        day=task.day,
    )
    try:
        artwork = artwork_of(job)
        stamp, written = make_files(job, artwork, folder, wanted=wanted, memory=memory)
    except OutputError:
        raise
    except (ArtworkError, JobError, ProofError) as error:
        return Record("blocked", task.fingerprint, why=str(error))
    except StampwrightError as error:
        return Record("blocked", task.fingerprint, why=str(error))
    if written is None:
        answer = answer_for(job, artwork, memory=memory, look_for_ways=task.ways)
        write_file(folder / EXAMINATION, examination_file(EXAMINATION, answer))
        # A row has one line; all of it is in its examination.
        why = in_short(list(dict.fromkeys(finding.message for finding in stamp.blocked)), _SAID)
        ways = None if answer.ways is None else tuple(f"{way.in_words()} ({way.as_typed()})" for way in answer.ways)
        found, files = _told(stamp.findings), _digests(folder)
        return Record("blocked", task.fingerprint, why=why, findings=found, files=files, ways=ways)
    write_file(folder / SMALL, _small(stamp.impression.picture, stamp.impression.dpi))
    return _record(task, written, folder, memory)


def _record(task: Task, written: Written, folder: Path, memory: Memory) -> Record:
    stamp = written.stamp
    judgement = stamp.judgement
    left, bottom, right, top = stamp.impression.outlines.bounds
    parts = tuple(_part(stamp, name, memory) for name in stamp.measures)
    return Record(
        "made",
        task.fingerprint,
        findings=_told(stamp.findings),
        likeness="" if judgement is None else likeness_in_words(judgement.likeness, stamp.job.ink.spread),
        size=(round(right - left, 2), round(top - bottom, 2)),
        minutes=round(sum(measured.minutes for measured in stamp.measures.values()), 3),
        parts=parts,
        files=_digests(folder),
    )


def _part(stamp: Stamp, name: str, memory: Memory) -> PartMade:
    measured, solid = stamp.measures[name], stamp.printed[name]
    printer = stamp.job.printer if name == "die" else stamp.job.printer.hard
    return PartMade(
        name=name,
        file=f"{name}.stl",
        material=measured.material,
        mass=round(measured.mass, 4),
        cost=round(measured.cost, 4),
        printed=round(measured.printed_volume, 3),
        layers=measured.layers,
        layer=printer.layer,
        line=round(printer.line_width, 6),
        height=round(measured.size[2], 4),
        brim=printer.brim,
        outline=memory.beside(name).recall(bed_outline, solid),
    )


def bed_outline(solid: Solid) -> tuple[tuple[float, float], ...]:
    """Return what a part stands over on the bed, as the corners of one ring, mm: few, and never less than the part."""
    stands = shadow(solid)
    whole = all_joined([shapely.Polygon(part.exterior) for part in shapely.get_parts(stands)])
    for candidate in (
        whole.simplify(_OUTLINE / 2).buffer(_OUTLINE, join_style="mitre"),
        whole.buffer(_OUTLINE, quad_segs=4),
        whole.convex_hull.buffer(_OUTLINE, quad_segs=4),
    ):
        ring = shapely.set_precision(candidate, 0.001)
        if isinstance(ring, shapely.Polygon) and ring.covers(stands):
            break
    corners = shapely.get_coordinates(shapely.normalize(shapely.Polygon(ring.exterior)).exterior)[:-1]
    return tuple((round(float(x), 3), round(float(y), 3)) for x, y in corners)


def _told(findings: tuple[Finding, ...]) -> tuple[dict[str, str], ...]:
    named = ("kind", "severity", "message", "remedy")
    return tuple({name: str(getattr(finding, name)) for name in named} for finding in findings)


def _small(picture: NDArray[np.uint8], dpi: float) -> bytes:
    """Return an impression as a small picture in few greys."""
    share = SMALL_SHARE
    rows, columns = (-side % share for side in picture.shape)
    padded = np.pad(picture, ((0, rows), (0, columns)), constant_values=255)
    blocks = padded.reshape(padded.shape[0] // share, share, padded.shape[1] // share, share)
    step = 255.0 / (_GREYS - 1)
    greys = np.round(np.round(blocks.mean(axis=(1, 3)) / step) * step).astype(np.uint8)
    return png_bytes(greys, dpi=dpi / share)


def _digests(folder: Path) -> dict[str, str]:
    return {path.name: digest_at(path) for path in sorted(folder.iterdir()) if path.is_file()}

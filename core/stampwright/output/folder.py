"""All files of a stamp, written together and proven from what was written before they come into their folder."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from ..artwork.sources import Sources
from ..errors import PressError
from ..face import SurfaceProof, face_map_bytes, grey_bytes
from ..files import PrintedPart, StagedFolder, check_clear, png_bytes, stl_bytes, threemf_bytes
from ..files.meshes.threemf import lay_on_bed, packed_mesh
from ..findings import Finding, by_severity
from ..job import Job
from ..job.heights import snap_heights
from ..job.materials import MATERIALS
from ..job.sections.printing import PrinterSection
from ..job.written.files import job_as_json
from ..likeness import Likeness
from ..memory import Memory, Progress, Steps
from ..parts.rolling import flat_again
from ..parts.true_size import off_printer
from ..press import (
    Comparison,
    PressedFace,
    PressFigures,
    press_figures,
)
from ..solids.soundness import Soundness
from ..stamp import Stamp
from .kept import brought_before, keep_sources, left_over, still_to_write
from .origin import Origin, origin_of
from .paper.proof import proof_svg
from .proving import DIE, judge_written, lands, liken_to_built, prove_face, prove_texture
from .reading_back import ReadBack, read_parts, read_plates
from .report import report
from .sheets.forms import CUSTOMER, customer_names, customer_pages, left_out
from .ticket.page import ticket_html
from .wanted import ALL, Wanted

ALL_PARTS, PICTURE, PROOF, TICKET, JOB, REPORT = (
    "stamp.3mf",
    "impression.png",
    "proof.svg",
    "ticket.html",
    "job.json",
    "report.json",
)
SCULPT, GREY = "sculpt.tif", "face.png"
"""What the face was made from, besides figures: its sculpt, and the grey picture of its texture or tone."""

MOST_PLATES = 3
"""Beds that the parts of one filament may need: there are no more printed parts."""

PLATES = tuple(
    f"{key}{number}.3mf" for key in MATERIALS for number in ("", *(f"-{more}" for more in range(2, MOST_PLATES + 1)))
)
"""Files of the parts of one filament, those of further beds numbered."""

RESULT_FILES = (
    DIE,
    "backing.stl",
    "handle.stl",
    ALL_PARTS,
    *PLATES,
    PICTURE,
    PROOF,
    *CUSTOMER,
    TICKET,
    JOB,
    SCULPT,
    GREY,
    REPORT,
)
"""Every file that a stamp may bring, in the order in which people look for them; copies of its artwork come besides."""


_HANDS = 2
"""Threads beside the main one: for the plates, and for what pressing takes."""


@dataclass(frozen=True, eq=False)
class Written:
    """What came into the folder.

    ``files``: where each file is, by name. ``left_over``: files of that sort which this stamp does not bring and which
    were there before. ``left_out``: files that take a library which is not installed, with its name. ``stamp``: with
    impression and press from the written die. ``comparison``: the outlines of its face, without spread, against the
    artwork. ``surface``: a textured face against its maps. ``soundness``: what reading back found, by file and part.
    """

    files: Mapping[str, Path]
    left_over: tuple[str, ...]
    left_out: Mapping[str, str]
    stamp: Stamp
    comparison: Comparison
    surface: SurfaceProof | None
    soundness: Mapping[str, Mapping[str, Soundness]]
    report: Mapping[str, Any]


def printed_parts(stamp: Stamp) -> tuple[PrintedPart, ...]:
    """Return the parts that a printer makes, with their filaments; a cushion is cut from sheet."""
    job, standing = stamp.job, stamp.printed
    filaments = {"die": job.die.material, "backing": job.backing.material, "handle": job.handle.material}
    return tuple(PrintedPart(standing[name], MATERIALS[key]) for name, key in filaments.items() if name in standing)


def plates_of(parts: Sequence[PrintedPart], printer: PrinterSection) -> dict[str, tuple[PrintedPart, ...]]:
    """Return which parts go into which 3MF file, by its name: all into one, and one a filament, as many as fill a bed.

    Where all parts are of one filament and find room on one bed, there is only the file with all of them.
    """
    plates = {ALL_PARTS: tuple(parts)}
    for material in dict.fromkeys(part.material for part in parts if part.material is not None):
        alike = [part for part in parts if part.material == material]
        spots = lay_on_bed([part.solid for part in alike], (printer.bed_width, printer.bed_depth), printer.brim)
        beds = 1 + max(spot.bed for spot in spots)
        if len(alike) == len(parts) and beds == 1:
            continue
        for number in range(beds):
            name = f"{material.key}{f'-{number + 1}' if number else ''}.3mf"
            plates[name] = tuple(part for part, spot in zip(alike, spots, strict=True) if spot.bed == number)
    return plates


def check_folder(
    folder: str | Path, *, overwrite: bool = False, job: Job | None = None, sources: Sources | None = None
) -> None:
    """Check, before any work, that a stamp's files could come into a folder.

    ``job``, ``sources``: what it is made from, whose copies come along. Raises
    :class:`~stampwright.errors.OutputError` when one of them is there already (unless ``overwrite``), or the folder is
    a file.
    """
    folder = Path(folder)
    kept = keep_sources(job or Job(), sources or Sources(), folder, RESULT_FILES).files
    check_clear(folder, RESULT_FILES, overwrite=overwrite)
    check_clear(folder, still_to_write(kept, folder), overwrite=overwrite)


def write_folder(
    folder: str | Path,
    stamp: Stamp,
    *,
    overwrite: bool = False,
    progress: Progress | None = None,
    timings: Mapping[str, float] | None = None,
    version: str = "",
    wanted: Wanted = ALL,
    memory: Memory | None = None,
    meanwhile: Callable[[Stamp], None] | None = None,
) -> Written:
    """Write all files of a stamp into a folder, or none of them.

    What is written is read back before it is let in: every mesh must be sound, and the die, pressed, must print the
    art. ``timings``: seconds by stage spent so far; ``wanted``: which files, where not all; ``memory``: spares parts
    that are as they were last; ``meanwhile``: what else is to be done with the stamp as proven, while its push is still
    being computed. Raises :class:`~stampwright.errors.OutputError` when files are there already (unless
    ``overwrite``) or cannot be written, :class:`~stampwright.errors.ProofError` when what was written does not hold,
    :class:`~stampwright.output.proving.BlockedInPrintError` when a stamp that was not judged before does not read as
    the art, and whatever ``progress`` raises; the folder is then as it was before.
    """
    folder, steps = Path(folder), Steps(progress, seconds=dict(timings or {}))
    plan, before = _planned(stamp, folder, wanted), brought_before(folder)
    with StagedFolder(folder, plan.names, overwrite=overwrite) as staged, ThreadPoolExecutor(_HANDS) as hands:
        memory = memory or Memory()
        back = _write_solids(staged, plan.parts, steps, memory)
        plated = hands.submit(_write_plates, staged, stamp.job, plan.plates, back, memory)
        stamp, proof, face = _prove(stamp, back, steps)
        figures = hands.submit(_figures, stamp, face) if wanted.push else None
        with steps.timing("write proof and ticket", 0.6):
            origin = origin_of(stamp, program=version, day=wanted.day)
            _write_about(staged, stamp, origin, plan)
        if meanwhile is not None:
            meanwhile(stamp)
        with steps.timing("compute the push", 0.8):
            stamp = _pressed(stamp, figures)
            staged.write(TICKET, ticket_html(stamp, origin))
            soundness = {**back.found, **plated.result()}
        spent = steps.seconds if wanted.seconds else None
        told = report(stamp, soundness=soundness, **vars(proof), timings=spent, version=version)
        staged.write(REPORT, json.dumps(told, indent=2, ensure_ascii=False) + "\n")
        steps.tell("move into place", 0.95)
    files = {name: folder / name for name in (*RESULT_FILES, *plan.artwork) if name in plan.brought}
    over = left_over(folder, (*RESULT_FILES, *before), plan.brought)
    return Written(
        files, over, left_out(wanted.customer), stamp, proof.comparison, proof.surface, soundness=soundness, report=told
    )


@dataclass(frozen=True, eq=False)
class _Plan:
    """What goes into a folder: parts, which of them lie on which plate, pages for the customer, and files kept as are.

    ``kept``: contents by name, the job among them; ``artwork``: names of what the stamp is made from.
    """

    parts: tuple[PrintedPart, ...]
    plates: Mapping[str, tuple[PrintedPart, ...]]
    pages: tuple[str, ...]
    kept: Mapping[str, bytes | str]
    artwork: tuple[str, ...]

    @property
    def names(self) -> list[str]:
        """All files that are written."""
        return [*map(_stl_name, self.parts), *self.plates, PICTURE, PROOF, *self.pages, TICKET, *self.kept, REPORT]

    @property
    def brought(self) -> set[str]:
        """All files that are this stamp's when they are written."""
        return {*self.names, *self.artwork}


def _planned(stamp: Stamp, folder: Path, wanted: Wanted) -> _Plan:
    parts, sources = printed_parts(stamp), _sources(stamp)
    kept = keep_sources(_naming(stamp.job, folder, sources), stamp.sources, folder, RESULT_FILES, sources)
    copies: dict[str, bytes | str] = {
        JOB: job_as_json(kept.job, folder=folder),
        **sources,
        **still_to_write(kept.files, folder),
    }
    plates = plates_of(parts, stamp.job.printer) if wanted.plates else {}
    return _Plan(parts, plates, customer_names(wanted.customer), copies, tuple(kept.files))


def _write_solids(staged: StagedFolder, parts: Sequence[PrintedPart], steps: Steps, memory: Memory) -> ReadBack:
    """Write a file for each part, and read them back."""
    with steps.timing("write solids", 0.0):
        for part in parts:
            staged.write(_stl_name(part), memory.beside(part.solid.name).recall(stl_bytes, part.solid))
    with steps.timing("read back", 0.15):
        return read_parts({staged.path(_stl_name(part)): part.solid for part in parts}, memory)


@dataclass(frozen=True)
class _Proof:
    """What the die that was read back is like on paper, in its outlines, and over an uneven face."""

    comparison: Comparison
    built: Likeness
    surface: SurfaceProof | None


def _stl_name(part: PrintedPart) -> str:
    return f"{part.solid.name}.stl"


def _write_plates(
    staged: StagedFolder, job: Job, plates: Mapping[str, Sequence[PrintedPart]], back: ReadBack, memory: Memory
) -> dict[str, dict[str, Soundness]]:
    """Write what goes on each plate, and return what is found when it is read back."""
    solids = dict.fromkeys(part.solid for held in plates.values() for part in held)
    packed = {solid: memory.beside(solid.name).recall(packed_mesh, solid) for solid in solids}
    bed = job.printer.bed_width, job.printer.bed_depth
    for name, held in plates.items():
        staged.write(name, threemf_bytes(held, title=job.name, bed=bed, brim=job.printer.brim, packed=packed))
    return read_plates([staged.path(name) for name in plates], back, packed.values())


def _prove(stamp: Stamp, back: ReadBack, steps: Steps) -> tuple[Stamp, _Proof, Callable[[], PressedFace]]:
    """Return the stamp with what the die that was read back prints, what that is like, and the face to be pushed."""
    with steps.timing("prove", 0.3):
        written = off_printer(back.solids[DIE], stamp.job.printer)
        dies = (written,) if stamp.bend is None else flat_again(written, stamp.bend, stamp.job.bend)
        # Each repeat of a roller has to print the artwork; the one that does so least stands for all.
        face, comparison = min((prove_face(stamp, each) for each in dies), key=lambda proven: proven[1].worst)
        die = dies[0]
        proof = _Proof(comparison, liken_to_built(face, stamp, comparison), prove_texture(stamp, die))
        stamp = judge_written(stamp, die, face)
    textured = stamp.face
    return stamp, proof, lambda: face if textured is None else lands(textured, die)


def _write_about(staged: StagedFolder, stamp: Stamp, origin: Origin, plan: _Plan) -> None:
    """Write what people look at and sign, and what is kept as it is."""
    staged.write(PICTURE, png_bytes(stamp.impression.picture, dpi=stamp.impression.dpi))
    staged.write(PROOF, proof_svg(stamp, origin))
    for name, page in (*customer_pages(stamp, origin, plan.pages).items(), *plan.kept.items()):
        staged.write(name, page)


def _sources(stamp: Stamp) -> dict[str, bytes]:
    """Return the files that the face was made from, by name."""
    files = {}
    if stamp.face is not None and stamp.face.dense.sculpt is not None:
        files[SCULPT] = face_map_bytes(stamp.face.dense.sculpt)
    if stamp.picture is not None:
        files[GREY] = grey_bytes(stamp.picture.grey)
    return files


def _naming(job: Job, folder: Path, sources: Mapping[str, bytes]) -> Job:
    """Return the job with the names of the files in its folder that the face was made from."""
    names = {"face.sculpt": SCULPT, "face.picture": GREY}
    return job.with_values({path: str(folder / name) for path, name in names.items() if name in sources})


def _figures(stamp: Stamp, face: Callable[[], PressedFace]) -> PressFigures:
    """Return what pressing a stamp takes."""
    dressing = snap_heights(stamp.job).dressing
    allowance = dressing if stamp.face is None else stamp.face.figures.allowance
    figures = press_figures(stamp.job, face(), allowance=allowance)
    # A texture's highest point may lie a hair under the face as printed; dressing is told from the face.
    return replace(figures, dressed=dressing * stamp.job.press.dressed)


def _pressed(stamp: Stamp, reckoned: Future[PressFigures] | None) -> Stamp:
    """Return the stamp with what pressing it takes; nothing that comes of that keeps it from being made."""
    if reckoned is None:
        return stamp
    try:
        figures = reckoned.result()
    except PressError as error:
        refused = Finding(
            kind="press not computed",
            severity="warns",
            stage="impression",
            message=str(error),
            remedy="Change the push or the die, or try it on paper.",
        )
        return replace(stamp, findings=by_severity((*stamp.findings, refused)))
    return replace(stamp, pressing=figures, findings=by_severity((*stamp.findings, *figures.findings)))

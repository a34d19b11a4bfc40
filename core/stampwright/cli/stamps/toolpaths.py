"""What the command that pictures impressions does with a toolpath instead of a mesh."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ...errors import JobError, OutputError, ToolpathError
from ..options import job_of
from ..terminal import BLOCKED, MADE, as_records, print_findings, print_json

if TYPE_CHECKING:
    from ...job import Job
    from ...toolpaths import Examined, Expected

ENDINGS = (".gcode", ".gco", ".gc", ".g", ".nc", ".ngc", ".tap")
"""How G-code files are called."""

_OF_A_MESH = {
    "push": "--push",
    "off_centre": "--off-centre",
    "level": "--level",
    "solver": "--solver",
    "as_it_is": "--as-it-is",
}
"""Options that take a mesh."""

JOB = "job.json"


def is_toolpath(path: Path) -> bool:
    """Whether a file is G-code, by its name."""
    return path.suffix.lower() in ENDINGS


def offer_toolpath(command: argparse.ArgumentParser) -> None:
    """Let a command take a toolpath, too."""
    group = command.add_argument_group(
        "with G-code",
        "A sliced die is rebuilt bead by bead. With --job, or a job.json beside it, it is held against that stamp: "
        "size, side, filament, and what a reader would miss of the art.",
    )
    group.add_argument("--art", metavar="ARTWORK", type=Path, help="what it shall print, in place of the job's artwork")
    group.add_argument("--filament", metavar="MM", type=float, default=1.75, help="diameter of the filament (1.75)")
    group.add_argument("--volumetric", action="store_true", help="the file tells mm³ of filament, not mm")


def impress_toolpath(options: argparse.Namespace) -> int:
    """Picture what a toolpath prints, and say what is wrong with it.

    Raises :class:`~stampwright.errors.JobError` when an option takes a mesh, :class:`~stampwright.errors.OutputError`
    when the picture has another ending than it can have, :class:`~stampwright.errors.ToolpathError` when nothing in the
    file can be a die, and what reading and writing raise.
    """
    from ...files import check_new
    from ...findings import blocking
    from ...toolpaths import examine_toolpath, read_gcode

    for name, option in _OF_A_MESH.items():
        if getattr(options, name) not in (None, False):
            raise JobError(f"{option} takes a mesh: push the die's .stl or .3mf")
    if options.out.suffix.lower() not in (".png", ".svg"):
        raise OutputError(f"{options.out}: a print is drawn as .png, and with all that was found as .svg")
    check_new(options.out, overwrite=options.overwrite)
    toolpath = read_gcode(options.mesh, filament=options.filament, volumetric=options.volumetric)
    job, expected = _expected(options)
    try:
        examined = examine_toolpath(
            toolpath, expected, spread=options.spread or 0.0, depth=options.dress, dpi=options.dpi
        )
    except ToolpathError as error:
        raise ToolpathError(f"{options.mesh}: {error}") from None
    _draw(options, examined, _told(options, examined, job, expected))
    if options.json:
        print_json(_as_record(options, examined, job))
    else:
        print_findings(examined.findings, all_of_them=options.all)
        print("\n".join(_told(options, examined, job, expected)))
    return BLOCKED if blocking(examined.findings) else MADE


def _expected(options: argparse.Namespace) -> tuple[Job | None, Expected | None]:
    """Return the job that the toolpath is for and what it shall print, if either is known."""
    from ...artwork import read_artwork
    from ...toolpaths import expected_of
    from ...workshop import artwork_of, fitted_size, make_stamp

    beside = options.mesh.parent / JOB
    if options.job is None and beside.is_file():
        options.job = beside
    elif options.job is not None and options.job.is_dir():
        options.job = options.job / JOB
    if options.job is None and options.art is None:
        if options.settings:
            raise JobError("--set changes a job: name its file by --job, or artwork by --art")
        return None, None
    options.artwork = options.art
    values = {"die.material": options.material} if options.material else {}
    if options.spread is not None:
        values["ink.spread"] = options.spread
    job = job_of(options).with_values(values)
    if options.art is not None:
        artwork = read_artwork(options.art, fitted_to=fitted_size(job), tracing=job.tracing)
    else:
        artwork = artwork_of(job)
    return job, expected_of(make_stamp(job, artwork))


def _draw(options: argparse.Namespace, examined: Examined, told: list[str]) -> None:
    """Write the print as a picture, or as a sheet with all that was found."""
    from ...files import write_file
    from ...output.sheets.beads import beads_sketch
    from ...output.sketches.as_svg import sketch_svg

    if options.out.suffix.lower() == ".png":
        examined.impression.save(options.out, overwrite=options.overwrite)
        return
    base = max(examined.base.geoms, key=lambda part: part.area)
    title = f"What the beads of {options.mesh.name} print"
    sheet = beads_sketch(examined.impression.outlines, base, examined.findings, told[:-1], title=title)
    write_file(options.out, sketch_svg(sheet, title=title).encode("utf-8"), overwrite=options.overwrite)


def _told(options: argparse.Namespace, examined: Examined, job: Job | None, expected: Expected | None) -> list[str]:
    """Return in lines what a toolpath is and prints."""
    from ...job.materials import MATERIALS
    from ...toolpaths import told_of

    material = expected.material if expected else MATERIALS[options.material or "tpu-95a"]
    lines = told_of(examined, material, spread=expected.spread if expected else 0.0)
    if job is None:
        lines.append("Held against nothing: name the stamp's job (--job my-stamp/job.json) to compare it with the art")
    left, bottom, right, top = examined.impression.outlines.bounds
    lines.append(
        f"{options.out}: {right - left:.2f} x {top - bottom:.2f} mm of print, "
        f"{examined.impression.outlines.area:.1f} mm² of ink, {examined.impression.dpi:g} dpi"
    )
    return lines


def _as_record(options: argparse.Namespace, examined: Examined, job: Job | None) -> dict[str, Any]:
    return {
        "picture": str(options.out),
        "dpi": examined.impression.dpi,
        "area": examined.impression.outlines.area,
        "bounds": list(examined.impression.outlines.bounds),
        "job": None if job is None else job.name,
        **examined.as_record(),
        "findings": as_records(examined.findings),
    }

"""The command line: a thin skin on the workshop."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, NoReturn

from ..artwork import Artwork, read_artwork
from ..artwork.made import make_artwork
from ..errors import JobError, ProofError, StampwrightError
from ..findings import blocking
from ..job.job import Job, job_settings
from ..job.materials import MATERIALS
from ..job.pieces import PIECES, piece_settings
from ..likeness import likeness_in_words
from ..output import Written, read_mesh, report, view_parts, write_png
from ..parts import in_hours
from ..press import WHOLE
from ..workshop import examine_artwork, fitted_size, make_files
from .pressing import add_impress, add_press
from .terminal import (
    BLOCKED,
    MADE,
    STOPPED,
    UNUSABLE,
    Progress,
    add_job_options,
    complain,
    job_of,
    print_findings,
)

SCREEN_DPI = 96.0
"""Recorded in pictures that are not at true size."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code: 0 made, 1 a finding blocks, 2 bad usage or unreadable input."""
    parser = _parser()
    try:
        options = parser.parse_args(arguments)
        code: int = options.run(options)
        sys.stdout.flush()
    except BrokenPipeError:
        # The reader of a pipe went away (``| head``); Python would complain again at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return STOPPED
    except KeyboardInterrupt:
        complain("stopped; nothing was left half-written")
        return STOPPED
    except StampwrightError as error:
        complain(str(error))
        return UNUSABLE
    except (MemoryError, RecursionError) as error:
        complain(f"the artwork is too much for this machine ({type(error).__name__}); simplify it")
        return UNUSABLE
    except Exception as error:
        # The edge of the program: whoever runs it gets one line; whoever mends it gets the rest by development mode.
        if sys.flags.dev_mode:
            raise
        complain(
            f"a fault of this program, not of yours ({type(error).__name__}: {error}); please report it with the "
            "artwork; 'python -X dev -m stampwright' shows where it happened"
        )
        return UNUSABLE
    return code


def _parser() -> _Parser:
    parser = _Parser(
        prog="stampwright",
        description="Turn line art into a working hand stamp: relief die, backing and handle, ready to print.",
        epilog="Start with:  stampwright make mark.svg --out my-stamp",
    )
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True, parser_class=_Parser)
    _add_make(commands)
    _add_preflight(commands)
    add_impress(commands)
    add_press(commands)
    _add_view(commands)
    _add_figures(commands)
    _add_pieces(commands)
    return parser


def _add_make(commands: Any) -> None:
    command = commands.add_parser(
        "make",
        help="make all files of a stamp from artwork",
        description="Read artwork, examine it, build die, backing and handle, write all files, and prove from the "
        "written die that it prints the artwork.",
        epilog="Exit code 0: made; 1: a finding blocks (it says which); 2: bad usage or unreadable input.",
    )
    command.add_argument("--out", metavar="DIR", type=Path, required=True, help="folder for the files; made if needed")
    _add_artwork(command)
    command.add_argument(
        "--sculpt",
        metavar="FILE",
        type=Path,
        help="height map that shapes the face (face.sculpt): a 16-bit PNG or float TIFF that records place and depth",
    )
    command.add_argument("--force", action="store_true", help="overwrite files that are there already")
    command.add_argument("--json", action="store_true", help="print the report for machines instead of words")
    command.set_defaults(run=_make)


def _add_preflight(commands: Any) -> None:
    command = commands.add_parser(
        "preflight",
        help="examine artwork without making anything",
        description="Say what of the artwork would not print, where, and what would mend it.",
        epilog="Exit code 0: nothing blocks; 1: a finding blocks; 2: bad usage or unreadable input.",
    )
    _add_artwork(command)
    command.add_argument("--json", action="store_true", help="print the findings for machines instead of words")
    command.set_defaults(run=_preflight)


def _add_view(commands: Any) -> None:
    command = commands.add_parser(
        "view",
        help="picture parts from STL files as they come off the printer",
        description="Draw parts side by side in isometric view, from their mesh files.",
    )
    command.add_argument("meshes", metavar="MESHFILE", type=Path, nargs="+", help="parts as .stl or .3mf")
    command.add_argument("--out", metavar="PNG", type=Path, required=True, help="picture to write")
    command.add_argument("--width", metavar="N", type=int, default=1200, help="width of the picture, pixels (1200)")
    command.add_argument("--overwrite", action="store_true", help="overwrite the picture if it is there already")
    command.set_defaults(run=_view)


def _add_figures(commands: Any) -> None:
    command = commands.add_parser(
        "figures",
        help="list every figure of a job with default, limits and reason",
        description="List every figure that a job file or --set can change.",
    )
    command.add_argument("--job", metavar="FILE", type=Path, help="show the figures of this job file")
    command.set_defaults(run=_figures, settings=[])


def _add_pieces(commands: Any) -> None:
    command = commands.add_parser(
        "pieces",
        help="list what artwork can be made of without a drawing program",
        description="List every kind of piece with its figures. Write them as tables [[pieces]], each with its kind, "
        "into a file of their own or into the job file.",
    )
    command.set_defaults(run=_pieces)


def _add_artwork(command: argparse.ArgumentParser) -> None:
    """Let a command take artwork, the job that it is for, and whether it shall be repaired."""
    command.add_argument(
        "artwork",
        metavar="ARTWORK",
        type=Path,
        nargs="?",
        help="what is to be printed, as it reads on paper: SVG, a bitmap, or pieces (.toml); without it the job's own "
        "pieces (see: stampwright pieces)",
    )
    command.add_argument("--repair", action="store_true", help="mend what can be mended (preflight.repair=true)")
    add_job_options(command)


def _make(options: argparse.Namespace) -> int:
    job = job_of(options)
    if options.sculpt is not None:
        job = job.with_value("face.sculpt", os.path.realpath(options.sculpt))
    progress = Progress(sys.stderr)
    try:
        progress.tell("reading", 0.0)
        artwork = _artwork(options, job)
        stamp, written = make_files(job, artwork, options.out, overwrite=options.force, progress=progress.tell)
    except ProofError as error:
        progress.close()
        complain(str(error))
        return BLOCKED
    finally:
        progress.close()
    if options.json:
        print(json.dumps(written.report if written else report(stamp), indent=2, ensure_ascii=False))
    else:
        print_findings(stamp.findings)
        if written:
            _print_made(written, options.out)
    if written:
        return MADE
    blocks = stamp.blocked
    hint = "change the artwork or the job" if options.repair else "try --repair, or change the artwork or the job"
    complain(
        f"not made: {len(blocks)} finding{'s block' if len(blocks) > 1 else ' blocks'} "
        f"({', '.join(sorted({finding.kind for finding in blocks}))}); {hint}"
    )
    return BLOCKED


def _preflight(options: argparse.Namespace) -> int:
    job = job_of(options)
    findings = examine_artwork(job, _artwork(options, job))
    blocks = len(blocking(findings))
    if options.json:
        record = {
            "artwork": str(options.artwork or options.job),
            "blocks": blocks,
            "findings": [finding.as_record() for finding in findings],
        }
        print(json.dumps(record, indent=2, ensure_ascii=False))
    else:
        print_findings(findings)
        print(f"{blocks} of {len(findings)} findings block." if findings else "Nothing found: this artwork prints.")
    return BLOCKED if blocks else MADE


def _view(options: argparse.Namespace) -> int:
    solids = [replace(read_mesh(path), name=path.stem) for path in options.meshes]
    write_png(options.out, view_parts(solids, width=options.width), dpi=SCREEN_DPI, overwrite=options.overwrite)
    print(f"{options.out}: {', '.join(solid.name for solid in solids)}")
    return MADE


def _figures(options: argparse.Namespace) -> int:
    section = ""
    for path, value, about in job_settings(job_of(options)):
        if path.partition(".")[0] != section:
            section = path.partition(".")[0]
            print()
        print(f"{path} = {json.dumps(value, ensure_ascii=False)}{' ' + about.unit if about.unit else ''}")
        print(f"    {about.reason}. Takes {about.allowed()}.")
    return MADE


def _pieces(_options: argparse.Namespace) -> int:
    for kind, piece in PIECES.items():
        print(f'[[pieces]]\nkind = "{kind}"')
        for name, about in piece_settings(piece).items():
            print(f"    {name}: {about.reason}. Takes {about.allowed()}.")
        print()
    return MADE


def _print_made(written: Written, folder: Path) -> None:
    job, judgement = written.stamp.job, written.stamp.judgement
    told = f"Made in {folder}; the die, read back and pressed"
    if judgement is not None:
        told += f", prints {likeness_in_words(judgement.likeness, job.ink.spread)}"
    if written.surface is not None:
        told += f"; its face holds its texture to {written.surface.worst:.3f} mm"
    print(f"{told}:")
    for name, part in written.stamp.measures.items():
        width, depth, height = part.size
        print(
            f"  {name:8} {width:6.1f} x {depth:5.1f} x {height:5.1f} mm  {MATERIALS[part.material].label:16}"
            f"{part.mass:6.1f} g  {part.cost:6.2f} {job.price.currency}  about {in_hours(part.minutes)}"
        )
    pressing = written.stamp.pressing
    if pressing is not None and pressing.whole_at is not None:
        hand = pressing.hand
        what = "the face" if written.surface is None else "what stands of the face"
        print(
            f"  pressing: about {pressing.whole_at:.0f} N print {WHOLE:.0%} of {what}, dressed by "
            f"{pressing.dressed:g} mm; {hand.newtons:.0f} N are comfortable ({hand.source})"
        )
    for name in written.left_over:
        print(f"  {name} in that folder is from another stamp; this one has none")


def _artwork(options: argparse.Namespace, job: Job) -> Artwork:
    """Read the artwork that is named, or make it from the job's own pieces."""
    if options.artwork and job.pieces:
        raise JobError(f"{options.job} has pieces of its own: leave {options.artwork} out, or make it a piece (a mark)")
    if options.artwork:
        return read_artwork(options.artwork, fitted_to=fitted_size(job), tracing=job.tracing)
    if not job.pieces:
        raise JobError("no artwork: name a file, or a job file that has pieces (see: stampwright pieces)")
    return make_artwork(job.pieces, name=job.name, fitted_to=fitted_size(job))


class _Parser(argparse.ArgumentParser):
    """A parser whose complaint is one line, with where to find help."""

    def error(self, message: str) -> NoReturn:
        complain(f"{message} (see: {self.prog} --help)")
        raise SystemExit(UNUSABLE)

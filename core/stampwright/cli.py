"""The command line: a thin skin on the workshop."""

from __future__ import annotations

import argparse
import json
import os
import sys
import time
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, NoReturn, TextIO

from .artwork import Artwork, read_artwork
from .artwork.made import make_artwork
from .errors import JobError, ProofError, StampwrightError
from .findings import Finding, blocking, gathered
from .job import Job, job_figures
from .jobfile import parse_setting, read_job
from .materials import MATERIALS
from .output import Written, read_mesh, report, view_parts, write_picture, write_png
from .pieces import PIECES, piece_figures
from .press import WHOLE, impress
from .workshop import examine_artwork, fitted_size, make_files

MADE, BLOCKED, UNUSABLE, STOPPED = 0, 1, 2, 130

SCREEN_DPI = 96.0
"""Recorded in pictures that are not at true size."""

MOST_SHOWN = 4
"""Findings of one kind that are listed in words; the rest are counted. ``--json`` lists all."""


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
        _complain("stopped; nothing was left half-written")
        return STOPPED
    except StampwrightError as error:
        _complain(str(error))
        return UNUSABLE
    except (MemoryError, RecursionError) as error:
        _complain(f"the artwork is too much for this machine ({type(error).__name__}); simplify it")
        return UNUSABLE
    except Exception as error:
        # The edge of the program: whoever runs it gets one line; whoever mends it gets the rest by development mode.
        if sys.flags.dev_mode:
            raise
        _complain(
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
    _add_impress(commands)
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
    _add_artwork(command)
    command.add_argument("--out", metavar="DIR", type=Path, required=True, help="folder for the files; made if needed")
    _add_job_options(command)
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
    _add_job_options(command)
    command.add_argument("--json", action="store_true", help="print the findings for machines instead of words")
    command.set_defaults(run=_preflight)


def _add_impress(commands: Any) -> None:
    command = commands.add_parser(
        "impress",
        help="press a die from an STL or 3MF file and picture what it prints",
        description="Read a die back from a file, press its face on paper in simulation, and write the picture.",
        epilog="The die lies face up in the file, as it is printed.",
    )
    command.add_argument("mesh", metavar="MESHFILE", type=Path, help="die as .stl or .3mf")
    command.add_argument("--out", metavar="PNG", type=Path, required=True, help="picture to write")
    command.add_argument("--spread", metavar="MM", type=float, default=0.0, help="how far ink creeps per edge (0)")
    command.add_argument("--dress", metavar="MM", type=float, default=0.0, help="taken off the face beforehand (0)")
    command.add_argument("--dpi", metavar="N", type=float, default=600.0, help="resolution of the picture (600)")
    command.add_argument("--overwrite", action="store_true", help="overwrite the picture if it is there already")
    command.set_defaults(run=_impress)


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
    command.add_argument(
        "artwork",
        metavar="ARTWORK",
        type=Path,
        nargs="?",
        help="what is to be printed, as it reads on paper: SVG, a bitmap, or pieces (.toml); without it the job's own "
        "pieces (see: stampwright pieces)",
    )


def _add_job_options(command: argparse.ArgumentParser) -> None:
    command.add_argument("--repair", action="store_true", help="mend what can be mended (preflight.repair=true)")
    command.add_argument("--job", metavar="FILE", type=Path, help="job file, .toml or .json; the rest is default")
    command.add_argument(
        "--set",
        metavar="NAME=VALUE",
        dest="settings",
        action="append",
        default=[],
        help="change one figure, for example die.relief=1.6 (see: stampwright figures); may be given again",
    )


def _make(options: argparse.Namespace) -> int:
    job = _job(options)
    progress = _Progress(sys.stderr)
    try:
        progress.tell("reading", 0.0)
        artwork = _artwork(options, job)
        stamp, written = make_files(job, artwork, options.out, overwrite=options.force, progress=progress.tell)
    except ProofError as error:
        progress.close()
        _complain(str(error))
        return BLOCKED
    finally:
        progress.close()
    if options.json:
        print(json.dumps(written.report if written else report(stamp), indent=2, ensure_ascii=False))
    else:
        _print_findings(stamp.findings)
        if written:
            _print_made(written, options.out)
    if written:
        return MADE
    blocks = stamp.blocked
    hint = "change the artwork or the job" if options.repair else "try --repair, or change the artwork or the job"
    _complain(
        f"not made: {len(blocks)} finding{'s block' if len(blocks) > 1 else ' blocks'} "
        f"({', '.join(sorted({finding.kind for finding in blocks}))}); {hint}"
    )
    return BLOCKED


def _preflight(options: argparse.Namespace) -> int:
    job = _job(options)
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
        _print_findings(findings)
        print(f"{blocks} of {len(findings)} findings block." if findings else "Nothing found: this artwork prints.")
    return BLOCKED if blocks else MADE


def _impress(options: argparse.Namespace) -> int:
    impression = impress(read_mesh(options.mesh), spread=options.spread, dpi=options.dpi, depth=options.dress)
    write_picture(options.out, impression, overwrite=options.overwrite)
    left, bottom, right, top = impression.outlines.bounds
    print(
        f"{options.out}: {right - left:.2f} x {top - bottom:.2f} mm of print, {impression.outlines.area:.1f} mm² of "
        f"ink, {impression.dpi:g} dpi"
    )
    return MADE


def _view(options: argparse.Namespace) -> int:
    solids = [replace(read_mesh(path), name=path.stem) for path in options.meshes]
    write_png(options.out, view_parts(solids, width=options.width), dpi=SCREEN_DPI, overwrite=options.overwrite)
    print(f"{options.out}: {', '.join(solid.name for solid in solids)}")
    return MADE


def _figures(options: argparse.Namespace) -> int:
    section = ""
    for path, value, about in job_figures(_job(options)):
        if path.partition(".")[0] != section:
            section = path.partition(".")[0]
            print()
        print(f"{path} = {json.dumps(value, ensure_ascii=False)}{' ' + about.unit if about.unit else ''}")
        print(f"    {about.reason}. Takes {about.allowed()}.")
    return MADE


def _pieces(_options: argparse.Namespace) -> int:
    for kind, piece in PIECES.items():
        print(f'[[pieces]]\nkind = "{kind}"')
        for name, about in piece_figures(piece).items():
            print(f"    {name}: {about.reason}. Takes {about.allowed()}.")
        print()
    return MADE


def _print_made(written: Written, folder: Path) -> None:
    likeness = written.comparison.worst
    print(f"Made in {folder}; the die, read back and pressed, prints {likeness:.2%} of the artwork:")
    job = written.stamp.job
    for name, part in written.stamp.measures.items():
        width, depth, height = part.size
        print(
            f"  {name:8} {width:6.1f} x {depth:5.1f} x {height:5.1f} mm  {MATERIALS[part.material].label:16}"
            f"{part.mass:6.1f} g  {part.cost:6.2f} {job.price.currency}  about {_duration(part.minutes)}"
        )
    pressing = written.stamp.pressing
    if pressing is not None and pressing.whole_at is not None:
        hand = pressing.hand
        print(
            f"  pressing: about {pressing.whole_at:.0f} N print {WHOLE:.0%} of the face, dressed by "
            f"{pressing.dressed:g} mm; {hand.newtons:.0f} N are comfortable ({hand.source})"
        )
    for name in written.left_over:
        print(f"  {name} in that folder is from another stamp; this one has none")


def _duration(minutes: float) -> str:
    hours, rest = divmod(round(minutes), 60)
    return f"{hours} h {rest:02} min" if hours else f"{rest} min"


def _job(options: argparse.Namespace) -> Job:
    job = read_job(options.job) if options.job else Job()
    settings: dict[str, Any] = {}
    for text in options.settings:
        path, value = parse_setting(text)
        settings[path] = value
    if "name" not in settings and job.name == Job().name and getattr(options, "artwork", None):
        settings["name"] = _printable(options.artwork.stem)
    if getattr(options, "repair", False):
        settings["preflight.repair"] = True
    return job.with_values(settings)


def _artwork(options: argparse.Namespace, job: Job) -> Artwork:
    """Read the artwork that is named, or make it from the job's own pieces."""
    if options.artwork and job.pieces:
        raise JobError(f"{options.job} has pieces of its own: leave {options.artwork} out, or make it a piece (a mark)")
    if options.artwork:
        return read_artwork(options.artwork, fitted_to=fitted_size(job), tracing=job.tracing)
    if not job.pieces:
        raise JobError("no artwork: name a file, or a job file that has pieces (see: stampwright pieces)")
    return make_artwork(job.pieces, name=job.name, fitted_to=fitted_size(job))


def _printable(text: str) -> str:
    return "".join(character for character in text if character.isprintable())[:100] or Job().name


def _print_findings(findings: Iterable[Finding]) -> None:
    """Print findings by kind: the first few with their places, what would mend them, and how many more there are."""
    for alike in gathered(findings):
        for finding in alike[:MOST_SHOWN]:
            print(f"{finding.severity:6}  {finding.kind}: {finding.message}{_where(finding)}")
        if len(alike) > MOST_SHOWN:
            print(f"        ... and {len(alike) - MOST_SHOWN} more of: {alike[0].kind} (--json lists all)")
        for remedy in dict.fromkeys(finding.remedy for finding in alike if finding.remedy):
            print(f"        {remedy}")


def _where(finding: Finding) -> str:
    at = finding.as_record()["at"]
    return f", at {at[0]:.1f}, {at[1]:.1f} mm" if at else ""


def _complain(message: str) -> None:
    print("stampwright: " + " ".join(message.split()), file=sys.stderr)


class _Parser(argparse.ArgumentParser):
    """A parser whose complaint is one line, with where to find help."""

    def error(self, message: str) -> NoReturn:
        _complain(f"{message} (see: {self.prog} --help)")
        raise SystemExit(UNUSABLE)


class _Progress:
    """Tells a person what is going on: one line that changes on a terminal, a line a slow step elsewhere."""

    SLOW = 2.0
    """Seconds after which a step is worth a line of its own."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._lively = stream.isatty()
        self._last = time.monotonic()

    def tell(self, step: str, share: float) -> None:
        now = time.monotonic()
        if self._lively:
            self._stream.write(f"\r{share:4.0%} {step}".ljust(40))
            self._stream.flush()
        elif now - self._last > self.SLOW:
            print(f"{share:.0%} {step}", file=self._stream)
            self._last = now

    def close(self) -> None:
        if self._lively:
            self._stream.write("\r" + " " * 40 + "\r")
            self._stream.flush()

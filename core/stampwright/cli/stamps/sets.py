"""What commands do for a picture in several inks: propose them, ask, make all stamps, press all dies."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ...errors import JobError
from ..terminal import (
    BLOCKED,
    MADE,
    UNUSABLE,
    ProgressLine,
    as_records,
    complain,
    print_count,
    print_findings,
    print_json,
    print_left_out,
    say_blocked,
    with_progress,
)

if TYPE_CHECKING:
    from ...job import Job
    from ...job.inks import Ink
    from ...sets import WrittenSet

ASK, AUTO = "ask", "auto"


def add_inks(command: argparse.ArgumentParser) -> None:
    """Let a command part art into inks."""
    command.add_argument(
        "--inks",
        choices=(AUTO, ASK),
        help="print in several inks, a stamp for each: auto takes those proposed from the art's own colours, ask shows "
        "them first; a job that lists inks needs neither",
    )


def offer(commands: Any) -> None:
    """Add the command that proposes inks to those of the program."""
    command = commands.add_parser(
        "inks",
        help="propose the inks of a picture in several colours",
        description="Part a coloured drawing, or a bitmap of flat colours, into few inks, a stamp for each, and print "
        "them as tables [[inks]] for a job file.",
        epilog="Then: stampwright make ARTWORK -o DIR --inks auto, or with the tables in a job file.",
    )
    command.add_argument("artwork", metavar="ARTWORK", type=Path, help="SVG, or a bitmap of flat colours")
    command.set_defaults(run=propose)


def propose(options: argparse.Namespace) -> int:
    """Print the inks that are proposed for artwork."""
    from ...inks import propose_inks
    from ...job import Job
    from ...sets import coloured_of

    print(_tables(propose_inks(coloured_of(Job(), str(options.artwork)))))
    return MADE


def make_inks(options: argparse.Namespace, job: Job) -> int:
    """Make every stamp of a picture in several inks, or say what keeps them from being made.

    Raises :class:`~stampwright.errors.JobError` when the job cannot be one of a set, and what making raises.
    """
    from ...preflight import can_mend
    from ...sets import coloured_of, make_set_files, proposed_job
    from ...sets.report import set_report

    if options.sculpt is not None or job.face.sculpt:
        raise JobError("a sculpt shapes one die, so it goes with no set of inks: leave face.sculpt or the inks out")
    if options.artwork and job.pieces:
        raise JobError(f"{options.job} has pieces of its own: leave {options.artwork} out, or make it a piece (a mark)")
    with ProgressLine(sys.stderr) as progress:
        progress.tell("reading", 0.0)
        coloured = coloured_of(job, str(options.artwork) if options.artwork else "")
        if not job.inks:
            job = proposed_job(job, coloured)
            if options.inks == ASK and not _agreed(job.inks, progress):
                return UNUSABLE
        made, written = make_set_files(job, coloured, options.out, overwrite=options.overwrite, progress=progress.tell)
    if options.json:
        print_json(written.report if written else set_report(made))
    else:
        print_findings(made.all_findings, all_of_them=options.all)
        if written:
            _print_made(written, options.out)
    if written:
        return MADE
    if not job.preflight.repair and any(can_mend(finding, job.preflight) for finding in made.blocked):
        return say_blocked(made.all_findings, "run again with --repair, or change the artwork")
    return say_blocked(made.all_findings, "change the artwork, the inks or the job")


def examine_inks(options: argparse.Namespace, job: Job) -> int:
    """Examine a picture in several inks, each as its own die would print it, and say what was found.

    Raises :class:`~stampwright.errors.JobError` when the job cannot be one of a set, and what examining raises.
    """
    from ...files.whole import write_file
    from ...sets import coloured_of, examine_set, proposed_job
    from ...sets.sheet import set_sheet_file

    coloured = coloured_of(job, str(options.artwork) if options.artwork else "")
    job = job if job.inks else proposed_job(job, coloured)
    examined = examine_set(job, coloured)
    findings, blocks = examined.findings, examined.blocked
    if options.out is not None:
        write_file(options.out, set_sheet_file(options.out, examined), overwrite=options.overwrite)
    if options.json:
        print_json({"inks": [ink.name for ink in job.inks], "blocks": len(blocks), "findings": as_records(findings)})
    else:
        print(_tables(job.inks))
        print_findings(findings, all_of_them=options.all)
        print_count(findings)
    return BLOCKED if blocks else MADE


def impress_inks(options: argparse.Namespace) -> int:
    """Press all dies of a set, write the picture in colour and say what was printed."""
    from ...files import check_new, write_png
    from ...sets.pressing import impress_set

    check_new(options.out, overwrite=options.overwrite)
    impression = impress_set(options.mesh, spread=options.spread or 0.0, dpi=options.dpi, depth=options.dress or 0.0)
    write_png(options.out, impression.picture, dpi=options.dpi, overwrite=options.overwrite)
    areas = {name: float(region.area) for name, region in impression.printed.items()}
    if options.json:
        print_json(
            {
                "picture": str(options.out),
                "dpi": options.dpi,
                "inks": [
                    {"name": name, "colour": colour, "area": area}
                    for (name, area), colour in zip(areas.items(), impression.colours, strict=True)
                ],
                "findings": as_records(impression.findings),
            }
        )
        return MADE
    print_findings(impression.findings, all_of_them=options.all)
    told = ", ".join(f"{name} {area:.1f} mm²" for name, area in areas.items())
    print(f"{options.out}: {len(areas)} inks, {told}, {options.dpi:g} dpi")
    return MADE


def push_inks(options: argparse.Namespace, values: dict[str, Any]) -> int:
    """Push all dies of a set, each as its own job and these settings say, and say how each prints."""
    from ...files import check_new, write_png
    from ...looks.numbers import newtons, percent
    from ...sets.pressing import push_set

    check_new(options.out, overwrite=options.overwrite)
    pushed = with_progress(
        "pressing",
        lambda tell: push_set(
            options.mesh, values=values, textured=not options.as_it_is, dpi=options.dpi, progress=tell
        ),
    )
    write_png(options.out, pushed.picture, dpi=options.dpi, overwrite=options.overwrite)
    shares = pushed.shares
    if options.json:
        inks = [
            {"name": name, "colour": colour, "force": each.pressing.force, "printed_share": shares[name]}
            for (name, each), colour in zip(pushed.pushed.items(), pushed.colours, strict=True)
        ]
        record = {"picture": str(options.out), "dpi": pushed.dpi, "inks": inks}
        print_json({**record, "findings": as_records(pushed.findings)})
        return MADE
    print_findings(pushed.findings, all_of_them=options.all)
    told = "; ".join(
        f"{newtons(each.pressing.force)} prints {percent(shares[name], 1)} of {name} solid"
        for name, each in pushed.pushed.items()
    )
    print(f"{options.out}: {told}; {pushed.dpi:g} dpi")
    return MADE


def _tables(inks: tuple[Ink, ...]) -> str:
    from ...job.inks import inks_as_data
    from ...job.written.tables import as_toml

    return "\n\n".join(
        "[[inks]]\n" + "\n".join(f"{name} = {as_toml(value)}" for name, value in table.items())
        for table in inks_as_data(inks)
    )


def _agreed(inks: tuple[Ink, ...], progress: ProgressLine) -> bool:
    """Show the inks that are proposed, and ask whether they shall be made."""
    progress.close()
    print(_tables(inks))
    if not sys.stdin.isatty():
        complain("not made: these inks are proposed; run again with --inks auto, or put them into the job file")
        return False
    answer = input(f"Make a stamp for each of these {len(inks)} inks? [y/N] ")
    if answer.strip().lower() in ("y", "yes"):
        return True
    complain("not made; put inks of your own into the job file ([[inks]])")
    return False


def _print_made(written: WrittenSet, folder: Path) -> None:
    from ...job.inks import folder_of
    from ...likeness import likeness_in_words

    made = written.made
    play, worst = made.play, made.misregister.worst
    print(f"Made in {folder}; {len(made.stamps)} dies, read back and pressed:")
    for number, (separation, stamp) in enumerate(zip(made.separations, made.stamps, strict=True), start=1):
        ink = separation.ink
        told = ""
        if stamp.judgement is not None:
            told = f", prints {likeness_in_words(stamp.judgement.likeness, stamp.job.ink.spread)}"
        area = stamp.impression.outlines.area
        print(f"  {number}. {ink.name:12} {ink.colour}  {area:7.1f} mm²  in {folder_of(ink.name)}{told}")
    print(f"  register: impressions likely miss by {play.likely:.2f} mm, {play.worst:.2f} at most ({play.source})")
    print(
        f"  trap: {made.trap_width:.2f} mm; in the worst of 200 throws white gaps of {worst.gap_area:.2f} mm², up to "
        f"{worst.gap_width:.2f} mm wide"
    )
    for name in written.left_over:
        print(f"  {name} in that folder is of an ink that this set does not have")
    print_left_out(written.left_out)


def has_inks(options: argparse.Namespace, job: Job) -> bool:
    """Say whether a picture in several inks is asked for, by an option or by the job."""
    return bool(options.inks or job.inks)

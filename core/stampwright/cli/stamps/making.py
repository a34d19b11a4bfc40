"""The command that makes all files of a stamp."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ...errors import OutputError
from ..options import add_artwork, add_json, add_out, artwork_of, job_of
from ..remedies import add_ways, answer_of, print_ways
from ..sheets import beside, write_sheet
from ..terminal import MADE, ProgressLine, complain, print_findings, print_json, print_left_out, say_blocked
from .sets import add_inks, has_inks, make_inks

if TYPE_CHECKING:
    from ...output import Written
    from ...remedy import Answer
    from ...stamp import Stamp


def offer(commands: Any) -> None:
    """Add the command to those of the program."""
    command = commands.add_parser(
        "make",
        help="make all files of a stamp from artwork",
        description="Read artwork, examine it, build die, backing and handle, write them as mesh files with "
        "impression, proof and job ticket beside them, and prove from the written die that it prints the artwork.",
        epilog="Exit code 0: made; 1: a finding blocks (it says which); 2: bad usage or unreadable input.",
    )
    add_out(command, "DIR", "folder for the files; made if needed")
    add_artwork(command)
    command.add_argument(
        "--sculpt",
        metavar="FILE",
        type=Path,
        help="height map that shapes the face (face.sculpt): a 16-bit PNG or float TIFF that records place and depth",
    )
    add_inks(command)
    command.add_argument("--force", dest="overwrite", action="store_true", help=argparse.SUPPRESS)
    add_ways(command)
    add_json(command, "the report")
    command.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Make the stamp and say what it is, or what keeps it from being made."""
    from ...memory import Memory
    from ...output import report
    from ...workshop import make_files

    job = job_of(options)
    if options.sculpt is not None:
        job = job.with_value("face.sculpt", os.path.realpath(options.sculpt))
    if has_inks(options, job):
        return make_inks(options, job)
    memory = Memory()
    with ProgressLine(sys.stderr) as progress:
        progress.tell("reading", 0.0)
        artwork = artwork_of(options, job)
        stamp, written = make_files(
            job, artwork, options.out, overwrite=options.overwrite, progress=progress.tell, memory=memory
        )
    if options.json:
        print_json(written.report if written else report(stamp))
    else:
        print_findings(stamp.findings, all_of_them=options.all)
        if written:
            _print_made(written, options.out)
    if written:
        return MADE
    answer = answer_of(options, job, artwork, with_repair=True, memory=memory)
    if not options.json:
        print_ways(answer.ways)
    _draw_examination(options, answer)
    return _blocked(stamp, answer)


def _draw_examination(options: argparse.Namespace, answer: Answer) -> None:
    """Draw what keeps the stamp from being made beside its folder, which stays as it was, and say where.

    A picture that cannot be written changes nothing about the stamp, so that is only said.
    """
    path = beside(options.out)
    try:
        write_sheet(path, answer, overwrite=options.overwrite)
    except OutputError as error:
        complain(f"no picture of the examination: {error}")
        return
    if not options.json:
        print(f"The examination is drawn in {path}")


def _blocked(stamp: Stamp, answer: Answer) -> int:
    """Say what keeps the stamp from being made, and what to do about it: repair only where it does, or is not tried."""
    from ...preflight import can_mend

    mended = answer.repaired is not None and not any(each.severity == "blocks" for each in answer.repaired.findings)
    untried = answer.too_fine and any(can_mend(finding, stamp.job.preflight) for finding in stamp.blocked)
    if mended or untried:
        return say_blocked(stamp.findings, "run again with --repair, or change the artwork or the job")
    return say_blocked(stamp.findings, f"{'take a way above, or ' if answer.ways else ''}change the artwork or the job")


def _print_made(written: Written, folder: Path) -> None:
    from ...job.materials import MATERIALS
    from ...likeness import likeness_in_words
    from ...output.paper.bend_words import bend_in_words
    from ...parts import in_hours

    job, judgement = written.stamp.job, written.stamp.judgement
    told = f"Made in {folder}; the die, read back and pressed"
    if judgement is not None:
        told += f", prints {likeness_in_words(judgement.likeness, job.ink.spread)}"
    if written.surface is not None:
        told += f"; its face holds its texture to {written.surface.worst:.3f} mm"
    print(f"{told}:")
    print(f"  ink on paper: {written.stamp.layout.sized}")
    bent = bend_in_words(written.stamp)
    if bent:
        print(f"  bent: {bent}")
    for name, part in written.stamp.measures.items():
        width, depth, height = part.size
        print(
            f"  {name:8} {width:6.1f} x {depth:5.1f} x {height:5.1f} mm  {MATERIALS[part.material].label:16}"
            f"{part.mass:6.1f} g  {part.cost:6.2f} {job.price.currency}  about {in_hours(part.minutes)}"
        )
    _print_push(written.stamp)
    print_left_out(written.left_out)
    for name in written.left_over:
        print(f"  {name} in that folder is from another stamp; this one has none")


def _print_push(stamp: Stamp) -> None:
    from ...looks.numbers import newtons, percent, spoken
    from ...output.paper.bend_words import rolled_in_words
    from ...press import WHOLE, range_in_words

    pressing = stamp.pressing
    if pressing is None or pressing.whole_at is None:
        return
    face = "the whole face" if stamp.face is None else "all that stands of the face"
    about = newtons(pressing.whole_at)
    print(
        f"  push: {'' if about.startswith('under') else 'about '}{about} prints {face} ({percent(WHOLE)}), dressed by "
        f"{spoken(pressing.dressed)} mm; a hand should push with {newtons(pressing.hand.newtons)} at most"
    )
    print(f"    {range_in_words(pressing.whole_between)}")
    rolled = rolled_in_words(pressing)
    if rolled:
        print(f"    {rolled}")

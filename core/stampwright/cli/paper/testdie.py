"""The command that makes a test die, which measures printer, ink and paper when it is stamped."""

from __future__ import annotations

import argparse
import sys
from typing import Any

from ...errors import JobError
from ..options import add_job, add_json, add_out, job_of
from ..terminal import BLOCKED, MADE, ProgressLine, blocked_kinds, complain, print_json


def offer(commands: Any) -> None:
    """Add the command to those of the program."""
    command = commands.add_parser(
        "testdie",
        help="make a test die, whose prints tell what your printer, ink and paper do",
        description="Make a small die with ladders of lines and gaps, dots, holes, screens, letters and marks, as a "
        "stamp with backing and ticket, and a seat gauge and a height comb beside it.",
        epilog="Print it, stamp with it, scan the prints, then: stampwright measure SCAN --test DIR -o my-printer.toml",
    )
    add_out(command, "DIR", "folder for the files; made if needed")
    command.add_argument("--size", metavar="MM", type=float, default=50.0, help="side of the die, from 30 mm (50)")
    add_json(command, "the report")
    add_job(command)
    command.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Make the test die and say what to do with it; raises :class:`JobError` when its size is none."""
    from ...prints.testdie import GAUGES, write_test_die

    if not 30.0 <= options.size <= 300.0:
        raise JobError(f"--size {options.size:g} is not allowed: it takes 30 to 300 mm")
    job = job_of(options)
    with ProgressLine(sys.stderr) as progress:
        stamp, written = write_test_die(
            job, options.out, size=options.size, overwrite=options.overwrite, progress=progress.tell
        )
    if written is None:
        complain(f"not made: {blocked_kinds(stamp.findings)}; change the job, or make the die larger (--size)")
        return BLOCKED
    if options.json:
        print_json(written.report)
        return MADE
    print(
        f"Made in {options.out}: a test die of {options.size:g} mm, its thinnest lines thinner than your printer lays"
    )
    print(f"  beside it, to be tried by hand and with calipers: {', '.join(GAUGES)}")
    print("  print it, glue it on its backing and stamp it with the ink and on the paper that you will use, some five")
    print("  times, on a kitchen scale if there is one; scan the prints at 600 dpi, then")
    print(f"  stampwright measure SCAN... --test {options.out} -o my-printer.toml")
    return MADE

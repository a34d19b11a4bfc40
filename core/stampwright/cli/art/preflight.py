"""The command that says what of artwork would not print."""

from __future__ import annotations

import argparse
from typing import Any

from ..options import add_artwork, add_json, add_out, artwork_of, job_of
from ..remedies import add_ways, answer_of, print_ways
from ..sheets import check_sheet, write_sheet
from ..stamps.sets import add_inks, examine_inks, has_inks
from ..terminal import BLOCKED, MADE, as_records, print_count, print_findings, print_json


def offer(commands: Any) -> None:
    """Add the command to those of the program."""
    command = commands.add_parser(
        "preflight",
        help="examine artwork without making anything",
        description="Say what of the artwork would not print, fill in or break off, where, and what would mend it.",
        epilog="Exit code 0: nothing blocks; 1: a finding blocks; 2: bad usage or unreadable input.",
    )
    add_artwork(command)
    add_inks(command)
    add_out(command, "FILE", "write the examination as a picture: .svg, .png or .html", required=False)
    add_ways(command)
    add_json(command, "the findings")
    command.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Examine the artwork and say what was found."""
    if options.out is not None:
        check_sheet(options.out, overwrite=options.overwrite)
    from ...findings import total

    job = job_of(options)
    if has_inks(options, job):
        return examine_inks(options, job)
    artwork = artwork_of(options, job)
    answer = answer_of(options, job, artwork, with_repair=options.out is not None)
    examined, ways = answer.examined, answer.ways
    findings, blocks = examined.findings, examined.blocked
    if options.out is not None:
        write_sheet(options.out, answer, overwrite=options.overwrite)
    if options.json:
        record = {"artwork": str(options.artwork or options.job), "blocks": total(findings, "blocks")}
        record |= {
            "size": examined.laid.layout.sized,
            "findings": as_records(findings),
            "likeness": examined.judgement.as_record(),
        }
        print_json({**record, "ways": [way.as_record() for way in ways or ()]})
    else:
        print(f"Ink on paper: {examined.laid.layout.sized}.")
        print_findings(findings, all_of_them=options.all)
        if not findings:
            print("Nothing found: this artwork prints.")
        else:
            print_count(findings)
            print_ways(ways if blocks else None)
        if options.out is not None:
            print(f"The examination is drawn in {options.out}")
    return BLOCKED if blocks else MADE

"""The command that says what of artwork would not print."""

from __future__ import annotations

import argparse
from typing import Any

from .options import add_artwork, add_json, artwork_of, job_of
from .remedies import add_ways, print_ways, ways_of
from .terminal import BLOCKED, MADE, as_records, counted_kinds, print_findings, print_json


def offer(commands: Any) -> None:
    """Add the command to those of the program."""
    command = commands.add_parser(
        "preflight",
        help="examine artwork without making anything",
        description="Say what of the artwork would not print, fill in or break off, where, and what would mend it.",
        epilog="Exit code 0: nothing blocks; 1: a finding blocks; 2: bad usage or unreadable input.",
    )
    add_artwork(command)
    add_ways(command)
    add_json(command, "the findings")
    command.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Examine the artwork and say what was found."""
    from ..examination import examine_job

    job = job_of(options)
    artwork = artwork_of(options, job)
    examined = examine_job(job, artwork)
    findings, blocks = examined.findings, examined.blocked
    ways = ways_of(options, job, artwork, examined)
    if options.json:
        record = {"artwork": str(options.artwork or options.job), "blocks": len(blocks)}
        record |= {
            "size": examined.laid.layout.sized,
            "findings": as_records(findings),
            "likeness": examined.judgement.as_record(),
        }
        print_json({**record, "ways": [way.as_record() for way in ways]})
    else:
        print(f"Ink on paper: {examined.laid.layout.sized}.")
        print_findings(findings, all_of_them=options.all)
        if not findings:
            print("Nothing found: this artwork prints.")
        else:
            which = f": {counted_kinds(blocks)}" if blocks else ""
            print(f"{len(blocks)} of {len(findings)} findings block{which}.")
            print_ways(ways)
    return BLOCKED if blocks else MADE

"""The command that compares prints of a stamp with the stamp itself."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from ...errors import JobError
from ..options import add_all, add_json, add_out
from ..terminal import MADE, print_findings, print_json


def offer(commands: Any) -> None:
    """Add the command to those of the program."""
    command = commands.add_parser(
        "compare",
        help="compare prints of a stamp with the stamp, and say what to do",
        description="Bring scans or photographs of a stamp's prints into register with its die and show what is "
        "missing, light, stray or spread, how like the art the prints are, and where to dress, push more or ink less. "
        "Of several prints it tells what is always there, which is the die, from what changes, which is hand and ink.",
        epilog="For example: stampwright compare one.png two.png three.png my-stamp -o beside.svg",
    )
    command.add_argument(
        "scans", metavar="SCAN", nargs="+", type=Path, help="scans or photographs, of one print or more"
    )
    command.add_argument("folder", metavar="DIR", type=Path, help="folder that the stamp was made in")
    add_out(command, "FILE", "draw the prints beside the stamp into this .svg, .png or .pdf file", required=False)
    command.add_argument("--dpi", metavar="N", type=float, help="resolution of the scans, where files do not say it")
    add_all(command)
    add_json(command, "the comparison")
    command.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Compare the prints, draw the sheet and say what was found.

    Raises :class:`~stampwright.errors.PrintError` when a picture shows no print of the stamp, and
    :class:`~stampwright.errors.JobError` when an option is out of range.
    """
    from ...files import check_new, write_file
    from ...prints.comparing import check_form, compare_prints, comparison_file

    if options.dpi is not None and not 50 <= options.dpi <= 20_000:
        raise JobError(f"--dpi {options.dpi:g} is not allowed: it takes 50 to 20,000")
    if options.out is not None:
        check_form(options.out)
        check_new(options.out, overwrite=options.overwrite)
    comparison = compare_prints(options.scans, options.folder, dpi=options.dpi)
    if options.out is not None:
        write_file(options.out, comparison_file(options.out, comparison), overwrite=options.overwrite)
    if options.json:
        print_json(comparison.as_record())
        return MADE
    for each in comparison.prints:
        print(
            f"{each.registered.name}: ink spreads by {each.mean_spread:.2f} mm; "
            f"missing {each.missing.area:.1f} mm², light {each.light.area:.1f} mm², stray {each.stray.area:.1f} mm²"
        )
    print(f"Prints {comparison.in_words()}")
    print_findings(comparison.findings, all_of_them=options.all)
    if options.out is not None:
        print(f"{options.out}: the prints beside their stamp")
    return MADE

"""The command that measures printer, ink and paper on prints of a test die."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ...errors import JobError
from ..options import add_json, add_out
from ..terminal import MADE, print_json

if TYPE_CHECKING:
    from ...prints.measuring import Figure


def offer(commands: Any) -> None:
    """Add the command to those of the program."""
    command = commands.add_parser(
        "measure",
        help="measure printer, ink and paper on prints of a test die",
        description="Find the prints of a test die in scans or photographs, undo perspective, and measure how far ink "
        "spreads, which lines and gaps print, how dark, how even, and how true to size; write it as settings that jobs "
        "take.",
        epilog="Then: stampwright make mark.svg -o my-stamp --with my-printer.toml",
    )
    command.add_argument(
        "scans", metavar="SCAN", nargs="+", type=Path, help="scans or photographs, of one print or more"
    )
    command.add_argument("--test", metavar="DIR", type=Path, help="folder that the test die was made in")
    add_out(command, "FILE", "settings file to write (.toml)", required=False)
    command.add_argument(
        "--dpi", metavar="N", type=float, help="resolution of the scans, where the files do not say it"
    )
    command.add_argument(
        "--scale",
        metavar="WHAT",
        default="",
        help="what says how large the picture is: dpi, a4, letter, ruler, bar (the ticket's, beside the print), or "
        "stamp (the print itself is taken for true); left out, the surest that is seen",
    )
    command.add_argument(
        "--push",
        metavar="[SCAN=]N",
        action="append",
        default=[],
        help="newtons that all prints, or those of one scan, were stamped with: a kitchen scale's grams over 100",
    )
    command.add_argument(
        "--seat", metavar="MM", type=float, help="clearance of the narrowest socket of the seat gauge that took the peg"
    )
    add_json(command, "what was measured")
    command.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Measure the prints, write the settings and say what was found.

    Raises :class:`~stampwright.errors.PrintError` when a picture cannot be measured, and
    :class:`~stampwright.errors.JobError` when an option is none.
    """
    from ...files import check_new, write_file
    from ...prints.finding.scales import SOURCES
    from ...prints.measuring import measure_prints, measured_as_data, settings_toml

    if options.out is not None:
        check_new(options.out, overwrite=options.overwrite)
    if options.dpi is not None and not 50 <= options.dpi <= 20_000:
        raise JobError(f"--dpi {options.dpi:g} is not allowed: it takes 50 to 20,000")
    if options.scale and options.scale not in SOURCES:
        raise JobError(f"--scale {options.scale!r} is not allowed: it takes one of {', '.join(SOURCES)}")
    if options.out is not None and options.out.suffix.lower() != ".toml":
        raise JobError(f"{options.out}: measured settings are written as .toml; give it that ending")
    pushes = _pushes(options.push)
    scans = [path.name for path in options.scans]
    if unknown := [name for name in pushes if name and name not in scans]:
        raise JobError(f"--push {unknown[0]}=: no scan of that name is given; there are {', '.join(scans)}")
    measured = measure_prints(
        options.scans,
        test=options.test,
        dpi=options.dpi,
        scale=options.scale,
        pushes=pushes,
        push=pushes.get(""),
        clearance=options.seat,
    )
    if options.out is not None:
        write_file(options.out, settings_toml(measured).encode("utf-8"), overwrite=options.overwrite)
    if options.json:
        print_json(measured_as_data(measured))
        return MADE
    for reading in measured.readings:
        source = "the print itself, taken for true" if reading.scale is None else reading.scale.source
        print(f"{reading.scan}: a test die of {reading.chart.size:g} mm; scale by {source}")
    print()
    for figure in measured.figures:
        print(_told(figure))
    for note in measured.notes:
        print(f"note: {note}")
    if options.out is not None:
        print(f"{options.out}: the settings; jobs take them by --with {options.out}")
    return MADE


def _told(figure: Figure) -> str:
    unit = f" {figure.unit}" if figure.unit else ""
    if not figure.told:
        bound = f"less than {figure.most:.2g}{unit}; not told more closely by these prints"
        return f"  {figure.name:28} {bound} ({figure.basis})"
    several = f", {figure.prints} prints differ by {figure.deviation:.2g}" if figure.prints > 1 else ""
    setting = f" [{figure.setting}]" if figure.setting else ""
    return (
        f"  {figure.name:28} {figure.value:8.4g}{unit} ({figure.low:.4g} to {figure.high:.4g}{several}; "
        f"{figure.basis}){setting}"
    )


def _pushes(said: list[str]) -> dict[str, float]:
    """Return pushes by the scan's own name, the one of all under no name; raises :class:`JobError`."""
    pushes = {}
    for text in said:
        name, _, number = text.rpartition("=")
        try:
            value = float(number)
        except ValueError:
            value = 0.0
        if not 0.1 <= value <= 5000:
            raise JobError(f"--push {text!r} is not allowed: it takes newtons, 0.1 to 5000, or SCAN=newtons")
        pushes[Path(name).name if name else ""] = value
    return pushes

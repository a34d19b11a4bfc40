"""The command that says how a die wants to be pushed."""

from __future__ import annotations

import argparse
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ...errors import JobError, OutputError
from ...looks.numbers import newtons, percent, spoken
from ..options import add_job, add_json, add_out, job_of
from ..terminal import MADE, as_records, print_findings, print_json, with_progress

if TYPE_CHECKING:
    from ...job import Job
    from ...press import Assumption, PressReport, PushCurve
    from ...press.unbending import Unbent

_CURVE_DPI = 206.0
"""Of the push curve as a picture: 1200 pixels on 148 mm."""

_DEEPEST = 20.0
"""Most that may be said to be dressed off, mm."""


def offer(commands: Any) -> None:
    """Add the command to those of the program."""
    command = commands.add_parser(
        "push",
        help="report how hard a die must be pushed, before and after dressing",
        description="Push a die from a file harder and harder, undressed and dressed, and tell how much of its face "
        "prints at each push, which push prints it whole and how that compares with what a hand should push, how much "
        "dressing is needed, how far off centre it may be pushed, and what would help. Every figure is computed for "
        "this die.",
        epilog="Give the job.json that was written beside the die: stampwright push my-stamp/die.stl "
        "--job my-stamp/job.json -o curve.svg",
    )
    command.add_argument("mesh", metavar="MESHFILE", type=Path, help="die as .stl or .3mf, face up")
    add_out(command, "FILE", "draw the push curve into this .svg or .png file", required=False)
    add_dressing(command, command)
    add_json(command, "the report")
    add_job(command)
    command.set_defaults(run=run)


def add_dressing(command: argparse.ArgumentParser, push: argparse._ActionsContainer) -> None:
    """Let a command be told what has been dressed off, and that the mesh's face is as it is."""
    command.add_argument(
        "--dress", metavar="MM", type=float, help="taken off the face beforehand (the job's dressing allowance)"
    )
    push.add_argument(
        "--as-it-is",
        action="store_true",
        help="the face is as the mesh has it: do not lay the printer's beads and bow on it",
    )
    push.add_argument("--no-texture", dest="as_it_is", action="store_true", help=argparse.SUPPRESS)


def dressing_of(options: argparse.Namespace, job: Job) -> float:
    """Return how much dressing takes off, mm: as the options say, or the job.

    Raises :class:`~stampwright.errors.JobError` when the option is out of range.
    """
    from ...job.heights import snap_heights

    depth: float | None = options.dress
    if depth is None:
        return snap_heights(job).dressing
    if not 0.0 <= depth <= _DEEPEST:
        raise JobError(f"--dress {depth:g} is not allowed: it takes a number from 0 to {_DEEPEST:g} mm")
    return depth


def repeats_of(unbent: Unbent, allowance: float) -> int:
    """Return how often the print of a roller comes in one turn; what cannot be pressed is told when it is."""
    from ...errors import StampwrightError
    from ...press import find_face, repeats_in

    if unbent.bend is None or not unbent.bend.closed:
        return 1
    try:
        return repeats_in(find_face(unbent.mesh, depth=allowance, dpi=200.0), unbent.bend)
    except StampwrightError:
        return 1


def assumed(about: Assumption) -> dict[str, Any]:
    """Return an assumption as plain data."""
    return {name: getattr(about, name) for name in ("name", "value", "low", "high", "unit", "basis")}


def run(options: argparse.Namespace) -> int:
    """Push the die over and over, and say what came of it.

    Raises :class:`~stampwright.errors.JobError` when an option is out of range,
    :class:`~stampwright.errors.OutputError` when the drawing has another ending than it can have, and what pressing
    raises.
    """
    from ...files import check_new, read_mesh
    from ...parts.true_size import off_printer
    from ...press import report_press, unbend

    if options.out is not None:
        if options.out.suffix.lower() not in (".svg", ".png"):
            raise OutputError(f"{options.out}: the push curve is drawn as .svg or .png; give it one of these names")
        check_new(options.out, overwrite=options.overwrite)
    job = job_of(options)
    if options.dress is not None:
        job = job.with_value("press.dressing_done", 100.0)
    allowance = dressing_of(options, job)
    unbent = unbend(off_printer(read_mesh(options.mesh), job.printer), dressing=allowance, job=job)
    mesh, job = unbent.mesh, unbent.of_job(job, repeats_of(unbent, allowance))
    report = with_progress(
        "pushing over and over",
        lambda tell: report_press(job, mesh, allowance=allowance, textured=not options.as_it_is, progress=tell),
    )
    dressed = allowance * job.press.dressed
    if options.out is not None:
        _draw_curve(options, job, report, dressed)
    if options.json:
        print_json(_reported(report, dressed))
        return MADE
    _print_report(report, dressed)
    if options.out is not None:
        print(f"{options.out}: the push curve")
    return MADE


def _draw_curve(options: argparse.Namespace, job: Job, report: PressReport, dressed: float) -> None:
    """Draw the push curve as the file's name asks for."""
    from ...files import write_file, write_png
    from ...output import push_curve_page, push_curve_svg

    curves = [("undressed", report.printed), (_dressed_by(dressed), report.finished)][: 2 if dressed else 1]
    force, title = job.press.force, f"Push curve: {job.name}"
    if options.out.suffix.lower() == ".png":
        picture = push_curve_page(curves, report.hand, force=force, title=title)
        write_png(options.out, picture, dpi=_CURVE_DPI, overwrite=options.overwrite)
    else:
        drawing = push_curve_svg(curves, report.hand, force=force, title=title)
        write_file(options.out, drawing.encode("utf-8"), overwrite=options.overwrite)


def _print_report(report: PressReport, dressed: float) -> None:
    from ...press import WHOLE

    after = _dressed_by(dressed)
    print_findings(report.about_face, all_of_them=True)
    print("Share of the face that prints solid\n")
    print(f"{'push':>8}{'undressed':>14}{after:>20}")
    for force in dict.fromkeys((*report.printed.forces, *report.finished.forces)):
        print(f"{force:6.0f} N{_share_at(report.printed, force):>14}{_share_at(report.finished, force):>20}")
    print(f"{percent(WHOLE):>8}{_newtons(report.printed.whole_at):>14}{_newtons(report.finished.whole_at):>20}\n")
    hand = report.hand
    print(f"{hand}, by {hand.source}")
    if report.needed is None:
        print("Dressing: no depth lets that push print it whole")
    elif report.needed:
        print(f"Dressing: dress at least {max(report.needed, 0.1):.1f} mm, and that push prints it whole")
    else:
        print("Dressing: none is needed for that push to print it whole")
    print(f"Off centre: {report.off_centre or 'no effect, because the stamp is kept level'}")
    if report.finding is not None:
        print(f"\n{report.finding.severity}  {report.finding.kind}: {report.finding.message}")
    for piece in report.advice:
        print(f"  {piece.message}")
    print("\nAssumptions: value, range, effect of either end")
    for effect in report.sensitivities:
        print(f"  {effect}")


def _reported(report: PressReport, dressed: float) -> dict[str, Any]:
    from ...press import WHOLE

    return {
        "curves": [
            {"face": name, "dressed": depth, **asdict(curve)}
            for name, depth, curve in (("undressed", 0.0, report.printed), ("dressed", dressed, report.finished))
        ],
        "whole_share": WHOLE,
        "hand": asdict(report.hand),
        "dressing_needed": report.needed,
        "off_centre": None if report.off_centre is None else asdict(report.off_centre),
        "findings": as_records(report.about_face),
        "finding": None if report.finding is None else report.finding.as_record(),
        "advice": [asdict(piece) for piece in report.advice],
        "assumptions": [
            {
                **assumed(effect.assumption),
                "whole_at": [effect.low.force, effect.high.force],
                "creep": [effect.low.creep, effect.high.creep],
                "sag": [effect.low.sag, effect.high.sag],
            }
            for effect in report.sensitivities
        ],
    }


def _dressed_by(depth: float) -> str:
    return f"dressed by {spoken(depth)} mm" if depth else "undressed"


def _share_at(curve: PushCurve, force: float) -> str:
    """Return the share at a push in words; a dash where the relief does not bear it."""
    return percent(curve.shares[curve.forces.index(force)], 1) if force in curve.forces else "-"


def _newtons(force: float | None) -> str:
    return "never" if force is None else newtons(force)

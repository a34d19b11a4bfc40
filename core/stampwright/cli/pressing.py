"""The commands that press a die from its file: what it prints, and how it wants to be pressed."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any, TypeVar

from ..errors import JobError, OutputError
from ..findings import Finding
from ..job.job import Job
from ..job.materials import MATERIALS
from ..output import press_curve_page, press_curve_svg, read_mesh, write_file, write_picture, write_png
from ..output.files import check_new
from ..parts import snap_heights
from ..press import (
    WHOLE,
    Assumption,
    Impression,
    Prediction,
    PressCurve,
    PressReport,
    assumptions,
    impress,
    predict_print,
    report_press,
    setting_of,
    stiffness_of,
)
from .terminal import MADE, Progress, add_job_options, job_of, print_findings

Result = TypeVar("Result")

_CURVE_DPI = 206.0
"""Of the press curve as a picture: 1200 pixels on 148 mm."""

_FAULTS = ("printed light", "missing", "filled in", "stray")


def add_impress(commands: Any) -> None:
    """Add the command that pictures what a die prints."""
    command = commands.add_parser(
        "impress",
        help="press a die from an STL or 3MF file and picture what it prints",
        description="Read a die back from a file, press its face on paper in simulation, and write the picture. "
        "Without --force, whatever lies level at the top prints; with it, the die is pushed as a hand would, its face "
        "as rough and bowed as it leaves the printer, and what prints light, fills in or is missing is told.",
        epilog="The die lies face up in the file, as it is printed.",
    )
    command.add_argument("mesh", metavar="MESHFILE", type=Path, help="die as .stl or .3mf")
    command.add_argument("--out", metavar="PNG", type=Path, required=True, help="picture to write")
    command.add_argument(
        "--spread", metavar="MM", type=float, help="how far ink creeps per edge (0; the job's if forced)"
    )
    command.add_argument(
        "--dress", metavar="MM", type=float, help="taken off the face beforehand (0, or as the job says)"
    )
    command.add_argument("--dpi", metavar="N", type=float, default=600.0, help="resolution of the picture (600)")
    command.add_argument("--overwrite", action="store_true", help="overwrite the picture if it is there already")
    command.add_argument("--json", action="store_true", help="print the result for machines instead of words")
    push = command.add_argument_group("with a push")
    push.add_argument("--force", metavar="N", type=float, help="push with so many newtons, for example 60")
    push.add_argument("--material", metavar="NAME", help=f"filament of the die: {', '.join(MATERIALS)} (tpu-95a)")
    push.add_argument(
        "--off-centre",
        metavar="X,Y",
        help="where the push passes, mm right of and above the middle on paper (0,0); with a minus --off-centre=-5,0",
    )
    push.add_argument("--level", action="store_true", help="keep the stamp level instead of letting it turn")
    push.add_argument("--solver", choices=("quick", "full"), help="quick, or slower and finer (foundation)")
    push.add_argument(
        "--no-texture", action="store_true", help="the mesh's face is as it is: lay no printed beads and bow on it"
    )
    add_job_options(push)
    command.set_defaults(run=_impress)


def add_press(commands: Any) -> None:
    """Add the command that reports how a die wants to be pressed."""
    command = commands.add_parser(
        "press",
        help="how hard a die must be pressed, before and after dressing, and what would help",
        description="Press a die from its file over and over: the press curve of its face as printed and as dressed, "
        "the push that prints it whole beside what a hand pushes in comfort, what would help, and how far each "
        "assumption matters. Everything is solved again, nothing is a rule of thumb.",
        epilog="Give the job.json that was written beside the die: stampwright press my-stamp/die.stl "
        "--job my-stamp/job.json --out curve.svg",
    )
    command.add_argument("mesh", metavar="MESHFILE", type=Path, help="die as .stl or .3mf, face up")
    command.add_argument("--out", metavar="FILE", type=Path, help="draw the press curve into this .svg or .png file")
    command.add_argument("--dress", metavar="MM", type=float, help="taken off the face (the job's dressing allowance)")
    command.add_argument(
        "--no-texture", action="store_true", help="the mesh's face is as it is: lay no printed beads and bow on it"
    )
    command.add_argument("--overwrite", action="store_true", help="overwrite the drawing if it is there already")
    command.add_argument("--json", action="store_true", help="print the report for machines instead of words")
    add_job_options(command)
    command.set_defaults(run=_press)


def _impress(options: argparse.Namespace) -> int:
    if options.force is not None:
        return _impress_pushed(options)
    for name in ("material", "off_centre", "level", "solver", "no_texture", "job", "settings"):
        if getattr(options, name):
            said = "set" if name == "settings" else name.replace("_", "-")
            raise JobError(f"--{said} says how the die is pushed; give --force as well, for example --force 60")
    mesh = read_mesh(options.mesh)
    impression = impress(mesh, spread=options.spread or 0.0, dpi=options.dpi, depth=options.dress or 0.0)
    write_picture(options.out, impression, overwrite=options.overwrite)
    if options.json:
        _print_json({**_printed(options, impression), "findings": _records(impression.findings)})
        return MADE
    left, bottom, right, top = impression.outlines.bounds
    print(
        f"{options.out}: {right - left:.2f} x {top - bottom:.2f} mm of print, {impression.outlines.area:.1f} mm² of "
        f"ink, {impression.dpi:g} dpi"
    )
    return MADE


def _impress_pushed(options: argparse.Namespace) -> int:
    check_new(options.out, overwrite=options.overwrite)
    job = _pushed_job(options)
    # A file says nothing of what is still to be dressed off; a job does.
    allowance = snap_heights(job).dressing if options.job and options.dress is None else _depth(options.dress)
    mesh = read_mesh(options.mesh)
    prediction = _with_progress(
        "pressing",
        lambda tell: predict_print(
            job, mesh, allowance=allowance, textured=not options.no_texture, dpi=options.dpi, progress=tell
        ),
    )
    write_picture(options.out, prediction.impression, overwrite=options.overwrite)
    share = prediction.pressing.printed_share(job.ink.solid_from)
    if options.json:
        _print_json(_predicted(options, job, prediction, share))
        return MADE
    print_findings(prediction.findings)
    counted = ", ".join(f"{name} {_count(prediction.findings, name)}" for name in _FAULTS)
    print(
        f"{options.out}: {prediction.pressing.force:.0f} N print {share:.1%} of the face solid; places {counted}; "
        f"{prediction.impression.dpi:g} dpi"
    )
    return MADE


def _pushed_job(options: argparse.Namespace) -> Job:
    """Return the job with what the options say of the push; what they leave out stays as the job has it."""
    values: dict[str, Any] = {"press.force": options.force}
    if options.material is not None:
        values["die.material"] = options.material
    if options.off_centre is not None:
        values["press.off_centre_x"], values["press.off_centre_y"] = _place(options.off_centre)
    if options.level:
        values["press.turning"] = "none"
    if options.solver is not None:
        values["press.solver"] = options.solver
    if options.spread is not None:
        values["ink.spread"] = options.spread
    if options.dress is not None:
        values["press.dressing_done"] = 100.0
    return job_of(options).with_values(values)


def _press(options: argparse.Namespace) -> int:
    if options.out is not None:
        if options.out.suffix.lower() not in (".svg", ".png"):
            raise OutputError(f"{options.out}: the press curve is drawn as .svg or .png; give it one of these names")
        check_new(options.out, overwrite=options.overwrite)
    job = job_of(options)
    if options.dress is not None:
        job = job.with_value("press.dressing_done", 100.0)
    allowance = snap_heights(job).dressing if options.dress is None else _depth(options.dress)
    mesh = read_mesh(options.mesh)
    report = _with_progress(
        "pressing over and over",
        lambda tell: report_press(job, mesh, allowance=allowance, textured=not options.no_texture, progress=tell),
    )
    dressed = allowance * job.press.dressed
    if options.out is not None:
        _draw_curve(options, job, report, dressed)
    if options.json:
        _print_json(_reported(report, dressed))
    else:
        _print_report(report, dressed)
        if options.out is not None:
            print(f"{options.out}: the press curve")
    return MADE


def _draw_curve(options: argparse.Namespace, job: Job, report: PressReport, dressed: float) -> None:
    """Draw the press curve as the file's name asks for."""
    curves = [("as printed", report.printed), (_dressed_by(dressed), report.finished)][: 2 if dressed else 1]
    force, title = job.press.force, f"Press curve: {job.name}"
    if options.out.suffix.lower() == ".png":
        picture = press_curve_page(curves, report.hand, force=force, title=title)
        write_png(options.out, picture, dpi=_CURVE_DPI, overwrite=options.overwrite)
    else:
        drawing = press_curve_svg(curves, report.hand, force=force, title=title)
        write_file(options.out, drawing.encode("utf-8"), overwrite=options.overwrite)


def _print_report(report: PressReport, dressed: float) -> None:
    after = _dressed_by(dressed)
    print_findings(report.about_face)
    print("Share of the face that prints solid\n")
    print(f"{'push':>8}{'as printed':>14}{after:>20}")
    for force in dict.fromkeys((*report.printed.forces, *report.finished.forces)):
        print(f"{force:6.0f} N{_share_at(report.printed, force):>14}{_share_at(report.finished, force):>20}")
    print(f"{WHOLE:>8.0%}{_newtons(report.printed.whole_at):>14}{_newtons(report.finished.whole_at):>20}\n")
    hand = report.hand
    note = f"; {hand.note}" if hand.note else ""
    print(f"Comfortable: {hand.newtons:.0f} N, {hand.posture} ({hand.source}{note})")
    if report.needed is None:
        print("Dressing: no depth lets that push print it whole")
    elif report.needed:
        print(f"Dressing: from {report.needed:.2f} mm on that push prints it whole")
    else:
        print("Dressing: none is needed for that push to print it whole")
    print(f"Off the middle: {report.off_centre or 'kept level, it matters nothing'}")
    if report.finding is not None:
        print(f"\n{report.finding.severity}  {report.finding.kind}: {report.finding.message}")
    for piece in report.advice:
        print(f"  {piece.message}")
    print("\nAssumed, with the range that each may have, and what its ends do")
    for effect in report.sensitivities:
        print(f"  {effect}")


def _reported(report: PressReport, dressed: float) -> dict[str, Any]:
    return {
        "curves": [
            {"face": name, "dressed": depth, **asdict(curve)}
            for name, depth, curve in (("as printed", 0.0, report.printed), ("dressed", dressed, report.finished))
        ],
        "whole_share": WHOLE,
        "comfortable": asdict(report.hand),
        "dressing_needed": report.needed,
        "off_centre": None if report.off_centre is None else asdict(report.off_centre),
        "findings": _records(report.about_face),
        "finding": None if report.finding is None else report.finding.as_record(),
        "advice": [asdict(piece) for piece in report.advice],
        "assumptions": [
            {
                **_assumed(effect.assumption),
                "whole_at": [effect.low.force, effect.high.force],
                "creep": [effect.low.creep, effect.high.creep],
                "sag": [effect.low.sag, effect.high.sag],
            }
            for effect in report.sensitivities
        ],
    }


def _predicted(options: argparse.Namespace, job: Job, prediction: Prediction, share: float) -> dict[str, Any]:
    pressing, verdict = prediction.pressing, prediction.verdict
    taken_for_granted = assumptions(setting_of(job), stiffness_of(MATERIALS[job.die.material]))
    return {
        **_printed(options, prediction.impression),
        "force": pressing.force,
        "printed_share": share,
        "solver": pressing.solver,
        "strain": pressing.strain,
        "slopes": list(pressing.slopes),
        "faults": {
            name: {"places": _count(prediction.findings, name), "area": area}
            for name, area in zip(_FAULTS, (verdict.light, verdict.missing, verdict.filled, verdict.stray), strict=True)
        },
        "findings": _records(prediction.findings),
        "assumptions": [_assumed(assumption) for assumption in taken_for_granted],
    }


def _printed(options: argparse.Namespace, impression: Impression) -> dict[str, Any]:
    return {
        "picture": str(options.out),
        "dpi": impression.dpi,
        "area": impression.outlines.area,
        "bounds": list(impression.outlines.bounds),
    }


def _assumed(about: Assumption) -> dict[str, Any]:
    return {name: getattr(about, name) for name in ("name", "value", "low", "high", "unit", "basis")}


def _records(findings: Sequence[Finding]) -> list[dict[str, Any]]:
    return [finding.as_record() for finding in findings]


def _count(findings: Sequence[Finding], kind: str) -> int:
    return sum(finding.kind == kind for finding in findings)


def _with_progress(step: str, work: Callable[[Callable[[float], None]], Result]) -> Result:
    progress = Progress(sys.stderr)
    try:
        return work(lambda share: progress.tell(step, share))
    finally:
        progress.close()


def _place(text: str) -> tuple[float, float]:
    """Read a place given as two numbers with a comma between; raises :class:`JobError`."""
    parts = text.split(",")
    try:
        x, y = (float(part) for part in parts)
    except ValueError:
        raise JobError(
            f"--off-centre {text!r} is no place: give two numbers in mm, for example --off-centre 5,0"
        ) from None
    return x, y


def _depth(depth: float | None) -> float:
    if depth is None:
        return 0.0
    if not 0.0 <= depth <= 20.0:
        raise JobError(f"--dress {depth:g} is not allowed: it takes a number from 0 to 20 mm")
    return depth


def _dressed_by(depth: float) -> str:
    return f"dressed by {depth:g} mm" if depth else "not dressed"


def _share_at(curve: PressCurve, force: float) -> str:
    """Return the share at a push in words; a dash where the relief does not bear it."""
    return f"{curve.shares[curve.forces.index(force)]:.1%}" if force in curve.forces else "-"


def _newtons(force: float | None) -> str:
    return "never" if force is None else f"{force:.0f} N"


def _print_json(record: dict[str, Any]) -> None:
    print(json.dumps(record, indent=2, ensure_ascii=False))

"""The command that pictures what a die prints."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ...errors import JobError
from ...looks.numbers import newtons, percent
from ..options import add_all, add_job, add_json, add_out, job_of
from ..terminal import MADE, as_records, print_findings, print_json, with_progress
from .push import add_dressing, assumed, dressing_of, repeats_of
from .sets import impress_inks, push_inks
from .toolpaths import impress_toolpath, is_toolpath, offer_toolpath

if TYPE_CHECKING:
    from ...curved import Bend
    from ...findings import Finding
    from ...job import Job
    from ...press import Impression, Prediction

_OF_THE_PUSH = ("push", "material", "off_centre", "level", "solver", "as_it_is", "job", "settings")
"""Options that say how the die is pushed; with any of them it is."""

_FAULTS = ("printed light", "missing", "filled in", "stray")


def offer(commands: Any) -> None:
    """Add the command to those of the program."""
    command = commands.add_parser(
        "impress",
        help="picture the impression of a die from an STL, 3MF or G-code file",
        description="Read a die back from a file, press its face on paper in simulation, and write its impression as a "
        "picture. Without a push, whatever lies level at the top prints; with one, the die is pushed as a hand would, "
        "its face as rough and bowed as it leaves the printer, and what prints light, fills in or is missing is told.",
        epilog="The die lies face up in the file, as it is printed.",
    )
    command.add_argument(
        "mesh",
        metavar="FILE",
        type=Path,
        help="die as .stl or .3mf, or sliced as .gcode; or the folder of a set in several inks",
    )
    add_out(command, "FILE", "picture to write, as .png; of G-code also as .svg, with all that was found")
    command.add_argument(
        "--spread",
        metavar="MM",
        type=float,
        help="how far ink creeps past the face, per edge (default 0; with a push, the job's ink.spread)",
    )
    command.add_argument("--dpi", metavar="N", type=float, default=600.0, help="resolution of the picture (600)")
    command.add_argument(
        "--axis",
        metavar="auto|flat|x|y|z",
        default="auto",
        help="along which way of the file the axis of a rocker or roller runs (auto: found in the file)",
    )
    command.add_argument("--turns", metavar="N", type=int, default=1, help="how often a roller goes round (1)")
    command.add_argument("--up", action="store_true", default=None, help="it rolls up the print, not across it")
    add_all(command)
    add_json(command, "the result")
    push = command.add_argument_group("with a push", "Any of these pushes the die; what is left out, the job says.")
    push.add_argument("--push", metavar="N", type=float, help="newtons (the job's press.force)")
    push.add_argument("--force", metavar="N", type=float, dest="push", help=argparse.SUPPRESS)
    push.add_argument("--material", metavar="NAME", help="filament of the die, such as tpu-85a (die.material)")
    push.add_argument(
        "--off-centre",
        metavar="X,Y",
        help="where the push passes, mm right of and above the centre on paper (0,0); with a minus --off-centre=-5,0",
    )
    push.add_argument("--level", action="store_true", help="keep the stamp level instead of letting it tilt")
    push.add_argument("--solver", metavar="quick|full", help="the quick estimate, or the slower full computation")
    add_dressing(command, push)
    add_job(push)
    offer_toolpath(command)
    command.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Press the die, with a push if there is one, write the picture and say what was printed.

    Raises :class:`~stampwright.errors.JobError` when a place is not two numbers, and what pressing and writing raise.
    """
    from ...files import check_png

    if is_toolpath(options.mesh):
        return impress_toolpath(options)
    check_png(options.out)
    pushed = any(getattr(options, name) for name in _OF_THE_PUSH) or options.push is not None
    if options.mesh.is_dir() and _is_set(options.mesh):
        return push_inks(options, _of_set(options)) if pushed else impress_inks(options)
    if pushed:
        return _impress_pushed(options)
    from ...files import check_new, read_mesh
    from ...press import find_face, ink_face, repeats_in, rolled_on, unbend

    dress, dpi = options.dress or 0.0, options.dpi
    check_new(options.out, overwrite=options.overwrite)
    if not 0.0 <= dress <= 20.0:
        raise JobError(f"--dress {dress:g} is not allowed: it takes a number from 0 to 20 mm")
    unbent = unbend(read_mesh(options.mesh), axis=options.axis, dressing=dress, upward=options.up)
    if unbent.bend is None and (options.turns != 1 or options.up):
        given = "--up" if options.up else f"--turns {options.turns}"
        raise JobError(f"{given} goes with rockers and rollers: {options.mesh} holds a flat die; leave it out")
    once = find_face(unbent.mesh, depth=dress, dpi=dpi)
    face, repeats = rolled_on(once, unbent.bend, options.turns), repeats_in(once, unbent.bend)
    impression = ink_face(face, spread=options.spread or 0.0, dpi=dpi)
    impression.save(options.out, overwrite=options.overwrite)
    if options.json:
        told = {} if unbent.bend is None else {"unrolled": _as_unrolled(unbent.bend, repeats)}
        print_json({**_printed(options, impression), **told, "findings": as_records(impression.findings)})
        return MADE
    print_findings(impression.findings, all_of_them=options.all)
    left, bottom, right, top = impression.outlines.bounds
    if unbent.bend is not None:
        print(_unrolled(unbent.bend, repeats))
    print(
        f"{options.out}: {right - left:.2f} x {top - bottom:.2f} mm of print, {impression.outlines.area:.1f} mm² of "
        f"ink, {impression.dpi:g} dpi"
    )
    return MADE


def _is_set(folder: Path) -> bool:
    from ...sets.pressing import is_set

    return is_set(folder)


def _impress_pushed(options: argparse.Namespace) -> int:
    from ...files import check_new, read_mesh
    from ...parts.true_size import off_printer
    from ...press import predict_print, unbend

    check_new(options.out, overwrite=options.overwrite)
    job = _pushed_job(options)
    # A file says nothing of what is still to be dressed off; a job does.
    allowance = dressing_of(options, job) if options.job or options.dress is not None else 0.0
    printed = off_printer(read_mesh(options.mesh), job.printer)
    unbent = unbend(printed, axis=options.axis, dressing=allowance, upward=options.up, job=job)
    mesh, job = unbent.mesh, unbent.of_job(job, repeats_of(unbent, allowance))
    prediction = with_progress(
        "pressing",
        lambda tell: predict_print(
            job, mesh, allowance=allowance, textured=not options.as_it_is, dpi=options.dpi, progress=tell
        ),
    )
    prediction.impression.save(options.out, overwrite=options.overwrite)
    share = prediction.pressing.printed_share(job.ink.solid_from)
    if options.json:
        print_json(_predicted(options, job, prediction, share))
        return MADE
    print_findings(prediction.findings, all_of_them=options.all)
    counted = ", ".join(f"{name} {_count(prediction.findings, name)}" for name in _FAULTS)
    print(
        f"{options.out}: {newtons(prediction.pressing.force)} prints {percent(share, 1)} of the face solid; "
        f"places {counted}; {prediction.impression.dpi:g} dpi"
    )
    return MADE


def _as_unrolled(bend: Bend, repeats: int) -> dict[str, Any]:
    """Return what was unrolled as plain data."""
    around = {"repeats": repeats, "repeat": bend.repeat / repeats} if bend.closed else {}
    return {"form": "roller" if bend.closed else "rocker", "radius": bend.radius, "upward": bend.upward, **around}


def _unrolled(bend: Bend, repeats: int) -> str:
    """Say what was unrolled."""
    way = "up the print" if bend.upward else "across the print"
    if not bend.closed:
        return f"unrolled: a rocker of {bend.radius:.2f} mm radius, {way}"
    times = f": {repeats} repeats of {bend.repeat / repeats:.2f} mm" if repeats > 1 else ""
    return f"unrolled: a roller {2 * bend.radius:.2f} mm across, {bend.repeat:.2f} mm round{times}, {way}"


def _of_set(options: argparse.Namespace) -> dict[str, Any]:
    """Return what the options say of the push of every die of a set; raises :class:`JobError` where that is no matter.

    Each die has a job of its own.
    """
    from ...job.written.files import parse_setting

    if options.job:
        raise JobError("--job goes with a single die: every ink of a set is pushed as the job in its own folder says")
    return dict(parse_setting(text) for text in options.settings) | _push_values(options)


def _pushed_job(options: argparse.Namespace) -> Job:
    """Return the job with what the options say of the push; what they leave out stays as the job has it."""
    return job_of(options).with_values(_push_values(options))


def _push_values(options: argparse.Namespace) -> dict[str, Any]:
    values: dict[str, Any] = {}
    if options.push is not None:
        values["press.force"] = options.push
        # A push that is asked for is the whole push, also where only a band touches.
        values["press.line_force"] = options.push
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
    return values


def _predicted(options: argparse.Namespace, job: Job, prediction: Prediction, share: float) -> dict[str, Any]:
    from ...job.materials import MATERIALS
    from ...job.measured import measured_in
    from ...press import assumptions, circumstances_of, stated_conditions, stiffness_of

    pressing, verdict = prediction.pressing, prediction.verdict
    circumstances = circumstances_of(stated_conditions(job), job.ink, measured_in(job))
    span = stiffness_of(MATERIALS[job.die.material])
    taken_for_granted = assumptions(circumstances, span)
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
        "findings": as_records(prediction.findings),
        "assumptions": [assumed(assumption) for assumption in taken_for_granted],
    }


def _printed(options: argparse.Namespace, impression: Impression) -> dict[str, Any]:
    return {
        "picture": str(options.out),
        "dpi": impression.dpi,
        "area": impression.outlines.area,
        "bounds": list(impression.outlines.bounds),
    }


def _count(findings: Sequence[Finding], kind: str) -> int:
    return sum(finding.kind == kind for finding in findings)


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

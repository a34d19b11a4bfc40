"""Makes the pictures of the page on pressing again, with the program as anybody uses it, and tells the figures in it.

    python shared/guide/press_pictures.py

One stamp, the ownership mark, is made once; its die is then pressed from its file, each time with another figure.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Sequence
from contextlib import redirect_stdout
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from typing import Any

from stampwright.cli import main as run_program
from stampwright.files import write_file
from stampwright.output import push_curve_svg
from stampwright.press import HandForce, PushCurve

GUIDE = Path(__file__).resolve().parent
SHARED = GUIDE.parent

DPI = 300
FORCE = 60
"""Of the push that the pictures show, N."""


@dataclass(frozen=True)
class Change:
    """One thing done to the stamp: its name on the drawing, the options that do it, and the picture's name, if any."""

    name: str
    options: tuple[str, ...]
    picture: str = ""


UNDRESSED = ("--set", "press.dressing_done=0")
CHANGES = (
    Change("undressed", UNDRESSED, "press-as-printed"),
    Change("undressed, 20 % infill", (*UNDRESSED, "--set", "die.infill=0.2"), "press-infill"),
    Change("undressed, 2 mm cushion", (*UNDRESSED, "--set", "cushion.thickness=2"), "press-cushion"),
    Change("dressed by 0.1 mm", ("--set", "press.dressing_done=50")),
    Change("dressed by 0.2 mm", (), "press-dressed"),
)
OFF_CENTRE = Change("dressed, pushed 10 mm off centre", ("--off-centre", "10,0"), "press-off-centre")


def main() -> None:
    """Make the stamp, press it under every change, and draw what comes of it."""
    with tempfile.TemporaryDirectory() as scratch:
        made = Path(scratch) / "made"
        _told(
            "make", SHARED / "artwork/ownership-mark.svg", "--job", SHARED / "jobs/ownership-mark.toml", "--out", made
        )
        die = (made / "die.stl", "--job", made / "job.json")
        reports = {change.name: _read("press", *die, *change.options) for change in CHANGES}
        for change in (*CHANGES, OFF_CENTRE):
            picture = GUIDE / f"{change.picture}.png" if change.picture else Path(scratch) / "unshown.png"
            pushed = ("--push", FORCE, "--dpi", DPI, "--out", picture, "--overwrite")
            printed = _read("impress", *die, *change.options, *pushed)
            print(f"{change.name}: {FORCE} N print {printed['printed_share']:.1%}", end="")
            report = reports.get(change.name)
            print(f"; whole at {report['curves'][1]['whole_at']:.0f} N" if report else "")
    hand = HandForce(**next(iter(reports.values()))["hand"])
    curves = [(name, _curve(report)) for name, report in reports.items()]
    drawing = push_curve_svg(curves, hand, force=FORCE, title="Push curve of the ownership mark")
    write_file(GUIDE / "push-curve.svg", drawing.encode("utf-8"), overwrite=True)


def _curve(report: dict[str, Any]) -> PushCurve:
    """Return the curve of the face as it goes to paper."""
    finished = report["curves"][1]
    return PushCurve(tuple(finished["forces"]), tuple(finished["shares"]), finished["whole_at"])


def _read(*arguments: object) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(_told(*arguments, "--json"))
    return told


def _told(*arguments: object) -> str:
    """Run the program and return what it prints."""
    words: Sequence[str] = [str(argument) for argument in arguments]
    with redirect_stdout(StringIO()) as said:
        code = run_program(words)
    if code:
        raise SystemExit(f"stampwright {' '.join(words)} ended with {code}")
    return said.getvalue()


if __name__ == "__main__":
    main()

"""Makes the pictures of the page on your printer and ink again, and the settings that the demo takes.

    python shared/guide/printer_pictures.py

The prints are synthetic: made by what the tests make prints with, by no stamp and no scanner. Everything else is done
with the program as anybody uses it.
"""

from __future__ import annotations

import sys
import tempfile
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path

import shapely
import stampwright
from PIL import Image
from stampwright.cli import main as run_program
from stampwright.prints.testdie import Chart, chart_of

GUIDE = Path(__file__).resolve().parent
SHARED = GUIDE.parent
sys.path.insert(0, str(SHARED.parent / "tests" / "core" / "prints"))

from synthetic import Stamped, photographed, scanned  # noqa: E402

SETTINGS = SHARED / "jobs" / "synthetic-printer.toml"
COLOURS = 24
"""In the palette of a grey picture, so that the repository stays small."""

SPREADS = (0.096, 0.101, 0.106)
"""How far the ink of the synthetic prints spreads, mm."""

LEAST_LINE = 0.4
"""The narrowest line that they print, mm."""


def main() -> None:
    """Make a test die, stamp it three times by reckoning, measure that, and compare prints of the demo stamp."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        _told("testdie", "--out", folder / "test")
        chart = chart_of(stampwright.read_job(folder / "test" / "job.json"))
        _kept(Image.open(folder / "test" / "impression.png"), "printer-chart", 640)
        scan, photo = folder / "prints.png", folder / "photograph.jpg"
        prints = [Stamped(chart.inked, spread, drop=_lost(chart), ink=0.16, seed=3) for spread in SPREADS]
        scanned(prints, scan, page=(190, 70), places=((35, 35), (95, 34), (155, 36)), turns=(3, -94, 2))
        photographed(prints[0], photo, shape=(1200, 1600), across=760, turn=14, tip=(0.3, -0.2), light=0.15)
        _kept(Image.open(scan), "printer-scan", 1000)
        _kept(Image.open(photo), "printer-photograph", 520)
        _told("measure", scan, "--test", folder / "test", "--seat", 0.2, "--out", SETTINGS, "--overwrite")
        _compared(folder)


def _lost(chart: Chart) -> shapely.Geometry:
    """Return where the chart's lines are that are too thin for the printer."""
    thin = [rung for rung in chart.rungs if rung.kind == "line" and rung.width < LEAST_LINE - 1e-9]
    return shapely.union_all([shapely.LineString([rung.start, rung.end]).buffer(rung.width) for rung in thin])


def _compared(folder: Path) -> None:
    """Draw two prints of the demo stamp beside it: a place that never prints, and one that only the first lacks."""
    stamp = folder / "stamp"
    job = SHARED / "jobs" / "ownership-mark.toml"
    _told("make", SHARED / "artwork" / "ownership-mark.svg", "--job", job, "--out", stamp)
    face = stampwright.impress(stamp / "die.stl", depth=0.2).outlines
    always, once = shapely.box(9.0, 0.5, 13.0, 5.0), shapely.Point(-9.0, 15.0).buffer(3.0)
    for name, gone in (("first", always.union(once)), ("second", always)):
        print_ = Stamped(face, 0.11, drop=gone, ink=0.15, seed=5)
        scanned([print_], folder / f"{name}.png", dpi=400.0, page=(64, 64), places=((32, 32),), turns=(21,))
    sheet = folder / "beside.png"
    _told("compare", folder / "first.png", folder / "second.png", stamp, "--out", sheet)
    whole = Image.open(sheet)
    _kept(whole.crop((0, 0, whole.width, round(1.28 * whole.width))), "printer-compare", 800, 160)


def _kept(picture: Image.Image, name: str, width: int, colours: int = COLOURS) -> None:
    """Keep a picture in the guide's folder, so many pixels across, with a palette of its own."""
    shown = picture.convert("RGB")
    shown = shown.resize((width, round(width * shown.height / shown.width)), Image.Resampling.LANCZOS)
    few = shown.quantize(colours, dither=Image.Dither.NONE)
    few.save(GUIDE / f"{name}.png", optimize=True)


def _told(*words: object) -> None:
    """Run the program without its words; raises SystemExit when it fails."""
    with redirect_stdout(StringIO()):
        code = run_program([str(word) for word in words])
    if code:
        raise SystemExit(f"stampwright {words[0]} ended with {code}")


if __name__ == "__main__":
    main()

"""Makes the pictures of the page on rockers and rollers again, with the program as anybody uses it.

python shared/guide/curved_pictures.py
"""

from __future__ import annotations

import tempfile
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path

from PIL import Image
from stampwright.cli import main as run_program

GUIDE = Path(__file__).resolve().parent
ARTWORK = GUIDE.parent / "artwork"

ROCKER = ("--set", "bend.form=rocker", "--set", "handle.form=block", "--set", "handle.edge_radius=13mm")
ROLLER = ("--set", "bend.form=roller", "--set", "bend.repeat=48mm", "--set", "bend.turns=3", "--set", "bend.band=32mm")
COLOURS = 200
"""In a picture's palette, so that the repository stays small."""


def main() -> None:
    """Make a rocker and a roller, and draw their parts and what they print."""
    with tempfile.TemporaryDirectory() as scratch:
        rocker, roller = Path(scratch) / "rocker", Path(scratch) / "roller"
        _told("make", ARTWORK / "ownership-mark.svg", *ROCKER, "--out", rocker)
        _told("make", ARTWORK / "pea-vine.svg", *ROLLER, "--out", roller)
        for name, folder in (("rocker", rocker), ("roller", roller)):
            picture = folder / "parts.png"
            _told(
                "view",
                *(folder / f"{part}.stl" for part in ("die", "backing", "handle")),
                "--out",
                picture,
                "--width",
                800,
            )
            _kept(picture, f"curved-{name}")
        rolled = roller / "rolled.png"
        _told(
            "impress", roller / "die.stl", "--dress", 0.2, "--spread", 0.1, "--turns", 2, "--dpi", 100, "--out", rolled
        )
        _kept(rolled, "curved-rolled")
        layers = rocker / "layers.png"
        undressed = ("--job", rocker / "job.json", "--set", "press.dressing_done=0", "--push", 4, "--dpi", 300)
        _told("impress", rocker / "die.stl", *undressed, "--out", layers)
        _kept(layers, "curved-layers", (120, 120, 460, 460))


def _kept(picture: Path, name: str, part: tuple[int, int, int, int] | None = None) -> None:
    """Keep a picture, or a part of it at twice its size, in the guide's folder."""
    shown = Image.open(picture)
    if part is not None:
        shown = shown.crop(part).resize((2 * (part[2] - part[0]), 2 * (part[3] - part[1])), Image.Resampling.NEAREST)
    few = shown.convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)
    few.save(GUIDE / f"{name}.png", optimize=True)


def _told(*arguments: object) -> None:
    with redirect_stdout(StringIO()):
        code = run_program([str(argument) for argument in arguments])
    if code:
        raise SystemExit(f"{arguments[0]} ended with {code}")


if __name__ == "__main__":
    main()

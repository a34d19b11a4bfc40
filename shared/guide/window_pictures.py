"""Cuts the pictures of Blender's window out of those that tour and walk of tests/ui took: run it after that.

``python3 build.py test tests/ui``, then ``.venv/bin/python shared/guide/window_pictures.py``.
"""

from pathlib import Path

from PIL import Image

GUIDE = Path(__file__).resolve().parent
OUT = GUIDE.parents[1] / "out"
TAKEN = (OUT / "ui", OUT / "walk")
"""Where the tour and the walk leave their pictures."""

VIEWPORT = (0, 28, 1322, 905)
PAGE = (170, 280, 1320, 690)
LIST = (1036, 80, 1322, 905)

MENU = (380, 600, 940, 900)
DIALOG = (80, 570, 640, 820)

PICTURES = {
    "blender-preferences": ("installed", PAGE),
    "blender": ("made-from-above", VIEWPORT),
    "blender-apart": ("taken-apart", VIEWPORT),
    "blender-findings": ("findings", VIEWPORT),
    "blender-repaired": ("repaired", VIEWPORT),
    "blender-handle": ("profile-picked", VIEWPORT),
    "blender-live": ("point-moved", VIEWPORT),
    "blender-press": ("pressed", VIEWPORT),
    "blender-measures": ("measures", LIST),
    "minute-add": ("walk-add", MENU),
    "minute-words": ("walk-words", DIALOG),
    "minute-stamp": ("walk-template", VIEWPORT),
    "minute-pencil": ("walk-pencil", VIEWPORT),
}
"""Pictures of the guide: what each is cut from, and left, top, right, bottom there, pixels."""

COMMON, RARE = 216, 40
"""Colours of a picture that fill it, as they are, and such as only small marks have; a third of the size with all."""


def main() -> None:
    """Write every picture."""
    for name, (taken, edges) in PICTURES.items():
        path = next(folder / f"{taken}.png" for folder in TAKEN if (folder / f"{taken}.png").is_file())
        cut = Image.open(path).convert("RGB").crop(edges)
        fewer = cut.quantize(palette=_palette(cut), dither=Image.Dither.NONE)
        fewer.save(GUIDE / f"{name}.png", optimize=True)


def _palette(picture: Image.Image) -> Image.Image:
    common = picture.quantize(COMMON, method=Image.Quantize.MEDIANCUT).getpalette()
    rare = picture.quantize(RARE, method=Image.Quantize.MAXCOVERAGE).getpalette()
    holder = Image.new("P", (1, 1))
    holder.putpalette((common or [])[: 3 * COMMON] + (rare or [])[: 3 * RARE])
    return holder


if __name__ == "__main__":
    main()

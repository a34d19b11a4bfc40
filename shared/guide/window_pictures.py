"""Cuts the pictures of Blender's window out of those that the tour of tests/ui took: run it after that.

``python3 build.py test tests/ui``, then ``.venv/bin/python shared/guide/window_pictures.py``.
"""

from pathlib import Path

from PIL import Image

GUIDE = Path(__file__).resolve().parent
TAKEN = GUIDE.parents[1] / "out" / "ui"

VIEWPORT = (0, 28, 1322, 905)
PAGE = (170, 280, 1320, 690)
LIST = (1036, 80, 1322, 905)

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
}
"""Pictures of the guide: what each is cut from, and left, top, right, bottom there, pixels."""

COLOURS = 256
"""Enough for a window; a picture of it is a third as large as with all of them."""


def main() -> None:
    """Write every picture."""
    for name, (taken, edges) in PICTURES.items():
        cut = Image.open(TAKEN / f"{taken}.png").convert("RGB").crop(edges)
        cut.quantize(COLOURS, method=Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE).save(
            GUIDE / f"{name}.png", optimize=True
        )


if __name__ == "__main__":
    main()

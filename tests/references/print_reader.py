"""An outside reader of print: tesseract, an open program (Debian: tesseract-ocr), reads ink as it lies on paper."""

import shutil
import subprocess

import numpy as np
import pytest
from PIL import Image, ImageDraw
from shapely.geometry import Polygon

DPI = 600
MARGIN = 3.0  # mm of paper round a text

needs_reader = pytest.mark.skipif(shutil.which("tesseract") is None, reason="tesseract is not installed")


def picture_of(inked, dpi=DPI):
    """Return ink as it looks on paper, grey, edges smooth."""
    left, bottom, right, top = inked.bounds
    scale = 4 * dpi / 25.4
    size = [int((high - low + 2 * MARGIN) * scale) // 4 * 4 for low, high in ((left, right), (bottom, top))]
    page = Image.new("L", tuple(size), 255)
    draw = ImageDraw.Draw(page)
    rings = [
        (ring, fill) for part in inked.geoms for ring, fill in ((part.exterior, 0), *((r, 255) for r in part.interiors))
    ]
    # What lies within a counter is drawn after it.
    for ring, fill in sorted(rings, key=lambda each: -Polygon(each[0]).area):
        places = (np.array(ring.coords) - (left - MARGIN, top + MARGIN)) * (scale, -scale)
        draw.polygon([tuple(place) for place in places], fill=fill)
    return page.resize((size[0] // 4, size[1] // 4), Image.Resampling.BOX)


def read(inked, folder, *, lines=1, dpi=DPI):
    """Return what tesseract reads in print of one line, or of a block of several."""
    file = folder / "line.png"
    picture_of(inked, dpi).save(file, dpi=(dpi, dpi))
    done = subprocess.run(
        ["tesseract", str(file), "-", "--psm", "7" if lines == 1 else "6", "-l", "eng"],
        capture_output=True, text=True, check=True, timeout=60, env={"OMP_THREAD_LIMIT": "1", "PATH": "/usr/bin:/bin"},
    )  # fmt: skip
    return " ".join(done.stdout.split())


def misread(inked, text, folder):
    """Return how many letters of a line are read wrongly in the better of two pictures of it.

    In one and the same shape the reader may take a 5 for a paragraph sign at one resolution, and not at the next.
    """
    return min(edits(read(inked, folder, dpi=dpi), text) for dpi in (DPI, 0.75 * DPI))


def edits(one, other):
    """Return how many letters must be put in, left out or changed to make one text of the other (Levenshtein 1966)."""
    row = list(range(len(other) + 1))
    for at, letter in enumerate(one, start=1):
        before, row[0] = row[0], at
        for to, wanted in enumerate(other, start=1):
            before, row[to] = row[to], min(row[to] + 1, row[to - 1] + 1, before + (letter != wanted))
    return row[-1]

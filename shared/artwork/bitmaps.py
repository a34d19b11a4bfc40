"""Makes the demo artwork that is bitmaps: a scan of an ink drawing and a photograph; run again, it makes them alike.

    python bitmaps.py [FOLDER]

No scanner and no camera took part. The scan is a drawing of ours put on paper with the faults that scans have: an
unsteady hand, light that falls off, grain, dust, a page laid down askew. The photograph is a pumpkin computed from its
shape and a lamp. Both are given away under CC0 1.0.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from plants import leaf, leaf_lines, polar, put
from shapely import affinity
from shapely.geometry import LineString, Point, Polygon

Grey = NDArray[np.float32]

SCAN_DPI = 300
SCAN_SIZE = 46.0
"""Side of the scanned page, mm."""

FINER = 4
"""Samples to a pixel each way."""

LINE = 0.95
"""Width of the drawing pen, mm."""

PHOTOGRAPH = (880, 704)
"""Columns and rows."""


def main(folder: Path) -> None:
    """Make both pictures in a folder."""
    scan = Image.fromarray(scan_of(rasterised(list(sunflower()))))
    scan.save(folder / "sunflower-scan.jpg", quality=82, dpi=(SCAN_DPI, SCAN_DPI))
    Image.fromarray(pumpkin()).save(folder / "pumpkin-photo.jpg", quality=80, dpi=(SCAN_DPI, SCAN_DPI))


def sunflower() -> Iterator[tuple[Polygon, bool]]:
    """Yield shapes and whether they are ink, each painted over those before: a sunflower on a stem with two leaves."""
    head = (0.0, 6.6)
    yield LineString([(0.2, 2), (-0.5, -8), (0.9, -13), (0.2, -19.6)]).buffer(0.85), True
    for side, rise in ((1, 0.0), (-1, -1.4)):
        outline, rib = leaf_lines((0.4 * side, -14.6 + rise), 15.5, 8.4, 90 - side * 56)
        yield from _outlined(Polygon(_along(outline)))
        yield LineString(_along(rib)).buffer(LINE / 2), True
    for count, reach, start in ((11, 12.6, 16.4), (11, 11.6, 0.0)):
        for number in range(count):
            angle = start + 360 * number / count
            yield from _outlined(put(leaf(reach - 4.2, 5.0), polar(4.2, angle, head), angle))
    yield Point(head).buffer(5.3), True
    for number in range(17):
        # Seeds stand at the golden angle from one to the next (Vogel 1979).
        place = polar(1.09 * math.sqrt(number + 0.4), 137.508 * number, head)
        yield Point(place).buffer(0.5), False


def rasterised(shapes: list[tuple[Polygon, bool]]) -> Grey:
    """Return how much ink lies on each pixel of a page, 0 to 1, with the drawing in its middle."""
    side = round(SCAN_SIZE / 25.4 * SCAN_DPI) * FINER
    page = Image.new("L", (side, side), 0)
    pen = ImageDraw.Draw(page)
    for shape, inked in shapes:
        askew = affinity.rotate(shape, 1.3, origin=(0, 0))
        corners = np.array(askew.exterior.coords) * (1, -1) * side / SCAN_SIZE + side / 2
        pen.polygon([tuple(corner) for corner in corners], fill=255 if inked else 0)
    return np.asarray(page, np.float32) / 255


def scan_of(ink: Grey) -> NDArray[np.uint8]:
    """Return the scan, (rows, columns, 3), of a page with ``ink`` on it; ``ink`` has ``FINER`` samples to a pixel."""
    chance = np.random.default_rng(7)
    ink = _unsteady(ink, chance)
    rows = len(ink) // FINER
    ink = ink.reshape(rows, FINER, rows, FINER).mean(axis=(1, 3))
    ink = _blurred(ink, 0.9) * (0.93 + 0.05 * _clouds(rows, 6, chance))
    down, across = np.mgrid[0:rows, 0:rows] / rows
    light = 1.0 - 0.34 * across**1.6 * (0.4 + 0.6 * down) - 0.05 * down
    grain = 0.012 * _blurred(chance.normal(size=(rows, rows)).astype(np.float32), 1.0) / 0.28
    paper, black = np.array((0.96, 0.925, 0.85)), np.array((0.13, 0.115, 0.12))
    picture = (paper + (black - paper) * ink[..., None]) * light[..., None] + grain[..., None]
    picture += chance.normal(scale=0.008, size=picture.shape)
    for _ in range(14):
        row, column = chance.integers(6, rows - 6, 2)
        picture[row, column : column + chance.integers(1, 3)] *= 0.6
    return np.rint(np.clip(picture, 0, 1) * 255).astype(np.uint8)


def pumpkin() -> NDArray[np.uint8]:
    """Return a pumpkin on a pale table, lit from the upper left, (rows, columns) grey."""
    columns, rows = PHOTOGRAPH
    down, across = np.mgrid[0:rows, 0:columns].astype(np.float32)
    x, y = (across - columns * 0.5) / 330, (rows * 0.535 - down) / 330
    height = _ribbed_height(x, y)
    inside = np.isfinite(height)
    surface = np.where(inside, height, 0.0)
    # A lamp at the upper left, and what the table throws back from below.
    lit = _lambert(surface, 1 / 330, (-0.5, 0.46, 0.73)) + 0.26 * _lambert(surface, 1 / 330, (0.55, -0.62, 0.56))
    rim = np.clip(np.where(inside, height, 1.0) / 0.55, 0, 1)
    skin = 0.06 + 0.86 * lit**0.95 * (0.5 + 0.5 * rim)
    # A soft shadow on the table, to the right of and under the fruit.
    shadow = np.exp(-((((x - 0.36) / 0.82) ** 2 + ((y + 0.76) / 0.12) ** 2) ** 1.2))
    table = 0.97 - 0.66 * shadow
    picture = np.where(inside, skin, table)
    stalk, shade = _stalk(x, y)
    picture = np.where(stalk, shade, picture)
    picture = _blurred(picture.astype(np.float32), 1.6)
    picture += np.random.default_rng(11).normal(scale=0.012, size=picture.shape)
    return np.rint(np.clip(picture, 0, 1) * 255).astype(np.uint8)


def _ribbed_height(x: Grey, y: Grey) -> Grey:
    """Return how far a ribbed, flattened ball comes towards the viewer; not a number beside it."""
    # Seen from a little above: ribs are meridians, which bulge to both sides of the middle.
    spread = np.sqrt(np.clip(1 - (y / 0.86) ** 2, 1e-6, None))
    meridian = np.arcsin(np.clip(x / (1.12 * spread), -1, 1))
    rib = np.abs(np.cos(meridian * 4.5)) ** 0.6
    ball = 1 - (x / 1.12) ** 2 - (y / 0.86) ** 2
    height = np.sqrt(np.clip(ball, 0, None)) * (0.8 + 0.2 * rib)
    # The crown dips round the stalk.
    height -= 0.34 * np.exp(-((x / 0.34) ** 2 + ((y - 0.72) / 0.17) ** 2))
    return np.where(ball > 0, height, np.nan).astype(np.float32)


def _lambert(height: Grey, step: float, light: tuple[float, float, float]) -> Grey:
    """Return how bright a surface is under a lamp, 0 to 1 (Lambert 1760); ``light``: towards it: right, up, near."""
    fall, rise = np.gradient(height, step)
    bright = (-rise * light[0] + fall * light[1] + light[2]) / np.sqrt(rise**2 + fall**2 + 1)
    return np.clip(bright, 0, 1).astype(np.float32)


def _stalk(x: Grey, y: Grey) -> tuple[NDArray[np.bool_], Grey]:
    """Return where the stalk is, and how bright."""
    up = (y - 0.66) / 0.42
    middle = 0.02 + 0.2 * np.clip(up, 0, 1) ** 2
    half = 0.075 + 0.09 * np.clip(1 - up * 2.4, 0, 1) ** 1.5 + 0.03 * np.clip(up, 0, 1)
    aside = (x - middle) / half
    inside = (np.abs(aside) < 1) & (up > 0.14 * aside**2 - 0.1) & (up < 1 - 0.1 * aside)
    shade = 0.36 - 0.26 * aside + 0.1 * np.cos(aside * 7.5)
    return inside, np.clip(shade, 0.04, 0.8).astype(np.float32)


def _outlined(shape: Polygon) -> Iterator[tuple[Polygon, bool]]:
    """Yield a shape as a line round white, which hides what lies behind."""
    yield shape.buffer(LINE / 2), True
    inner = shape.buffer(-LINE / 2)
    if not inner.is_empty:
        yield max(getattr(inner, "geoms", [inner]), key=lambda part: part.area), False


def _along(controls: list[tuple[float, float]]) -> NDArray[np.float64]:
    """Return points along cubic curves."""
    shares = np.linspace(0, 1, 24)[:, None]
    weights = ((1 - shares) ** 3, 3 * shares * (1 - shares) ** 2, 3 * shares**2 * (1 - shares), shares**3)
    points = np.array(controls)
    return np.vstack(
        [sum(weight * points[at + i] for i, weight in enumerate(weights)) for at in range(0, len(points) - 1, 3)]
    )


def _unsteady(ink: Grey, chance: np.random.Generator) -> Grey:
    """Return ink moved to and fro a little from place to place, as a hand does."""
    side = len(ink)
    down, across = np.mgrid[0:side, 0:side]
    per_mm = side / SCAN_SIZE
    moved = [at + 0.16 * per_mm * _clouds(side, 14, chance) + 0.03 * per_mm * _clouds(side, 90, chance)
             for at in (down, across)]  # fmt: skip
    row, column = (np.clip(np.rint(at).astype(np.intp), 0, side - 1) for at in moved)
    return ink[row, column]


def _clouds(side: int, count: int, chance: np.random.Generator) -> Grey:
    """Return smooth random heights, about -1 to 1, with ``count`` hills along a side."""
    coarse = Image.fromarray(chance.uniform(-1, 1, (count, count)).astype(np.float32))
    return np.asarray(coarse.resize((side, side), Image.Resampling.BICUBIC))


def _blurred(picture: Grey, radius: float) -> Grey:
    """Return a picture out of focus by ``radius`` pixels (standard deviation)."""
    reach = np.arange(-math.ceil(3 * radius), math.ceil(3 * radius) + 1)
    weights = np.exp(-((reach / radius) ** 2) / 2)
    weights /= weights.sum()
    for axis in (0, 1):
        padded = np.pad(picture, [(len(reach) // 2,) * 2 if each == axis else (0, 0) for each in (0, 1)], mode="edge")
        size = picture.shape[axis]
        picture = sum(w * np.take(padded, range(i, i + size), axis) for i, w in enumerate(weights))
    return picture.astype(np.float32)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)

"""Prints made by an independent way, not by the program's own press: shapely grows the art, resvg renders it,
scikit-image warps it; paper, light, ink, speckle and JPEG spoil it. What was done to it is known exactly."""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np
import resvg_py
import shapely
from PIL import Image
from scipy import ndimage
from shapely import affinity
from skimage import transform


@dataclass
class Stamped:
    """What is to become of art, mm, y up, origin at its middle: how ink lies, before any camera sees it.

    ``darkness``: of places (x, y) mm, 0 to 1. ``drop``: lines that are left out, as a region. ``beside``: what else is
    on the paper, true to size.
    """

    inked: shapely.MultiPolygon
    spread: float = 0.1
    scale: tuple[float, float] = (1.0, 1.0)
    drop: object = None
    darkness: object = None
    ink: float = 0.12
    mirrored: bool = False
    seed: int = 0
    speckle: float = 0.0
    beside: object = None

    def outlines(self):
        art = self.inked if self.drop is None else self.inked.difference(self.drop)
        art = affinity.scale(art, *self.scale, origin=(0, 0)).buffer(self.spread, quad_segs=16)
        return art if self.beside is None else art.union(self.beside)

    def picture(self, pitch, margin=6.0):
        """Brightness of paper with this print, top row first, and the place of its upper left corner, mm."""
        outlines = self.outlines()
        if self.mirrored:
            outlines = affinity.scale(outlines, -1, 1, origin=(0, 0))
        left, bottom, right, top = outlines.bounds
        left, bottom, right, top = left - margin, bottom - margin, right + margin, top + margin
        wide, high = right - left, top - bottom
        columns, rows = round(wide / pitch), round(high / pitch)
        wide, high = columns * pitch, rows * pitch
        steps = []
        for part in shapely.get_parts(outlines):
            for ring in (part.exterior, *part.interiors):
                steps.append("M" + "L".join(f"{x - left:.5f} {top - y:.5f}" for x, y in ring.coords[:-1]) + "Z")
        svg = (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{columns}" height="{rows}" viewBox="0 0 {wide} {high}">'
            f'<rect width="100%" height="100%" fill="white"/><path fill-rule="evenodd" d="{"".join(steps)}"/></svg>'
        )
        cover = (
            1.0 - np.asarray(Image.open(io.BytesIO(bytes(resvg_py.svg_to_bytes(svg_string=svg)))).convert("L")) / 255.0
        )
        rng = np.random.default_rng(self.seed)
        if self.darkness is not None:
            x = left + (np.arange(columns) + 0.5) * pitch
            y = top - (np.arange(rows) + 0.5) * pitch
            cover = cover * self.darkness(x[None, :], y[:, None])
        if self.speckle:
            grain = ndimage.gaussian_filter(rng.standard_normal(cover.shape), 0.03 / pitch)
            cut = np.quantile(grain[::4, ::4], 1 - self.speckle)
            cover = np.where(grain > cut, 0.0, cover)
        return (1.0 - cover * (1.0 - self.ink)).astype(np.float32), (left, top)


def speckled(picture, rng, share=2e-5):
    """Lay dust on the paper."""
    spoilt = picture.copy()
    count = int(share * picture.size)
    spoilt[rng.integers(0, picture.shape[0], count), rng.integers(0, picture.shape[1], count)] *= 0.4
    return spoilt


def as_written(light):
    """Return what files hold for light, 0 to 1 (IEC 61966-2-1)."""
    light = np.clip(light, 0, 1)
    return np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055).astype(np.float32)


def finished(
    picture,
    rng,
    *,
    blur,
    noise=0.01,
    light=0.1,
    paper=0.93,
    texture=0.015,
    path=None,
    dpi=None,
    quality=92,
    lens=False,
    sharpened=0.0,
):
    """Blur, light unevenly, add the paper's texture and noise, and save.

    ``lens``: whether all that happened to light, as in cameras and scanners, and is then written as files hold it, and
    ``sharpened`` there by so much, as both of them do.
    """
    rows, columns = picture.shape
    grain = ndimage.gaussian_filter(rng.standard_normal((rows // 2 + 1, columns // 2 + 1)).astype(np.float32), 1.5)
    grain = np.kron(grain / grain.std(), np.ones((2, 2), dtype=np.float32))[:rows, :columns]
    seen = ndimage.gaussian_filter(picture * (1 + texture * grain), blur)
    down, along = np.linspace(-1, 1, rows, dtype=np.float32)[:, None], np.linspace(-1, 1, columns, dtype=np.float32)
    turn = rng.uniform(0, 2 * np.pi)
    seen *= paper * (1 - light * (0.5 + 0.5 * (np.cos(turn) * down + np.sin(turn) * along)) ** 2)
    seen += noise * rng.standard_normal(seen.shape).astype(np.float32)
    if lens:
        seen = as_written(seen)
        seen = seen + sharpened * (seen - ndimage.gaussian_filter(seen, 1.3))
    image = Image.fromarray((np.clip(seen, 0, 1) * 255 + 0.5).astype(np.uint8))
    if path is not None:
        about = {"dpi": (dpi, dpi)} if dpi else {}
        image.save(path, **({"quality": quality, "subsampling": 0} if str(path).endswith("jpg") else {}), **about)
    return np.asarray(image)


def scanned(
    prints, path, *, dpi=600.0, page=(80.0, 80.0), places=((40.0, 40.0),), turns=(0.0,), blur=0.7, seed=0, **how
):
    """Save a flatbed scan of prints laid on a page, places in mm from its upper left corner, y down."""
    rng = np.random.default_rng(seed)
    pixel = 25.4 / dpi
    shape = (round(page[1] / pixel), round(page[0] / pixel))
    sheet = np.ones(shape, dtype=np.float32)
    for each, (x, y), turn in zip(prints, places, turns, strict=True):
        fine = 0.75 * pixel
        picture, (left, top) = each.picture(fine)
        reach = int(np.hypot(*picture.shape) * fine / pixel) // 2 + 4
        r0, c0 = max(0, round(y / pixel) - reach), max(0, round(x / pixel) - reach)
        r1, c1 = min(shape[0], r0 + 2 * reach), min(shape[1], c0 + 2 * reach)
        # From a pixel of the window to mm about the print's middle, turned, to a pixel of its picture.
        cos, sin = np.cos(np.radians(turn)), np.sin(np.radians(turn))
        to_mm = np.array([[pixel, 0, (c0 + 0.5) * pixel - x], [0, pixel, (r0 + 0.5) * pixel - y], [0, 0, 1]])
        spin = np.array([[cos, -sin, 0], [sin, cos, 0], [0, 0, 1]])
        to_picture = np.array([[1 / fine, 0, -left / fine - 0.5], [0, 1 / fine, top / fine - 0.5], [0, 0, 1]])
        window = transform.warp(
            ndimage.gaussian_filter(picture, 0.8),
            transform.ProjectiveTransform(to_picture @ spin @ to_mm),
            output_shape=(r1 - r0, c1 - c0),
            order=1,
            cval=1.0,
        )
        sheet[r0:r1, c0:c1] = np.minimum(sheet[r0:r1, c0:c1], window)
    return finished(speckled(sheet, rng), rng, blur=blur, path=path, dpi=dpi, **how)


def photographed(
    stamped,
    path,
    *,
    shape=(1200, 1500),
    across=950.0,
    turn=10.0,
    tip=(0.12, -0.08),
    barrel=0.0,
    blur=0.8,
    seed=0,
    at=None,
    sheet=None,
    **how,
):
    """Save a telephone photograph: perspective by ``tip`` (slant of the paper), a lens with ``barrel``, k1 as above.

    ``across``: pixels that the print's 50 mm take at its middle. ``sheet``: paper's edges as (left, bottom, right, top)
    mm about the print's middle, beyond which lies a dark table.
    """
    rng = np.random.default_rng(seed)
    per_mm = across / 50.0
    fine = 0.75 / per_mm
    picture, (left, top) = stamped.picture(fine, 6.0 if sheet is None else 2.0)
    rows, columns = shape
    middle = np.array([columns / 2 - 0.5, rows / 2 - 0.5])
    half = np.hypot(rows, columns) / 2.0
    cos, sin = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    lay = np.array([[per_mm * cos, per_mm * sin, 0], [per_mm * sin, -per_mm * cos, 0], [0, 0, 1]])
    slant = np.array([[1, 0, 0], [0, 1, 0], [tip[0] / 1000.0, tip[1] / 1000.0, 1]])
    x, y = middle if at is None else at
    to_pixels = np.array([[1, 0, x], [0, 1, y], [0, 0, 1]]) @ slant @ lay
    back = np.linalg.inv(to_pixels)

    def to_picture(pixels):
        away = (pixels - middle) / half
        radius = np.hypot(*away.T)
        flat = radius.copy()
        for _ in range(8 if barrel else 0):
            flat = radius / (1 + barrel * flat**2)
        ratio = np.divide(flat, radius, out=np.ones_like(flat), where=radius > 0)
        straight = middle + away * ratio[:, None] * half
        mm = np.column_stack([straight, np.ones(len(straight))]) @ back.T
        mm = mm[:, :2] / mm[:, 2:]
        return np.column_stack([(mm[:, 0] - left) / fine - 0.5, (top - mm[:, 1]) / fine - 0.5])

    seen = transform.warp(ndimage.gaussian_filter(picture, 0.8), to_picture, output_shape=shape, order=1, cval=1.0)
    if sheet is not None:
        seen = _on_table(seen, lambda pixels: _on_sheet(to_picture(pixels), left, top, fine, sheet))
    return finished(speckled(seen.astype(np.float32), rng), rng, blur=blur, path=path, **how), to_pixels


def _on_table(seen, on_sheet):
    """Return a picture with a dark table wherever ``on_sheet`` finds none of the sheet."""
    whole = np.ones((400, 400), dtype=np.float32)
    inside = transform.warp(whole, on_sheet, output_shape=seen.shape, order=0, cval=0.0)
    return np.where(inside > 0.5, seen, 0.25)


def _on_sheet(places, left, top, fine, sheet):
    x, y = left + (places[:, 0] + 0.5) * fine, top - (places[:, 1] + 0.5) * fine
    on = (x > sheet[0]) & (x < sheet[2]) & (y > sheet[1]) & (y < sheet[3])
    return np.where(on[:, None], 200.0, -1000.0) * np.ones((1, 2))


def ruler(length=100, at=(-40.0, 34.0), turn=0.0):
    """Ticks a millimetre apart, longer at every fifth and tenth."""
    ticks = []
    for tick in range(length + 1):
        long = 6.0 if tick % 10 == 0 else 4.5 if tick % 5 == 0 else 3.0
        ticks.append(shapely.box(tick - 0.1, 0, tick + 0.1, long))
    return affinity.translate(affinity.rotate(shapely.union_all(ticks), turn, origin=(0, 0)), *at)


def ticket_bar(at=(-5.0, -36.0)):
    """The bar of 10 mm as tickets have it: strokes 0.2 mm wide, closed at both ends, a short one at its middle."""
    lines = [[(0, -1), (0, 1)], [(0, 0), (10, 0)], [(10, -1), (10, 1)], [(5, -0.5), (5, 0.5)]]
    drawn = shapely.union_all([shapely.LineString(line).buffer(0.1, cap_style="flat") for line in lines])
    return affinity.translate(drawn, *at)

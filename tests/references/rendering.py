"""Ink as an independent renderer draws it, and our own on the same pixels."""

import io

import numpy as np
import pytest
from PIL import Image, ImageDraw
from shapely.geometry import Polygon
from stampwright.artwork.fonts.case import BUNDLED_FOLDER

resvg_py = pytest.importorskip("resvg_py")

PICTURE = 960
"""Pixels along the longer side of a comparison."""

FINER = 3
"""Sub-pixels along each side that our ink is sampled at before it is thresholded, as a renderer's coverage is."""


def rendered_ink(source, *, side=PICTURE):
    """Return what the renderer draws darker than half luminance on white, top row first."""
    given = {"svg_path": str(source)} if hasattr(source, "suffix") else {"svg_string": source}
    given |= {"background": "#ffffff", "dpi": 96.0, "languages": ["en"], "font_dirs": [str(BUNDLED_FOLDER)]}
    plain = Image.open(io.BytesIO(resvg_py.svg_to_bytes(**given)))
    zoom = max(1.0, round(side / max(plain.size)))
    enlarged = resvg_py.svg_to_bytes(zoom=zoom, **given)
    return np.array(Image.open(io.BytesIO(enlarged)).convert("L")) < 128


def read_ink(artwork, shape):
    """Return our ink on the same pixels."""
    rows, columns = shape
    picture = Image.new("L", (columns * FINER, rows * FINER), 0)
    drawing = ImageDraw.Draw(picture)
    width, height = artwork.page_size
    scale = np.array([columns * FINER / width, rows * FINER / height])

    def pixels(ring):
        points = np.asarray(ring.coords)
        return [tuple(point) for point in (points * (1, -1) + (0, height)) * scale - 0.5]

    for part in sorted(artwork.inked.geoms, key=lambda part: -Polygon(part.exterior).area):
        drawing.polygon(pixels(part.exterior), fill=255)
        for hole in part.interiors:
            drawing.polygon(pixels(hole), fill=0)
    covered = np.asarray(picture, dtype=np.float32).reshape(rows, FINER, columns, FINER).mean(axis=(1, 3))
    return covered >= 127.5


def agreement(artwork, rendered):
    """Return intersection over union of our ink and the renderer's."""
    ours = read_ink(artwork, rendered.shape)
    union = (ours | rendered).sum()
    return float((ours & rendered).sum() / union) if union else 1.0

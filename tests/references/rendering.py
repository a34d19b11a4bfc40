"""Ink as an independent renderer draws it, and our own outlines drawn by the same renderer on the same pixels."""

import io

import numpy as np
import pytest
import shapely
from PIL import Image
from stampwright.artwork.fonts.case import BUNDLED_FOLDER

resvg_py = pytest.importorskip("resvg_py")

PICTURE = 640
"""Pixels along the longer side of a comparison, about."""

PX_TO_MM = 25.4 / 96

OPTIONS = {"background": "#ffffff", "dpi": 96.0, "languages": ["en"], "font_dirs": [str(BUNDLED_FOLDER)]}


def rendered_ink(source, *, side=PICTURE):
    """Return what the renderer draws darker than half luminance on white, top row first.

    ``source``: a path or the text of an SVG file.
    """
    given = {"svg_path": str(source)} if hasattr(source, "suffix") else {"svg_string": source}
    plain = Image.open(io.BytesIO(resvg_py.svg_to_bytes(**OPTIONS, **given)))
    return _dark(resvg_py.svg_to_bytes(zoom=float(max(1, round(side / max(plain.size)))), **OPTIONS, **given))


def read_ink(artwork, shape):
    """Return our ink on ``shape`` pixels, drawn by the same renderer from nothing but filled straight outlines."""
    rows, columns = shape
    width, height = (side / PX_TO_MM for side in artwork.page_size)
    data = []
    for part in artwork.inked.geoms:
        for ring in (part.exterior, *part.interiors):
            # In px again and to the last digit: edges through the middles of pixels must fall the same way.
            points = shapely.get_coordinates(ring) / PX_TO_MM * (1, -1) + (0, height)
            data.append("M" + "L".join(f"{x:.9f} {y:.9f}" for x, y in points[:-1]) + "z")
    text = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{columns}" height="{rows}" viewBox="0 0 {width} {height}" '
        f'preserveAspectRatio="none"><path fill-rule="evenodd" d="{"".join(data)}"/></svg>'
    )
    return _dark(resvg_py.svg_to_bytes(svg_string=text, **OPTIONS))


def agreement(artwork, rendered):
    """Return intersection over union of our ink and the renderer's."""
    ours = read_ink(artwork, rendered.shape)
    union = (ours | rendered).sum()
    return float((ours & rendered).sum() / union) if union else 1.0


def _dark(png):
    colours = np.asarray(Image.open(io.BytesIO(png)).convert("RGB"), dtype=np.float64)
    # Luminance by IEC 61966-2-1, as SVG's masks take it.
    return colours @ (0.2126, 0.7152, 0.0722) < 127.5

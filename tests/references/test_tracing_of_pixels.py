"""Small bitmaps, soft-edged or of whole pixels, give back the shapes that they were drawn from.

The shapes are known in full; they are drawn by an independent renderer (resvg), with and without anti-aliasing.
"""

import io

import numpy as np
import pytest
import resvg_py
import segno
import shapely
from PIL import Image, ImageDraw
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.artwork.fonts import find_font, outline_text
from stampwright.artwork.tracing import read_bitmap, trace_picture
from stampwright.job.sections.tracing import TracingSection

from .test_tracing import strays

FINE = TracingSection(dust=0.0)


def star(radius):
    turns = np.pi / 2 + np.arange(10) * np.pi / 5
    return Polygon(np.stack([np.cos(turns), np.sin(turns)], axis=1) * np.tile([radius, radius * 0.45], 5)[:, None])


def letters(size):
    bold, _ = find_font("sans-serif", 700, folders=())
    return affinity.translate(outline_text("Ra&8", bold, 0.33 * size), -0.42 * size, -0.12 * size)


SHAPES = {
    "disc": lambda size: Point(0.3, -0.2).buffer(0.42 * size, 64),
    "dot": lambda size: Point(0.1, -0.3).buffer(0.1 * size, 64),
    "square turned by 3": lambda size: affinity.rotate(box(-0.3 * size, -0.3 * size, 0.3 * size, 0.3 * size), 3),
    "square turned by 22": lambda size: affinity.rotate(box(-0.3 * size, -0.3 * size, 0.3 * size, 0.3 * size), 22),
    "wedge": lambda size: Polygon([(-0.12 * size, -0.45 * size), (0.1 * size, -0.45 * size), (0.4, 0.45 * size)]),
    "star": lambda size: star(0.47 * size),
    "type": letters,
}


def drawn(shape, size, *, soft, ink="#000000"):
    """Return the bytes of a PNG, ``size`` pixels a side, with a shape about its middle; one pixel is one unit."""
    parts = shapely.get_parts(MultiPolygon([shape]) if shape.geom_type == "Polygon" else shape)
    rings = [ring for part in parts for ring in (part.exterior, *part.interiors)]
    outline = "".join(
        "M" + "L".join(f"{x + size / 2:.5f} {size / 2 - y:.5f}" for x, y in ring.coords) + "Z" for ring in rings
    )
    edges = "" if soft else ' shape-rendering="crispEdges"'
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{size}" height="{size}"><rect width="{size}" height="{size}" '
        f'fill="#fff"/><path fill-rule="evenodd" fill="{ink}" d="{outline}"{edges}/></svg>'
    )
    return bytes(resvg_py.svg_to_bytes(svg_string=svg))


def traced(data, size):
    """Return what is read of a PNG, in pixels about its middle."""
    artwork = read_bitmap("shape.png", data=data, tracing=TracingSection(dust=0.0, width=size * 0.1))
    return artwork, affinity.translate(affinity.scale(artwork.inked, 10, 10, origin=(0, 0)), -size / 2, -size / 2)


def turns(region):
    """Return how many whole turns an outline makes in all: one for what is convex."""
    rings = [np.asarray(ring.coords) for ring in shapely.get_rings(shapely.get_parts(region))]
    steps = [np.diff(ring, axis=0) for ring in rings]
    angles = [np.arctan2(step[:, 1], step[:, 0]) for step in steps]
    bends = [(np.diff(np.append(way, way[0])) + np.pi) % (2 * np.pi) - np.pi for way in angles]
    return sum(np.abs(bend).sum() for bend in bends) / (2 * np.pi)


@pytest.mark.sweep(12)
@pytest.mark.parametrize("size", [64, 120, 200])
@pytest.mark.parametrize("ink", ["soft black", "whole black", "soft purple", "whole purple"])
@pytest.mark.parametrize("name", SHAPES)
def test_small_bitmaps_give_back_what_was_drawn(name, ink, size):
    """Half a pixel is what whole pixels leave open; within a fifth on the mean edges are known, and are no stairs."""
    soft, colour = ink.startswith("soft"), "#7f3fbf" if ink.endswith("purple") else "#000000"
    shape = SHAPES[name](size)
    artwork, inked = traced(drawn(shape, size, soft=soft, ink=colour), size)
    distance = np.concatenate([strays(inked, shape, 0.25), strays(shape, inked, 0.25)])
    assert distance.mean() < (0.13 if soft else 0.24)
    assert np.percentile(distance, 95) < (0.4 if soft else 0.65)
    # Following pixels, an outline turns to and fro at each step: ten to thirty times more than it must.
    assert turns(inked) < (1.5 if soft else 2.0) * turns(shape) + (2 if soft else 6)
    assert {finding.kind for finding in artwork.findings} <= {"scan askew"}


def test_light_ink_on_even_paper_is_not_taken_for_uneven_light():
    """Where the ink fills whole tiles of a picture, what is brightest there is ink, and no paper in the shade."""
    corners = [(6, 366), (126, 366), (68, 6)]
    picture = Image.new("RGB", (132, 372), "white")
    ImageDraw.Draw(picture).polygon(corners, fill="#7f3fbf")
    stream = io.BytesIO()
    picture.save(stream, "PNG", dpi=(25.4, 25.4))
    artwork = read_bitmap("wedge.png", data=stream.getvalue(), tracing=FINE)
    shape = Polygon([(x + 0.5, 371.5 - y) for x, y in corners])
    assert "uneven light" not in {finding.kind for finding in artwork.findings}
    assert artwork.inked.symmetric_difference(shape).area < 0.02 * shape.area


@pytest.mark.parametrize("side", [3, 5])
def test_square_corners_of_whole_pixels_are_kept(side):
    """A code of few pixels a module comes out as its modules are."""
    code = np.array([list(row) for row in segno.make("mossgate.example/seed", error="m").matrix], dtype=np.float32)
    grey = 1 - np.kron(np.pad(code, 2), np.ones((side, side), dtype=np.float32))
    inked = trace_picture(grey, (1.0 / side, 1.0 / side), FINE, name="x").inked
    rows = len(code) + 4
    modules = [box(x + 2, rows - y - 3, x + 3, rows - y - 2) for y, x in zip(*np.nonzero(code), strict=True)]
    whole = shapely.union_all(modules)
    assert inked.symmetric_difference(whole).area < 0.001 * whole.area


def test_a_grey_line_beside_black_stays_a_colour_of_its_own():
    """What lies between two colours in tone alone is no soft edge of theirs."""
    grey = np.full((200, 300, 3), 255, dtype=np.uint8)
    grey[40:90, 20:280] = 0
    grey[120:122, 20:280] = 128
    stream = io.BytesIO()
    Image.fromarray(grey).save(stream, "PNG", dpi=(300, 300))
    artwork = read_bitmap("lines.png", data=stream.getvalue())
    assert [finding.message.split()[0] for finding in artwork.findings if finding.kind == "colour left out"] == [
        "#808080"
    ]

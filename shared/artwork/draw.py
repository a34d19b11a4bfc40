"""Draws the demo artwork of the invented Mossgate Seed Library; run again, it writes the same files.

    python draw.py [FOLDER]

Everything is drawn here from nothing, and given away under CC0 1.0. Lengths are millimetres; y runs up and the origin
is the middle of the page until a drawing is written down.
"""

from __future__ import annotations

import math
import sys
from pathlib import Path

import numpy as np
from letters import Pen, set_on_circle, set_straight, set_to_length
from marigold import marigold
from plants import bow, frond, gate, leaf, leaf_lines, pod, polar, poppy, put, seed, seedling, spiral, tuft, umbel
from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box
from shapely.ops import unary_union
from strokes import area, circle, curve, page, through

FINE, PLAIN, STRONG = 0.52, 0.95, 1.2
"""Widths of drawn lines, mm: two passes of a fine 0.25 mm nozzle, then two and three of a common 0.4 mm one."""


def main(folder: Path) -> None:
    """Write every drawing into a folder."""
    for draw in (ownership_mark, return_address, pea_vine, night_meadow, harvest_pear, marigold):
        name = draw.__name__.replace("_", "-")
        (folder / f"{name}.svg").write_text(draw(), encoding="utf-8", newline="\n")


def ownership_mark() -> str:
    """Return a round mark: fine rings, lettering on a circle, a gate of stones with a seed head growing in it."""
    pen = Pen(weight=0.265)
    lettering = [
        *set_on_circle("MOSSGATE SEED LIBRARY", 2.95, pen, radius=16.4, gap=0.24),
        *set_on_circle("SOW · SAVE · SHARE", 2.95, pen, radius=16.4, gap=0.22, below=True),
    ]
    ornaments = [
        put(leaf(1.9, 1.2), polar(17.9, at + side), at + 90 * side) for at in (189.9, 350.1) for side in (1, -1)
    ]
    stones = gate(inner=6.3, outer=9.1, spring=1.5, foot=-8.5)
    wreath = [part for side in (1, -1) for part in frond(radius=12.1, start=-33, end=36, leaves=7, side=side)]
    head = umbel((0, -8.5), (0, 0.2), rays=7, reach=4.6, spread=158, width=FINE, size=0.95)
    grass = [part for x in (-3.1, 3.1) for part in tuft((x, -8.8), 3.5, 0.9)]
    sown = [put(seed(1.8, 1.0), (x - 0.9, -11.5 + 0.012 * x * x), 0) for x in (-6, -3, 0, 3, 6)]
    body = [
        '<g fill="none" stroke="#000" stroke-linecap="round">',
        circle(0, 0, 22.3, stroke_width=STRONG),
        circle(0, 0, 20.95, stroke_width=FINE),
        circle(0, 0, 14.9, stroke_width=FINE),
        *(f"  {line}" for line in head),
        "</g>",
        area(lettering),
        area([*ornaments, *stones, *wreath, *grass, *sown]),
    ]
    about = "A round ownership mark with fine lines; its lettering is outlines."
    return page(46, 46, "Mossgate ownership mark", about, body)


def return_address() -> str:
    """Return a return address of three lines beside a seedling."""
    left, right = -21.0, 37.5
    small = Pen(weight=0.21)
    place, gap = set_to_length("7 UNDERLEAF LANE · FERNHOLLOW", 2.5, small, (left, -8.6), right - left)
    street = set_straight("THE OLD GATEHOUSE", 2.5, small, (left, -3.9), gap=gap)
    name, _ = set_to_length("MOSSGATE SEED LIBRARY", 3.3, Pen(weight=0.24), (left, 4.9), right - left)
    lines, shapes = seedling((-30.7, -3.8), width=PLAIN)
    body = [
        '<g fill="none" stroke="#000" stroke-linecap="round">',
        *(f"  {line}" for line in lines),
        "  " + curve([(left + 0.25, 1.9), (left + 9, 1.9), (right - 9, 1.9), (right - 0.25, 1.9)], stroke_width=FINE),
        "</g>",
        area(shapes),
        area([*name, *street, *place]),
    ]
    return page(78, 24, "Mossgate return address", "A return address with small lettering as outlines.", body)


def pea_vine() -> str:
    """Return a pea vine in lines: smooth curves, stitches and dots, white shapes that hide what lies behind."""
    wide, high, stitches, stitch = 30.3, 20.3, 38, 2.5
    # The ellipse's length (Ramanujan 1914), so that the last stitch meets the first.
    around = math.pi * (3 * (wide + high) - math.sqrt((3 * wide + high) * (wide + 3 * high)))
    style = (
        "<style>.line{fill:none;stroke:#000;stroke-width:.95;stroke-linecap:round;stroke-linejoin:round}"
        ".stem{stroke-width:1.35}.dots{stroke-dasharray:0 1.8}.front{fill:#fff}"
        f".stitch{{stroke-dasharray:{stitch} {around / stitches - stitch:.4f}}}</style>"
    )
    vine = [(-23.4, -10.8), (-22.0, -5.2), (-18.4, 1.0), (-11.5, 6.4), (-3, 8.9), (6, 9.0), (13, 7.2)]
    onward = (17.6, 6.0)
    tendrils = [
        [*vine[-3:], onward, *spiral((21.2, 9.0), start=262, turns=1.3, outer=3.2, inner=1.1)],
        [(-22.8, -8.0), (-20.9, -5.4), *spiral((-17.0, -8.0), start=112, turns=-1.3, outer=3.3, inner=1.1)],
    ]
    leaves = [
        ((-20.2, -1.4), 7.6, 4.8, 140),
        ((-15.2, 4.0), 9.4, 5.6, 124),
        ((-9.4, 7.3), 9.6, 5.8, 92),
        ((0.6, 9.2), 8.6, 5.4, 82),
        ((7.6, 8.8), 8.6, 5.0, 46),
    ]
    body = [style, f'<ellipse class="line stitch" rx="{wide}" ry="{high}"/>']
    body += [through(points, class_="line") for points in tendrils]
    for place in leaves:
        outline, rib = leaf_lines(*place)
        body += [curve(outline, class_="line front"), curve(rib, class_="line dots")]
    body.append(through(vine, beyond=onward, class_="line stem"))
    about = "A line drawing with strokes and dashes."
    return page(62, 42, "Mossgate pea vine", about, [*body, *_young_pod(), *_open_pod()])


def _young_pod() -> list[str]:
    ends = ((5.0, 6.2), (6.0, 0.2), (18.6, -0.4))
    outline, _, _ = pod(*ends, peas=2, swell=2.2)
    peas, _ = bow(*ends, np.linspace(0.2, 0.8, 6)[:, None])
    return [
        curve([(2.4, 9.2), (4.4, 8.9), (5.2, 8.0), (5.0, 6.2)], class_="line"),
        through([*outline, outline[0]], class_="line front"),
        through(peas.tolist(), class_="line dots"),
    ]


def _open_pod() -> list[str]:
    stalk = [(-11.5, 6.4), (-13.0, 5.2), (-14.2, 4.4), (-14.2, 2.2)]
    back, front, peas = pod((-14.2, 1.4), (-5.0, -14.0), (19.5, -10.6), peas=8, swell=5.6)
    sepals = ((4.2, 2.2, -114), (5.2, 3.0, -78), (4.4, 3.2, -50), (4.6, 2.2, -18))
    calyx = [put(leaf(length, width), (-14.3, 2.5), angle) for length, width, angle in sepals]
    return [
        curve(stalk, class_="line stem"),
        through([*back, back[0]], class_="line front"),
        *(circle(*place, radius, class_="line front") for place, radius in peas),
        through([*front, front[0]], class_="line front"),
        area(calyx),
    ]


def night_meadow() -> str:
    """Return a dark arch with white shapes painted on it: a moon, a hill, and plants that turn dark before the moon."""
    night, paper = "#1f3a2b", "#fffdf4"
    pen = Pen(weight=0.25)
    moon = (1.4, 7.6, 10.2)
    hill = _arch(2.8).intersection(Polygon([(-20, -30), *_hill(), (20, -30)]))
    plants = [
        *umbel((2.4, -12), (0.9, 6.6), rays=7, reach=6.4, spread=150, width=0.85, size=1.35),
        *umbel((-6.2, -12), (-8.8, -4.4), rays=5, reach=3.9, spread=132, width=0.85, size=1.15),
        *poppy((7.2, -12), (7.0, 2.9), size=1.9, width=0.85),
        *poppy((11.2, -12), (11.4, -4.2), size=1.5, width=0.85),
    ]
    grass = [part for x, size in ((-11.3, 4.6), (-2.4, 5.6)) for part in tuft((x, -12.4), size, 0.9)]
    # Closing the white by half a line leaves no ink between two blades that is too thin to print.
    ground = unary_union([*grass, hill]).buffer(0.42).buffer(-0.42)
    stars = [(-10.4, 11.2, 0.75), (-12.4, 5.6, 0.55), (-6.8, 16.2, 0.55), (-12.0, 1.4, 0.5), (12.9, 1.6, 0.55)]
    lettering = [*_centred("MOSSGATE", 3.1, pen, -15.9), *_centred("SEED LIBRARY", 2.45, Pen(weight=0.27), -19.6)]
    body = [
        "<defs>",
        f'  <clipPath id="moon">{circle(*moon)}</clipPath>',
        '  <g id="plants" fill="none" stroke="currentColor" stroke-linecap="round">',
        *(f"    {line}" for line in plants),
        "  </g>",
        "</defs>",
        area([_arch(0)], fill=night),
        area([_arch(1.1).difference(_arch(1.95))], fill=paper),
        circle(*moon, fill=paper),
        *(circle(*star, fill=paper) for star in stars),
        f'<use href="#plants" color="{paper}"/>',
        f'<use href="#plants" color="{night}" clip-path="url(#moon)"/>',
        area([ground], fill=paper),
        area(lettering, fill=night),
    ]
    return page(36, 48, "Mossgate night meadow", "A dark mark with white shapes painted on it.", body)


def harvest_pear() -> str:
    """Return half a pear with its core and pips, and a leaf: broad areas, on which a texture shows."""
    # Two discs, and what is narrower than 18 mm between them filled: the waist of a pear.
    body = Point(0, -7).buffer(14, quad_segs=90).union(Point(1.2, 9.5).buffer(6.4, quad_segs=90))
    body = body.buffer(9, quad_segs=90).buffer(-9, quad_segs=90)
    skin = body.buffer(-1.5).difference(body.buffer(-2.4))
    core = put(leaf(17, 11), (0, -14.5), 88)
    pips = [put(seed(5.2, 2.5), (x, -9.6), angle) for x, angle in ((-0.7, 106), (1.5, 68))]
    vein = LineString([(0.3, -1.5), (0.9, 6.2)]).buffer(0.45)
    stalk = Polygon([(0.5, 14.5), (2.3, 14.7), (3.4, 20.4), (4.6, 23.4), (2.6, 23.8), (1.5, 20.6)]).buffer(0.3)
    rib = LineString([(3.6, 18.8), (15.4, 21.6)]).buffer(0.4)
    foliage = put(leaf(15.5, 7.6), (3.0, 18.4), 13).difference(rib)
    pear = body.difference(unary_union([skin, core, vein])).union(unary_union(pips))
    drawn = [area([part.buffer(-0.15).buffer(0.15)]) for part in (pear, stalk.union(foliage))]
    about = "Half a pear in broad areas, to be given a texture."
    return page(42, 50, "Mossgate harvest pear", about, drawn)


def _arch(inset: float) -> Polygon:
    """Return the outline of an arched door, drawn in by ``inset``."""
    door = box(-17, -23, 17, 6).union(Point(0, 6).buffer(17, quad_segs=90))
    return door.buffer(-1.5 - inset).buffer(1.5)


def _hill() -> list[tuple[float, float]]:
    return [(x, -11.2 + 1.1 * math.cos((x - 3) / 7.5)) for x in (step / 2 for step in range(-34, 35))]


def _centred(text: str, cap: float, pen: Pen, baseline: float) -> list[MultiPolygon]:
    line = set_straight(text, cap, pen, (0, baseline), gap=0.24)
    middle = (min(shape.bounds[0] for shape in line) + max(shape.bounds[2] for shape in line)) / 2
    return [affinity.translate(shape, -middle, 0) for shape in line]


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)

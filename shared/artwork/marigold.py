"""A marigold in two inks: orange petals round a dark heart, on a stem with leaves and its name."""

from __future__ import annotations

from letters import Pen, set_straight
from plants import leaf, polar, put
from shapely import affinity
from shapely.geometry import LineString, Point, Polygon
from shapely.ops import unary_union
from strokes import area, page

ORANGE, GREEN = "#eb9a2f", "#1d5a3a"

_MIDDLE, _HEART = (0.0, 8.6), 3.6


def marigold() -> str:
    """Return a marigold whose heart and leaves print in green, and whose petals print in orange."""
    back = [put(leaf(11.4, 5.0), polar(1.0, angle, _MIDDLE), angle) for angle in range(0, 360, 30)]
    front = [put(leaf(8.6, 4.4), polar(1.0, angle + 15, _MIDDLE), angle + 15) for angle in range(0, 360, 30)]
    # Between the rows of petals the paper shows, so that they are told apart in one ink.
    rim = unary_union(front).buffer(0.45)
    petals = unary_union([unary_union(back).difference(rim), unary_union(front)])
    return page(
        46,
        46,
        "Mossgate marigold",
        "A marigold in two colours; its lettering is outlines.",
        [
            f'<g id="leaves" fill="{GREEN}">',
            area(_green_parts()),
            "</g>",
            f'<g id="petals" fill="{ORANGE}">',
            area([petals]),
            "</g>",
            f'<g id="heart" fill="{GREEN}">',
            area([_heart()]),
            area(_name()),
            "</g>",
        ],
    )


def _green_parts() -> list[Polygon]:
    stem = LineString([(0.2, -1.4), (0.4, -5.0), (-0.2, -12.6)]).buffer(0.7)
    places = ((-0.1, -11.6, 152, 13.5), (0.1, -11.4, 28, 13.5), (0.3, -5.6, 36, 9.0), (0.1, -7.0, 146, 9.0))
    leaves = [put(leaf(length, 0.4 * length), (x, y), angle) for x, y, angle, length in places]
    return [stem, *leaves]


def _heart() -> Polygon:
    """Return the heart: a disc with a ring of small seeds left open, where the orange shows as petals' feet."""
    disc = Point(_MIDDLE).buffer(_HEART, quad_segs=24)
    seeds = unary_union([Point(polar(2.1, angle, _MIDDLE)).buffer(0.55, quad_segs=12) for angle in range(0, 360, 60)])
    return disc.difference(seeds)


def _name() -> list[Polygon]:
    letters = set_straight("MARIGOLD", 4.2, Pen(weight=0.26), (0.0, 0.0), gap=0.34)
    whole = unary_union(letters)
    left, bottom, right, _ = whole.bounds
    return [affinity.translate(letter, -(left + right) / 2, -20.6 - bottom) for letter in letters]

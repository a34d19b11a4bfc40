"""Elliptical arcs as cubic curves."""

from __future__ import annotations

import math

from .curves import ARC_PIECE, CURVE, LINE, PART, Step

Point = tuple[float, float]


def arc_steps(start: Point, radii: Point, tilt: float, end: Point, *, large: bool, sweep: bool) -> list[Step]:
    """Return an arc from ``start`` to ``end`` as cubic curves.

    ``tilt``: of the ellipse's x axis, deg. ``large``, ``sweep``: the flags of path data. Radii of 0 give a straight
    line, negative ones count as positive, and too small ones are enlarged until they reach
    (SVG 2, sections 9.5.1, B.2.4 and B.2.5).
    """
    (x0, y0), (x, y) = start, end
    if start == end:
        return []
    rx, ry = abs(radii[0]), abs(radii[1])
    if rx == 0 or ry == 0:
        return [(LINE, x0, y0, x0, y0, x, y, x, y)]
    cos, sin = math.cos(math.radians(tilt % 360)), math.sin(math.radians(tilt % 360))
    # Seen in the ellipse's own frame, scaled to the unit circle, the arc is a plain circle's.
    half_x, half_y = (x0 - x) / 2, (y0 - y) / 2
    ux, uy = (cos * half_x + sin * half_y) / rx, (cos * half_y - sin * half_x) / ry
    reach = math.hypot(ux, uy)
    # Radii so large that the arc strays from its chord by less than 1e-9 of it draw the chord.
    if not math.isfinite(reach) or reach < 1e-9:
        return [(LINE, x0, y0, x0, y0, x, y, x, y)]
    if reach > 1:
        rx, ry, ux, uy, reach = rx * reach, ry * reach, ux / reach, uy / reach, 1.0
    offset = math.sqrt(max(1 / (reach * reach) - 1, 0.0)) * (-1 if large == sweep else 1)
    cx, cy = offset * uy, -offset * ux
    first = math.atan2(uy - cy, ux - cx)
    turn = math.atan2(-uy - cy, -ux - cx) - first
    if sweep and turn < 0:
        turn += 2 * math.pi
    elif not sweep and turn > 0:
        turn -= 2 * math.pi
    middle_x = (x0 + x) / 2 + cos * cx * rx - sin * cy * ry
    middle_y = (y0 + y) / 2 + sin * cx * rx + cos * cy * ry
    return ellipse_steps((middle_x, middle_y), (rx, ry), first, turn, tilt=(cos, sin), begin=start, end=end)


def ellipse_steps(
    centre: Point,
    radii: Point,
    first: float,
    turn: float,
    *,
    tilt: Point = (1.0, 0.0),
    begin: Point | None = None,
    end: Point | None = None,
) -> list[Step]:
    """Return the part of an ellipse from angle ``first`` over ``turn`` (rad, signed) as cubic curves.

    ``tilt``: cosine and sine of the ellipse's own turn. ``begin``, ``end``: exact end points, where they are known.
    """
    (cx, cy), (rx, ry), (cos, sin) = centre, radii, tilt
    count = max(1, math.ceil(abs(turn) / ARC_PIECE - 1e-9))
    step = turn / count
    pull = 4 / 3 * math.tan(step / 4)

    def placed(x: float, y: float) -> Point:
        return cx + cos * x * rx - sin * y * ry, cy + sin * x * rx + cos * y * ry

    steps: list[Step] = []
    c0, s0 = math.cos(first), math.sin(first)
    from_x, from_y = begin or placed(c0, s0)
    for index in range(1, count + 1):
        c1, s1 = math.cos(first + index * step), math.sin(first + index * step)
        x1, y1 = placed(c0 - pull * s0, s0 + pull * c0)
        x2, y2 = placed(c1 + pull * s1, s1 - pull * c1)
        to_x, to_y = end if end and index == count else placed(c1, s1)
        steps.append((CURVE if index == count else PART, from_x, from_y, x1, y1, x2, y2, to_x, to_y))
        c0, s0, from_x, from_y = c1, s1, to_x, to_y
    return steps

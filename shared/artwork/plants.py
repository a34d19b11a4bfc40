"""Forms of the garden: leaves, fronds, seed heads, a pod, a seedling, and a gate of stones.

Areas are shapely polygons and lines are SVG elements, both in mm with y up.
"""

from __future__ import annotations

import math

import numpy as np
from shapely import affinity
from shapely.geometry import Point, Polygon, box
from shapely.ops import unary_union
from strokes import Place, area, curve


def leaf(length: float, width: float) -> Polygon:
    """Return a leaf that lies along x from its stalk at the origin: round at the stalk, drawn out at the tip."""
    return _blade_of(length, width, (0.08, 1.0), (0.55, 0.62))


def seed(length: float, width: float) -> Polygon:
    """Return a seed that lies along x with one end at the origin: pointed at both."""
    return _blade_of(length, width, (0.22, 1.0), (0.78, 1.0))


def _blade_of(length: float, width: float, first: Place, second: Place) -> Polygon:
    at = np.linspace(0, 1, 41)
    x = 3 * at * (1 - at) ** 2 * first[0] + 3 * at**2 * (1 - at) * second[0] + at**3
    y = 3 * at * (1 - at) ** 2 * first[1] + 3 * at**2 * (1 - at) * second[1]
    upper = np.column_stack([x * length, y / y.max() * width / 2])
    return Polygon(np.vstack([upper, (upper * [1, -1])[::-1][1:-1]]))


def put(shape: Polygon, place: Place, angle: float) -> Polygon:
    """Return a shape turned by an angle in degrees about its origin and moved to a place."""
    return affinity.translate(affinity.rotate(shape, angle, origin=(0, 0)), *place)


def polar(radius: float, angle: float, centre: Place = (0, 0)) -> Place:
    """Return the place at a distance and an angle in degrees."""
    return (centre[0] + radius * math.cos(math.radians(angle)), centre[1] + radius * math.sin(math.radians(angle)))


def frond(radius: float, start: float, end: float, leaves: int, side: int) -> list[Polygon]:
    """Return a frond that bends along a circle, with pairs of leaves that grow smaller towards its tip.

    ``side`` is 1 for the right of the circle and -1 for its mirrored left.
    """
    angles = np.linspace(start, end, 60)
    half = np.linspace(0.36, 0.28, 60)
    outer = [polar(radius + width, angle) for width, angle in zip(half, angles, strict=True)]
    inner = [polar(radius - width, angle) for width, angle in zip(half, angles, strict=True)]
    parts = [Polygon(outer + inner[::-1])]
    for number in range(leaves):
        share = (number + 0.7) / leaves
        angle = start + (end - start) * share
        length = 2.6 - 0.8 * share
        parts += [
            put(leaf(length, length * 0.44), polar(radius, angle - back), angle + 90 - lean)
            for lean, back in ((46, 0), (-46, 3))
        ]
    parts.append(put(leaf(2.3, 0.95), polar(radius, end - 1), end + 94))
    return [affinity.scale(part, side, 1, origin=(0, 0)) for part in parts]


def gate(inner: float, outer: float, spring: float, foot: float) -> list[Polygon]:
    """Return the stones of an arched gate with white joints, moss on its back, and the sill that it stands on."""
    joint, stones, count = 0.6, [], 9
    for number in range(count):
        bounds = np.linspace(180 * number / count, 180 * (number + 1) / count, 13)
        rise = 0.7 if number == count // 2 else 0.0
        ring = [polar(outer + rise, angle, (0, spring)) for angle in bounds]
        stones.append(Polygon(ring + [polar(inner - rise * 0.6, angle, (0, spring)) for angle in bounds[::-1]]))
    levels = np.linspace(spring, foot, 4)
    for side in (1, -1):
        for number in range(3):
            proud = 0.4 if number == 2 else 0.0
            stone = box(inner - proud, levels[number + 1], outer + proud, levels[number])
            stones.append(affinity.scale(stone, side, 1, origin=(0, 0)))
    dressed = [stone.buffer(-joint / 2 - 0.3, join_style="mitre").buffer(0.3) for stone in stones]
    domes = [(45, 0.85), (53, 1.2), (62.5, 1.25), (71.5, 0.9)]
    moss = unary_union(
        [
            Point(polar(outer + 0.25, 90 + side * (90 - angle), (0, spring))).buffer(size)
            for angle, size in domes
            for side in (1, -1)
        ]
    )
    # The moss keeps a joint's white between itself and the stones, or both would print as one blot.
    moss = moss.difference(Point(0, spring).buffer(outer + joint / 2, quad_segs=64))
    sill = box(-9.6, foot - 0.9, 9.6, foot - 0.25).buffer(0.25)
    return [*dressed, moss, sill]


def umbel(foot: Place, node: Place, *, rays: int, reach: float, spread: float, width: float, size: float) -> list[str]:
    """Return the lines of an umbel: a stem, and rays, long and short by turns, each with a seed ``size`` wide."""
    lines = [curve([foot, (foot[0] - 0.4, foot[1] + 2), (node[0] + 0.4, node[1] - 2), node], stroke_width=width * 1.4)]
    for number, angle in enumerate(np.linspace(90 - spread / 2, 90 + spread / 2, rays)):
        long = reach * (1.0 if number % 2 == 0 else 0.66)
        end = polar(long, angle, node)
        bends = polar(long * 0.35, 90 + (angle - 90) * 0.5, node), polar(long * 0.7, 90 + (angle - 90) * 0.9, node)
        lines.append(curve([node, *bends, end], stroke_width=width))
        grain = put(seed(size * 2, size), polar(long - 0.15, angle, node), angle)
        lines.append(area([grain], fill="currentColor", stroke="none"))
    return lines


def poppy(foot: Place, top: Place, *, size: float, width: float) -> list[str]:
    """Return the lines of a poppy's seed capsule on its stem: an urn with a scalloped crown."""
    x, y = top
    stem = curve([foot, (foot[0], foot[1] + 3), (x, y - size - 4), (x, y - size)], stroke_width=width * 1.25)
    urn = [(x - size * 0.24, y - size), (x - size * 1.05, y - size * 0.7), (x - size * 0.9, y + size * 0.55)]
    urn += [(x - size * 0.42, y + size * 0.72), (x, y + size * 0.72), (x, y + size * 0.72)]
    urn += [(x + size * 0.42, y + size * 0.72), (x + size * 0.9, y + size * 0.55), (x + size * 1.05, y - size * 0.7)]
    urn += [(x + size * 0.24, y - size)]
    crown = [(x - size * 0.74, y + size * 0.86), (x - size * 0.3, y + size * 1.06)]
    crown += [(x + size * 0.3, y + size * 1.06), (x + size * 0.74, y + size * 0.86)]
    return [stem, curve(urn, fill="currentColor", stroke="none"), curve(crown, stroke_width=width * 1.35)]


def spiral(centre: Place, *, start: float, turns: float, outer: float, inner: float) -> list[Place]:
    """Return points along a tendril that winds in from ``outer`` to ``inner`` radius; negative turns run clockwise."""
    count = max(4, int(abs(turns) * 10))
    shares = np.linspace(0, 1, count + 1)
    return [polar(outer + (inner - outer) * share**0.8, start + 360 * turns * share, centre) for share in shares]


def bow(start: Place, bend: Place, end: Place, shares: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return points along a curve with one bend, and the unit vectors to its left; ``shares`` is (n, 1)."""
    line = (1 - shares) ** 2 * start + 2 * shares * (1 - shares) * np.array(bend) + shares**2 * np.array(end)
    along = np.gradient(line, axis=0)
    return line, np.column_stack([-along[:, 1], along[:, 0]]) / np.hypot(*along.T)[:, None]


def blade(foot: Place, bend: Place, tip: Place, width: float) -> Polygon:
    """Return a blade of grass that narrows from its foot to its rounded tip along one bend."""
    shares = np.linspace(0, 1, 30)[:, None]
    line, normal = bow(foot, bend, tip, shares)
    half = width / 2 * (1 - 0.98 * shares)
    return Polygon(np.vstack([line + normal * half, (line - normal * half)[::-1]])).buffer(0.27)


def tuft(foot: Place, size: float, width: float) -> list[Polygon]:
    """Return three blades that lean apart from one foot."""
    x, y = foot
    tips = ((-0.5, 0.82), (0.08, 1.0), (0.52, 0.68))
    return [
        blade(
            (x + lean * 0.35 * size, y),
            (x + lean * 0.3 * size, y + size * 0.6),
            (x + lean * size, y + rise * size),
            width,
        )
        for lean, rise in tips
    ]


def leaf_lines(stalk: Place, length: float, width: float, angle: float) -> tuple[list[Place], list[Place]]:
    """Return a leaf's outline and its midrib, each as the points of cubic curves."""
    half = width / 2
    outline = [(0, 0), (length * 0.1, half * 1.45), (length * 0.6, half * 1.3), (length, 0)]
    outline += [(length * 0.6, -half * 1.3), (length * 0.1, -half * 1.45), (0, 0)]
    rib = [(length * 0.2, 0), (length * 0.4, 0), (length * 0.55, 0), (length * 0.78, 0)]
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    turned = [
        [(stalk[0] + x * cos - y * sin, stalk[1] + x * sin + y * cos) for x, y in part] for part in (outline, rib)
    ]
    return turned[0], turned[1]


def seedling(foot: Place, *, width: float) -> tuple[list[str], list[Polygon]]:
    """Return a seedling: stem, roots and the ground as lines, its leaves with white ribs as areas."""
    x, y = foot
    lines = [
        curve([(x, y - 0.5), (x - 0.2, y + 3), (x + 0.2, y + 5), (x, y + 8.6)], stroke_width=width * 1.25),
        curve([(x, y - 0.5), (x + 0.2, y - 2), (x - 0.4, y - 3.4), (x + 0.1, y - 5.6)], stroke_width=width),
        curve([(x, y - 0.6), (x + 1.5, y - 1.6), (x + 2.5, y - 2.2), (x + 2.9, y - 4.2)], stroke_width=width),
        curve([(x, y - 0.6), (x - 1.5, y - 1.6), (x - 2.5, y - 2.2), (x - 2.9, y - 4.2)], stroke_width=width),
    ]
    for near, far in ((1.9, 4.0), (5.6, 6.6)):
        lines += [
            curve([(x + s * near, y), (x + s * near, y), (x + s * far, y), (x + s * far, y)], stroke_width=width)
            for s in (1, -1)
        ]
    areas = []
    for side in (1, -1):
        big = leaf(8.0, 4.7).difference(put(leaf(5.2, 0.8), (1.4, 0), 0))
        small = leaf(3.4, 1.9)
        areas.append(affinity.translate(affinity.scale(put(big, (0, 0), 24), side, 1, origin=(0, 0)), x, y + 8.0))
        areas.append(affinity.translate(affinity.scale(put(small, (0, 0), 22), side, 1, origin=(0, 0)), x, y + 3.6))
    areas.append(put(leaf(3.7, 1.7), (x, y + 8.9), 90))
    return lines, areas


def pod(start: Place, bend: Place, end: Place, *, peas: int, swell: float) -> tuple[list[Place], list[Place], list]:
    """Return an open pea pod along a bow: its back and its front shell as closed rings, and its peas.

    Each pea is a place and a radius. Drawn in this order, back, peas, front, the front shell hides the peas' feet.
    """
    shares = np.linspace(0, 1, 41)[:, None]
    axis, normal = bow(start, bend, end, shares)
    hump = np.sin(np.pi * shares**0.95) ** 0.75
    upper, lower = (axis + normal * hump * swell * height for height in (1.0, -0.95))
    lip = axis - normal * hump * swell * 0.28
    row = []
    for at in np.linspace(0.17, 0.83, peas):
        raised = axis + normal * hump * swell * 0.05
        place = tuple(float(np.interp(at * 40, range(41), raised[:, side])) for side in (0, 1))
        row.append((place, swell * (0.22 + 0.27 * math.sin(math.pi * at) ** 1.3)))
    picked = slice(0, None, 4)
    back = [*upper[picked].tolist(), *lower[picked][::-1].tolist()]
    front = [*lip[picked].tolist(), *lower[picked][::-1].tolist()]
    return back, front, row

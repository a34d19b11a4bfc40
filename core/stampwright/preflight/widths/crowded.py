"""Crowded outlines: which edges a disc inside may touch along with another, found without looking at all near ones.

Of a disc inscribed in a region, tangent to it at an edge or a corner, any corner of the outline that would lie in it
bounds the size. So discs are tried as large as they may be, and shrunk by the corner nearest to their middle until that
helps no more (Ma, Bae and Choi 2012): what a disc can touch is among the few edges near the last one, however many lie
within the limit.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from .edges import Edges, Floats, Wholes

MOST_SHRINKINGS = 5

SHRUNK = 0.9
"""Share of a disc's size below which its shrinking was worth while, and is tried again."""

MANY_PAIRS = 2_000_000
"""Pairs of edges near each other above which outlines are crowded; fewer are looked at sooner one by one."""

SAMPLE = 200

_FAN = np.radians(12.0)
"""Directions that a corner may be touched from are taken together in fans up to this wide."""


def are_crowded(low: Floats, high: Floats, edges: Edges) -> bool:
    """Whether boxes from ``low`` to ``high``, (n, 2) mm, hold so many edges that looking at all of them takes long."""
    if len(low) < SAMPLE:
        return False
    some = slice(None, None, len(low) // SAMPLE)
    met = edges.chains.met_by(low[some], high[some])[0]
    return bool(len(met) / len(low[some]) * len(low) > MANY_PAIRS)


def touched_with_edges(edges: Edges, chosen: Wholes, below: float, slack: tuple[float, float]) -> tuple[Wholes, Wholes]:
    """Return ``chosen`` edges, and edges that a disc up to ``below`` mm wide, tangent to them, may touch too.

    ``slack``: by how much an inscribed disc may hold outline, as mm and as a share of its radius.
    """
    inward = edges.inward[chosen]
    bundles = _Bundles((edges.starts[chosen], edges.ends[chosen]), (inward, inward))
    one, two = _touched(edges, bundles, below, slack)
    return chosen[one], two


def touched_with_corners(
    edges: Edges, corners: Wholes, below: float, slack: tuple[float, float]
) -> tuple[Wholes, Wholes]:
    """Return edges at whose starts are inward ``corners``, and edges that a disc touching such a corner may touch too.

    ``below`` and ``slack`` are as for :func:`touched_with_edges`.
    """
    # A disc that touches a corner has its middle between the normals of the corner's two edges.
    turn = -edges.turns[corners]
    fans = np.maximum(np.ceil(turn / _FAN), 1).astype(np.int64)
    owner = np.repeat(np.arange(len(corners)), fans)
    fan = np.arange(len(owner)) - np.repeat(np.cumsum(fans) - fans, fans)
    normal = edges.inward[corners[owner]]
    angle = np.arctan2(normal[:, 1], normal[:, 0])
    width = (turn / fans)[owner]
    points = edges.starts[corners[owner]]
    rays = [np.column_stack((np.cos(at), np.sin(at))) for at in (angle + fan * width, angle + (fan + 1) * width)]
    one, two = _touched(edges, _Bundles((points, points), (rays[0], rays[1])), below, slack)
    pairs = np.sort(corners[owner[one]] * np.int64(len(edges)) + two)
    pairs = pairs[np.append(True, pairs[1:] != pairs[:-1])[: len(pairs)]]
    return pairs // len(edges), pairs % len(edges)


@dataclass(frozen=True, eq=False)
class _Bundles:
    """Bundles of discs, (n,): tangent at any point from the first of ``points`` to the second, (n, 2) each, mm.

    Their middles lie in any direction from the first of ``rays`` to the second, (n, 2) unit vectors; one of the two
    varies. What lies in both outermost discs of a bundle lies in all.
    """

    points: tuple[Floats, Floats]
    rays: tuple[Floats, Floats]


def _touched(edges: Edges, bundles: _Bundles, below: float, slack: tuple[float, float]) -> tuple[Wholes, Wholes]:
    """Return numbers of bundles, and of the edges that an inscribed disc of each may touch."""
    points, rays = bundles.points, bundles.rays
    middle, ahead = (points[0] + points[1]) / 2, (rays[0] + rays[1]) / 2
    spread = np.hypot(*(points[1] - points[0]).T) / 2
    fanned = np.hypot(*(rays[1] - rays[0]).T) / 4
    wide = np.full(len(middle), below)
    corners = shapely.STRtree(shapely.points(edges.starts))
    left = np.arange(len(middle))
    for _ in range(MOST_SHRINKINGS):
        nearest = corners.query_nearest(
            shapely.points(middle[left] + ahead[left] * (wide[left, None] / 2)), all_matches=False
        )
        left, corner = left[nearest[0]], edges.starts[nearest[1]]
        bound = np.maximum(
            *(_blocked_from(corner - at[left], ray[left], below, slack) for at, ray in zip(points, rays, strict=True))
        )
        worth = bound < SHRUNK * wide[left]
        wide[left] = np.minimum(wide[left], bound)
        left = left[worth]
    reach = wide * (0.5 + fanned) + spread + 1e-9
    discs = shapely.points(middle + ahead * (wide[:, None] / 2))
    bundle, edge = edges.tree.query(discs, predicate="dwithin", distance=reach)
    return bundle, edge


def _blocked_from(away: Floats, ray: Floats, below: float, slack: tuple[float, float]) -> Floats:
    """Return the diameter from which on, up to ``below``, discs hold a point; infinity where there is none.

    ``away``: (n, 2) from the point of tangency to the one asked about; ``ray``: (n, 2) unit vectors to the middle. A
    disc of diameter w, less the slack, holds it when w²/4 - w (away . ray) + away² < (w/2 (1 - share) - length)².
    """
    length, share = slack
    # Rounded up, so that what is said to lie in a disc does.
    square, along = 0.5 * share, np.einsum("ij,ij->i", away, ray) - length
    rest = along**2 - 4 * square * np.einsum("ij,ij->i", away, away)
    root = np.sqrt(np.maximum(rest, 0.0))
    holds = (along > 0) & (rest > 0) & (along + root > 2 * square * below)
    return np.where(holds, (along - root) / (2 * square), np.inf)

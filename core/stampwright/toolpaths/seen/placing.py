"""A printed face laid on the one that was meant: turned, moved, perhaps mirrored, and how far its size is off."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ..laid.areas import within

TURNS, RADIAL = 720, 0.25
"""How many turns are told apart at first, and in what steps of the radius, mm."""

NEARLY, MOST_TURNS = 0.03, 3
"""How much less overlap a turn may have at first sight and still be looked at closely, and how many are."""

SAME = 0.003
"""Overlap by which a mirrored face must fit better to be called so."""

STEP = 0.25
"""Distance of the points of an outline that are laid on the other, mm."""

MOST_POINTS = 2_000
FINE = 4
"""Times as many points as are laid on, from which on an outline is first taken without its least steps."""

REACHES = (1.5, 0.8, 0.5, 0.3, 0.3, 0.2, 0.2, 0.2)
"""How far off a point may lie and still count, mm, round by round: what is missing or too much shall not pull."""

LIKELY_EDGE, LIKELY_SIZE = 0.03, 0.01
"""How far an edge is off, mm, and the size, as a share, before anything is known: what a round outline cannot tell
apart is shared between them by these (assumed)."""

_NOISE = 0.02  # mm by which single points of an outline of beads lie off

_Doubles = NDArray[np.float64]


@dataclass(frozen=True)
class Placing:
    """How a printed region comes to lie on the one meant: mirrored, turned by ``turn`` degrees about the origin, moved.

    ``size``: how large it is against the one meant in x and y of the latter. ``edge``: how far its outlines lie
    outside those meant, mm. ``overlap``: intersection over union.
    """

    mirrored: bool
    turn: float
    x: float
    y: float
    size: tuple[float, float] = (1.0, 1.0)
    edge: float = 0.0
    overlap: float = 0.0

    def placed(self, region: BaseGeometry) -> BaseGeometry:
        """Return a printed region as it lies on the one meant, at its own size."""
        if self.mirrored:
            region = affinity.scale(region, -1.0, 1.0, origin=(0.0, 0.0))
        turned = affinity.rotate(region, self.turn, origin=(0.0, 0.0))
        return affinity.translate(turned, self.x, self.y)


@dataclass(frozen=True, eq=False)
class _Outline:
    """The edges of a region: where each starts and the way along it, (n, 2) mm, found by place."""

    start: _Doubles
    way: _Doubles
    tree: shapely.STRtree

    @staticmethod
    def of(region: MultiPolygon) -> _Outline:
        """Return the outline of a region."""
        points, ring = shapely.get_coordinates(shapely.get_rings(shapely.get_parts(region)), return_index=True)
        along = (ring[1:] == ring[:-1]) & (points[1:] != points[:-1]).any(axis=1)
        start, end = points[:-1][along], points[1:][along]
        return _Outline(start, end - start, shapely.STRtree(shapely.linestrings(np.stack((start, end), axis=1))))

    def nearest(self, points: _Doubles) -> _Doubles:
        """Return the places on the outline nearest to points, (n, 2) mm each."""
        edge = self.tree.nearest(shapely.points(points))
        start, way = self.start[edge], self.way[edge]
        share = ((points - start) * way).sum(axis=1) / (way**2).sum(axis=1)
        return np.asarray(start + np.clip(share, 0.0, 1.0)[:, None] * way)


def lay_on(printed: MultiPolygon, meant: MultiPolygon, about: tuple[BaseGeometry, BaseGeometry]) -> Placing:
    """Return how a printed region lies on the one meant, as well as it can; both mm.

    ``about``: what of either lies where, such as the base under the face; their middles are laid on each other
    first.
    """
    laid = [_finely(printed, meant, start) for start in _roughly(printed, meant, about)]
    plain = max((placing for placing in laid if not placing.mirrored), key=lambda placing: placing.overlap)
    best = max(laid, key=lambda placing: placing.overlap)
    # Art that is its own mirror image is taken as it reads.
    return best if best.overlap > plain.overlap + SAME else plain


def settle(printed: MultiPolygon, meant: MultiPolygon, start: Placing) -> Placing:
    """Return a placing bettered by the outlines of two regions that nearly lie on each other by it already."""
    return _finely(printed, meant, start)


def _roughly(printed: MultiPolygon, meant: MultiPolygon, about: tuple[BaseGeometry, BaseGeometry]) -> list[Placing]:
    """Return the turns in which a region may lie on the one meant, the likeliest plain and the likeliest mirrored.

    Both are laid out by radius and angle, where every turn is a shift; rings then count alike for all, and the least
    part that is none tells.
    """
    from_, to = (region.centroid for region in about)
    reach = max(float(shapely.hausdorff_distance(middle, region)) for middle, region in ((from_, printed), (to, meant)))
    radii: _Doubles = np.arange(RADIAL / 2, max(reach, RADIAL), RADIAL, dtype=np.float64)
    ink, art = _polar(printed, from_, radii), _polar(meant, to, radii)
    found = []
    for mirrored, laid in ((False, ink), (True, np.roll(ink[:, ::-1], TURNS // 2 + 1, axis=1))):
        turned = np.fft.irfft(np.conj(np.fft.rfft(laid)) * np.fft.rfft(art), TURNS)
        common = (turned * radii[:, None]).sum(axis=0)
        overlap = common / ((radii @ (laid + art)).sum() - common)
        peaks = np.flatnonzero((overlap >= np.roll(overlap, 1)) & (overlap > np.roll(overlap, -1)))
        if not len(peaks):
            peaks = np.array([0])
        peaks = peaks[np.argsort(-overlap[peaks], kind="stable")][:MOST_TURNS]
        for peak in peaks[overlap[peaks] > overlap.max() - NEARLY].tolist():
            turn = peak * 360.0 / TURNS
            middle = Placing(mirrored, turn, 0.0, 0.0).placed(from_)
            found.append(Placing(mirrored, turn, to.x - middle.x, to.y - middle.y, overlap=float(overlap[peak])))
    return found


def _polar(region: MultiPolygon, middle: shapely.Point, radii: _Doubles) -> _Doubles:
    """Return where a region is ink, (radii, turns) of 0 and 1, by distance and angle about its middle."""
    angles = np.arange(TURNS) * (2 * np.pi / TURNS)
    x, y = middle.x + np.outer(radii, np.cos(angles)), middle.y + np.outer(radii, np.sin(angles))
    shapely.prepare(region)
    return np.asarray(shapely.contains_xy(region, x, y), dtype=np.float64)


def _finely(printed: MultiPolygon, meant: MultiPolygon, start: Placing) -> Placing:
    """Return a placing bettered by least squares over where outlines lie off: moved, turned, sized, swollen."""
    points, normals = _edge_points(printed)
    outline = _Outline.of(meant)
    shapely.prepare(meant)
    matrix, offset = _matrix(start)
    placed, facing = points @ matrix.T + offset, normals @ matrix.T
    known = np.zeros(6)
    weights = (_NOISE / np.array([10.0, 10.0, 1.0, LIKELY_SIZE, LIKELY_SIZE, LIKELY_EDGE])) ** 2
    for reach in REACHES:
        at = _moved(placed, known)
        way = at - outline.nearest(at)
        off = np.hypot(*way.T)
        # A point that lies off along its normal, not beside a corner or at the far side of a stroke.
        faces = (off < 0.01) | (np.abs((way * facing).sum(axis=1)) > 0.9 * off)
        off = np.where(shapely.contains_xy(meant, *at.T), -off, off)
        near = (np.abs(off - known[5]) < reach) & faces
        if near.sum() < 12:
            break
        x, y = at[near].T
        nx, ny = facing[near].T
        # A point moved by a step goes off by its share along the normal; a swollen edge lies off by itself.
        sides = np.column_stack((nx, ny, ny * x - nx * y, nx * x, ny * y, -np.ones(len(x))))
        gram = sides.T @ sides + np.diag(weights)
        known = known + np.linalg.solve(gram, -(sides.T @ (off[near] - known[5])) - weights * known)
    return _stated(start, known, printed, meant)


def _stated(start: Placing, known: _Doubles, printed: MultiPolygon, meant: MultiPolygon) -> Placing:
    turn = np.degrees(known[2])
    cosine, sine = np.cos(known[2]), np.sin(known[2])
    x, y = cosine * start.x - sine * start.y + known[0], sine * start.x + cosine * start.y + known[1]
    placing = Placing(
        start.mirrored,
        float((start.turn + turn) % 360.0),
        float(x),
        float(y),
        (float(1 / (1 + known[3])), float(1 / (1 + known[4]))),
        float(known[5]),
    )
    laid = placing.placed(printed)
    common = within(laid, meant).area
    overlap = common / (laid.area + meant.area - common)
    return Placing(placing.mirrored, placing.turn, placing.x, placing.y, placing.size, placing.edge, float(overlap))


def _moved(points: _Doubles, known: _Doubles) -> _Doubles:
    cosine, sine = np.cos(known[2]), np.sin(known[2])
    turned = points @ np.array(((cosine, sine), (-sine, cosine)))
    return np.asarray(turned * (1 + known[3:5]) + known[:2])


def _matrix(placing: Placing) -> tuple[_Doubles, _Doubles]:
    turn = np.radians(placing.turn)
    matrix = np.array(((np.cos(turn), -np.sin(turn)), (np.sin(turn), np.cos(turn))))
    if placing.mirrored:
        matrix = matrix @ np.diag((-1.0, 1.0))
    return matrix, np.array((placing.x, placing.y))


def _edge_points(region: MultiPolygon) -> tuple[_Doubles, _Doubles]:
    """Return points along the outlines of a region and the normals there that point out of it."""
    rings = shapely.get_rings(shapely.get_parts(shapely.orient_polygons(region)))
    if shapely.get_num_coordinates(rings).sum() > FINE * MOST_POINTS:
        rings = shapely.simplify(rings, _NOISE / 2)
    step = max(STEP, float(shapely.length(rings).sum()) / MOST_POINTS)
    points, ring = shapely.get_coordinates(shapely.segmentize(rings, step), return_index=True)
    inside = ring[1:] == ring[:-1]
    way = (points[1:] - points[:-1])[inside]
    length = np.hypot(*way.T)
    long = length > 1e-6
    middles = ((points[1:] + points[:-1]) / 2)[inside][long]
    way = way[long] / length[long, None]
    # Outlines run with their region on the left.
    return middles, np.column_stack((way[:, 1], -way[:, 0]))

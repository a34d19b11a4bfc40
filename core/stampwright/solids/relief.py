"""A relief on a floor as one closed mesh, put together from heights over a plan, without uniting solids.

Seen from above the mesh is a plan of three parts: the face, the strip of the flanks, and the floor round them. Each is
triangulated between outlines that it shares, point by point, with its neighbours; the third coordinate then makes the
face high, the floor low and the flanks slope. Upright walls join what stands over itself: the dressing allowance
between the top and the finished face, and the base between floor and bed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from ..errors import SolidError
from ..plane.overlays import common
from .plan.chamfer import drawn_in, strip
from .plan.even import fill_evenly
from .plan.filling import fill
from .plan.flank import Flank, distance_from, raise_flank
from .plan.foot import CUT_STEP
from .plan.outlines import Outlines, are_apart, mended, outline
from .prism import walls_between
from .solid import Solid

EDGE = 0.01
"""A foot that leaves the base is cut this far inside the base's edge, mm, a face twice as far: no outlines coincide."""

LEAST_REACH = 0.01
"""A foot that would stand out less than this, mm, is left away: the flank is upright."""

_HAIRS = (0.0005, 0.001, 0.002)
"""Ink is drawn in by one of these, mm, where it all but touches itself and no flank can be laid."""

FACE, UPRIGHT, FLANK, FLOOR, REST = range(5)
"""The sets of a relief's triangles."""

_Floats = NDArray[np.float64]

_NONE: _Floats = np.empty((0, 2))


@dataclass(frozen=True, kw_only=True)
class ReliefHeights:
    """Heights over the bed, mm: the floor's upper side, the finished face, and the top before dressing.

    ``chamfer``: of the lower edge, mm each way, half of the floor at most.
    """

    floor: float
    face: float
    top: float
    chamfer: float = 0.0


@dataclass(frozen=True, eq=False)
class LaidRelief:
    """A relief and what its parts are.

    ``on_face``: (n,) bool, the vertices of the face, those on its edge too. ``sets``: (m,) int8, what each triangle
    belongs to: ``FACE``, ``UPRIGHT`` below the face, ``FLANK``, ``FLOOR`` round it, or ``REST``, sides and underside.
    ``squares``: how many of the face's triangles, the first ones, are halves of squares between points of the grid.
    """

    solid: Solid
    on_face: NDArray[np.bool_]
    sets: NDArray[np.int8]
    squares: int


def raise_relief(
    face: Polygon | MultiPolygon,
    base: Polygon,
    heights: ReliefHeights,
    *,
    shoulder: float,
    name: str,
    judged: bool = True,
) -> Solid:
    """Return the solid of a floor with a relief on it, standing on z = 0.

    ``face``: the finished face; ``base``: the floor's outline; both mm. ``shoulder``: flare of the flanks from the
    vertical, degrees, below the finished face; above it the relief is upright. What leaves the base is cut at its edge.
    ``judged``: whether it is made sure that the solid is sound; otherwise :func:`judge_relief` is still to be asked.
    Raises :class:`SolidError` when face or base is empty, or when no sound solid can be made.
    """
    return lay_relief(face, base, heights, shoulder=shoulder, name=name, judged=judged).solid


def lay_relief(
    face: Polygon | MultiPolygon,
    base: Polygon,
    heights: ReliefHeights,
    *,
    shoulder: float,
    name: str,
    step: float | None = None,
    judged: bool = True,
) -> LaidRelief:
    """Return a relief with its parts told apart; arguments and errors as for :func:`raise_relief`.

    ``step``: distance of points, mm, on a face that is filled evenly; without it the face has its corners only.

    Raises :class:`~stampwright.errors.SolidError` when the heights make no relief, or it comes out unsound.
    """
    low, middle, high = (float(np.float32(height)) for height in (heights.floor, heights.face, heights.top))
    if not 0 < low < middle <= high:
        raise SolidError(f"{name}: heights of {low:g}, {middle:g} and {high:g} mm over the bed make no relief")
    slope = math.tan(math.radians(shoulder))
    chamfer = min(heights.chamfer, 0.5 * low)
    plan, (inside, covering, squares) = _covered_plan(face, base, (middle - low) * slope, step, chamfer)
    relief, flank, edge = plan.relief, plan.flank, plan.edge
    # Above the finished face the relief is upright; without a flank it is from the floor on.
    foot_of_wall = low if flank is None else middle
    walled = foot_of_wall < high
    layers: list[tuple[_Floats, _Floats | float]] = [
        (relief.points, foot_of_wall),
        # Where the flank meets the base's edge, the wall there rises with it.
        (edge.points, low if plan.edge_distance is None else np.maximum(middle - plan.edge_distance / slope, low)),
        (edge.points, 0.0 if plan.bottom is None else chamfer),
    ]
    if flank is not None:
        heights_down = np.maximum(middle - flank.distance / slope, low)
        layers.append((np.concatenate((flank.foot.points, flank.valley)), heights_down))
    if plan.bottom is not None:
        layers.append((plan.bottom.points, 0.0))
    below = sum(len(at) for at, _ in layers)
    layers += [(relief.points if walled else _NONE, high), (inside, high)]
    vertices = np.concatenate([np.column_stack((at, np.broadcast_to(z, len(at)))) for at, z in layers])
    on_face = np.arange(len(vertices)) >= below
    if not walled:
        on_face[: len(relief.points)] = True
    parts = _triangles(plan, covering, top=below if walled else 0, inner=len(vertices) - len(inside))
    parts += [(REST, triangles) for triangles in _underside(plan, below)]
    sets = np.repeat([which for which, _ in parts], [len(triangles) for _, triangles in parts]).astype(np.int8)
    triangles = np.concatenate([triangles for _, triangles in parts]).astype(np.int32)
    solid = Solid(name, vertices.astype(np.float32).astype(np.float64), triangles)
    return LaidRelief(judge_relief(solid) if judged else solid, on_face, sets, squares)


def judge_relief(solid: Solid) -> Solid:
    """Return the solid of a relief as it is; raises :class:`~stampwright.errors.SolidError` when it is not sound."""
    verdict = solid.soundness
    if not verdict.sound:
        raise SolidError(
            f"{solid.name}: the relief is not sound ({verdict.explain()}); simplify the artwork where it is finest"
        )
    return solid


@dataclass(frozen=True, eq=False)
class _Plan:
    """A relief seen from above: its face, its flank, if it has one, and the base's edge.

    ``bottom``: the edge on the bed, where a chamfer draws it in. ``edge_distance``: (e,) mm from the edge's points to
    the face, where the flank was cut at the edge; else None.
    """

    relief: Outlines
    flank: Flank | None
    edge: Outlines
    edge_distance: _Floats | None
    bottom: Outlines | None


def _covered_plan(
    face: Polygon | MultiPolygon, base: Polygon, reach: float, step: float | None, chamfer: float
) -> tuple[_Plan, tuple[_Floats, NDArray[np.int64], int]]:
    """Return the plan of a relief, and its face filled: points inside, triangles, and how many are halves of squares.

    Where ink all but touches itself in many places, what bridges them may cross in rounding; a hair less ink has none.
    """
    refused: list[SolidError] = []
    for hair in (0.0, *_HAIRS):
        thinner = shapely.buffer(mended(face), -hair, join_style="mitre") if hair else face
        try:
            plan = _draw_plan(thinner, base, reach, step, chamfer)
            return plan, (_NONE, fill(plan.relief), 0) if step is None else fill_evenly(plan.relief, step)
        except SolidError as error:
            refused.append(error)
    raise refused[0]


def _draw_plan(face: Polygon | MultiPolygon, base: Polygon, reach: float, step: float | None, chamfer: float) -> _Plan:
    """Return the plan of a relief whose foot stands ``reach`` mm out; ``step`` as in :func:`lay_relief`."""
    edge, bottom = outline(base, "the base"), drawn_in(base, chamfer, "the die's lower edge")
    room = shapely.buffer(base, -EDGE)
    shapely.prepare(room)
    relief = outline(_within(face, shapely.buffer(base, -2 * EDGE)), "the artwork on the base")
    if step is not None:
        relief = _divided(relief, step)
    if reach < LEAST_REACH:
        return _Plan(relief, None, edge, None, bottom)
    flank = raise_flank(relief, reach, room)
    if not flank.cut:
        return _Plan(flank.face, flank, edge, None, bottom)
    edge = outline(shapely.segmentize(base, CUT_STEP), "the base", keep_straight=True)
    return _Plan(flank.face, flank, edge, distance_from(flank.face, edge.points), bottom)


def _divided(relief: Outlines, step: float) -> Outlines:
    """Return the outlines with no edge longer than ``step``, or as they are where that would make them touch."""
    edge = relief.points[relief.following] - relief.points
    divided = relief.divided(np.flatnonzero(np.hypot(edge[:, 0], edge[:, 1]) > step), step)
    return divided if are_apart(divided) else relief


def _within(face: Polygon | MultiPolygon, room: Polygon) -> Polygon | MultiPolygon:
    shapely.prepare(room)
    if shapely.contains_properly(room, face):
        return face
    cut: Polygon | MultiPolygon = common(mended(face), room)
    return cut


def _triangles(
    plan: _Plan, covering: NDArray[np.int64], *, top: int, inner: int
) -> list[tuple[int, NDArray[np.int64]]]:
    """Return all triangles but those of the underside, set by set.

    The layers of vertices are: the wall's foot, the base's edge above and below, the foot and valleys, the edge on the
    bed where that is drawn in, then, from ``top`` on, the wall's head if there is a wall (else 0), and from ``inner``
    on the inside of the face.
    """
    relief, flank, edge = plan.relief, plan.flank, plan.edge
    face_count, edge_count = len(relief.points), len(edge.points)
    upper, lower, foot = face_count, face_count + edge_count, face_count + 2 * edge_count
    parts = [
        (REST, walls_between(edge, lower=lower, upper=upper)),
        (FACE, _renumbered(covering, face_count, top, inner)),
    ]
    if top:
        parts.append((UPRIGHT, walls_between(relief, lower=0, upper=top)))
    if flank is None:
        parts.append((FLOOR, _renumbered(fill(edge, relief), edge_count, upper, 0)))
    else:
        parts.append((FLOOR, _renumbered(fill(edge, flank.foot), edge_count, upper, foot)))
        parts.append((FLANK, _renumbered(flank.triangles, face_count, 0, foot)))
    return parts


def _underside(plan: _Plan, below: int) -> list[NDArray[np.int64]]:
    """Return the triangles of the underside, and of the chamfer round it, whose points end at number ``below``."""
    edge, bottom = plan.edge, plan.bottom
    lower = len(plan.relief.points) + len(edge.points)
    if bottom is None:
        return [fill(edge)[:, ::-1] + lower]
    start = below - len(bottom.points)
    chamfer = _renumbered(strip(edge, bottom), len(edge.points), lower, start)
    return [fill(bottom)[:, ::-1] + start, chamfer[:, ::-1]]


def _renumbered(triangles: NDArray[np.int64], first_count: int, first: int, second: int) -> NDArray[np.int64]:
    """Renumber triangles over two layers, the first with ``first_count`` points, by where the layers start."""
    return triangles + np.where(triangles < first_count, first, second - first_count)

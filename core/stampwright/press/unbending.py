"""Bent meshes for the press: recognised or told, unrolled, and rolled several times round."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ..curved import Bend, Recognised, recognise, unroll_about
from ..errors import JobError
from ..job import Job
from ..job.bent import radius_of
from ..plane.overlays import common, in_each, unshared
from ..plane.regions import filled_parts
from ..solids import Solid
from .impressing import Mesh, PressedFace

Floats = NDArray[np.float64]

AXES = ("auto", "flat", "x", "y", "z")
"""What may be said of the axis of a mesh: look for it, there is none, or along which way of the file it runs."""

MOST_TURNS = 20
"""How often a roller may be rolled round; one more shows nothing new."""

MOST_REPEATS, LEAST_REPEAT = 50, 10.0
"""Repeats in a turn that are looked for at most, and how long one is at least, mm: as a job has them."""

_ALIKE = 0.06  # mm; two prints that differ by strips no wider than this are one
_SLICES, _ROUGHLY = 720, 0.25  # of a turn, and by what share of the ink they may differ before edges are compared
_LIKE_HALVES = 0.05  # mm; by how much the halves of a roller may differ in width
_SLIT = 1e-5  # mm; two sides of a cut that lie so close are one


@dataclass(frozen=True, eq=False)
class Unbent:
    """A mesh for the press, die frame, face up, and how it was bent; None where it was flat."""

    mesh: Mesh
    bend: Bend | None

    def of_job(self, job: Job, repeats: int = 1) -> Job:
        """Return a job with this bend in place of its own, so that it is pressed as it rolls.

        ``repeats``: how often the print comes in one turn of a roller, as :func:`repeats_in` finds.
        """
        bend = self.bend
        if bend is None:
            return job if job.bend.form == "flat" else job.with_value("bend.form", "flat")
        if job.bend.form != "flat":
            return job
        backing = "none" if bend.closed or job.backing.form == "none" else "plate"
        form, rolls = ("roller" if bend.closed else "rocker"), ("up" if bend.upward else "across")
        return job.with_values(
            {
                "bend.form": form,
                "bend.rolls": rolls,
                "bend.size_by": "radius",
                "bend.radius": bend.radius,
                "bend.turns": repeats,
                "cushion.thickness": 0.0,
                "backing.form": backing,
                "handle.form": "none" if backing == "none" else job.handle.form,
            }
        )


def unbend(
    mesh: Mesh, *, axis: str = "auto", dressing: float = 0.0, upward: bool | None = None, job: Job | None = None
) -> Unbent:
    """Return a mesh flat, if it is bent.

    ``axis``: one of :data:`AXES`. ``dressing``: what is still to be taken off its face, mm; ``upward``: whether it
    rolls up the print, None where the file shall tell. ``job``: where it tells of a bend, radius and way are its own.
    Raises :class:`~stampwright.errors.JobError` when the axis is none of those, or there is none where it was told.
    """
    if axis not in AXES:
        raise JobError(f"axis {axis!r} is not known: it takes one of {', '.join(AXES)}")
    bent_by_job = job is not None and job.bend.form != "flat"
    if axis == "flat":
        return Unbent(mesh, None)
    if job is not None and bent_by_job and upward is None:
        upward = job.bend.rolls == "up"
    triangles = np.asarray(getattr(mesh, "faces", getattr(mesh, "triangles", ())), dtype=np.int64)
    told = None if axis == "auto" else axis
    vertices = np.asarray(mesh.vertices, dtype=np.float64)
    fitting = triangles.ndim == 2 and vertices.ndim == 2 and len(triangles) and np.isfinite(vertices).all()
    found = None
    if fitting and axis == "auto":
        found = _halves(vertices, triangles, dressing=dressing, upward=upward)
    if fitting and found is None:
        found = recognise(vertices, triangles, axis=told, dressing=dressing, upward=upward)
    if found is None:
        if told is not None:
            raise JobError(f"no cylinder is found round an axis along {axis}; name another, or leave it to be found")
        return Unbent(mesh, None)
    bend = found.bend
    if job is not None and bent_by_job:
        bend = _as_told(bend, radius_of(job.bend))
    solid = Solid("die", found.points, triangles.astype(np.int32))
    return Unbent(unroll_about(solid, bend)[0], bend)


def _halves(
    vertices: Floats, triangles: NDArray[np.int64], *, dressing: float, upward: bool | None
) -> Recognised | None:
    """Return how a roller is bent whose two halves stand side by side, the lower one left; None for any other mesh."""
    middle = float(vertices[:, 0].min() + vertices[:, 0].max()) / 2.0
    right = vertices[:, 0] > middle
    turned = right[triangles].sum(axis=1)
    if ((turned > 0) & (turned < 3)).any() or not right.any() or right.all():
        return None
    parts: list[Recognised] = []
    points = np.zeros_like(vertices)
    for own in (np.flatnonzero(~right), np.flatnonzero(right)):
        rank = np.zeros(len(vertices), dtype=np.int64)
        rank[own] = np.arange(len(own))
        corners = rank[triangles[right[triangles[:, 0]] == right[own[0]]]]
        found = recognise(vertices[own], corners, axis="z", dressing=dressing, upward=upward)
        if found is None or not found.bend.closed:
            return None
        # Each is told from its own middle: they stand on one another.
        points[own] = np.add(found.points, (0.0, float(np.ptp(found.points[:, 1])) / 2.0, 0.0))
        if parts:
            points[own, 1] += np.ptp(parts[0].points[:, 1])
        parts.append(found)
    lower, upper = parts
    if abs(lower.bend.inner - upper.bend.inner) > _LIKE_HALVES:
        return None
    points[:, 1] -= (points[:, 1].min() + points[:, 1].max()) / 2.0
    return replace(max(parts, key=lambda part: part.bend.radius), points=points)


def repeats_in(face: PressedFace, bend: Bend | None) -> int:
    """Return how often the same print comes in one turn of a roller that was unrolled; 1 for what comes once.

    The face has to lie over itself, moved on by its repeat, to within :data:`_ALIKE`.
    """
    if bend is None or not bend.closed or bend.turns > 1 or face.outlines.is_empty:
        return 1
    length, face_once = bend.repeat, face.outlines
    if bend.upward:
        face_once = affinity.affine_transform(face_once, (0.0, 1.0, 1.0, 0.0, 0.0, 0.0))
    low = -length / 2.0
    laid_out = _wrapped(face_once, low, length)
    columns = _columns(laid_out, low, length)
    for count in range(min(MOST_REPEATS, int(length / LEAST_REPEAT)), 1, -1):
        # What is inked of every line across tells most of them apart, and costs next to nothing.
        moved = np.roll(columns, round(len(columns) / count))
        if np.abs(moved - columns).sum() > _ROUGHLY * columns.sum():
            continue
        step = _wrapped(affinity.translate(laid_out, length / count), low, length)
        if unshared(laid_out, step).buffer(-_ALIKE / 2.0).is_empty:
            return count
    return 1


def _wrapped(region: BaseGeometry, low: float, length: float) -> BaseGeometry:
    """Return a region with what lies beyond one turn, from x = ``low`` on, put back into it."""
    _, bottom, _, top = region.bounds
    turn = shapely.box(low, bottom - 1.0, low + length, top + 1.0)
    turns = [affinity.translate(region, step * length) for step in (-1, 0, 1)]
    return shapely.union_all([common(each, turn) for each in turns], grid_size=_SLIT)


def _columns(region: BaseGeometry, low: float, length: float) -> NDArray[np.float64]:
    """Return how much of a region lies in each of many slices of a turn, mm²."""
    _, bottom, _, top = region.bounds
    ends = low + np.arange(_SLICES + 1) * (length / _SLICES)
    slices = shapely.box(ends[:-1], bottom - 1.0, ends[1:], top + 1.0)
    return np.asarray(shapely.area(in_each(common, slices, region)))


def rolled_on(face: PressedFace, bend: Bend | None, turns: int) -> PressedFace:
    """Return the face of a roller that goes on for several turns; of another, as it is.

    Raises :class:`~stampwright.errors.JobError` when it is to go round more often than :data:`MOST_TURNS` times.
    """
    if not 1 <= turns <= MOST_TURNS:
        raise JobError(f"turns = {turns} is not allowed: it takes a whole number from 1 to {MOST_TURNS}")
    if bend is None or not bend.closed or turns == 1:
        return face
    steps = [(0.0, turn * bend.repeat) if bend.upward else (turn * bend.repeat, 0.0) for turn in range(turns)]
    rolled = shapely.union_all([affinity.translate(face.outlines, *step) for step in steps], grid_size=_SLIT)
    last = np.add(face.vertices, (*steps[-1], 0.0))
    outlines: MultiPolygon = filled_parts(rolled)
    return replace(
        face,
        outlines=outlines,
        vertices=np.concatenate((face.vertices, last)),
        triangles=np.concatenate((face.triangles, face.triangles + len(face.vertices))),
    )


def _as_told(bend: Bend, radius: float) -> Bend:
    length = 2.0 * np.pi * radius if bend.closed else 0.0
    inner = bend.inner
    return replace(bend, radius=radius, height=radius - inner, repeat=length, seam=length / 2.0)

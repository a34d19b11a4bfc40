"""Bent meshes for the press: recognised or told, unrolled, and rolled several times round."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon

from ..curved import Bend, recognise, unroll_about
from ..errors import JobError
from ..job import Job
from ..job.bent import radius_of
from ..plane.regions import filled_parts
from ..solids import Solid
from .impressing import Mesh, PressedFace

AXES = ("auto", "flat", "x", "y", "z")
"""What may be said of the axis of a mesh: look for it, there is none, or along which way of the file it runs."""

MOST_TURNS = 20
"""How often a roller may be rolled round; one more shows nothing new."""

_SLIT = 1e-5  # mm; two sides of a cut that lie so close are one


@dataclass(frozen=True, eq=False)
class Unbent:
    """A mesh for the press, die frame, face up, and how it was bent; None where it was flat."""

    mesh: Mesh
    bend: Bend | None

    def of_job(self, job: Job) -> Job:
        """Return a job with this bend in place of its own, so that it is pressed as it rolls."""
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
    found = recognise(vertices, triangles, axis=told, dressing=dressing, upward=upward) if fitting else None
    if found is None:
        if told is not None:
            raise JobError(f"no cylinder is found round an axis along {axis}; name another, or leave it to be found")
        return Unbent(mesh, None)
    bend = found.bend
    if job is not None and bent_by_job:
        bend = _as_told(bend, radius_of(job.bend))
    solid = Solid("die", found.points, triangles.astype(np.int32))
    return Unbent(unroll_about(solid, bend)[0], bend)


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

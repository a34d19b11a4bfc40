"""The die: floor and relief, reversed, so that what it prints reads right."""

from __future__ import annotations

from shapely.geometry import MultiPolygon, Polygon

from ..face import DenseDie, FaceMap, raise_dense
from ..face.drawing_in import draw_in
from ..job import Job
from ..job.heights import snap_heights
from ..plane.frames import paper_to_die
from ..solids import ReliefHeights, Solid, raise_relief


def face_outlines(job: Job, inked: MultiPolygon) -> MultiPolygon:
    """Return the finished face that shall print ``inked``, mm, paper frame: the ink, or the ink less its spread."""
    if not job.die.compensate_spread:
        return inked
    return draw_in(inked, job.ink.spread, least_width=job.printer.line_width)


def build_die(job: Job, inked: MultiPolygon, base: Polygon) -> Solid:
    """Return the die of a job with a plain face, in the die frame, standing on its floor with the face up.

    ``inked``: the ink as it reads on paper; ``base``: the outline of the floor; both mm, paper frame. Once the dressing
    allowance is taken off, the face is exactly the ink, or the ink less its spread if the job says so. With a backing
    in one piece, the plate is the lower part of the die. Raises :class:`~stampwright.errors.SolidError` when
    there is no ink on the base or no sound solid can be made.
    """
    face, floor_outline, heights = _raised_from(job, inked, base)
    return raise_relief(face, floor_outline, heights, shoulder=job.die.shoulder, name="die")


def dense_face(
    job: Job, inked: MultiPolygon, base: Polygon, *, grain: FaceMap | None = None, sculpt: FaceMap | None = None
) -> DenseDie:
    """Return the die of a job with a dense face that bears a grain and a sculpt; arguments as for :func:`build_die`.

    ``grain`` and ``sculpt`` add up. The relief stands upright below its face by the job's ``face.depth`` in whole
    layers; from there down it is as every die. Raises :class:`~stampwright.errors.SolidError` as :func:`build_die`.
    """
    face, floor_outline, heights = _raised_from(job, inked, base)
    dense = raise_dense(
        face,
        floor_outline,
        heights,
        depth=snap_heights(job).texture,
        shoulder=job.die.shoulder,
        spacing=job.printer.line_width / job.face.fineness,
        name="die",
    )
    return dense if grain is None and sculpt is None else dense.bearing(grain, sculpt)


def _raised_from(job: Job, inked: MultiPolygon, base: Polygon) -> tuple[MultiPolygon, Polygon, ReliefHeights]:
    """Return face, floor's outline and heights of a job's die, mm, die frame."""
    heights = snap_heights(job)
    # The one reversal on the way to the die.
    face, floor_outline = paper_to_die(face_outlines(job, inked)), paper_to_die(base)
    plate = heights.backing if job.backing.form == "one-piece" else 0.0
    floor = plate + heights.floor
    finished = floor + heights.relief
    return face, floor_outline, ReliefHeights(floor=floor, face=finished, top=finished + heights.dressing)

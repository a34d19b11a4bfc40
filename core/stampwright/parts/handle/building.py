"""The handle: a body in the job's form, its hollow, its up mark and its index."""

from __future__ import annotations

from shapely.geometry import MultiPolygon, Polygon

from ...findings import Finding
from ...job import Job
from ...job.heights import snap_heights
from ...memory import Memory
from ...solids import Solid, cut
from ...solids.pockets import step_top
from ..backing import backing_outline
from ..up_mark import POINTED, nick_tool
from .bodies import Body, drawn_body, plinth_body
from .fitness import judge
from .index import index_region
from .own_curves import FULLEST, straight_body, turned_body
from .planform import planform_of

MARK_DEPTH = 1.2
"""Depth of the up mark in the handle's side, mm: a thumb feels it."""


def build_handle(
    job: Job, base: Polygon, inked: MultiPolygon, memory: Memory | None = None
) -> tuple[Solid | None, tuple[Finding, ...]]:
    """Return the handle, paper frame, foot at z = 0, and what was found about it; None when the job has no handle.

    ``base``: the die's outline, and ``inked``: the artwork on it, both paper frame, mm. Seen from above, up mark and
    index read as the impression does. ``memory``: what was made before, handle and picture apart from each other.
    Raises :class:`JobError` when the job's own profile or outline cannot be made, and :class:`SolidError` when the
    base's outline makes no sound handle.
    """
    if job.handle.form == "none":
        return None, ()
    recall = (memory or Memory()).recall
    heights = snap_heights(job)
    backing = backing_outline(job, base)
    shaped_by = (backing, heights, job.handle, job.backing, job.base, job.printer)
    body, handle = recall("bare handle", shaped_by, lambda: _bare(job, backing, heights.handle))
    drawn_by = (inked, body.flat, job.handle.index, job.printer)
    index, about_index = recall("index", drawn_by, lambda: index_region(job, inked, body.flat))
    if not index.is_empty:
        step = heights.index_depth if job.handle.index == "raised" else -heights.index_depth
        handle = step_top(handle, index, body.height + step, name="handle")
    return handle, body.findings + about_index + judge(job, body, handle, backing)


def shape_body(job: Job, foot: Polygon, height: float) -> Body:
    """Shape the job's form, without marks, over ``foot``, the outline to be covered, paper frame, mm.

    A base too lobed to be drawn up in its own outline gets a turned form on a plinth, or a straight block.
    """
    if job.handle.form == "turned":
        return turned_body(job)
    if job.handle.form == "straight":
        return straight_body(job, height)
    planform = planform_of(foot, circle=job.base.outline == "round")
    if planform.hold >= FULLEST:
        return drawn_body(job, foot, planform, height)
    if job.handle.form == "block":
        return straight_body(job, height, foot)
    return plinth_body(job, foot, height)


def _bare(job: Job, foot: Polygon, height: float) -> tuple[Body, Solid]:
    """Return the job's form, and the handle that it becomes with its up mark and hollow, but without an index."""
    body, tools = shape_body(job, foot, height), []
    if job.handle.up_mark and not body.foot.is_empty:
        deep = min(MARK_DEPTH, 0.06 * min(body.held, body.foot.length / 3))
        tools.append(nick_tool(body.foot, depth=deep, height=body.mark_height + POINTED * deep))
    if body.cavity is not None:
        tools.append(body.cavity)
    return body, cut(body.solid, tools, name="handle") if tools else body.solid

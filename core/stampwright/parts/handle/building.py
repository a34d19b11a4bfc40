"""The handle: a body in the job's form, its hollow, its up mark and its index."""

from __future__ import annotations

from shapely.geometry import MultiPolygon, Polygon

from ...findings import Finding
from ...job import Job
from ...solids import Solid, cut, extrude, unite
from ..backing import backing_outline
from ..heights import snap_heights
from ..up_mark import POINTED, nick_tool
from .bodies import Body, drawn_body, plinth_body
from .index import index_region
from .judging import judge
from .own_curves import FULLEST, lathe_body, prism_body
from .planform import planform_of

MARK_DEPTH = 1.2
"""Depth of the up mark in the handle's side, mm: a thumb feels it."""


def build_handle(job: Job, base: Polygon, inked: MultiPolygon) -> tuple[Solid | None, tuple[Finding, ...]]:
    """Return the handle, paper frame, foot at z = 0, and what was found about it; None when the job has no handle.

    ``base``: the die's outline, and ``inked``: the artwork on it, both paper frame, mm. Seen from above, up mark and
    index read as the impression does. Raises :class:`JobError` when the job's own profile or outline cannot be made,
    and :class:`SolidError` when the base's outline makes no sound handle.
    """
    if job.handle.form == "none":
        return None, ()
    heights = snap_heights(job)
    backing = backing_outline(job, base)
    body = shape_body(job, backing, heights.handle)
    index, about_index = index_region(job, inked, body.flat)
    handle = _marked(job, body, index, heights.index_depth)
    return handle, body.findings + about_index + judge(job, body, handle, backing)


def shape_body(job: Job, foot: Polygon, height: float) -> Body:
    """Shape the job's form, without marks, over ``foot``, the outline to be covered, paper frame, mm.

    A base too lobed to be drawn up in its own outline gets a turned form on a plinth, or a straight block.
    """
    if job.handle.form == "lathe":
        return lathe_body(job)
    if job.handle.form == "prism":
        return prism_body(job, height)
    planform = planform_of(foot, circle=job.base.outline == "round")
    if planform.hold >= FULLEST:
        return drawn_body(job, foot, planform, height)
    if job.handle.form == "block":
        return prism_body(job, height, foot)
    return plinth_body(job, foot, height)


def _marked(job: Job, body: Body, index: MultiPolygon, depth: float) -> Solid:
    solid, tools = body.solid, []
    if not index.is_empty:
        if job.handle.index == "raised":
            # Rooted below the flat, so that the two share a volume and not just a face.
            root = extrude(index, body.height - depth / 2, body.height + depth, name="index")
            solid = unite([solid, root], name="handle")
        else:
            tools.append(extrude(index, body.height - depth, body.height + 1.0, name="index"))
    if job.handle.up_mark and not body.foot.is_empty:
        deep = min(MARK_DEPTH, 0.06 * min(body.held, body.foot.length / 3))
        tools.append(nick_tool(body.foot, depth=deep, height=body.mark_height + POINTED * deep))
    if body.cavity is not None:
        tools.append(body.cavity)
    return cut(solid, tools, name="handle") if tools else solid

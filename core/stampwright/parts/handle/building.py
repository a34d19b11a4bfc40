"""The handle: a body in its form, its hollow, its up mark and its index."""

from __future__ import annotations

from shapely.geometry import MultiPolygon, Polygon

from ...findings import Finding
from ...job.heights import whole_layers
from ...job.sections.parts import BackingSection, HandleSection
from ...memory import Memory
from ...solids import Solid, cut
from ...solids.nearby import cut_near
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
    base: Polygon,
    inked: MultiPolygon,
    handle: HandleSection,
    backing: BackingSection,
    *,
    round_base: bool,
    layer: float,
    line_width: float,
    memory: Memory | None = None,
) -> tuple[Solid | None, tuple[Finding, ...]]:
    """Return the handle, paper frame, foot at z = 0, and what was found about it; None when none is wanted.

    ``base``: the die's outline, and ``inked``: the artwork on it, both paper frame, mm; the artwork counts only for an
    index. ``round_base``: whether the base is a circle, so that the form is turned. ``layer`` and ``line_width``: what
    the printer lays, mm. Seen from above, up mark and index read as the impression does. ``memory``: what was made
    before, handle and picture apart from each other. Raises :class:`JobError` when the handle's own profile or outline
    cannot be made, and :class:`SolidError` when the base's outline makes no sound handle.
    """
    if handle.form == "none":
        return None, ()
    recall, foot = (memory or Memory()).recall, backing_outline(base, backing)
    body, solid = recall(_bare, handle, backing, foot, whole_layers(handle.height, layer), round_base=round_base)
    about_index: tuple[Finding, ...] = ()
    if handle.index != "none":
        index, about_index = recall(index_region, inked, body.flat, line_width, memory=memory)
        if not index.is_empty:
            depth = whole_layers(handle.index_depth, layer)
            step = depth if handle.index == "raised" else -depth
            solid = step_top(solid, index, body.height + step, name="handle")
    return solid, body.findings + about_index + judge(handle, body, solid, foot)


def shape_body(
    handle: HandleSection, backing: BackingSection, foot: Polygon, height: float, *, round_base: bool
) -> Body:
    """Shape a handle's form, without marks, over ``foot``, the outline to be covered, paper frame, mm.

    A base too lobed to be drawn up in its own outline gets a turned form on a plinth, or a straight block.
    """
    if handle.form == "turned":
        return turned_body(handle)
    if handle.form == "straight":
        return straight_body(handle, height)
    planform = planform_of(foot, circle=round_base)
    if planform.hold >= FULLEST:
        return drawn_body(handle, backing, foot, planform, height)
    if handle.form == "block":
        return straight_body(handle, height, foot)
    return plinth_body(handle, backing, foot, height)


def _bare(
    handle: HandleSection, backing: BackingSection, foot: Polygon, height: float, *, round_base: bool
) -> tuple[Body, Solid]:
    """Return the handle's form, and the solid that it becomes with its up mark and hollow, but without an index."""
    body = shape_body(handle, backing, foot, height, round_base=round_base)
    hollow = [] if body.cavity is None else [body.cavity]
    if not handle.up_mark or body.foot.is_empty:
        return body, cut(body.solid, hollow, name="handle") if hollow else body.solid
    deep = min(MARK_DEPTH, 0.06 * min(body.held, body.foot.length / 3))
    nick = nick_tool(body.foot, depth=deep, height=body.mark_height + POINTED * deep)
    if hollow:
        return body, cut(body.solid, [nick, *hollow], name="handle")
    middle = body.foot.centroid
    return body, cut_near(body.solid, nick, (middle.x, middle.y, body.mark_height / 2), name="handle")

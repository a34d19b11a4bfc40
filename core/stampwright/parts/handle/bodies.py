"""Bodies of handles, before marks are cut into them, that grow out of the base's outline."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from ...findings import Finding
from ...job.sections.parts import BackingSection, HandleSection
from ...solids import Solid, revolve, unite
from ...solids.kernel import settle
from ...solids.loft import loft, rounded_prism
from .forms import FORMS
from .hollow import hollow_sections
from .planform import Planform, rings_of, standing_room
from .sizes import fit_sizes, rim_height
from .strokes import FACET_CHORD, Sections, draw


@dataclass(frozen=True, kw_only=True, eq=False)
class Body:
    """A handle's bare solid, paper frame, foot at z = 0, with what later steps need to know of it.

    ``foot``: its outline at z = 0; ``flat``: the level part of its top, for the index; ``held``: width, mm, across what
    the fingers close round; ``mark_height``: how far the up mark may run up its side, mm; ``cavity``: what to cut out
    of it.
    """

    solid: Solid
    foot: Polygon
    flat: Polygon
    height: float
    held: float
    mark_height: float
    cavity: Solid | None = None
    findings: tuple[Finding, ...] = ()


def drawn_body(
    handle: HandleSection, backing: BackingSection, foot: Polygon, planform: Planform, height: float
) -> Body:
    """Draw the base's outline up into the handle's form: on the lathe for a round base, as a skin over any other.

    ``foot``: the outline to be covered, paper frame, mm, and ``planform`` its planform; ``height`` in mm.
    """
    sizes, found = fit_sizes(handle, backing, planform.half, height, hold=planform.hold)
    sections = draw(FORMS[handle.form](sizes), sizes)
    cavity, cavity_found = hollowed(handle, sections, planform)
    upright = sizes.grip[1] > sizes.foot[1] - 0.2
    return Body(
        solid=skinned(sections, planform, "handle"),
        foot=foot,
        flat=Polygon(rings_of(planform, sections)[-1]),
        height=height,
        held=_held(sections),
        mark_height=height if handle.form == "block" and upright else rim_height(height),
        cavity=cavity,
        findings=found + cavity_found,
    )


def plinth_body(handle: HandleSection, backing: BackingSection, foot: Polygon, height: float) -> Body:
    """Stand a turned form on a plinth of the base's outline, for bases too lobed to be drawn up as they are."""
    rise = min(3.0, 0.1 * height)
    board, bead = rounded_prism(foot, rise, 0.4 * rise, name="plinth")
    level = shapely.get_parts(foot.buffer(-bead, join_style="mitre"))
    stand = standing_room(max(level, key=lambda part: part.area, default=foot), 0.5)
    sizes, found = fit_sizes(handle, backing, stand.half, height - rise)
    drawn = draw(FORMS[handle.form](replace(sizes, groove=0.0)), sizes)
    sections = Sections(
        np.concatenate(([0.0], drawn.height + rise)),
        *(np.concatenate((part[:1], part)) for part in (drawn.along, drawn.across, drawn.roundness)),
    )
    # Sunk half into the plinth rather than flush with its underside, so that the two have no face in common.
    sunk = replace(sections, height=np.maximum(sections.height, rise / 2))
    cavity, cavity_found = hollowed(handle, sections, stand)
    return Body(
        solid=unite([board, skinned(sunk, stand, "turning")], name="handle"),
        foot=foot,
        flat=Polygon(rings_of(stand, sections)[-1]),
        height=height,
        held=_held(sections),
        mark_height=rise,
        cavity=cavity,
        findings=found + cavity_found,
    )


def skinned(sections: Sections, planform: Planform, name: str) -> Solid:
    """Return the solid of a form's sections: turned where the planform is a circle, else a skin over the rings."""
    if not planform.circle:
        return loft(rings_of(planform, sections), sections.height, name=name, centre=planform.centre)
    profile = half_section(np.column_stack((sections.along, sections.height)))
    solid = revolve(profile, name=name, tolerance=FACET_CHORD)
    if planform.centre == (0.0, 0.0):
        return solid
    return settle(name, solid.vertices + np.array([*planform.centre, 0.0]), solid.triangles)


def half_section(profile: NDArray[np.float64]) -> NDArray[np.float64]:
    """Close a profile, (k, 2) radius and height from the foot up, to the axis at both ends."""
    foot = [(0.0, profile[0, 1])] if profile[0, 0] > 0 else []
    top = [(0.0, profile[-1, 1])] if profile[-1, 0] > 0 else []
    closed: NDArray[np.float64] = np.array([*foot, *map(tuple, profile), *top])
    return closed


def hollowed(handle: HandleSection, sections: Sections, planform: Planform) -> tuple[Solid | None, tuple[Finding, ...]]:
    """Return what hollowing takes out of a form, None where it takes nothing, and a finding where it has no room."""
    if not handle.hollow:
        return None, ()
    sunk = handle.index_depth if handle.index == "sunk" else 0.0
    # Half widths drawn in by 1 mm bring slanting parts of an outline in by less, and its corners by more: allow for it.
    least, most = planform.growth
    wall = handle.hollow_wall / min(max(least, 0.3), 1.0)
    inside = hollow_sections(sections, wall=wall, roof=handle.hollow_wall + sunk, corner=max(most, 1.0))
    if inside is not None:
        return skinned(inside, planform, "hollow"), ()
    return None, (
        Finding(
            kind="no room to hollow",
            severity="notes",
            stage="build",
            message=f"a wall of {handle.hollow_wall:g} mm leaves nothing to hollow out of this handle; it stays solid",
            remedy="Make handle.hollow_wall less, or the handle larger",
            measured=0.0,
            limit=handle.hollow_wall,
        ),
    )


def _held(sections: Sections) -> float:
    """Return the greatest width across the upper half, mm: there the fingers close."""
    upper = sections.height >= 0.5 * sections.height.max()
    return 2 * float(sections.across[upper].max())

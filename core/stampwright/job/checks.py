"""Checks of a job that no single setting can make: of settings that do not exist, or contradict each other."""

from __future__ import annotations

from difflib import get_close_matches

from ..errors import JobError
from .sections.parts import BackingSection, HandleSection
from .sections.placing import BaseSection
from .sections.preflight import PreflightSection


def unknown_field(path: str, known: set[str]) -> JobError:
    """Return the error for a setting that no job has, with the names that come nearest."""
    nearest = get_close_matches(path, sorted(known), n=3, cutoff=0.5)
    hint = f"; nearest: {', '.join(nearest)}" if nearest else ""
    return JobError(f"a job has no setting {path!r}{hint}")


def check_together(
    base: BaseSection, preflight: PreflightSection, backing: BackingSection, handle: HandleSection
) -> None:
    """Check what a single setting cannot know; raises :class:`JobError` when settings contradict each other."""
    if base.outline == "custom" and len(base.points) < 3:
        raise JobError("base.points needs at least 3 points when base.outline is custom")
    if base.outline == "rectangle" and base.corner_radius > min(base.width, base.height) / 2:
        raise JobError(
            f"base.corner_radius = {base.corner_radius:g} mm is more than half of the base's shorter side; "
            f"allowed here: 0 to {min(base.width, base.height) / 2:g} mm"
        )
    if preflight.warn_lines < preflight.block_lines:
        raise JobError(
            f"preflight.warn_lines = {preflight.warn_lines:g} is below preflight.block_lines = "
            f"{preflight.block_lines:g}; it must not be"
        )
    if backing.form == "plate" and backing.seat_depth > backing.thickness - 0.4:
        raise JobError(
            f"backing.seat_depth = {backing.seat_depth:g} mm leaves less than 0.4 mm of the backing's "
            f"{backing.thickness:g} mm; allowed here: 0 to {backing.thickness - 0.4:g} mm"
        )
    if backing.grooves and backing.form == "plate":
        room = backing.thickness - backing.seat_depth - 0.4
        if backing.groove_depth > room:
            raise JobError(
                f"backing.groove_depth = {backing.groove_depth:g} mm would cut through the backing; "
                f"allowed here: up to {room:g} mm, or backing.grooves = false"
            )
        if backing.groove_width >= backing.groove_spacing:
            raise JobError(
                f"backing.groove_width = {backing.groove_width:g} mm must be less than backing.groove_spacing = "
                f"{backing.groove_spacing:g} mm"
            )
    if handle.form == "turned" and len(handle.profile) < 2:
        raise JobError("handle.profile needs at least 2 points (radius, height) when handle.form is turned")
    if handle.form == "turned" and any(radius < 0 for radius, _ in handle.profile):
        raise JobError("handle.profile crosses the axis: every radius must be 0 or more")
    if handle.form == "straight" and len(handle.outline) < 3:
        raise JobError("handle.outline needs at least 3 points when handle.form is straight")

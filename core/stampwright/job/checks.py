"""Checks of a job that no single setting can make: of settings that do not exist, or contradict each other."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches

from ..errors import JobError
from .sections.parts import BackingSection, HandleSection
from .sections.placing import BaseSection
from .sections.preflight import PreflightSection
from .settings import limits_of


def unknown_setting(path: str, known: set[str]) -> JobError:
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
    _check_own_sizes(base, handle)


def _check_own_sizes(base: BaseSection, handle: HandleSection) -> None:
    """Check that curves of one's own are of a size that a hand stamp has: one in another unit is not."""
    across, high = limits_of(BaseSection, "width"), limits_of(HandleSection, "height")
    if base.outline == "custom":
        _check_size("base.points", "across", max(_spans(base.points)), across)
    if handle.form == "straight":
        _check_size("handle.outline", "across", max(_spans(handle.outline)), across)
    if handle.form == "turned":
        widest = 2.0 * max(radius for radius, _ in handle.profile)
        _check_size("handle.profile", "across", widest, across)
        _check_size("handle.profile", "high", _spans(handle.profile)[1], high)


def _spans(points: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Return how far points reach in x and in y."""
    first, second = ([point[axis] for point in points] for axis in (0, 1))
    return max(first) - min(first), max(second) - min(second)


def _check_size(path: str, way: str, size: float, allowed: tuple[float, float]) -> None:
    low, high = allowed
    # What has no size at all is no curve: that is told where the body is made of it.
    if size > 0.0 and not low <= size <= high:
        raise JobError(
            f"{path} is {size:,.4g} mm {way}; allowed here: {low:g} to {high:g} mm. It may be in another unit: scale it"
        )

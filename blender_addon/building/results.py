"""What is known of a stamp while the program runs, for panels and overlay; loads nothing that is not loaded yet."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from .. import loading
from ..loading import what_is_missing
from .benches import bench_at

if TYPE_CHECKING:
    from bpy.types import Object


SCALED = "scaled in the scene"
"""Kind of finding: the stamp is shown in another size than it is made in."""


def stamp_made(root: Object) -> Any:
    """Return the stamp as it was last made, or None."""
    bench = bench_at(root.session_uid)
    return bench.stamp if bench is not None else None


def likeness_told(stamp: Any) -> str:
    """Return in words how like the given art a stamp prints, which has been judged."""
    judging = loading.load("stampwright.likeness")
    told: str = judging.likeness_in_words(stamp.judgement.likeness, stamp.job.ink.spread)
    return told


def is_behind(root: Object) -> bool:
    """Whether the stamp as it was last made is not what is asked for now: edits do not build, or are not followed."""
    bench = bench_at(root.session_uid)
    return bench is not None and bool(bench.message or bench.is_behind)


def can_repair(root: Object, finding: Any) -> bool:
    """Whether repair may take on one of a stamp's findings that it has not been let on to yet."""
    stamp = stamp_made(root)
    if stamp is None or stamp.job.preflight.repair:
        return False
    from ..stampwright.preflight import can_mend  # noqa: PLC0415  (loaded: there is a stamp)

    return can_mend(finding, stamp.job.preflight)


def repair_of(root: Object) -> Any:
    """Return what repair did when the stamp was last made, or None when it did nothing."""
    stamp = stamp_made(root)
    done = stamp.repair if stamp is not None else None
    return done if done is not None and not (done.added.is_empty and done.removed.is_empty) else None


def message_of(root: Object) -> str:
    """Return what kept the stamp from being made when that was last tried, or nothing."""
    bench = bench_at(root.session_uid)
    return bench.message if bench is not None and bench.message else what_is_missing()

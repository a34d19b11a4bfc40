"""Whether a stamp prints, in one line, and all that was found: about its artwork, its parts, and as it was pressed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .. import loading
from ..building.results import is_behind, stamp_made
from ..live import following
from ..translations import translated
from . import pressing

if TYPE_CHECKING:
    from bpy.types import Object

    from ..stampwright.findings import Severity


@dataclass(frozen=True)
class Verdict:
    """What the head of the panel says, with the severity of what is gravest, None when nothing is against the stamp.

    ``is_current``: it is about the stamp as it is asked for now.
    """

    text: str
    severity: Severity | None = None
    is_current: bool = True


def findings_of(root: Object) -> tuple[Any, ...]:
    """Return what was found when the stamp was last made, as it was pressed, and as it stands, the gravest first."""
    stamp = stamp_made(root)
    if stamp is None:
        return ()
    trial, deleted = trial_of(root), loading.load("building.scaling").about_parts_there(root)
    if trial is None and not deleted:
        found: tuple[Any, ...] = stamp.findings
        return found
    told = loading.load("press.trials").findings_in(trial) if trial is not None else ()
    reckoned = stamp.pressing.findings if trial is not None and stamp.pressing is not None else ()
    ordered: tuple[Any, ...] = loading.load("stampwright.findings").by_severity(
        (*(each for each in stamp.findings if each not in reckoned), *told, *deleted)
    )
    return ordered


def trial_of(root: Object) -> Any:
    """Return the trial of a stamp as it was last made, or None when it has not been pressed since."""
    stamp, known = stamp_made(root), pressing.known_of(root)
    if stamp is None or known.trial is None:
        return None
    return known.trial if known.pressed_by == loading.load("press.trials").pressed_by(stamp) else None


def verdict_of(root: Object) -> Verdict:
    """Return whether a stamp prints, as far as that is known."""
    work = following.work_of(root)
    if work is not None and work.seconds > following.SLOW:
        return Verdict(translated("Being built"), is_current=False)
    if stamp_made(root) is None:
        return Verdict(translated("Not examined yet"), is_current=False)
    if is_behind(root):
        return Verdict(translated("As it is now it is not built"), is_current=False)
    return _judged(root)


def _judged(root: Object) -> Verdict:
    found, trial = findings_of(root), trial_of(root)
    counts = {severity: sum(each.severity == severity for each in found) for severity in ("blocks", "warns")}
    if counts["blocks"]:
        told = "Does not print: {count} blocks" if counts["blocks"] == 1 else "Does not print: {count} block"
        return Verdict(translated(told).format(count=counts["blocks"]), "blocks")
    if counts["warns"]:
        told = "Not pressed yet: {count} to look at"
        if trial is not None:
            # What warns may print weakly and print all the same: the press says how much of the face prints.
            is_whole = trial.printed_share >= loading.load("stampwright.press").WHOLE
            told = (
                "Prints at {force:.3g} N: {count} to look at"
                if is_whole
                else "Prints in part ({force:.3g} N): {count} found"
            )
        return Verdict(translated(told).format(count=counts["warns"], force=trial and trial.force), "warns")
    if trial is None:
        return Verdict(translated("No problems found, not pressed yet"))
    return Verdict(translated("No problems found: prints at {force:.3g} N").format(force=trial.force))

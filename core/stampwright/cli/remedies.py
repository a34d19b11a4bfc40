"""What commands say of artwork that is blocked: the ways that would make it pass."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from ..looks.numbers import spoken
from .terminal import ProgressLine

if TYPE_CHECKING:
    from ..artwork import Artwork
    from ..examination import Examination
    from ..job import Job
    from ..remedy import Way


def add_ways(command: argparse.ArgumentParser) -> None:
    """Let a command leave out looking for ways to pass, which takes a while on fine artwork."""
    command.add_argument("--no-ways", action="store_true", help="do not look for what would make blocked artwork pass")


def ways_of(
    options: argparse.Namespace, job: Job, artwork: Artwork, examined: Examination | None = None
) -> Sequence[Way]:
    """Return what would make the artwork pass, unless nothing blocks or nobody asks."""
    if options.no_ways or (examined is not None and not examined.blocked):
        return ()
    from ..remedy import ways_to_pass

    progress = ProgressLine(sys.stderr)
    try:
        progress.tell("looking for what would make it pass", 0.0)
        return ways_to_pass(job, artwork, examined=examined)
    finally:
        progress.close()


def print_ways(ways: Sequence[Way]) -> None:
    """Print each way with the settings that take it; nothing where there is none."""
    if not ways:
        return
    print("What would make it pass, each tried:")
    for way in ways:
        print(f"  {way.in_words()}")
        print(f"    {_as_options(way.settings)}")


def _as_options(settings: Mapping[str, Any]) -> str:
    """Return settings as they are typed on a command line."""
    told = dict(settings)
    words = ["--repair"] if told.pop("preflight.repair", False) else []
    if told.get("preflight.repair_by") == "outlines":
        del told["preflight.repair_by"]
    words += [f"--set {name}={_typed(value)}" for name, value in told.items() if not isinstance(value, list)]
    if any(isinstance(value, list) for value in told.values()):
        words.append("(with the base's points moved outwards alike)")
    return " ".join(words)


def _typed(value: Any) -> str:
    return spoken(value) if isinstance(value, float) else str(value)

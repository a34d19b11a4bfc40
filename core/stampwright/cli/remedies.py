"""What commands say of artwork that is blocked: the ways that would make it pass."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

from .options import artwork_of
from .terminal import ProgressLine

if TYPE_CHECKING:
    from ..artwork import Artwork
    from ..examination import Examination
    from ..job import Job
    from ..remedy import Answer, Way


def add_ways(command: argparse.ArgumentParser) -> None:
    """Let a command leave out looking for ways to pass, which takes a while on fine artwork."""
    command.add_argument("--no-ways", action="store_true", help="do not look for what would make blocked artwork pass")


def answer_of(
    options: argparse.Namespace,
    job: Job,
    artwork: Artwork,
    *,
    with_repair: bool,
    examined: Examination | None = None,
) -> Answer:
    """Examine artwork and look for what would make it pass, unless nothing blocks or nobody asks.

    ``with_repair``: whether what repair would make of it is wanted as well.
    """
    from ..examination import examine_job
    from ..remedy import Answer, answer_for, ways_to_pass

    def read(job: Job) -> Artwork:
        return artwork_of(options, job)

    progress = ProgressLine(sys.stderr)
    try:
        progress.tell("examining", 0.0)
        examined = examined or examine_job(job, artwork)
        progress.tell("looking for what would make it pass", 0.5)
        if with_repair:
            return answer_for(job, artwork, examined=examined, look_for_ways=not options.no_ways, read=read)
        return Answer(
            examined, None, None if options.no_ways else ways_to_pass(job, artwork, examined=examined, read=read)
        )
    finally:
        progress.close()


def print_ways(ways: Sequence[Way]) -> None:
    """Print each way with the settings that take it; nothing where there is none."""
    if not ways:
        return
    print("What would make it pass, each tried:")
    for way in ways:
        print(f"  {way.in_words()}")
        print(f"    {way.as_typed()}")

"""What commands say of artwork that is blocked: the ways that would make it pass."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from .options import artwork_of
from .terminal import ProgressLine

if TYPE_CHECKING:
    from ..artwork import Artwork
    from ..job import Job
    from ..memory import Memory
    from ..remedy import Answer, Ways


def add_ways(command: argparse.ArgumentParser) -> None:
    """Let a command leave out looking for ways to pass, which takes a while on fine artwork."""
    command.add_argument("--no-ways", action="store_true", help="do not look for what would make blocked artwork pass")


def answer_of(
    options: argparse.Namespace,
    job: Job,
    artwork: Artwork,
    *,
    with_repair: bool,
    memory: Memory | None = None,
) -> Answer:
    """Examine artwork and look for what would make it pass, unless nothing blocks or nobody asks.

    ``with_repair``: whether what repair would make of it is wanted as well. ``memory``: what was made before.
    """
    from ..examination import examine_job
    from ..remedy import Answer, answer_for

    def read(job: Job) -> Artwork:
        return artwork_of(options, job)

    progress = ProgressLine(sys.stderr)
    try:
        progress.tell("examining", 0.0)
        examined = examine_job(job, artwork, memory=memory)
        progress.tell("looking for what would make it pass", 0.5)
        if with_repair or not options.no_ways:
            return answer_for(job, artwork, examined=examined, look_for_ways=not options.no_ways, read=read)
        return Answer(examined)
    finally:
        progress.close()


def print_ways(ways: Ways | None) -> None:
    """Print each way with the settings that take it; nothing where nobody looked."""
    if ways is None:
        return
    print(f"{ways.in_words()}{':' if ways else '.'}")
    for way in ways:
        print(f"  {way.in_words()}")
        print(f"    {way.as_typed()}")

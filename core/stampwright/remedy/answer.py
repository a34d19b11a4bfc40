"""The whole answer to artwork: what was found, what repair would make of it, and what would make it pass."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ..artwork import Artwork
from ..examination import Examination, examine_job
from ..face import Grey
from ..job import Job
from ..memory import Memory
from .way import Ways
from .ways import OUTLINES, ways_to_pass


@dataclass(frozen=True, eq=False)
class Answer:
    """What is to be said and shown of artwork.

    ``examined``: as the job makes it. ``repaired``: with repair, where the job asks for none and repair changes
    anything. ``ways``: what would make it pass; None where nobody looked for it.
    """

    examined: Examination
    repaired: Examination | None = None
    ways: Ways | None = None


def answer_for(
    job: Job,
    artwork: Artwork,
    *,
    picture: Grey | None = None,
    memory: Memory | None = None,
    examined: Examination | None = None,
    look_for_ways: bool = True,
    read: Callable[[Job], Artwork] | None = None,
) -> Answer:
    """Examine artwork, and where something is wrong with it, repair it and look for ways to make it pass.

    ``picture``: as for :func:`~stampwright.examination.examine_job`; ``examined``: the examination as it stands, where
    there is one; ``look_for_ways``: whether to look, which takes a while; ``read``: as for
    :func:`~stampwright.remedy.ways_to_pass`. Raises
    :class:`~stampwright.errors.StampwrightError` when the artwork cannot be laid out.
    """
    examined = examined or examine_job(job, artwork, picture=picture, memory=memory)
    repaired = None
    if not job.preflight.repair and any(finding.severity != "notes" for finding in examined.findings):
        repaired = examine_job(job.with_values(dict(OUTLINES)), artwork, picture=picture, memory=memory)
    ways = None
    if look_for_ways:
        ways = ways_to_pass(job, artwork, picture=picture, examined=examined, repaired=repaired, read=read)
    mended = None if repaired is None else repaired.laid.repair
    changed = mended is not None and not (mended.added.is_empty and mended.removed.is_empty)
    return Answer(examined, repaired if changed else None, ways)

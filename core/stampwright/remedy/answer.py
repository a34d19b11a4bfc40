"""The whole answer to artwork: what was found, what repair would make of it, and what would make it pass."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ..artwork import Artwork
from ..examination import Examination, examine_job
from ..face import Grey
from ..job import Job
from ..memory import Memory
from .trials import MOST_WORK, work_of_repair
from .way import Ways
from .ways import OUTLINES, ways_to_pass


@dataclass(frozen=True, eq=False)
class Answer:
    """What is to be said and shown of artwork.

    ``examined``: as the job makes it. ``repaired``: with repair, where the job asks for none and repair changes
    anything. ``ways``: what would make it pass; None where nobody looked for it. ``too_fine``: whether repair was left
    untried, as there it takes more work than is done unasked.
    """

    examined: Examination
    repaired: Examination | None = None
    ways: Ways | None = None
    too_fine: bool = False


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

    Neither takes more work than a person waits for unasked; what was not done is said in what comes back.
    ``picture``: as for :func:`~stampwright.examination.examine_job`; ``examined``: the examination as it stands, where
    there is one; ``look_for_ways``: whether to look, which takes a while; ``read``: as for
    :func:`~stampwright.remedy.ways_to_pass`. Raises
    :class:`~stampwright.errors.StampwrightError` when the artwork cannot be laid out.
    """
    examined = examined or examine_job(job, artwork, picture=picture, memory=memory)
    repaired, mending, too_fine = None, job.with_values(dict(OUTLINES)), False
    if not job.preflight.repair and any(finding.severity != "notes" for finding in examined.findings):
        too_fine = work_of_repair(examined, mending.preflight) > MOST_WORK
        repaired = None if too_fine else examine_job(mending, artwork, picture=picture, memory=memory)
    ways = None
    if look_for_ways:
        ways = ways_to_pass(job, artwork, picture=picture, examined=examined, repaired=repaired, read=read)
    mended = None if repaired is None else repaired.laid.repair
    changed = mended is not None and not (mended.added.is_empty and mended.removed.is_empty)
    return Answer(examined, repaired if changed else None, ways, too_fine)

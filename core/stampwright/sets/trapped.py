"""What is told of traps: which ink runs under which, and what of an ink is too small to be laid between the others."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shapely.geometry import MultiPolygon

from ..artwork.letters import Letter
from ..findings import Finding, with_name
from ..inks import Trapped
from ..inks.separating import JOINED
from ..job.kinds import PART_LOST
from ..likeness.changes import Change
from ..likeness.judging import judge_likeness
from ..likeness.topology import across

TRAP = "trap"

LEAST_TOLD = 0.01
"""Area of specks from which on it is told that the inks round them print there, mm²."""


def about_traps(trapped: Trapped) -> tuple[Finding, ...]:
    """Return a note for each pair of inks of which one runs under the other, with the rule that decided it."""
    return tuple(
        Finding(
            kind=TRAP,
            severity="notes",
            stage="layout",
            message=f"{trap.lighter} (neutral density {trap.densities[0]:.2f}) runs {trap.width:.2f} mm under "
            f"{trap.darker} ({trap.densities[1]:.2f}), the darker of the two, {trap.region.area:.1f} mm² in all",
            remedy="Nothing to do: it hides how far impressions miss each other (register.trap).",
            place=trap.region,
            measured=trap.width,
        )
        for trap in trapped.traps
    )


def about_specks(
    trapped: Trapped, letters: Sequence[Letter], speck: float, accept: Iterable[str] = ()
) -> tuple[Finding, ...]:
    """Return what there is to say of ink that the inks round it print, being too small to be laid between them.

    What is larger than a ``speck``, mm, or of a letter, a reader misses as in any print; the rest is noted.
    ``letters``: those that are known, paper frame, mm. Kinds in ``accept`` do not block.
    """
    accepted = frozenset(accept)
    found: list[Finding] = []
    for name, specks in trapped.specks:
        lost = [
            Change(kind=PART_LOST, place=part, area=part.area, share=1.0, size=across(part)) for part in specks.geoms
        ]
        missed = [each for each in judge_likeness(lost, letters, speck=speck) if _blocks(each)]
        found += with_name(name, [each.weakened() if each.kind in accepted else each for each in missed])
        small = MultiPolygon([each.place for each in lost if each.size <= speck])
        if small.area >= LEAST_TOLD:
            found.append(_noted(name, small))
    return tuple(found)


def _blocks(finding: Finding) -> bool:
    """Say whether a finding blocks, or counts others that do."""
    return "blocks" in (finding.severity, finding.rest_of)


def _noted(name: str, specks: MultiPolygon) -> Finding:
    return Finding(
        kind=JOINED,
        severity="notes",
        stage="layout",
        message=f"{specks.area:.2f} mm² of {name} in specks between other inks is too small to be laid; the inks "
        "round it print there",
        remedy="Enlarge the artwork, or part the inks there farther, if it matters.",
        place=specks,
        measured=specks.area,
        unit="mm²",
    )

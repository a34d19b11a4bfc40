"""Separations: what of coloured artwork each ink prints, and when."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import MultiPolygon

from ..artwork.coloured.patches import Coloured, Patch, joined_patches
from ..artwork.colours import COLOUR_LEFT_OUT, about_paper
from ..errors import ArtworkError
from ..findings import Finding
from ..job.inks import Ink
from ..looks.colours import rgb
from ..looks.differences import colour_difference, neutral_density
from ..looks.numbers import percent
from .proposing import ALIKE, SEAM

SAME = 3.0
"""Colours of the art this near (CIEDE2000) to one that an ink names are that one."""

REACH = 30.0
"""Colours of the art farther than this (CIEDE2000) from an ink that names none are not taken for it."""

JOINED, SEEN = "colours joined", 2.0
"""Told of colours that print in another one, from the difference (CIEDE2000) on that shows on prints."""

LIGHT_AFTER_DARK = "light ink after dark"
"""Told of an ink that is printed over the edges of a darker one."""

MOST_TOLD = 8

NAME_IT = "Name it among the colours of an ink (inks.colours)."
_DARKER = 0.3  # in neutral density: half the light, twice as dark to the eye (assumed)
_MEETING = 0.3  # mm apart; nearer, a miss of register lays one over the other


@dataclass(frozen=True)
class Separation:
    """What one ink prints: ``region``, valid, mm, no two separations overlapping until they are trapped."""

    ink: Ink
    region: MultiPolygon


def density_of(ink: Ink) -> float:
    """Return the neutral density of an ink, by which the lighter of two gives way."""
    return float(neutral_density(np.array(rgb(ink.colour))))


def in_printing_order(inks: Sequence[Ink]) -> tuple[Ink, ...]:
    """Return inks in the order in which they are printed: as they say, those that say nothing the lightest first."""
    given = sorted((ink for ink in inks if ink.order), key=lambda ink: ink.order)
    others = sorted((ink for ink in inks if not ink.order), key=density_of)
    placed: list[Ink] = []
    while given or others:
        take_given = given and (given[0].order <= len(placed) + 1 or not others)
        placed.append(given.pop(0) if take_given else others.pop(0))
    return tuple(placed)


def separate(coloured: Coloured, inks: Sequence[Ink]) -> tuple[tuple[Separation, ...], tuple[Finding, ...]]:
    """Return what each ink prints, in printing order, and what was found about colours that none takes.

    A patch goes to the ink that names its layer or its pieces, else to the one that names its colour or nearly so, else
    to the one nearest in colour among those that name nothing; the art's paper prints only where an ink names it.
    Raises :class:`~stampwright.errors.ArtworkError` when an ink gets nothing, or pieces name one that there is not.
    """
    taken: dict[str, list[MultiPolygon]] = {ink.name: [] for ink in inks}
    left: list[Patch] = []
    whole = sum(patch.region.area for patch in coloured.patches)
    paper: list[Patch] = []
    for patch in coloured.patches:
        ink = _ink_for(patch, inks, seam=patch.region.area <= SEAM * whole)
        if patch.colour == coloured.paper and (ink is None or not (ink.colours or patch.source)):
            paper.append(patch)
        elif ink is None:
            left.append(patch)
        else:
            taken[ink.name].append(patch.region)
    for ink in inks:
        if not taken[ink.name]:
            raise ArtworkError(f"ink {ink.name!r} gets nothing of the art, {_has(coloured)}; {_advice(ink)}")
    ordered = in_printing_order(inks)
    separations = tuple(Separation(ink, joined_patches(taken[ink.name])) for ink in ordered)
    told = [_left_out(patch, whole) for patch in left[:MOST_TOLD]]
    told += [about_paper(np.array(rgb(patch.colour)), patch.region.area, name_it=NAME_IT) for patch in paper]
    return separations, (*told, *_joined(coloured, inks), *_light_after_dark(separations))


def _ink_for(patch: Patch, inks: Sequence[Ink], *, seam: bool) -> Ink | None:
    by_name = next((ink for ink in inks if patch.source and _named(patch.source, ink)), None)
    if by_name is not None:
        return by_name
    if patch.source:
        raise ArtworkError(
            f"pieces name the ink {patch.source!r}, which the job does not have; its inks are: "
            f"{', '.join(ink.name for ink in inks)}"
        )
    named = [(ink, _apart(patch.colour, ink.colours)) for ink in inks if ink.colours]
    nearest = min(named, key=lambda each: each[1], default=None)
    if nearest is not None and (nearest[1] <= SAME or seam):
        return nearest[0]
    free = [(ink, _apart(patch.colour, (ink.colour,))) for ink in inks if not ink.colours and not ink.layers]
    nearest = min(free, key=lambda each: each[1], default=None)
    return nearest[0] if nearest is not None and (nearest[1] <= REACH or seam) else None


def _joined(coloured: Coloured, inks: Sequence[Ink]) -> list[Finding]:
    """Return a finding for each colour of the art, no seam, that prints in an ink which looks otherwise."""
    whole = sum(patch.region.area for patch in coloured.patches)
    found: list[Finding] = []
    for patch in coloured.patches:
        if patch.source or patch.colour == coloured.paper or patch.region.area <= SEAM * whole:
            continue
        ink = _ink_for(patch, inks, seam=False)
        apart = _apart(patch.colour, (ink.colour,)) if ink is not None else 0.0
        if ink is not None and apart > SEEN:
            found.append(
                Finding(
                    kind=JOINED,
                    severity="warns" if apart > ALIKE else "notes",
                    stage="artwork",
                    message=f"{patch.colour} prints in {ink.name}, {ink.colour}, which differs from it by {apart:.1f} "
                    "(CIEDE2000)",
                    remedy="Give it an ink of its own in the job, if the difference matters.",
                    place=shapely.box(*patch.region.bounds),
                    measured=apart,
                    limit=SEEN,
                    unit="",
                )
            )
    return found[:MOST_TOLD]


def _light_after_dark(separations: Sequence[Separation]) -> list[Finding]:
    """Return a finding for each ink that is printed over the edges of one notably darker than itself."""
    found: list[Finding] = []
    for at, later in enumerate(separations):
        under = [
            each
            for each in separations[:at]
            if density_of(each.ink) > density_of(later.ink) + _DARKER and each.region.distance(later.region) < _MEETING
        ]
        if under:
            darkest = max(under, key=lambda each: density_of(each.ink))
            found.append(
                Finding(
                    kind=LIGHT_AFTER_DARK,
                    severity="warns",
                    stage="artwork",
                    message=f"{later.ink.name} is printed after the darker {darkest.ink.name}, which it meets: it lies "
                    "over that one's edges, and its pad is soiled",
                    remedy="Print the lighter ink first: change the order of the inks (inks.order), or leave it out.",
                    measured=density_of(darkest.ink) - density_of(later.ink),
                    limit=_DARKER,
                    unit="",
                )
            )
    return found


def _named(source: str, ink: Ink) -> bool:
    names = (ink.name, *ink.layers)
    return source.strip().casefold() in (name.strip().casefold() for name in names)


def _apart(colour: str, others: Sequence[str]) -> float:
    there = np.array([rgb(other) for other in others])
    return float(colour_difference(there, np.array(rgb(colour))).min())


def _has(coloured: Coloured) -> str:
    sources = [patch.source for patch in coloured.patches if patch.source]
    told = list(dict.fromkeys(sources or (patch.colour for patch in coloured.patches)))
    more = f" and {len(told) - MOST_TOLD} more" if len(told) > MOST_TOLD else ""
    return f"which has {', '.join(told[:MOST_TOLD])}{more}"


def _advice(ink: Ink) -> str:
    if ink.layers:
        return f"nothing is seen of its layers {', '.join(ink.layers)}"
    wanted = ", ".join(ink.colours or (ink.colour,))
    return f"none of that is {wanted}: name other colours (inks.colours), or take the ink out"


def _left_out(patch: Patch, whole: float) -> Finding:
    area = patch.region.area
    return Finding(
        kind=COLOUR_LEFT_OUT,
        severity="warns",
        stage="artwork",
        message=f"{patch.colour} is left out: it covers {area:.1f} mm², {percent(area / whole)} of what is drawn, and "
        "no ink takes it",
        remedy=NAME_IT,
        place=shapely.box(*patch.region.bounds),
        measured=area,
        unit="mm²",
    )

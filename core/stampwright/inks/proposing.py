"""A set of inks proposed from the colours that art has: few enough to stamp, alike ones joined."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ..artwork.coloured.patches import Coloured
from ..errors import ArtworkError
from ..job.inks import Ink
from ..looks.colours import rgb
from ..looks.differences import colour_difference, neutral_density, to_lab
from .mixing import mixed

MOST_PROPOSED = 6
"""Inks of a proposal: every further one has to land on all before it. A job may name more."""

ALIKE = 6.0
"""Colours that differ by less (CIEDE2000) are one ink: seen side by side, from a step away hardly (assumed)."""

FARTHEST = 20.0
"""Colours that differ by more are never joined, however many there are."""

SEAM = 0.0005
"""Share of all that is printed under which a colour is the seam between others and no ink of its own."""

HIDES = 2.0
"""An ink overprints where no ink under it changes its colour by more than this (CIEDE2000)."""


def propose_inks(coloured: Coloured) -> tuple[Ink, ...]:
    """Return inks for artwork, the lightest first, each with the colours of the art that it stands for.

    The paper that art lies on takes none. Raises :class:`~stampwright.errors.ArtworkError` when the art is of one
    colour, or of more than can be stamped.
    """
    groups = _grouped(coloured)
    if not groups:
        raise ArtworkError(f"all of the art is {coloured.paper}: it shows nothing but its paper")
    if len(groups) == 1:
        raise ArtworkError(f"the art is of one colour, {groups[0][0]}: it takes one ink, so leave the inks out")
    groups.sort(key=lambda group: float(neutral_density(np.array(rgb(group[0])))))
    leading = [group[0] for group in groups]
    overprints = _hides(leading[-1], leading[:-1])
    return tuple(
        Ink(
            name=name,
            colour=group[0],
            colours=tuple(group),
            laid="overprint" if overprints and group is groups[-1] else "knock-out",
        )
        for name, group in zip(_names(leading), groups, strict=True)
    )


def _grouped(coloured: Coloured) -> list[list[str]]:
    """Return the colours of the art in groups that one ink stands for, in each the one of the largest area first."""
    areas: dict[str, float] = {}
    for patch in coloured.patches:
        if patch.colour == coloured.paper:
            continue
        areas[patch.colour] = areas.get(patch.colour, 0.0) + patch.region.area
    total = sum(areas.values())
    own = [colour for colour, area in sorted(areas.items(), key=lambda each: -each[1]) if area > SEAM * total]
    groups: list[list[str]] = []
    leaders = np.empty((0, 3))
    for colour in own:
        value = np.array(rgb(colour))
        apart = colour_difference(leaders, value) if groups else np.array([np.inf])
        if apart.min() < ALIKE:
            groups[int(apart.argmin())].append(colour)
        else:
            groups.append([colour])
            leaders = np.vstack((leaders, value))
    found = len(groups)
    while len(groups) > MOST_PROPOSED:
        one, other, apart_by = _nearest(leaders)
        if apart_by > FARTHEST:
            raise ArtworkError(
                f"the art has {len(own)} colours, which take {found} inks when those that look alike are joined; "
                f"{MOST_PROPOSED} are proposed at most: name the inks in the job ([[inks]]), or use fewer colours"
            )
        # They stand in the order of their areas, so the first leads.
        groups[one] += groups.pop(other)
        leaders = np.delete(leaders, other, axis=0)
    return groups


def _nearest(leaders: NDArray[np.float64]) -> tuple[int, int, float]:
    """Return the two colours that are nearest to each other, the first before the second, and their difference."""
    apart = colour_difference(leaders[:, None], leaders[None])
    apart[np.tril_indices(len(leaders))] = np.inf
    one, other = np.unravel_index(int(apart.argmin()), apart.shape)
    return int(one), int(other), float(apart.min())


def _hides(colour: str, others: Sequence[str]) -> bool:
    over = np.array([mixed([other, colour]) for other in others])
    return bool((colour_difference(over, np.array(rgb(colour))) <= HIDES).all())


_HUES = ((20.0, "pink"), (47.0, "red"), (75.0, "orange"), (105.0, "yellow"), (185.0, "green"), (245.0, "cyan"),
         (300.0, "blue"), (335.0, "purple"), (360.0, "pink"))  # fmt: skip
"""Hues of CIE Lab, degrees, each up to its number, as people call them (our own cut)."""


def _names(colours: Sequence[str]) -> list[str]:
    """Return a name for each colour, no two alike."""
    names: list[str] = []
    for colour in colours:
        name, number = _called(colour), 2
        plain = name
        while name in names:
            name, number = f"{plain}-{number}", number + 1
        names.append(name)
    return names


def _called(colour: str) -> str:
    light, red, yellow = (float(value) for value in to_lab(np.array(rgb(colour))))
    chroma, hue = float(np.hypot(red, yellow)), float(np.degrees(np.arctan2(yellow, red)) % 360.0)
    if chroma < 9.0 or light < 8.0:
        return "black" if light < 32.0 else "grey" if light < 75.0 else "light-grey"
    name = next(name for up_to, name in _HUES if hue < up_to or up_to == 360.0)
    if (name == "orange" and light < 48.0) or (name in ("red", "yellow") and light < 45.0 and chroma < 45.0):
        return "brown"
    if name == "pink" and light < 55.0:
        name = "red"
    return f"dark-{name}" if light < 35.0 else f"light-{name}" if light > 82.0 and name != "yellow" else name

"""Meeting: where pieces print over each other, or in the paper that a code needs bare."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from ...findings import Finding
from ...job.pieces import Frame, Mark, Piece, Ring, Rule
from ...plane.overlays import common, unshared, without
from ...plane.regions import sound_parts
from .made import Made

_LEAST_OVERLAP = 1e-3
"""Pieces that share less, mm², only touch: ends of rules on a frame, rounded."""

_LONGEST_SAID = 24


def overlap_findings(made: Sequence[tuple[Piece, Made]]) -> Iterator[Finding]:
    """Yield where two pieces that both print lie over each other, mm; lines that cross lines are only noted.

    What is knocked out is meant to lie over others.
    """
    printing = [at for at, (piece, one) in enumerate(made) if not piece.knock_out and not one.inked.is_empty]
    inks = [made[at][1].inked for at in printing]
    first, second = shapely.STRtree(inks).query(inks, predicate="intersects")
    for low, high in sorted(
        {(low, high) for low, high in zip(first.tolist(), second.tolist(), strict=True) if low < high}
    ):
        shared = sound_parts(common(inks[low], inks[high]))
        if shared.area < _LEAST_OVERLAP:
            continue
        pair = [made[printing[at]][0] for at in (low, high)]
        lines_only = all(
            isinstance(piece, Ring | Rule) or (isinstance(piece, Frame) and not piece.filled) for piece in pair
        )
        one, other = (said_of(piece, printing[at] + 1) for piece, at in zip(pair, (low, high), strict=True))
        yield Finding(
            kind="pieces overlap",
            severity="notes" if lines_only else "warns",
            stage="artwork",
            message=f"{one[0].upper()}{one[1:]} and {other} print over each other: {shared.area:.2f} mm²",
            remedy="Move them apart, make one smaller, or knock it out of the other (knock_out).",
            place=shared,
            measured=shared.area,
            limit=0.0,
            unit="mm²",
        )


def code_findings(made: Sequence[tuple[Piece, Made]], at: int, zone: Polygon, inked: MultiPolygon) -> Iterator[Finding]:
    """Yield findings when a code is light on dark, and when other pieces print in its quiet zone or on it.

    ``at``: which piece bears the code. ``zone``: its place with the quiet zone, mm. ``inked``: all pieces together.
    """
    piece, drawn = made[at][0], made[at][1].inked
    said = "code in the mark" if isinstance(piece, Mark) else piece.kind
    if piece.knock_out:
        drawn = sound_parts(without(zone, drawn))
        yield Finding(
            kind="code light on dark",
            severity="warns",
            stage="artwork",
            message=f"The {said} is knocked out of ink; many readers want it dark on light.",
            remedy="Print it instead, or try it with the readers that will be used.",
            place=zone,
        )
    strange = _strange(inked, drawn, zone)
    if strange.area <= 1e-6:
        return
    meeting = [
        said_of(other, number)
        for number, (other, one) in enumerate(made, start=1)
        if number != at + 1 and shapely.dwithin(one.inked, strange, 1e-6)
    ]
    culprits = " and ".join((", ".join(meeting[:-1]), meeting[-1]) if len(meeting) > 1 else meeting) or "other pieces"
    yield Finding(
        kind="quiet zone not clear",
        severity="warns",
        stage="artwork",
        message=f"{culprits[0].upper()}{culprits[1:]} disturb{'s' if len(meeting) == 1 else ''} {strange.area:.2f} mm² "
        f"of the space that the {said} needs clear.",
        remedy="Move them apart; readers find a code by the clear paper round it.",
        place=strange,
        measured=strange.area,
        limit=0.0,
        unit="mm²",
    )


def said_of(piece: Piece, number: int) -> str:
    """Return what a piece is called in a message: its number in the list, its kind, and what it says.

    >>> said_of(Ring(), 2)
    'piece 2 (ring)'
    """
    words = " ".join((getattr(piece, "text", "") or getattr(piece, "label", "") or getattr(piece, "file", "")).split())
    if len(words) > _LONGEST_SAID:
        words = words[: _LONGEST_SAID - 3] + "..."
    return f"piece {number} ({piece.kind}{f' {words!r}' if words else ''})"


def _strange(inked: MultiPolygon, drawn: MultiPolygon, zone: Polygon) -> MultiPolygon:
    """Return where in a zone the ink is other than drawn there; parts that are in both just so are not looked at."""
    parts, whole = np.asarray(shapely.get_parts(inked)), np.asarray(shapely.get_parts(drawn))
    near = parts[shapely.STRtree(parts).query(zone, predicate="intersects")]
    there, own = shapely.to_wkb(near).tolist(), shapely.to_wkb(whole).tolist()
    other, missing = near[~_among(there, own)], whole[~_among(own, there)]
    inside = (common(shapely.multipolygons(each), zone) for each in (other, missing))
    return sound_parts(unshared(*inside))


def _among(things: list[bytes], known: list[bytes]) -> NDArray[np.bool_]:
    """Whether each thing is among those known; sorting the bytes, as numpy would, takes much longer."""
    seen = set(known)
    return np.array([thing in seen for thing in things], dtype=np.bool_)

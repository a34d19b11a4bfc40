"""The drawing of the impression: the base, what repair changed, and a sign for each finding."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TypeVar

import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from ...findings import Severity
from ...job.labels import in_labels
from ...looks.colours import ADDED, INK, PAPER, QUIET, REMOVED, RULE, SEVERITY
from ...looks.signs import sign_corners
from ...preflight import MENDED
from ...stamp import Stamp
from ..sketches.as_svg import laid_path, opening, path_data, text
from ..sketches.marks import InSketch
from .marks import REACH, FindingMark, mark_findings

Geometry = TypeVar("Geometry", bound=BaseGeometry)

_ROOM = 2.6  # round the line that signs stand on, mm
BAR_ROOM = 8.0
"""Room below a drawing for its scale bar, mm."""

_SIGN = 1.9  # size of a sign, mm


@dataclass(frozen=True)
class Drawing:
    """An SVG fragment, its size in mm without the scale bar below it, and the marks that it shows."""

    body: str
    width: float
    height: float
    marks: tuple[FindingMark, ...]


def draw_impression(stamp: Stamp, *, magnified: float = 1.0) -> Drawing:
    """Draw the impression on its base with what repair changed, and the findings' marks.

    ``magnified``: how many times as large; signs and lines stay as they are. Lines to signs lie under the ink, and
    places are ringed, so that the impression can be read, also by a decoder.
    """
    base, impression = _magnified(stamp.layout.base, magnified), stamp.impression.outlines
    findings = [finding.moved((magnified, 0.0, 0.0, magnified, 0.0, 0.0)) for finding in stamp.findings]
    marks = mark_findings(findings, base)
    inked = [] if impression.is_empty else [_magnified(shapely.box(*impression.bounds), magnified)]
    around = _ROOM + (REACH if any(mark.sign for mark in marks) else 0.0)
    left, bottom, right, top = shapely.total_bounds([base, *inked]).tolist()
    width, height = max(right - left + 2 * around, 24.0), top - bottom + 2 * around
    frame = ((left + right - width) / 2, top + around)
    pieces = [
        f'<defs><pattern id="taken" width="0.9" height="0.9" patternUnits="userSpaceOnUse" '
        f'patternTransform="rotate(45)"><rect width="0.9" height="0.9" fill="{PAPER}" fill-opacity="0.6"/>'
        f'<rect width="0.35" height="0.9" fill="{REMOVED}"/></pattern></defs>',
        _region(base, frame, f'fill="none" stroke="{RULE}" stroke-width="0.18" stroke-dasharray="1.2 0.8"'),
        *(_line_to_sign(mark, frame) for mark in marks),
        laid_path(impression, InSketch(-frame[0], frame[1], magnified), f'fill="{INK}"'),
    ]
    if stamp.repair is not None:
        removed, added = (_magnified(each, magnified) for each in (stamp.repair.removed, stamp.repair.added))
        pieces.append(_region(removed, frame, f'fill="url(#taken)" stroke="{REMOVED}" stroke-width="0.1"'))
        pieces.append(_region(added, frame, f'fill="{ADDED}"'))
    pieces.extend(_mark(mark, frame) for mark in marks)
    return Drawing("\n".join(piece for piece in pieces if piece), width, height, marks)


def _magnified(region: Geometry, by: float) -> Geometry:
    larger: Geometry = region if by == 1.0 else affinity.scale(region, by, by, origin=(0, 0))
    return larger


def inline_svg(drawing: Drawing, *, scale: float = 1.0, label: str) -> str:
    """Return a drawing as an SVG element for a page, ``scale`` times true size, over a bar of 10 mm."""
    height = drawing.height + BAR_ROOM / scale
    return f"{opening(drawing.width, height, scale, label)}{drawing.body}{scale_bar(drawing, scale)}</svg>"


def scale_bar(drawing: Drawing, scale: float = 1.0) -> str:
    """Return a bar below a drawing that is 10 mm long on a page which shows the drawing ``scale`` times its size."""
    label = text(5, 3.4, "10 mm", size=2.3, fill=QUIET, look=' text-anchor="middle"')
    size = "" if scale == 1.0 else f" scale({1.0 / scale:.6f})"
    x, y = drawing.width / 2 - 5.0 / scale, drawing.height + 3.8 / scale
    return (
        f'<g transform="translate({x:.3f} {y:.3f}){size}"><path d="M0 -1V1M0 0H10M10 -1V1M5 -0.5V0.5" stroke="{INK}" '
        f'stroke-width="0.2" fill="none"/>{label}</g>'
    )


def sign_svg(severity: Severity, number: int, x: float, y: float) -> str:
    """Return a finding's sign: an octagon where it blocks, a triangle where it warns, a circle where it notes."""
    colour, filled = SEVERITY[severity], severity == "blocks"
    corners = "L".join(f"{_SIGN * right:.2f} {-_SIGN * up:.2f}" for right, up in sign_corners(severity))
    inside = f'fill="{colour}"' if filled else f'fill="{PAPER}" stroke="{colour}" stroke-width="0.35"'
    # The circle's corners lie on it.
    outline = (
        f'circle r="{_SIGN * sign_corners(severity)[0][0]:.2f}"' if severity == "notes" else f'path d="M{corners}Z"'
    )
    shape = f'<{outline} {inside} stroke-linejoin="round"/>'
    fill = PAPER if filled else colour
    size = 1.9 if number < 10 else 1.6
    drop = 0.85 if severity == "warns" else size * 0.36
    digits = text(0, drop, str(number), size=size, fill=fill, look=' text-anchor="middle" font-weight="700"')
    return f'<g transform="translate({x:.3f} {y:.3f})">{shape}{digits}</g>'


@dataclass(frozen=True)
class Told:
    """What the marks with one number have to say, in words."""

    severity: Severity
    number: int
    words: str


def tell(marks: Sequence[FindingMark]) -> tuple[Told, ...]:
    """Say marks in words, a number at a time: the kind, in how many places, and what is wrong.

    What would help is said where it can be done: paper shows neither settings nor buttons.
    """
    told = []
    for number, alike in groupby(marks, key=lambda mark: mark.number):
        first, *others = (mark.finding for mark in alike)
        many = f", {len(others) + 1} places; the first" if others else ""
        words = in_labels(f"{first.kind}{many}: {first.message.rstrip('. ')}.")
        told.append(Told(first.severity, number, words))
    return tuple(told)


def shortened(words: str, most: int) -> str:
    """Return words, cut off after ``most`` letters.

    >>> shortened("a long story", 7)
    'a long…'
    """
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"


def _line_to_sign(mark: FindingMark, frame: tuple[float, float]) -> str:
    """Draw the thin line from a finding's place to its sign."""
    if mark.sign is None or mark.spot is None:
        return ""
    (x, y), (to_x, to_y) = ((px - frame[0], frame[1] - py) for px, py in (mark.spot, mark.sign))
    colour = SEVERITY[mark.finding.severity]
    return f'<path d="M{x:.3f} {y:.3f}L{to_x:.3f} {to_y:.3f}" stroke="{colour}" stroke-width="0.14"/>'


def _mark(mark: FindingMark, frame: tuple[float, float]) -> str:
    """Draw a finding: a ring round its place, and its sign. What repair did is shown by what it added and removed."""
    place = mark.finding.place
    if place is None or mark.sign is None:
        return ""
    severity = mark.finding.severity
    look = f'fill="none" stroke="{SEVERITY[severity]}" stroke-width="0.16"'
    ring = "" if mark.finding.kind == MENDED else _region(place.buffer(0.3, quad_segs=4), frame, look)
    return ring + sign_svg(severity, mark.number, mark.sign[0] - frame[0], frame[1] - mark.sign[1])


def _region(region: BaseGeometry, frame: tuple[float, float], look: str) -> str:
    """Return a filled region as one path, from the paper frame to a drawing whose upper left corner is ``frame``."""
    data = path_data(affinity.affine_transform(region, (1, 0, 0, -1, -frame[0], frame[1])))
    return f'<path d="{data}" fill-rule="evenodd" {look}/>' if data else ""

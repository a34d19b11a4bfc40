"""The layer that prints: gaps that no bead fills, seams on its edges, parts that end below it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...findings import Finding
from ...plane.overlays import all_joined
from ..laid.areas import wide_parts, within, without
from ..laid.beads import Beads, width_of
from ..laid.covers import BEAD_HAIR
from ..laid.plate import LaidLayer

SEEN = 0.2
"""Width from which on gaps show, mm, where no job tells how far ink creeps: twice 0.1 mm."""

SPARSE = 0.03
"""Share of a layer that is gaps, from which on it is filled sparsely, and gaps in it are meant."""

NOTCH = 0.05
"""How deep a seam may notch an edge, mm, before it is told."""

CLOSED = 1.0
"""Widths of a bead within which a loop's end comes back to its start."""

LOOP = 3.0
"""Least length of a loop, mm."""

MOST_TOLD = 40
"""Places of one kind that are told."""

THICK, THIN = 2.5, 0.35
"""Sections of one bead, in usual ones, from which on its feed is no bead's: lines that fit their walls go from half
to double (common practice)."""

FEW = 0.1
"""Share of a layer's length up to which thin beads are faults."""

LEAST_GAP = 0.045
"""mm² of a gap from which on it is told: ink fills a hole 0.2 mm across."""

ALONG = 0.5
"""Least cosine between a loop's last way, or its first, and the gap that it leaves: a filling's lines lie beside it."""

UNEVEN = 0.05
"""mm³ by which a bead must be off before it is told."""


def gaps_on_face(face: MultiPolygon, below: MultiPolygon, width: float, seen: float) -> tuple[shapely.Polygon, ...]:
    """Return the gaps in what prints: no wider than ``width``, mm, wider than ``seen``, mm, and over something."""
    closed = face.buffer(width / 2, quad_segs=4).buffer(-width / 2, quad_segs=4)
    return wide_parts(within(without(closed, face), below), seen)


def left_out_between(layer: MultiPolygon, below: MultiPolygon, above: MultiPolygon) -> tuple[shapely.Polygon, ...]:
    """Return what a layer has not, though those above and below have it; nothing where filling is sparse."""
    parts = wide_parts(without(within(below, above), layer), SEEN)
    return parts if sum(part.area for part in parts) < SPARSE * layer.area else ()


def left_out_of(face: MultiPolygon, meant: MultiPolygon, width: float) -> tuple[shapely.Polygon, ...]:
    """Return what a face has not of the one meant, at least ``width`` mm wide."""
    return wide_parts(without(meant, face), width)


def pieces_left_out_of(
    face: MultiPolygon, meant: MultiPolygon, width: float, least: float
) -> tuple[shapely.Polygon, ...]:
    """Return the pieces that a face lacks of the one meant whose wide places, ``width`` mm, come to ``least`` mm²."""
    lacking = without(meant, face)
    pieces, places = wide_parts(lacking, BEAD_HAIR), wide_parts(lacking, width)
    if not pieces or not places:
        return ()
    # A strip about as wide as that falls into many small places, and is one piece all the same.
    at, inside = shapely.STRtree(pieces).query(places, predicate="intersects")
    area = np.bincount(inside, shapely.area(np.array(places))[at], len(pieces))
    return tuple(piece for piece, wide in zip(pieces, area.tolist(), strict=True) if wide > least)


def enclosed_by(
    face: MultiPolygon, parts: tuple[shapely.Polygon, ...], width: float
) -> tuple[tuple[shapely.Polygon, ...], tuple[shapely.Polygon, ...]]:
    """Return which parts are gaps in a face, no wider than ``width``, mm, and which lie at its edges or beside it."""
    closed = face.buffer(width / 2, quad_segs=4).buffer(-width / 2, quad_segs=4)
    shapely.prepare(closed)
    inside = [closed.intersects(part) and within(part, closed).area > 0.9 * part.area for part in parts]
    gaps = tuple(part for part, is_gap in zip(parts, inside, strict=True) if is_gap)
    return gaps, tuple(part for part, is_gap in zip(parts, inside, strict=True) if not is_gap)


def tell_gaps(gaps: tuple[shapely.Polygon, ...], layer: LaidLayer) -> Iterator[Finding]:
    """Yield the gaps in the layer that prints."""
    for gap in (gap for gap in gaps[:MOST_TOLD] if gap.area >= LEAST_GAP):
        yield Finding(
            kind="gap in a wall",
            severity="warns",
            stage="impression",
            message=f"No bead fills {_size(gap)} in layer {layer.number}, which prints, or does until dressed",
            remedy="Let the slicer fill narrow places: thinner lines, more walls, or full filling",
            place=gap,
            measured=float(gap.area),
            unit="mm²",
        )


def tell_left_out(parts: tuple[shapely.Polygon, ...], layer: LaidLayer, *, prints: bool) -> Iterator[Finding]:
    """Yield what was left out of a layer; ``prints``: whether it is the one that prints."""
    for part in parts[:MOST_TOLD]:
        yield Finding(
            kind="line left out" if prints else "gap inside",
            severity="warns" if prints else "notes",
            stage="impression" if prints else "build",
            message=f"Nothing is laid over {_size(part)} in layer {layer.number}, "
            + ("which prints, or does until dressed" if prints else "though it is above and below"),
            remedy="Look at that layer in the slicer; thinner lines let it lay what is narrow",
            place=part,
            measured=float(part.area),
            unit="mm²",
        )


def _size(region: shapely.Polygon) -> str:
    left, front, right, back = region.bounds
    return f"{region.area:.2f} mm² ({right - left:.1f} x {back - front:.1f} mm)"


def examine_seams(layer: LaidLayer, region: MultiPolygon) -> Iterator[Finding]:
    """Yield where loops on the edge of the layer that prints begin: all in one note, and each that stays open."""
    beads = layer.beads
    opens = np.flatnonzero(np.concatenate(([True], beads.run[1:] != beads.run[:-1])))
    length = np.add.reduceat(beads.length, opens)
    last = np.concatenate((opens[1:], [len(beads)])) - 1
    width = width_of(beads.section[opens], layer.height)
    start, end = beads.start[opens].astype(np.float64), beads.end[last].astype(np.float64)
    apart = np.hypot(*(start - end).T)
    loops = (length >= LOOP) & (apart <= CLOSED * width)
    outline = region.boundary
    shapely.prepare(outline)
    places = shapely.points(start)
    loops &= shapely.distance(places, outline) <= 0.6 * width
    loops &= (apart <= NOTCH) | _comes_round(beads, opens, last)
    if not loops.any():
        return
    notch = width / 2 - np.sqrt(np.maximum((width / 2) ** 2 - (apart / 2) ** 2, 0.0))
    yield Finding(
        kind="seams",
        severity="notes",
        stage="impression",
        message=f"{loops.sum()} loops on the edges of the face begin and end where a small bump or notch may show",
        remedy="Set seams to a corner, or away from fine parts",
        place=all_joined(shapely.buffer(places[loops], 0.2, quad_segs=2)),
        measured=float(loops.sum()),
        unit="",
    )
    for at in np.flatnonzero(loops & (notch > NOTCH))[:MOST_TOLD].tolist():
        yield Finding(
            kind="open seam",
            severity="warns",
            stage="impression",
            message=f"A loop ends {apart[at]:.2f} mm before it began: a notch of {notch[at]:.2f} mm in the edge",
            remedy="Let the slicer close its loops: no gap at the seam",
            place=places[at].buffer(0.3, quad_segs=2),
            measured=float(notch[at]),
            limit=NOTCH,
        )


def _comes_round(beads: Beads, opens: NDArray[np.intp], last: NDArray[np.intp]) -> NDArray[np.bool_]:
    """Return which runs of beads end on the way to where they began, by their first beads and their last."""
    gap = (beads.start[opens] - beads.end[last]).astype(np.float64)
    length = np.maximum(np.hypot(*gap.T), 1e-9)
    goes = np.zeros(len(opens), dtype=np.bool_)
    for at in (opens, last):
        way = (beads.end[at] - beads.start[at]).astype(np.float64)
        goes |= (way * gap).sum(axis=1) >= ALONG * length * np.hypot(*way.T)
    return goes


def uneven_beads(layer: LaidLayer, usual: float) -> Iterator[Finding]:
    """Yield the beads of a layer whose feed is no bead's; ``usual``: section over height in the whole thing, mm."""
    beads = layer.beads
    share = beads.section / ((usual or 1.0) * layer.height)
    off = np.abs(beads.section - usual * layer.height) * beads.length
    thin = share < THIN
    # A layer that is gone over again with hardly any feed has many thin beads, and they are meant.
    thin &= beads.length[thin].sum() < FEW * beads.length.sum()
    odd = np.flatnonzero(((share > THICK) | thin) & (off > UNEVEN))
    for at in odd[np.argsort(-off[odd], kind="stable")][:MOST_TOLD].tolist():
        yield Finding(
            kind="uneven bead",
            severity="warns",
            stage="build",
            message=f"A bead of {beads.length[at]:.1f} mm in layer {layer.number} is fed {share[at]:.1f} times as "
            f"usual: {'plastic heaps up' if share[at] > 1 else 'it comes out as a thread'}",
            remedy="Slice the die again; a line of the file may be missing",
            place=strip(beads, at),
            measured=float(share[at]),
            unit="",
        )


def strip(beads: Beads, at: int) -> shapely.Polygon:
    """Return a narrow region along a bead, mm."""
    line = shapely.linestrings([beads.start[at].astype(np.float64), beads.end[at].astype(np.float64)])
    return line.buffer(0.2, quad_segs=2)


def parts_ending_below(face: MultiPolygon, below: MultiPolygon, layer: LaidLayer, least: float) -> Iterator[Finding]:
    """Yield the parts of the layer below that the face has nothing over, at least ``least`` mm across."""
    parts = shapely.get_parts(below)
    held = np.zeros(len(parts), dtype=np.bool_)
    held[shapely.STRtree(shapely.get_parts(face)).query(parts, predicate="intersects")[0]] = True
    for part in parts[~held][:MOST_TOLD]:
        left, front, right, back = part.bounds
        if max(right - left, back - front) >= least:
            yield Finding(
                kind="line left out",
                severity="blocks",
                stage="impression",
                message=f"A part {max(right - left, back - front):.1f} mm across ends below the layer that prints, "
                f"{layer.number}",
                remedy="Widen it to a line at least, or let the slicer lay thinner lines",
                place=part,
                measured=float(part.area),
                unit="mm²",
            )

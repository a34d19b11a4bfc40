"""Cleaning artwork without changing its look: what is too small to see or print goes, and is reported."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ..findings import Finding
from ..plane.overlays import all_joined, without
from ..plane.regions import filled_parts
from .artwork import Artwork


def clean_artwork(artwork: Artwork, *, sliver: float = 0.02, outline: float = 0.0) -> Artwork:
    """Return the artwork with slivers and, on request, double outlines taken out.

    ``sliver``: islands and holes nowhere wider than this are dropped, mm; no nozzle
    lays them and no eye sees them. ``outline``: art drawn as two outlines a line's width apart is filled between them
    where the gap is no wider than this, mm; 0 leaves it alone. Every change is a finding with its area, mm².
    """
    findings: list[Finding] = []
    inked = artwork.inked
    if outline > 0:
        inked, filled = _without_gaps(inked, outline)
        _report(findings, "double outline", "ink was added between outlines drawn a line apart", filled)
    inked, islands, holes = _parted_from_slivers(inked, sliver)
    _report(findings, "sliver dropped", f"islands nowhere wider than {sliver:g} mm were dropped", islands)
    _report(findings, "sliver filled", f"gaps nowhere wider than {sliver:g} mm were filled", holes)
    return replace(artwork, inked=inked, findings=(*artwork.findings, *findings)) if findings else artwork


def without_slivers(region: MultiPolygon, width: float) -> MultiPolygon:
    """Return a region without islands nowhere wider than ``width``, mm."""
    parts = shapely.get_parts(region)
    return MultiPolygon(list(parts[~_nowhere_wider(parts, width)]))


def _without_gaps(inked: MultiPolygon, gap: float) -> tuple[MultiPolygon, BaseGeometry]:
    """Fill rings of paper no wider than ``gap`` that lie between two outlines of the same thing."""
    added = []
    for part in inked.geoms:
        for hole in part.interiors:
            paper = without(shapely.Polygon(hole), inked)
            between = [piece for piece in shapely.get_parts(paper) if piece.geom_type == "Polygon"]
            added += [piece for piece in between if piece.interiors and piece.buffer(-gap / 2).is_empty]
    if not added:
        return inked, MultiPolygon()
    whole = all_joined([inked, *added])
    return _as_multipolygon(whole), all_joined(added)


def _parted_from_slivers(inked: MultiPolygon, width: float) -> tuple[MultiPolygon, BaseGeometry, BaseGeometry]:
    """Return ink without islands and holes nowhere wider than ``width``, and what was dropped and filled."""
    parts = shapely.get_parts(inked)
    thin = _nowhere_wider(parts, width)
    islands, kept = parts[thin], parts[~thin]
    filled = []
    clean = []
    for part in kept:
        if not part.interiors:
            clean.append(part)
            continue
        holes = shapely.polygons(list(part.interiors))
        narrow = _nowhere_wider(holes, width)
        filled += list(holes[narrow])
        clean.append(
            shapely.Polygon(part.exterior, [hole.exterior for hole in holes[~narrow]]) if narrow.any() else part
        )
    return MultiPolygon(clean), MultiPolygon(list(islands)), all_joined(filled)


def _nowhere_wider(
    parts: np.ndarray[tuple[int], np.dtype[np.object_]], width: float
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    thin = np.zeros(len(parts), dtype=bool)
    # What holds a disc has at least the disc's share of area to outline; only the rest needs the exact look.
    doubtful = np.flatnonzero(shapely.area(parts) < shapely.length(parts) * width / 2)
    thin[doubtful] = shapely.is_empty(shapely.buffer(parts[doubtful], -width / 2))
    return thin


def _as_multipolygon(region: BaseGeometry) -> MultiPolygon:
    oriented: MultiPolygon = shapely.orient_polygons(filled_parts(region))
    return oriented


def _report(findings: list[Finding], kind: str, message: str, region: BaseGeometry) -> None:
    if not region.is_empty:
        findings.append(replace(_finding(kind, f"{message}: {region.area:.3g} mm²", region.area, "mm²"), place=region))


def _finding(kind: str, message: str, measured: float, unit: str) -> Finding:
    return Finding(
        kind=kind,
        severity="notes",
        stage="artwork",
        message=message,
        remedy="Nothing to do: it is too small to be seen in print.",
        measured=measured,
        unit=unit,
    )

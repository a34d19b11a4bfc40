"""Parts and counters that print otherwise than they were given: run together, fallen apart, lost, opened, closed.

Both drawings are taken as an eye sees them (``EYE``), and always to the stamp's favour: parts count as
apart in the art only over gaps that an eye sees, and as one in print only over bridges that it sees; and so on.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from ..job.kinds import COUNTER_LOST, COUNTER_OPENED, FELL_APART, GAP_CLOSED, PART_LOST, RUN_TOGETHER
from ..plane.overlays import all_joined, without
from ..plane.regions import filled_parts
from ..preflight.limits import EYE
from .changes import Change
from .matching import FINEST, InkApart, Overlaps, Regions, clusters, overlaps, within_sight

LEAST_PRINTED = 0.25
"""Share of a part of which less in print is nothing: no reader takes the stump for the part."""

_MARGIN = 0.1  # round the places of what has no area of its own, mm


def parts_changed(
    given: InkApart, printed: InkApart, met: Overlaps, unlaid: NDArray[np.intp] | None = None
) -> Iterator[Change]:
    """Yield the parts that ran together, fell apart or are lost.

    ``met``: given parts over printed ones. ``unlaid``: indices of given parts that are too narrow for the printer.
    """
    narrow = set() if unlaid is None else set(unlaid.tolist())
    for print_at, parts in enumerate(met.ones_of(len(printed.parts))):
        if len(parts) > 1:
            yield from _run_together(printed.plain[print_at], given.parts[parts])
    for given_at, prints in enumerate(met.others_of(len(given.parts))):
        if len(prints) > 1:
            yield from _fell_apart(given.parts[given_at], printed.parts[prints])
    left = np.bincount(met.one, weights=met.common, minlength=len(given.parts)) / shapely.area(given.parts)
    for at in np.flatnonzero(left < LEAST_PRINTED).tolist():
        part = given.parts[at]
        yield Change(
            kind=PART_LOST,
            place=part,
            area=float(part.area * (1 - left[at])),
            share=float(1 - left[at]),
            size=across(part),
            laid=at not in narrow,
        )


def counters_changed(given: InkApart, printed: InkApart, unlaid: NDArray[np.intp] | None = None) -> Iterator[Change]:
    """Yield the counters that are lost, opened or divided, and the bays that print as counters.

    ``unlaid``: as for :func:`parts_changed`; what becomes of the counters in such parts follows from that.
    """
    met = overlaps(printed.papers, given.papers)
    kept = within_sight(printed.papers, EYE)
    # What is left of a counter may be seen, or too little for that.
    seen = _picked(met, kept[met.one])
    left = seen.ones_of(len(given.papers))
    alone = np.array([at for at, papers in enumerate(left) if not len(papers)], dtype=np.intp)
    alone = alone[within_sight(given.papers[alone], EYE)]
    yield from _counters_gone(given, printed, alone, np.unique(met.other), unlaid)
    narrow = np.isin(given.walls, () if unlaid is None else unlaid)
    for papers in seen.others_of(len(printed.papers)):
        # Counters that print as one: the wall between them is gone, and that is the wall of all but the largest.
        for at in papers[np.argsort(-shapely.area(given.papers[papers]), kind="stable")][1:].tolist():
            paper = given.papers[at]
            yield Change(kind=COUNTER_OPENED, place=paper, size=across(paper), share=1.0, laid=not narrow[at])
    # What is enclosed now and was not, with the paper that it is cut off from: outside there is nothing to name.
    fresh = kept.copy()
    fresh[met.one] = False
    bays = [(at, -1) for at in np.flatnonzero(fresh).tolist()]
    sizes = shapely.area(printed.papers)
    for papers in left:
        largest = papers[sizes[papers].argmax()] if len(papers) > 1 else -1
        bays += [(at, int(largest)) for at in papers.tolist() if at != largest and len(papers) > 1]
    if bays:
        yield from _cut_off(given, printed, np.array(bays, dtype=np.intp))


def across(region: BaseGeometry) -> float:
    """Return the longer side of a region's bounds, mm."""
    left, bottom, right, top = region.bounds
    return float(max(right - left, top - bottom))


def _run_together(print_: BaseGeometry, parts: Regions) -> Iterator[Change]:
    """Yield, for parts that one print joins by bridges that are seen, each nearest pair of them."""
    apart = clusters(parts, EYE)
    if (apart == apart[0]).all():
        return
    cores = shapely.get_parts(shapely.buffer(print_, -EYE / 2, quad_segs=2))
    core, part = shapely.STRtree(parts).query(cores, predicate="intersects")
    for at in range(len(cores)):
        inside = part[core == at]
        groups = np.unique(apart[inside])
        if len(groups) > 1:
            yield from _nearest_pairs(parts[inside], apart[inside])


def _nearest_pairs(parts: Regions, group: NDArray[np.intp]) -> Iterator[Change]:
    """Yield a change for each group of parts and the nearest other; the last with itself left out."""
    told: set[tuple[int, int]] = set()
    numbers = np.unique(group)
    members = np.split(parts[np.argsort(group, kind="stable")], np.cumsum(np.bincount(group)[numbers])[:-1])
    wholes = np.array([each[0] if len(each) == 1 else all_joined(each) for each in members], dtype=object)
    for a, b in enumerate(_nearest(wholes).tolist()):
        pair = (min(a, b), max(a, b))
        if pair in told:
            continue
        told.add(pair)
        way = shapely.shortest_line(wholes[a], wholes[b])
        yield Change(
            kind=RUN_TOGETHER,
            place=shapely.buffer(way, _MARGIN, quad_segs=2),
            width=float(way.length),
            size=min(across(wholes[a]), across(wholes[b])),
        )


def _nearest(regions: Regions) -> NDArray[np.intp]:
    """Return for each of several regions, apart from each other, the number of the one that is nearest to it.

    Plain outlines tell which can be; only where that leaves a choice are all points looked at.
    """
    plain = shapely.simplify(shapely.boundary(regions), FINEST, preserve_topology=False)
    tree = shapely.STRtree(plain)
    (one, _), off = tree.query_nearest(plain, exclusive=True, all_matches=False, return_distance=True)
    reach = np.zeros(len(regions))
    reach[one] = off + 4 * FINEST
    at, other = tree.query(plain, predicate="dwithin", distance=reach)
    at, other = at[at != other], other[at != other]
    doubtful = np.bincount(at, minlength=len(regions))[at] > 1
    apart = np.zeros(len(at))
    apart[doubtful] = shapely.distance(regions[at[doubtful]], regions[other[doubtful]])
    order = np.lexsort((apart, at))[::-1]
    nearest = np.zeros(len(regions), dtype=np.intp)
    # Written last is the nearest.
    nearest[at[order]] = other[order]
    return nearest


def _fell_apart(part: BaseGeometry, prints: Regions) -> Iterator[Change]:
    """Yield a change when a part's pieces stand apart as an eye sees it, where it held together as an eye sees it."""
    apart = clusters(prints, EYE)
    if (apart == apart[0]).all():
        return
    cores = shapely.get_parts(shapely.buffer(part, -EYE / 2, quad_segs=2))
    core, piece = shapely.STRtree(prints).query(cores, predicate="intersects")
    for at in range(len(cores)):
        pieces = piece[core == at]
        groups = np.unique(apart[pieces])
        if len(groups) > 1:
            shapes = [all_joined(prints[pieces[apart[pieces] == group]]) for group in groups]
            shapes.sort(key=lambda shape: -shape.area)
            way = shapely.shortest_line(shapes[0], shapes[1])
            yield Change(
                kind=FELL_APART,
                place=shapely.buffer(way, _MARGIN, quad_segs=2),
                width=float(way.length),
                share=float(sum(shape.area for shape in shapes[1:]) / sum(shape.area for shape in shapes)),
                size=across(shapes[1]),
            )


def _counters_gone(
    given: InkApart,
    printed: InkApart,
    gone: NDArray[np.intp],
    pierced: NDArray[np.intp],
    unlaid: NDArray[np.intp] | None,
) -> Iterator[Change]:
    """Yield what became of counters that nothing seen is left of: they are filled, or open to what is round them.

    ``gone``, ``pierced``: indices of given papers; in the latter some print still encloses paper, if only a pinhole.
    """
    papers, walls = given.papers[gone], given.walls[gone]
    narrow = np.isin(walls, () if unlaid is None else unlaid)
    filled = np.isin(gone, pierced)
    filled[shapely.STRtree(papers).query(printed.parts, predicate="covers")[1]] = True
    for at in np.flatnonzero(~filled).tolist():
        near = printed.parts[printed.tree.query(papers[at], predicate="intersects")]
        left = without(papers[at], all_joined(near))
        filled[at] = not within_sight(np.array([left], dtype=object), EYE)[0]
    # A wall with many small counters loses as much by them as by a large one.
    count = len(given.parts)
    lost = np.bincount(walls, weights=filled * shapely.area(papers), minlength=count)
    whole = np.zeros(count)
    whole[walls] = shapely.area(given.parts[walls])
    np.add.at(whole, given.walls, shapely.area(given.papers) * np.isin(given.walls, walls))
    for at, wall in enumerate(walls.tolist()):
        area = float(papers[at].area)
        yield Change(
            kind=COUNTER_LOST if filled[at] else COUNTER_OPENED,
            place=papers[at],
            area=area if filled[at] else 0.0,
            share=float((lost[wall] if filled[at] else area) / whole[wall]),
            size=across(given.parts[wall]),
            laid=not narrow[at],
        )


def _cut_off(given: InkApart, printed: InkApart, bays: NDArray[np.intp]) -> Iterator[Change]:
    """Yield a change for each bay of a single part that prints closed; of parts that ran together, that is said.

    ``bays``: (n, 2) indices of printed papers, the bay and what it is cut off from, -1 for the paper round all.
    """
    papers = printed.papers[bays[:, 0]]
    nearest, off = given.tree.query_nearest(papers, return_distance=True, all_matches=False)
    reach = np.zeros(len(papers))
    reach[nearest[0]] = 1.01 * off + EYE
    at, beside = given.near(papers, reach)
    one = np.bincount(at, minlength=len(papers))[at] == 1
    at, beside = at[one], beside[one]
    for part in np.unique(beside).tolist():
        # A mouth that no eye sees was closed before.
        closed = InkApart.of(filled_parts(shapely.buffer(given.parts[part], EYE / 2, quad_segs=2))).papers
        whole = shapely.area(shapely.Polygon(given.parts[part].exterior))
        for bay in at[beside == part].tolist():
            around = closed[shapely.intersects(closed, papers[bay])]
            main = bays[bay, 1]
            if len(around) and (main < 0 or not shapely.intersects(around, printed.papers[main]).any()):
                continue
            area = float(shapely.Polygon(papers[bay].exterior).area)
            yield Change(
                kind=GAP_CLOSED,
                place=papers[bay],
                area=area,
                share=area / (whole + (area if main < 0 else 0.0)),
                size=across(given.parts[part]),
            )


def _picked(met: Overlaps, which: NDArray[np.bool_]) -> Overlaps:
    return Overlaps(met.one[which], met.other[which], met.common[which])

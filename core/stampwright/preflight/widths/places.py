"""Places: middle lines gathered into the lines, tapers and gaps that a user would point at."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from typing import NamedTuple, cast

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from ...plane.links import least_labels
from .edges import MEASURING_ERROR, Edges, Flags, Floats, Wholes
from .middles import MiddleLines, join_lines

LONGEST_TAPER = 8.0
"""A taper no longer than this many limits is the pointed end of something; a longer one is a line of its own."""

_ASIDE = np.radians([0.0, 30.0, -30.0])
"""Turns by which broad ink beside a neck may lie aside from where that leads."""

_APART = 0.5
"""Lines along one edge are parted by a stretch broader than the limit and longer than this share of it."""

_MOST_STEPS = 40
"""Discs that are laid one after the other at the most, to see whether a narrow end runs into something broader."""

_MANY_CELLS = 200
"""A place in more cells than this, of its limit's size, is shown by the cells."""


@dataclass(frozen=True, eq=False)
class NarrowPlace:
    """One connected stretch that is narrower than ``limit`` mm.

    ``sources`` are the indices of the lines that ``lines`` were cut from. ``mouths`` counts where the stretch widens to
    the limit: none in a line that is narrow throughout, one in a taper, two or more in a waist. ``openings`` counts
    where it does not, but runs into something broader all the same. ``reach``: of a tip, whose lines may not show all
    of it, how far it reaches beyond the broad ink, mm.
    """

    lines: MiddleLines
    sources: Wholes
    limit: float
    mouths: int
    openings: int = 0
    reach: float = 0.0

    @property
    def narrowest(self) -> float:
        """Least width, mm."""
        return float(self.lines.narrowest.min())

    @property
    def usual(self) -> float:
        """Width that half of the stretch is narrower than, mm."""
        lengths = self.lines.lengths
        if not lengths.any():
            return self.narrowest
        order = np.argsort(self.lines.narrowest, kind="stable")
        at = np.searchsorted(np.cumsum(lengths[order]), lengths.sum() / 2)
        return float(self.lines.narrowest[order[min(int(at), len(order) - 1)]])

    @property
    def length(self) -> float:
        """Length of the stretch with its branches, mm."""
        return max(float(self.lines.lengths.sum()), self.reach)

    @property
    def at(self) -> tuple[float, float]:
        """Centre of the narrowest disc, mm."""
        thinnest = int(self.lines.narrowest.argmin())
        from_start = self.lines.start_widths[thinnest] <= self.lines.end_widths[thinnest]
        x, y = (self.lines.starts if from_start else self.lines.ends)[thinnest]
        return float(x), float(y)

    @property
    def tapers_off(self) -> bool:
        """Whether this is the short end of something that grows narrower."""
        return self.mouths == 1 and self.is_short

    @property
    def is_point(self) -> bool:
        """Whether this is the short end of something, come to a point; a throat, however narrow, is none."""
        at_throat = self.lines.lengths[self.lines.narrowest.argmin()] == 0.0
        one_way_on = self.mouths + self.openings == 1
        comes_to_nothing = self.narrowest < min(self.limit / 4, self.lines.widest / 2)
        return one_way_on and self.is_short and comes_to_nothing and not at_throat

    @property
    def is_nothing(self) -> bool:
        """Whether this is smaller both ways than anything is measured to, such as a barb where outlines were joined."""
        return self.length + self.lines.widest < MEASURING_ERROR

    @property
    def is_short(self) -> bool:
        """Whether this is short enough for the end of something."""
        return self.length <= LONGEST_TAPER * self.limit

    def is_neck(self, share: float) -> bool:
        """Whether this is a narrow passage or a bump, its length at most a share of its width."""
        return self.length <= share * self.narrowest and not self.is_point

    def region(self) -> BaseGeometry:
        """Return a small region that covers the place, for showing it; coarse on purpose."""
        lines = self.lines.divided(self.limit)
        points = np.concatenate([lines.starts, lines.ends])
        cells = np.floor(points / self.limit).astype(np.int64)
        column, row = (cells - cells.min(axis=0)).T
        chosen = np.unique(column * (row.max() + 1) + row, return_index=True)[1]
        if len(chosen) > _MANY_CELLS:
            return _around_cells(cells[chosen], self.limit)
        # Points of cells side by side can lie nearly two limits apart.
        spots = shapely.multipoints(points[chosen])
        return cast(BaseGeometry, shapely.buffer(spots, 1.3 * self.limit, quad_segs=3))


def _around_cells(cells: Wholes, size: float) -> BaseGeometry:
    """Return the squares of a grid, (n, 2) int, and of those around them as one region; ``size``: of each, mm.

    Squares that share their edges are joined far quicker than discs that overlap.
    """
    around = np.stack(np.meshgrid([-1, 0, 1], [-1, 0, 1]), axis=-1).reshape(-1, 2)
    column, row = np.unique((cells[:, None] + around).reshape(-1, 2), axis=0).T
    squares = shapely.box(column * size, row * size, (column + 1) * size, (row + 1) * size)
    return shapely.coverage_union_all(squares)


def find_places(lines: MiddleLines, limit: float) -> list[NarrowPlace]:
    """Gather middle lines that are narrower than ``limit`` mm into places; those that belong together share one.

    What misses the limit by less than the measuring error is taken to keep it.
    """
    kept_limit = limit - MEASURING_ERROR
    sources = np.flatnonzero(lines.narrowest < kept_limit)
    narrow = lines.below(kept_limit)
    labels = _connected(narrow, limit)
    order = np.argsort(labels, kind="stable")
    gathered = np.split(order, np.flatnonzero(np.diff(labels[order])) + 1)
    places = []
    for members in gathered:
        if len(members):
            chosen = narrow.only(members)
            places.append(NarrowPlace(chosen, sources[members], limit, _count_mouths(chosen, kept_limit)))
    return _with_openings(places)


def joins_broad_ink(places: list[NarrowPlace], reach: float) -> Flags:
    """Say of each of some necks whether ink as broad as its limit lies on both sides, within ``reach`` mm of it.

    Where ink ends so near on one side, as the tip of a corner does, that on the other is enough.
    """
    if not places:
        return np.zeros(0, dtype=bool)
    outline = places[0].lines.outline
    tree = outline.tree
    centres = np.array([place.at for place in places])
    on = np.array([_way_on(place) for place in places])
    half = np.array([place.limit for place in places]) / 2 - MEASURING_ERROR
    broad, ended = np.zeros((2, len(places)), dtype=bool), np.zeros((2, len(places)), dtype=bool)
    for side, turn, share in itertools.product((0, 1), _ASIDE, (1.0, 0.8, 0.6)):
        cos, sin = np.cos(turn + np.pi * side), np.sin(turn + np.pi * side)
        ahead = centres + share * reach * on @ np.array([[cos, sin], [-sin, cos]])
        (_, edge), clear = tree.query_nearest(shapely.points(ahead), return_distance=True, all_matches=False)
        inside = np.einsum("ij,ij->i", ahead - outline.starts[edge], outline.inward[edge]) > 0
        broad[side] |= inside & (clear >= half)
        if turn == 0.0:
            ended[side] |= ~inside
    return np.asarray(broad.any(axis=0) & (broad | ended).all(axis=0) & on.any(axis=1))


def _way_on(place: NarrowPlace) -> Floats:
    """Return the direction in which a neck leads on, (2,), of length 1; nothing where it has none."""
    thinnest = int(place.lines.narrowest.argmin())
    along = place.lines.ends[thinnest] - place.lines.starts[thinnest]
    if place.lines.lengths[thinnest] == 0.0:
        # A throat is as narrow as its corner lies near to what is across.
        to_corner = place.lines.outline.starts[place.lines.edges[thinnest, 0]] - place.lines.starts[thinnest]
        along = np.array([-to_corner[1], to_corner[0]])
    return np.asarray(along / max(float(np.hypot(*along)), 1e-12))


def sources_of(places: list[NarrowPlace], count: int) -> Flags:
    """Say of each of ``count`` lines whether one of the places was cut from it."""
    chosen = np.zeros(count, dtype=bool)
    for place in places:
        chosen[place.sources] = True
    return chosen


def _with_openings(places: list[NarrowPlace]) -> list[NarrowPlace]:
    """Count the openings of those places that may be points for them."""
    doubtful = [place for place in places if not place.mouths and place.is_short and place.narrowest < place.limit / 4]
    if not doubtful:
        return places
    counts = dict(zip(map(id, doubtful), _count_openings(doubtful).tolist(), strict=True))
    return [replace(place, openings=counts.get(id(place), 0)) for place in places]


def _count_openings(places: list[NarrowPlace]) -> Wholes:
    """Count, for each place, (n,), the loose ends of its lines from which ever larger discs lead on to the limit.

    Each disc is centred within the one before it, so that no step leaves the region.
    """
    lines, limit = join_lines([place.lines for place in places]), places[0].limit
    owner = np.tile(np.repeat(np.arange(len(places)), [len(place.lines) for place in places]), 2)
    ends = np.concatenate([lines.starts, lines.ends])
    others = np.concatenate([lines.ends, lines.starts])
    radii = np.concatenate([lines.start_widths, lines.end_widths]) / 2
    loose = np.flatnonzero(_stand_alone(ends, owner, 0.02 * limit))
    owner, centres, radii = owner[loose], ends[loose], radii[loose]
    ahead = centres - others[loose]
    ahead /= np.maximum(np.hypot(*ahead.T), 1e-12)[:, None]
    arrived = np.zeros(len(radii), dtype=bool)
    going = np.arange(len(radii))
    for _ in range(_MOST_STEPS):
        centres[going] += 0.9 * radii[going, None] * ahead[going]
        clear = lines.outline.chains.distances(centres[going])
        arrived[going] = clear >= limit / 2
        growing = (clear > 1.02 * radii[going]) & ~arrived[going]
        radii[going] = np.where(growing, clear, 0.0)
        # What waits at one end tries again as long as another end of its place leads on.
        leads_on = np.bincount(owner[going], growing, minlength=len(places)) > 0
        going = going[leads_on[owner[going]]]
        if not len(going):
            break
    return np.bincount(owner[arrived], minlength=len(places))


def _stand_alone(points: Floats, owner: Wholes, distance: float) -> Flags:
    """Say of each point, (n, 2), whether no other of the same owner lies within ``distance``."""
    spots = shapely.points(points)
    one, other = shapely.STRtree(spots).query(spots, predicate="dwithin", distance=distance)
    alone = np.ones(len(points), dtype=bool)
    alone[one[(one != other) & (owner[one] == owner[other])]] = False
    return alone


def _count_mouths(lines: MiddleLines, limit: float) -> int:
    wide = np.concatenate(
        [lines.starts[lines.start_widths > limit - 1e-6], lines.ends[lines.end_widths > limit - 1e-6]]
    )
    mouths: list[Floats] = []
    for point in wide:
        # Pieces that meet at a mouth each bring its centre.
        if all(np.hypot(*(point - other)) > 0.75 * limit for other in mouths):
            mouths.append(point)
            if len(mouths) == 2:
                break
    return len(mouths)


class _Touches(NamedTuple):
    """Stretches of edges that middle lines go along: of ``line`` on ``edge``, (n,), from and to where on it, mm."""

    line: Wholes
    edge: Wholes
    first: Floats
    last: Floats

    @staticmethod
    def of(lines: MiddleLines) -> _Touches:
        edges: Edges = lines.outline
        which = np.arange(len(lines))
        touches = []
        for touched in lines.edges.T:
            ends = [
                np.einsum("ij,ij->i", centres - edges.starts[touched], edges.along[touched])
                for centres in (lines.starts, lines.ends)
            ]
            touches.append(_Touches(which, touched, np.minimum(*ends), np.maximum(*ends)))
        # A throat touches the corner at the start of its edges, which ends the edge before it too.
        throats = (lines.lengths == 0.0).nonzero()[0]
        before = edges.leading[lines.edges[throats, 0]]
        touches.append(_Touches(throats, before, edges.lengths[before], edges.lengths[before]))
        return _Touches(*(np.concatenate(each) for each in zip(*touches, strict=True)))


def _connected(lines: MiddleLines, limit: float) -> Wholes:
    """Return a label for each line: those share it that go on along the same edge, or along edges that follow.

    What is broad between them parts them, however the outline is cut into edges: serifs beside a stem are two.
    """
    edges, touches = lines.outline, _Touches.of(lines)
    order = np.lexsort((touches.first, touches.edge))
    line, edge, first, last = (each[order] for each in touches)
    # Edges are laid behind each other, so that one run along all of them tells how far each has been touched.
    offset = np.cumsum(edges.lengths + 4 * limit)[edge]
    touched = np.maximum.accumulate(last + offset) if len(last) else last
    opens = np.append(True, (first + offset)[1:] > touched[:-1] + _APART * limit)[: len(edge)]
    run = np.cumsum(opens) - 1
    heads, tails = np.flatnonzero(opens), np.append(np.flatnonzero(opens)[1:], len(edge))[: opens.sum()] - 1
    # No inscribed disc reaches into an outward corner; inward ones part what lies on their two sides.
    slack = np.where(edges.turns > 0, 0.5 * limit, 0.1 * limit)
    on = edge[heads]
    starting, ending = np.full(len(edges), -1), np.full(len(edges), -1)
    near_start, near_end = (
        first[heads] < slack[on],
        (touched - offset)[tails] > (edges.lengths - slack[edges.following])[on],
    )
    starting[on[near_start]] = np.flatnonzero(near_start)
    ending[on[near_end]] = np.flatnonzero(near_end)
    follows = np.flatnonzero((ending >= 0) & (starting[edges.following] >= 0))
    over = np.column_stack([ending[follows], starting[edges.following[follows]]])
    by_line = np.argsort(line, kind="stable")
    same = line[by_line][1:] == line[by_line][:-1]
    across = np.column_stack([run[by_line][:-1], run[by_line][1:]])[same]
    labels = least_labels(len(heads), np.concatenate([across, over]))
    of_line = np.zeros(len(lines), dtype=np.intp)
    of_line[line] = run
    return labels[of_line]

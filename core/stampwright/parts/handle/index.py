"""The index: the small picture of the impression on the handle's top, reading right seen from above."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon

from ...findings import Finding
from ...memory import Memory
from ...plane.overlays import common, in_each, without
from ...plane.regions import filled_parts, sound_parts
from ...preflight.widths.middles import measure_line_widths
from ...preflight.widths.places import find_places
from ...solids.lathe import CHORD_TOLERANCE

BORDER = 1.2
"""Clear width round the index on the flat, mm."""

LEAST_FLAT = 6.0
"""Width of a flat, mm, under which an index is no picture."""

DETAIL = 0.02
"""Detail of the index that is left out before it is fitted, mm: far finer than a nozzle."""

LIKENESS = 0.6
"""Intersection over union of the printable index and the true one, below which it hardly reads."""


LEGIBLE = 0.5
"""Share of the picture's parts and counters that must stand by themselves for it to be read (assumed)."""


STEP = 1.02
"""Sizes of an index differ by this factor: it stays as it is where a handle's top changes by a hair, as in a drag."""

PLACE = 0.01
"""Where the middle of an index lies is told in whole steps of this, mm."""

_Affine = tuple[float, float, float, float, float, float]


def index_region(
    inked: MultiPolygon, flat: Polygon, width: float, *, memory: Memory | None = None
) -> tuple[MultiPolygon, tuple[Finding, ...]]:
    """Return the artwork scaled to the flat and made printable, paper frame, mm, and what was found about it.

    ``inked``: the artwork on the base; ``flat``: the level top; ``width``: of the printer's lines, mm. Empty when the
    flat is too small. Lines and gaps under the width would not print at this scale: lines are thickened to it and gaps
    closed, and a finding says from what width. It warns where the picture hardly reads any more. ``memory``: what was
    made before: as long as the picture has the same size and place, it is not drawn again.
    """
    if inked.is_empty:
        return MultiPolygon(), ()
    board = _board(flat)
    if board.is_empty:
        return MultiPolygon(), (_no_room(flat),)
    # Room for lines at the edge to be thickened in.
    matrix = _placed_on(inked, board.buffer(-width / 2, join_style="mitre"))
    if matrix is None:
        return MultiPolygon(), (_no_room(flat),)
    return (memory or Memory()).recall(_drawn, inked, matrix, width)


def _drawn(inked: MultiPolygon, matrix: _Affine, width: float) -> tuple[MultiPolygon, tuple[Finding, ...]]:
    """Return ink taken through a matrix and made printable, and what was found about it."""
    small = _plainer(affinity.affine_transform(inked, matrix), DETAIL)
    thick = _thickened(small, width)
    printable, dropped = _closed(thick, width)
    return printable, _examined(small, thick, printable, dropped, width)


def _board(flat: Polygon) -> Polygon:
    """Return the convex part of the flat that an index may fill; empty when it is under :data:`LEAST_FLAT` across."""
    inner = flat.buffer(-BORDER, join_style="mitre")
    if inner.is_empty or 2 * shapely.maximum_inscribed_circle(inner, tolerance=0.05).length < LEAST_FLAT - 2 * BORDER:
        return Polygon()
    if inner.geom_type == "Polygon" and inner.area > 0.98 * inner.convex_hull.area:
        return inner.convex_hull.simplify(0.01).buffer(-0.01) if inner.convex_hull.area > inner.area else inner
    widest = shapely.maximum_inscribed_circle(inner, tolerance=0.05)
    board: Polygon = shapely.Point(widest.coords[0]).buffer(widest.length)
    return board


def _placed_on(inked: MultiPolygon, board: Polygon) -> _Affine | None:
    """Return what takes ink to its middle on a convex board, as large as that holds it; None where it holds none."""
    corners = shapely.get_coordinates(inked.convex_hull)
    left, bottom, right, top = inked.bounds
    circle = shapely.minimum_bounding_circle(inked.convex_hull).centroid
    middles = [np.array([(left + right) / 2, (bottom + top) / 2]), np.array([circle.x, circle.y])]
    place = np.round(np.array([board.centroid.x, board.centroid.y]) / PLACE) * PLACE
    scales = [_largest_scale(corners - middle, board, place) for middle in middles]
    best = int(np.argmax(scales))
    if not scales[best] > 0.0:
        return None
    scale = STEP ** math.floor(math.log(scales[best], STEP))
    x, y = (place - scale * middles[best]).tolist()
    return scale, 0.0, 0.0, scale, x, y


def _plainer(region: MultiPolygon, tolerance: float) -> MultiPolygon:
    """Return a region without detail up to ``tolerance`` mm, in the quick way unless outlines then cross."""
    plain = shapely.simplify(region, tolerance, preserve_topology=False)
    return sound_parts(plain if plain.is_valid else shapely.simplify(region, tolerance))


def _largest_scale(corners: NDArray[np.float64], board: Polygon, place: NDArray[np.float64]) -> float:
    """Return the largest scale at which corners about the origin, moved to ``place``, stay within a convex board."""
    ring = shapely.get_coordinates(shapely.orient_polygons(board).exterior) - place
    edges = np.diff(ring, axis=0)
    normals = np.column_stack((edges[:, 1], -edges[:, 0])) / np.linalg.norm(edges, axis=1, keepdims=True)
    room = (normals * ring[:-1]).sum(axis=1)
    reach = (corners @ normals.T).max(axis=0)
    reaching = reach > 1e-9
    return float((room[reaching] / reach[reaching]).min()) if reaching.any() else 0.0


def _thickened(small: MultiPolygon, width: float) -> MultiPolygon:
    """Thicken what is narrower than ``width`` mm to it."""
    half = width / 2
    # Part by part: of all at once, every outline would be looked at along with all others.
    parts = shapely.get_parts(small)
    sturdy = shapely.buffer(shapely.buffer(parts, -0.98 * half, quad_segs=4), half, quad_segs=4)
    thin = shapely.get_parts(shapely.get_parts(in_each(without, parts, sturdy)))
    areas = shapely.area(thin)
    thin, areas = thin[areas > 0.05 * width * width], areas[areas > 0.05 * width * width]
    if not len(thin):
        return small
    # A strip's width is twice its area over its outline's length, near enough; what is missing is added half a side.
    grown = shapely.buffer(thin, np.maximum(0.0, half - areas / shapely.length(thin)), quad_segs=4)
    # Widened by nothing, parts that lie over each other become one, in a fraction of the time that uniting them takes.
    return filled_parts(shapely.buffer(shapely.multipolygons(np.append(parts, grown)), 0.0))


def _closed(thick: MultiPolygon, width: float) -> tuple[MultiPolygon, MultiPolygon]:
    """Close the gaps narrower than ``width`` mm; returns what prints, and apart from it what is too small to."""
    half = 0.98 * width / 2
    closed = shapely.get_parts(filled_parts(thick.buffer(half, quad_segs=4).buffer(-half, quad_segs=4)))
    large = shapely.area(closed) > half * half
    solid = shapely.multipolygons(_without_pinholes(closed[large], width))
    # Rounded corners bring points nearer to each other than those of any other curve of a handle.
    return _plainer(solid, CHORD_TOLERANCE), MultiPolygon(list(closed[~large]))


def _without_pinholes(parts: NDArray[np.object_], width: float) -> NDArray[np.object_]:
    rings, owner = shapely.get_rings(parts, return_index=True)
    kept = shapely.area(shapely.polygons(rings)) > width * width / 2
    # The first ring of each is its outer one.
    kept |= np.diff(owner, prepend=-1) > 0
    return np.asarray(shapely.polygons(rings[kept], indices=owner[kept]))


def _examined(
    small: MultiPolygon, thick: MultiPolygon, printable: MultiPolygon, dropped: MultiPolygon, width: float
) -> tuple[Finding, ...]:
    slight = 0.01 * small.area
    thinnest = _thinnest(small, width) if thick.area - small.area > slight else width
    done = []
    if thinnest < 0.95 * width:
        done.append(f"lines of {thinnest:.2f} mm were thickened")
    standing, shapes = _standing(small, printable)
    # A closed counter is little ink, and all the difference to a reader.
    if printable.area - thick.area > slight or (standing < shapes and dropped.is_empty):
        done.append("narrow gaps were closed")
    if dropped.area > slight:
        done.append("specks were left out")
    if not done:
        return ()
    # Thickening and closing only add: of the true picture all is kept but what was dropped.
    kept = small.area - common(small, dropped).area
    likeness = kept / (small.area + printable.area - kept)
    reads = likeness >= LIKENESS and standing >= LEGIBLE * shapes
    return (
        Finding(
            kind="index simplified" if reads else "index hard to read",
            severity="notes" if reads else "warns",
            stage="build",
            message=(
                f"on the handle's top {' and '.join(done)}, to print with a line width of {width:g} mm; "
                f"{standing} of the picture's {shapes} parts and counters stand as drawn, and {100 * likeness:.0f} % "
                "of its ink"
            ),
            remedy="Make the handle's top larger, or set handle.index to none",
            measured=round(thinnest, 3),
            limit=width,
        ),
    )


def _standing(small: MultiPolygon, printable: MultiPolygon) -> tuple[int, int]:
    """Return how many parts and counters of a picture stand by themselves when it is printed, and how many it has.

    A part stands if no other has run into it, and a counter if half of it is open. Ink alone does not tell: all
    lettering may run into its ring, and little ink is added.
    """
    parts = np.array(small.geoms)
    counters = shapely.polygons(np.array([ring for part in small.geoms for ring in part.interiors], dtype=object))
    printed = np.array(printable.geoms)
    tree = shapely.STRtree(printed)
    holder, held = tree.query(parts, predicate="intersects")
    # Numbers of parts, and of what prints of them: a part stands where both are there once.
    alone = (np.bincount(holder, minlength=1)[holder] == 1) & (np.bincount(held, minlength=1)[held] == 1)
    # All at once: of each by itself, every outline of what prints would be gone through for every counter.
    filled = shapely.get_parts(filled_parts(common(shapely.multipolygons(counters), printable)))
    of_part, counter = shapely.STRtree(counters).query(shapely.point_on_surface(filled), predicate="within")
    left = shapely.area(counters) - np.bincount(counter, shapely.area(filled[of_part]), len(counters))
    open_still = np.count_nonzero(left >= 0.5 * shapely.area(counters))
    return int(np.count_nonzero(alone)) + int(open_still), len(parts) + len(counters)


def _thinnest(small: MultiPolygon, width: float) -> float:
    """Return the width of the narrowest line, mm, pointed ends left out; ``width`` at most."""
    places = find_places(measure_line_widths(small, below=width), width)
    return min((place.narrowest for place in places if not (place.is_point or place.tapers_off)), default=width)


def _no_room(flat: Polygon) -> Finding:
    across = 0.0 if flat.is_empty else 2 * math.sqrt(flat.area / math.pi)
    return Finding(
        kind="no room for an index",
        severity="notes",
        stage="build",
        message=f"the handle's top has a flat of {across:.1f} mm across, too small for an index; it was left out",
        remedy="Make the handle's top broader or its edge less rounded, or set handle.index to none",
        measured=round(across, 2),
        limit=LEAST_FLAT,
    )

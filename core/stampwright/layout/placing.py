"""Layout: the base's outline, and the artwork at its real size in the middle of it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import LinearRing, MultiPolygon, Point, Polygon
from shapely.validation import explain_validity

from ..artwork.artwork import Artwork
from ..artwork.made import check_codes
from ..errors import ArtworkError, JobError
from ..findings import Finding
from ..job.job import Job
from ..job.sections.placing import BaseSection

Matrix = tuple[float, float, float, float, float, float]

TOO_LARGE = "artwork too large"
NEAR_EDGE = "ink near the edge"
BASE_JOINED = "base joined"
BASE_OFF_BED = "base larger than the bed"

CHORD_ERROR = 0.005
"""How far a straight piece of a round, elliptic or rounded base strays from the true curve, mm; corners lie on it."""

OFFSET_ERROR = 0.0005
"""The same for a base that follows the artwork, mm: there the curve is a distance that must hold to 0.001 mm."""

SMALLEST_INK = 1e-6
"""Ink no larger than this either way is no artwork, mm; magnified to a stamp it would be rounding errors."""


@dataclass(frozen=True)
class Layout:
    """Artwork placed on its base; paper frame, mm, origin in the middle of the base.

    ``matrix`` takes the artwork's page to this frame, in shapely's six-number affine form; ``scale`` is its
    magnification. ``findings`` are the layout's own; those of the artwork stay with the artwork. ``plain`` is the ink
    that takes no texture.
    """

    inked: MultiPolygon
    base: Polygon
    scale: float
    matrix: Matrix
    findings: tuple[Finding, ...] = ()
    plain: MultiPolygon = field(default_factory=MultiPolygon)


def lay_out(job: Job, artwork: Artwork) -> Layout:
    """Size, turn and centre the artwork on the job's base.

    The middle of the turned artwork (of its bounds, its area, or its smallest enclosing circle) comes to the origin,
    which is the middle of the base: of its bounds, or, for a base that follows the artwork, that same middle of the
    artwork. Width and height are those of the ink as it lies on paper, after turning. Fitted artwork comes as close
    to the base's edge as the margin allows: ``layout.margin``, or ``base.margin`` for a base that follows it; such a
    base then fills ``base.width`` by ``base.height`` one way or the other.

    Raises :class:`~stampwright.errors.ArtworkError` when there is no ink, and
    :class:`~stampwright.errors.JobError` when the base has no usable outline or the margin leaves no room on it.
    """
    if artwork.inked.is_empty:
        raise ArtworkError(f"{artwork.name or 'the artwork'} holds no ink: there is nothing to print")
    turned = _turned_about_middle(artwork.inked, job.layout.centre, job.layout.turn)
    centred = _moved(artwork.inked, turned)
    width, height = _size(centred)
    if not SMALLEST_INK < max(width, height) < math.inf:
        raise ArtworkError(f"{artwork.name or 'the artwork'} has ink of no size: there is nothing to print")
    set_base = None if job.base.outline == "follow" else outline_base(job.base)
    scale = _wanted_scale(job, centred, set_base)
    a, b, d, e, x, y = (scale * value for value in turned)
    inked = _moved(artwork.inked, (a, b, d, e, x, y))
    base, findings = _follow_ink(inked, job.base) if set_base is None else (set_base, [])
    plain = _moved(artwork.plain, (a, b, d, e, x, y))
    layout = Layout(inked=inked, base=base, scale=scale, matrix=(a, b, d, e, x, y), plain=plain)
    if set_base is not None:
        findings = _check_room(job, centred, layout)
    codes = (finding.moved(layout.matrix) for finding in check_codes(job, artwork.codes, scale))
    return replace(layout, findings=(*findings, *_check_bed(job, base), *codes))


def outline_base(section: BaseSection) -> Polygon:
    """Return the outline of a base that does not depend on the artwork.

    Paper frame, mm, counter-clockwise, the middle of its bounds at the origin. Curves are polygons with their corners
    on the true curve and at most :data:`CHORD_ERROR` between. Raises :class:`~stampwright.errors.JobError` when
    custom corners make no outline.

    >>> round(outline_base(BaseSection(outline="round", width=50)).area / (math.pi * 25**2), 3)
    1.0
    """
    half_width, half_height = section.width / 2, section.height / 2
    match section.outline:
        case "round":
            return _ellipse(half_width, half_width)
        case "ellipse":
            return _ellipse(half_width, half_height)
        case "rectangle":
            return _rounded_rectangle(half_width, half_height, section.corner_radius)
        case "custom":
            return _custom_outline(section.points)
    raise JobError(f"base.outline = {section.outline!r} has no outline without artwork")


def _ellipse(half_width: float, half_height: float) -> Polygon:
    count = 4 * _pieces_per_quarter(max(half_width, half_height), CHORD_ERROR)
    angles = np.arange(count) * (2 * math.pi / count)
    return Polygon(np.column_stack([half_width * np.cos(angles), half_height * np.sin(angles)]))


def _rounded_rectangle(half_width: float, half_height: float, radius: float) -> Polygon:
    if radius <= 0:
        return shapely.box(-half_width, -half_height, half_width, half_height)
    quarter = np.linspace(0.0, math.pi / 2, _pieces_per_quarter(radius, CHORD_ERROR) + 1)
    corners = []
    for turn, (x, y) in enumerate(((1, 1), (-1, 1), (-1, -1), (1, -1))):
        angles = quarter + turn * math.pi / 2
        middle = np.array([x * (half_width - radius), y * (half_height - radius)])
        corners.append(middle + radius * np.column_stack([np.cos(angles), np.sin(angles)]))
    return _counter_clockwise(Polygon(np.concatenate(corners)))


def _custom_outline(points: tuple[tuple[float, float], ...]) -> Polygon:
    if len(set(points)) < 3:
        raise JobError("base.points needs at least 3 different points when base.outline is custom")
    outline = Polygon(points)
    if not outline.is_valid:
        raise JobError(
            f"base.points do not make one plain outline ({explain_validity(outline)}): list the corners in order round "
            f"the edge, without crossings"
        )
    left, bottom, right, top = outline.bounds
    if min(right - left, top - bottom) < 1.0:
        raise JobError(
            f"base.points make a base of {right - left:.2f} x {top - bottom:.2f} mm: it must be at least 1 mm each way"
        )
    return _counter_clockwise(affinity.translate(outline, -(left + right) / 2, -(bottom + top) / 2))


def _counter_clockwise(outline: Polygon) -> Polygon:
    return shapely.geometry.polygon.orient(outline.simplify(0.0), 1.0)


def _pieces_per_quarter(radius: float, error: float) -> int:
    """Return how many chords per quarter turn keep a circle's sagitta, r (1 - cos(step / 2)), within the error."""
    step = 2 * math.acos(max(1.0 - error / max(radius, error), 0.0))
    return max(2, math.ceil(math.pi / 2 / step))


def _turned_about_middle(inked: MultiPolygon, centre: str, rotation: float) -> Matrix:
    """Return the matrix that turns the artwork and brings its middle to the origin, at the page's own size."""
    hull = inked.convex_hull
    cosine, sine = _cosine_and_sine(rotation)
    match centre:
        case "bounds":
            left, bottom, right, top = affinity.affine_transform(hull, (cosine, -sine, sine, cosine, 0, 0)).bounds
            x, y = (left + right) / 2, (bottom + top) / 2
            return (cosine, -sine, sine, cosine, -x, -y)
        case "area":
            middle = inked.centroid
        case _:
            middle = shapely.minimum_bounding_circle(hull).centroid
    x, y = cosine * middle.x - sine * middle.y, sine * middle.x + cosine * middle.y
    return (cosine, -sine, sine, cosine, -x, -y)


def _cosine_and_sine(degrees: float) -> tuple[float, float]:
    # Quarter turns are exact, so that upright artwork stays upright to the last bit.
    quarters, rest = divmod(degrees, 90.0)
    if rest == 0.0:
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]
    return math.cos(math.radians(degrees)), math.sin(math.radians(degrees))


def _moved(inked: MultiPolygon, matrix: Matrix) -> MultiPolygon:
    moved = affinity.affine_transform(inked, matrix)
    if not moved.is_valid:
        # Rounding to the last bit can make outlines that all but touched cross.
        moved = shapely.make_valid(moved, method="structure", keep_collapsed=False)
    return moved if moved.geom_type == "MultiPolygon" else MultiPolygon([moved])


def _size(region: shapely.Geometry) -> tuple[float, float]:
    left, bottom, right, top = region.bounds
    return right - left, top - bottom


def _wanted_scale(job: Job, centred: MultiPolygon, base: Polygon | None) -> float:
    """Return the magnification that the job asks for; ``base`` is None when it follows the artwork."""
    width, height = _size(centred)
    match job.layout.size_by:
        case "page":
            return 1.0
        case "width":
            return _enlargement(job.layout.width, width, "width")
        case "height":
            return _enlargement(job.layout.height, height, "height")
    if base is not None:
        return fit_to_base(centred, base, job.layout.margin)
    room_across, room_up = job.base.width - 2 * job.base.margin, job.base.height - 2 * job.base.margin
    if min(room_across, room_up) <= 0:
        raise JobError(
            f"base.margin = {job.base.margin:g} mm leaves no room for ink on a base of {job.base.width:g} x "
            f"{job.base.height:g} mm; allowed here: less than {min(job.base.width, job.base.height) / 2:g} mm"
        )
    return min(room_across / max(width, SMALLEST_INK), room_up / max(height, SMALLEST_INK))


def _enlargement(wanted: float, present: float, which: str) -> float:
    if present <= SMALLEST_INK:
        raise ArtworkError(f"the artwork's ink has no {which}: it cannot be sized by it; set layout.size_by = fit")
    return wanted / present


def fit_to_base(centred: MultiPolygon, base: Polygon, margin: float) -> float:
    """Return the magnification about the origin that brings artwork to ``margin`` mm from the base's edge.

    ``centred``: artwork with its middle at the origin. Growing from nothing, the artwork first comes that close at
    the scale returned. On a convex base with edges ``n . p <= d`` that scale is the least of ``(d - margin) / h(n)``,
    ``h`` the artwork's support function; on others it is found by stepping, see :func:`_fit_by_stepping`.
    Raises :class:`~stampwright.errors.JobError` when even the base's middle lies within the margin.

    >>> fit_to_base(MultiPolygon([shapely.box(-1, -1, 1, 1)]), shapely.box(-10, -10, 10, 10), margin=2.0)
    8.0
    """
    edge = LinearRing(base.exterior)
    room = edge.distance(Point(0, 0)) if base.contains(Point(0, 0)) else 0.0
    if room <= margin:
        raise JobError(
            f"layout.margin = {margin:g} mm leaves no room for ink: the base's middle is {room:g} mm from its edge"
            + (f"; allowed here: less than {room:g} mm" if room else "")
        )
    hull = shapely.get_coordinates(centred.convex_hull)
    if not _is_convex(base):
        return _fit_by_stepping(centred, edge, margin, room, float(np.hypot(*hull.T).max()))
    normals, distances = _edge_lines(base)
    reach = np.array([(hull @ normal).max() for normal in normals])
    towards = reach > 0
    return float(((distances[towards] - margin) / reach[towards]).min())


def _is_convex(base: Polygon) -> bool:
    return bool(base.convex_hull.area - base.area <= 1e-9 * base.area)


def _edge_lines(base: Polygon) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the outward normals (n, 2) and the distances from the origin (n,) of a convex outline's edges."""
    corners = shapely.get_coordinates(base.exterior)
    along = np.diff(corners, axis=0)
    lengths = np.hypot(along[:, 0], along[:, 1])
    normals = np.column_stack([along[:, 1], -along[:, 0]])[lengths > 0] / lengths[lengths > 0, None]
    return normals, np.einsum("ij,ij->i", normals, corners[:-1][lengths > 0])


def _fit_by_stepping(centred: MultiPolygon, edge: LinearRing, margin: float, room: float, radius: float) -> float:
    """Grow the artwork until it comes to ``margin`` from the edge, never past the first such scale.

    A point of the artwork moves by at most ``radius`` per unit of scale, so a step of (distance - margin) / radius
    cannot jump over the first contact (Hart 1996, "Sphere tracing", Lipschitz bound).
    """
    scale = (room - margin) / radius
    for _ in range(2000):
        shrunk = affinity.scale(edge, 1 / scale, 1 / scale, origin=(0, 0))
        spare = scale * float(centred.distance(shrunk)) - margin
        if spare < 1e-5:
            break
        scale += spare / radius
    return scale


def _follow_ink(inked: MultiPolygon, section: BaseSection) -> tuple[Polygon, list[Finding]]:
    """Return the outline at ``base.margin`` round the ink, its hollows rounded by ``base.smoothing``.

    Rounding by a closing (out by margin + smoothing, back by smoothing) fills hollows that a disc of that radius
    cannot enter and leaves the distance from ink to edge at the margin or more. Ink in parts that lie too far apart
    for one outline is joined by rounding hollows with a larger disc, in the end by the hull.
    """
    smoothing = section.smoothing
    filled = _fill_fine_hollows(inked, section.margin + smoothing)
    base = _close_hollows(filled, section.margin, smoothing)
    while base.geom_type != "Polygon" and smoothing < max(_size(base)):
        smoothing = max(2 * smoothing, 1.0)
        base = _close_hollows(filled, section.margin, smoothing)
    if base.geom_type != "Polygon":
        base = _close_hollows(filled.convex_hull, section.margin, 0.0)
    outline = _counter_clockwise(Polygon(base.exterior))
    if smoothing == section.smoothing:
        return outline, []
    joined = Finding(
        kind=BASE_JOINED,
        severity="notes",
        stage="layout",
        message=f"The ink's parts lie too far apart for one base; its hollows are rounded by {smoothing:g} mm to join",
        remedy="A larger base.smoothing or base.margin, or another base.outline",
        measured=smoothing,
        limit=section.smoothing,
    )
    return outline, [joined]


def _fill_fine_hollows(inked: MultiPolygon, radius: float) -> shapely.Geometry:
    """Return the ink without holes and without hollows that an offset by ``radius`` would not show; much faster so.

    Offsetting by a disc gives the same for a region and for its closing by any smaller disc (Serra 1982). Each closing
    stays 1 % short, so that the corners of its polygonal disc reach nowhere that the true disc would not.
    """
    filled = _without_holes(inked).simplify(OFFSET_ERROR / 5)
    disc = 0.1
    while disc < radius:
        closed = filled.buffer(disc, quad_segs=8).buffer(-1.01 * disc, quad_segs=8)
        filled = _without_holes(shapely.union(filled, closed)).simplify(OFFSET_ERROR / 5)
        disc *= 2.5
    return filled


def _without_holes(region: shapely.Geometry) -> shapely.Geometry:
    return shapely.union_all([Polygon(part.exterior) for part in shapely.get_parts(region)])


def _close_hollows(region: shapely.Geometry, margin: float, smoothing: float) -> shapely.Geometry:
    outer = region.buffer(margin + smoothing, quad_segs=_pieces_per_quarter(margin + smoothing, OFFSET_ERROR))
    outer = _without_holes(outer)
    if smoothing > 0:
        outer = outer.buffer(-smoothing, quad_segs=_pieces_per_quarter(smoothing, OFFSET_ERROR))
    return outer.simplify(OFFSET_ERROR / 5)


def _check_room(job: Job, centred: MultiPolygon, layout: Layout) -> list[Finding]:
    """Return what is wrong with how the ink lies on a base of set size."""
    inked, base = layout.inked, layout.base
    outside = MultiPolygon() if base.covers(inked) else inked.difference(base)
    if outside.area > 1e-9:
        return [_too_large(job, centred, layout, outside)]
    foot = (job.die.relief + job.die.dressing) * math.tan(math.radians(job.die.shoulder))
    distance = base.exterior.distance(inked)
    if distance >= foot - 1e-6:
        return []
    return [
        Finding(
            kind=NEAR_EDGE,
            severity="warns",
            stage="layout",
            message=f"Ink comes to {distance:.2f} mm from the base's edge; its shoulder needs {foot:.2f} mm to stand",
            remedy="A larger layout.margin or base, smaller artwork, or a smaller die.shoulder",
            place=shapely.shortest_line(base.exterior, inked).buffer(0.5),
            measured=distance,
            limit=foot,
        )
    ]


def _too_large(job: Job, centred: MultiPolygon, layout: Layout, outside: shapely.Geometry) -> Finding:
    width, height = _size(centred)
    governing = height if job.layout.size_by == "height" else width
    try:
        fitting = fit_to_base(centred, layout.base, job.layout.margin)
        fits = f"with a margin of {job.layout.margin:g} mm it fits at {fitting * width:.2f} x {fitting * height:.2f} mm"
    except JobError as no_room:
        fitting, fits = 0.0, str(no_room)
    return Finding(
        kind=TOO_LARGE,
        severity="blocks",
        stage="layout",
        message=(
            f"The ink is {layout.scale * width:.2f} x {layout.scale * height:.2f} mm and reaches over the base's edge; "
            + fits
        ),
        remedy="Set layout.size_by = fit, the size that fits, or a larger base",
        place=outside,
        measured=layout.scale * governing,
        limit=fitting * governing,
    )


def _check_bed(job: Job, base: Polygon) -> list[Finding]:
    width, depth = _size(base)
    bed = job.printer.bed_width, job.printer.bed_depth
    if (width <= bed[0] and depth <= bed[1]) or (width <= bed[1] and depth <= bed[0]):
        return []
    return [
        Finding(
            kind=BASE_OFF_BED,
            severity="blocks",
            stage="layout",
            message=f"The base is {width:.1f} x {depth:.1f} mm; the bed is {bed[0]:g} x {bed[1]:g} mm",
            remedy="A smaller base, or printer.bed_width and printer.bed_depth of a larger printer",
            measured=max(width, depth),
            limit=max(bed),
        )
    ]

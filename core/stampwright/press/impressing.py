"""Press a mesh on paper in simulation: its face, turned to the paper frame, as outlines and as a picture."""

from __future__ import annotations

from dataclasses import dataclass
from os import PathLike
from typing import Any, Protocol

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ..errors import JobError, MeshFileError
from ..files import read_mesh
from ..findings import Finding
from ..plane.beds import box_of
from ..plane.frames import die_to_paper
from ..plane.overlays import common
from ..plane.rasters.raster import MM_PER_INCH, picture_grid, picture_of
from ..plane.regions import filled_parts
from ..solids.columns import lengths_of, normals_of
from ..solids.soundness import drop_unused, merge_equal
from .faces.exact import flat_top, section
from .faces.seen import region_above
from .impression import Impression
from .units import in_another_unit

TOUCH = 0.1
"""How far below the highest point of an uneven face paper and ink still meet it, mm (assumed: a sheet of paper)."""

LEVEL_WITHIN = 0.001
"""Points within this of each other in height are level, mm: well over file rounding, well under a layer."""

PICTURE_DPI = 600.0
"""Resolution of impressions and of what they are compared at, unless told otherwise."""

SMALLEST, LARGEST = 1.0, 1000.0
"""Across a mesh, mm; outside this no stamp is meant, and most likely the unit is wrong."""

LOWEST_DPI, HIGHEST_DPI = 10.0, 4800.0

_ROUNDING = 2e-5  # most that 32-bit floats move a height under 250 mm, and the level reckoned from it, mm
_RIM = 1.0  # bare paper kept round the stamp in the picture, mm
_FACING_UP = 0.87  # least upward part of a unit normal that can be face: a shoulder flared by 60 degrees has less
_ALL = 0.999  # share of an area from which on it is all of it
_FINEST = 0.0005  # how far an outline that is to be spread may stray, mm: an eightieth of a pixel at 600 dpi
_CURVE = 16  # straight pieces to a quarter turn of spread: 0.12 % of the spread off a true arc

_UNEVEN = Finding(
    kind="uneven face",
    severity="warns",
    stage="impression",
    message=f"the face is not flat; shown is what lies within {TOUCH:g} mm of its highest point",
    remedy="Dress the face flat, or give the depth that dressing takes off.",
    limit=TOUCH,
)
_RAGGED = Finding(
    kind="ragged mesh",
    severity="warns",
    stage="impression",
    message="the mesh is open or passes through itself at the face; its outlines are taken from a raster",
    remedy="Close the mesh for exact outlines.",
)
_NO_RELIEF = Finding(
    kind="no relief",
    severity="warns",
    stage="impression",
    message="the face covers the whole mesh: nothing lies lower, so it prints as one solid patch",
    remedy="Check that this is the die, lying face up.",
)


class Mesh(Protocol):
    """Anything with ``vertices``, (n, 3), and ``triangles`` or ``faces``, (m, 3) indices, such as a Solid."""

    @property
    def vertices(self) -> Any:
        """Corners, (n, 3) float, mm, die frame."""


@dataclass(frozen=True)
class Comparison:
    """How far an impression is the artwork.

    ``iou``: intersection over union from the outlines; ``raster_iou``: the same from pictures at ``dpi``, an
    independent reckoning. Areas in mm²: ``missing`` ink that did not print, ``stray`` ink that should not have.
    ``same``: the outlines are the very same, point by point to a nanometre, so that there was nothing to reckon.
    """

    iou: float
    raster_iou: float
    dpi: float
    inked_area: float
    printed_area: float
    missing: float
    stray: float
    same: bool = False

    @property
    def worst(self) -> float:
        """The lower of the two reckonings."""
        return min(self.iou, self.raster_iou)


@dataclass(frozen=True, eq=False)
class PressedFace:
    """What of a mesh touches paper, before any ink.

    ``outlines``: valid MultiPolygon, mm, paper frame. ``vertices``, (n, 3) float, mm, and ``triangles``, (m, 3) int:
    the mesh, turned to the paper frame.
    """

    outlines: MultiPolygon
    vertices: NDArray[np.float64]
    triangles: NDArray[np.int64]
    findings: tuple[Finding, ...] = ()

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Left, bottom, right and top of the whole mesh on paper, mm."""
        (left, bottom), (right, top) = box_of(self.vertices[:, :2])
        return float(left), float(bottom), float(right), float(top)


def impress(
    mesh: Mesh | str | PathLike[str], *, spread: float = 0.0, dpi: float = 600.0, depth: float = 0.0
) -> Impression:
    """Press a mesh, die frame and face up, on paper and return what it leaves.

    ``mesh``: anything with vertices and triangles, mm, such as a :class:`~stampwright.Solid`, or the path of an STL or
    3MF file.
    The face is the highest region: the outline of its flat top where it has one, otherwise a section, exact wherever
    the mesh is closed. ``depth`` is how much dressing takes off the highest point, mm; the face is then the section at
    that level. ``spread`` is how far ink creeps past the edge, mm. An uneven face that is not dressed prints what lies
    within ``TOUCH`` of its highest point, and a finding says so.

    Raises :class:`MeshFileError` when the mesh holds no face to press, and :class:`JobError` when a figure is absurd.
    """
    _check_figures(spread, dpi, depth)
    pressed: Mesh = read_mesh(mesh) if isinstance(mesh, str | PathLike) else mesh
    return ink_face(find_face(pressed, depth=depth, dpi=dpi), spread=spread, dpi=dpi)


def find_face(mesh: Mesh, *, depth: float = 0.0, dpi: float = 600.0) -> PressedFace:
    """Return what of a mesh touches paper: the first half of :func:`impress`.

    Raises :class:`MeshFileError` when the mesh holds no face, :class:`JobError` when a figure is absurd.
    """
    _check_figures(0.0, dpi, depth)
    vertices, triangles = _turned_to_paper(mesh)
    outlines, findings = _face_of_mesh(vertices, triangles, depth, dpi)
    if outlines.is_empty:
        raise MeshFileError("the mesh has no face to press: nothing of it lies level at the top; is it a stamp's die?")
    return PressedFace(outlines, vertices, triangles, findings)


def state_face(mesh: Mesh, outlines: MultiPolygon) -> PressedFace:
    """Return the face of a mesh that is known to print ``outlines``, mm, paper frame, even or not.

    Raises :class:`MeshFileError` when the mesh is none, or nothing is to print.
    """
    vertices, triangles = _turned_to_paper(mesh)
    if outlines.is_empty:
        raise MeshFileError("nothing is to print: the outlines of the face are empty")
    return PressedFace(outlines, vertices, triangles)


def ink_face(face: PressedFace, *, spread: float = 0.0, dpi: float = 600.0) -> Impression:
    """Return what a face leaves on paper: the second half of :func:`impress`.

    Raises :class:`JobError` when a figure is absurd.
    """
    return ink_outlines(face.outlines, face.bounds, spread=spread, dpi=dpi, findings=face.findings)


def ink_outlines(
    outlines: MultiPolygon,
    bounds: tuple[float, float, float, float],
    *,
    spread: float,
    dpi: float,
    findings: tuple[Finding, ...] = (),
) -> Impression:
    """Return what outlines that touch paper leave on it; ``bounds``: of the whole stamp, which the picture holds, mm.

    Raises :class:`JobError` when a figure is absurd.
    """
    _check_figures(spread, dpi, 0.0)
    inked = spread_ink(outlines, spread)
    left, bottom, right, top = bounds
    rim = _RIM + spread
    shape, corner = picture_grid((left - rim, bottom - rim, right + rim, top + rim), dpi)
    picture = picture_of(inked, shape, corner, dpi)
    return Impression(outlines=inked, picture=picture, dpi=float(dpi), corner=corner, findings=findings)


def spread_ink(outlines: MultiPolygon, spread: float) -> MultiPolygon:
    """Return outlines widened by ``spread`` mm on every edge; points finer than half a micrometre are left out."""
    if spread <= 0:
        return outlines
    # Such points would cost minutes and move nothing.
    thinned = outlines.simplify(_FINEST, preserve_topology=False)
    if not thinned.is_valid:
        thinned = outlines.simplify(_FINEST)
    return filled_parts(thinned.buffer(spread, quad_segs=_CURVE))


def compare(pressed: Impression | MultiPolygon, inked: MultiPolygon, *, dpi: float = 600.0) -> Comparison:
    """Measure an impression, or its outlines, against the artwork that it should be; both in the paper frame, mm.

    Nothing against nothing counts as alike.
    """
    outlines = pressed.outlines if isinstance(pressed, Impression) else pressed
    printed_area, inked_area = float(outlines.area), float(inked.area)
    # Nearly all that a sound die prints are the very same outlines, which is quick to see and slow to overlay.
    alike, (printed, meant) = _told_apart(outlines, inked)
    same = printed.is_empty and meant.is_empty
    shared = printed_area if same else alike + float(common(printed, meant).area)
    return Comparison(
        iou=1.0 if same else _share(shared, printed_area + inked_area - shared),
        raster_iou=1.0 if same else _raster_iou(printed, meant, dpi, alike),
        dpi=dpi,
        inked_area=inked_area,
        printed_area=printed_area,
        missing=max(inked_area - shared, 0.0),
        stray=max(printed_area - shared, 0.0),
        same=same,
    )


def _check_figures(spread: float, dpi: float, depth: float) -> None:
    if not LOWEST_DPI <= dpi <= HIGHEST_DPI:
        raise JobError(f"dpi = {dpi:g} is not allowed: it takes a number from {LOWEST_DPI:g} to {HIGHEST_DPI:g}")
    for name, value in (("spread", spread), ("depth", depth)):
        if not 0 <= value <= 20:
            raise JobError(f"{name} = {value:g} is not allowed: it takes a number from 0 to 20 mm")


def _turned_to_paper(mesh: Mesh) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Return a checked mesh's vertices and triangles in the paper frame, points at one place made one."""
    # Faces first: a mesh that has both may mean the corners' coordinates by "triangles".
    corners = getattr(mesh, "faces", None)
    if corners is None:
        corners = getattr(mesh, "triangles", ())
    try:
        vertices = np.asarray(mesh.vertices, dtype=np.float64)
        triangles = np.asarray(corners, dtype=np.int64)
    except (AttributeError, TypeError, ValueError) as error:
        raise MeshFileError(f"a mesh has vertices and triangles, which this {type(mesh).__name__} has not") from error
    if not vertices.size or not triangles.size:
        raise MeshFileError("the mesh is empty: it has no triangles")
    if vertices.ndim != 2 or vertices.shape[1] != 3 or triangles.ndim != 2 or triangles.shape[1] != 3:
        raise MeshFileError("a mesh is (n, 3) vertices and (m, 3) triangles; this one has other shapes")
    if triangles.min() < 0 or triangles.max() >= len(vertices):
        raise MeshFileError("the mesh's triangles name vertices that it does not have; export it again")
    vertices, triangles = drop_unused(vertices, triangles)
    if not np.isfinite(vertices).all():
        raise MeshFileError("the mesh has coordinates that are not finite numbers; export it again")
    _check_size(vertices)
    return merge_equal(die_to_paper(vertices), triangles[:, ::-1])


def _check_size(vertices: NDArray[np.float64]) -> None:
    low, high = box_of(vertices)
    width, height, _ = high - low
    if not SMALLEST <= max(width, height) <= LARGEST:
        raise MeshFileError(
            f"the mesh is {width:.4g} by {height:.4g} mm, no size of a stamp ({SMALLEST:g} to {LARGEST:g} mm); "
            "lengths are read as millimetres: scale it or export it in that unit"
        )
    if max(np.abs(low).max(), np.abs(high).max()) > 100 * LARGEST:
        raise MeshFileError(
            f"the mesh lies or reaches {np.abs(vertices).max():.4g} mm from the origin, too far for its file to hold "
            "fine detail; move it to the origin and export it again"
        )


def _face_of_mesh(
    vertices: NDArray[np.float64], triangles: NDArray[np.int64], depth: float, dpi: float
) -> tuple[MultiPolygon, tuple[Finding, ...]]:
    """Return what touches paper and what there is to say about it."""
    one, two, three = (np.ascontiguousarray(vertices[:, 2])[triangles[:, corner]] for corner in range(3))
    lowest, highest = np.minimum(np.minimum(one, two), three), np.maximum(np.maximum(one, two), three)
    top, bottom = float(highest.max()), float(lowest.min())
    if depth and depth >= top - bottom:
        raise MeshFileError(f"dressing by {depth:g} mm would take all of the mesh's {top - bottom:.4g} mm of height")
    normals = normals_of(vertices, triangles)
    up = normals[2]
    if up[highest >= top - LEVEL_WITHIN].sum() < 0:
        triangles, up = triangles[:, ::-1], -up
    level_top, level_bottom = lowest >= top - LEVEL_WITHIN, highest <= bottom + LEVEL_WITHIN
    # Only what is level counts: the slanted edge of a chamfered floor is no relief.
    flat = up[highest - lowest <= LEVEL_WITHIN]
    whole_top = up[level_top].sum() >= _ALL * flat.clip(min=0).sum() > 0
    if whole_top and up[level_bottom].clip(max=0).sum() > _ALL * flat.clip(max=0).sum():
        raise MeshFileError("the mesh lies face down: its top is one flat sheet and the relief is below; turn it over")

    findings = in_another_unit(vertices)
    if not depth and up[level_top].sum() >= 0.99 * _near_face(up, lengths_of(normals), highest >= top - TOUCH) > 0:
        outlines = flat_top(vertices[:, :2], triangles[level_top])
    else:
        if not depth:
            findings.append(_UNEVEN)
        level = _at_corners(vertices, top - (depth or TOUCH))
        exact = section(vertices, triangles, level)
        if exact is None:
            findings.append(_RAGGED)
        outlines = region_above(vertices, triangles, level, dpi) if exact is None else exact
    if outlines.area >= _ALL * up.clip(min=0).sum() / 2:
        findings.append(_NO_RELIEF)
    return outlines, tuple(findings)


def _near_face(up: NDArray[np.float64], steep: NDArray[np.float64], near: NDArray[np.bool_]) -> float:
    """Return how much of what is ``near`` the top can be face, by how far normals rise and how long they are."""
    return float(up[near & (up > _FACING_UP * steep)].sum())


def _at_corners(vertices: NDArray[np.float64], level: float) -> float:
    """Return the level, raised or lowered to the corners that were meant to lie in it before the file rounded them."""
    meant = vertices[np.abs(vertices[:, 2] - level) <= _ROUNDING, 2]
    return float(meant.max()) if len(meant) else level


def _told_apart(one: MultiPolygon, other: MultiPolygon) -> tuple[float, list[MultiPolygon]]:
    """Return the area, mm², of parts that two regions have in common as they are, and what each has besides."""
    parts = [shapely.get_parts(region) for region in (one, other)]
    first, second = (shapely.normalize(shapely.simplify(each, 1e-9, preserve_topology=False)) for each in parts)
    of_second, of_first = shapely.STRtree(first).query(second)
    same = np.flatnonzero(shapely.equals_exact(first[of_first], second[of_second], 1e-6))
    pairs = of_first[same], of_second[same]
    alike = float(shapely.area(parts[0][pairs[0]]).sum())
    return alike, [shapely.multipolygons(np.delete(each, at)) for each, at in zip(parts, pairs, strict=True)]


def _raster_iou(one: MultiPolygon, other: MultiPolygon, dpi: float, alike: float) -> float:
    """Return intersection over union by pictures of two regions that have ``alike`` mm² in common besides."""
    surely = 255.0 * alike * (dpi / MM_PER_INCH) ** 2
    if one.is_empty or other.is_empty:
        return _share(surely, surely + 255.0 * (one.area + other.area) * (dpi / MM_PER_INCH) ** 2)
    bounds = np.array([one.bounds, other.bounds])
    left, bottom = bounds[:, :2].min(axis=0)
    right, top = bounds[:, 2:].max(axis=0)
    shape, corner = picture_grid((left, bottom, right, top), dpi)
    first, second = picture_of(one, shape, corner, dpi), picture_of(other, shape, corner, dpi)
    bare = 255.0 * first.size
    common = bare - np.maximum(first, second).sum(dtype=np.int64)
    either = bare - np.minimum(first, second).sum(dtype=np.int64)
    return _share(surely + float(common), surely + float(either))


def _share(common: float, either: float) -> float:
    return min(common / either, 1.0) if either > 0 else 1.0

"""Faces of any mesh as height maps, ideal and as they come from the printer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon

from ...errors import MeshFileError, PressError
from ...findings import Finding
from ...job.bent import radius_of
from ...job.sections.bending import BendSection
from ...job.sections.parts import DieSection
from ...job.sections.pressing import PressSection
from ...job.sections.printing import PrinterSection
from ...plane.chains import Chains
from ...plane.rasters.distance import distance_inside
from ...plane.rasters.raster import MM_PER_INCH, picture_grid, picture_of
from ...solids.above import seen_from_above
from ...solids.columns import normals_of
from ...solids.soundness import check_soundness
from ..impressing import Mesh, PressedFace, find_face, state_face
from ..impression import HeightMap
from .layered import lay_layers, lay_steps
from .surface import bow_out, dress, lay_beads

_UNDER_FACE = 0.2  # mm; what lies lower than this under the face belongs to shoulders and floor
_MOST_MISSING = 0.5  # share of the face that may lie far below it; more is a hole and no texture
_BIN = 0.01  # mm; heights within this of each other are one level when the floor is looked for


@dataclass(frozen=True, kw_only=True)
class Texture:
    """What print does to a face: beads ``line_width`` by ``layer`` mm, ``walls`` of them, turned by ``turn``; bow.

    ``radius``: of a curved face, mm, 0 for a flat one, which rolls along y if ``upward``; one that is printed
    ``standing`` is made of the sides of its layers, one that lies of steps.
    """

    line_width: float = 0.4
    layer: float = 0.2
    walls: int = 3
    turn: float = 45.0
    bow: float = 0.1
    radius: float = 0.0
    upward: bool = False
    standing: bool = True


def texture_of(
    printer: PrinterSection, die: DieSection, press: PressSection, bend: BendSection | None = None
) -> Texture:
    """Return the texture that printing leaves on a face, as these sections of a job state it."""
    return Texture(
        line_width=printer.line_width,
        layer=min(printer.layer, printer.line_width),
        walls=die.walls,
        turn=press.bead_turn,
        bow=press.bow if bend is None or bend.form == "flat" else 0.0,
        radius=0.0 if bend is None or bend.form == "flat" else radius_of(bend),
        upward=bend is not None and bend.rolls == "up",
        standing=bend is None or bend.stands == "standing",
    )


def face_of(mesh: Mesh, *, dpi: float = 300.0, dressing: float = 0.0, meant: MultiPolygon | None = None) -> HeightMap:
    """Return the face of a die as a height map, paper frame; height 0 lies ``dressing`` mm under its highest point.

    ``mesh``: die frame, face up. ``meant``: what is to print, mm, paper frame; left out, it is what reaches that level
    (or, with no dressing, the flat top). A face that is not flat does not tell by itself: its low places are meant to
    print as well. An open mesh is pressed as it is, and a finding says so. Raises
    :class:`~stampwright.errors.MeshFileError` as :func:`~stampwright.press.impressing.impress` does, also when nothing
    closes the mesh where it should print, and :class:`PressError` when nothing lies under the face, so that the whole
    of it is one flat sheet.
    """
    if meant is not None:
        return map_face(state_face(mesh, meant), dpi=dpi, dressing=dressing)
    found = find_face(mesh, depth=dressing, dpi=dpi)
    face = map_face(found, dpi=dpi, dressing=dressing)
    if np.count_nonzero(face.height[face.face] < -face.relief / 2.0) > _MOST_MISSING * np.count_nonzero(face.face):
        raise MeshFileError("the mesh is open at its face: nothing lies where it should print; close the mesh")
    loose = check_soundness(found.vertices, found.triangles).open_edges
    return replace(face, findings=(*face.findings, _open_mesh(loose))) if loose else face


def map_face(found: PressedFace, *, dpi: float = 300.0, dressing: float = 0.0) -> HeightMap:
    """Return a face that has been found or stated as a height map: the second half of face_of.

    Raises :class:`~stampwright.errors.PressError` when nothing of the mesh lies under the face.
    """
    shape, corner = picture_grid(found.bounds, dpi)
    pitch = MM_PER_INCH / dpi
    meant = np.ascontiguousarray(picture_of(found.outlines, shape, corner, dpi)[::-1] < 128)
    level = float(found.vertices[:, 2].max()) - dressing
    places = (found.vertices[:, :2] - corner) / pitch - 0.5
    heights = seen_from_above(places, found.vertices[:, 2], _facing_up(found.vertices, found.triangles), shape)
    height = (heights.astype(np.float64) - level).astype(np.float32)
    height = _up_to_the_edge(height, meant)
    return HeightMap(height, meant, pitch, corner, _relief(height, meant), found.findings, found.outlines)


def as_printed(face: HeightMap, texture: Texture) -> HeightMap:
    """Return the face as the printer leaves it: beads on top, and bowed; a curved one in layers or steps."""
    if texture.radius > 0.0:
        if texture.standing:
            return lay_layers(face, texture.layer, upward=texture.upward)
        return lay_steps(face, texture.layer, texture.radius, upward=texture.upward)
    beads = lay_beads(face, texture.line_width, texture.layer, texture.walls, texture.turn)
    return bow_out(beads, texture.bow)


def dressed(face: HeightMap, texture: Texture | None, dressing: float) -> HeightMap:
    """Return the face as it goes to paper: printed with a texture, if any, then ``dressing`` mm taken off its top."""
    printed = face if texture is None else as_printed(face, texture)
    return dress(printed, dressing) if dressing > 0.0 else printed


def scaled(face: HeightMap, factor: float) -> HeightMap:
    """Return the face of the same design at another size; heights stay."""
    corner = face.corner[0] * factor, face.corner[1] * factor
    return replace(face, pitch=face.pitch * factor, corner=corner, outlines=None)


def laid_anew(face: HeightMap, outlines: MultiPolygon, matrix: Sequence[float]) -> HeightMap:
    """Return the face with its ink, and the shoulders round it, magnified and moved on the same base.

    ``outlines``: of the ink, mm, paper frame; ``matrix``: the way from there to where it comes to lie, as shapely takes
    it, which turns nothing.
    """
    scale, (left, bottom) = matrix[0], matrix[4:]
    rows, columns = face.height.shape
    column = np.floor(((face.x - left) / scale - face.corner[0]) / face.pitch).astype(int)
    row = np.floor(((face.y - bottom) / scale - face.corner[1]) / face.pitch).astype(int)
    inside = ((row >= 0) & (row < rows))[:, None] & ((column >= 0) & (column < columns))[None, :]
    at = np.ix_(np.clip(row, 0, rows - 1), np.clip(column, 0, columns - 1))
    taken, stood = face.height[at], face.face[at]
    # Where the base stands and no shoulder comes to, there is its floor.
    height = np.where(inside & np.isfinite(taken), taken, -face.relief)
    height = np.where(np.isfinite(face.height), height, -np.inf).astype(face.height.dtype)
    moved = affinity.affine_transform(outlines, list(matrix))
    meant = picture_of(moved, face.height.shape, face.corner, MM_PER_INCH / face.pitch)[::-1] < 128
    meant = np.ascontiguousarray(meant & np.isfinite(face.height))
    laid = replace(face, height=_up_to_the_edge(height, meant), face=meant, outlines=moved)
    return _with_flanks(laid, _steepness(replace(face, outlines=outlines)), stood)


def thinned(face: HeightMap, inset: float) -> HeightMap:
    """Return the face of the same design with every edge drawn in by ``inset`` mm; the rest falls to the floor."""
    kept = (distance_inside(face.face, inset / face.pitch + 1.0) - 0.5) * face.pitch > inset
    lost = face.face & ~kept
    height = np.where(lost, -face.relief, face.height).astype(face.height.dtype)
    return replace(face, height=height, face=kept, outlines=None)


def _facing_up(vertices: NDArray[np.float64], triangles: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return the triangles, (m, 3), that face up as the highest of them do."""
    up, z = normals_of(vertices, triangles)[2], vertices[:, 2]
    highest = np.flatnonzero((z >= z.max() - _UNDER_FACE)[triangles].any(axis=1))
    # A mesh turned inside out shows its inner sides; the sense of its top tells.
    return triangles[up > 0.0] if up[highest].sum() >= 0.0 else triangles[up < 0.0]


def _open_mesh(loose: int) -> Finding:
    return Finding(
        kind="open mesh",
        severity="warns",
        stage="impression",
        message=f"the mesh is open: {loose} edges belong to one triangle only; what is missing does not print",
        remedy="Close the mesh.",
        measured=float(loose),
        limit=0.0,
        unit="edges",
    )


def _up_to_the_edge(height: NDArray[np.float32], meant: NDArray[np.bool_]) -> NDArray[np.float32]:
    """Return the heights with pixels at the face's edge as high as the face beside them.

    Half of such a pixel may be face where its middle just misses it, and sees the flank or the floor.
    """
    wide = np.pad(meant, 1)
    buried = wide[:-2, 1:-1] & wide[2:, 1:-1] & wide[1:-1, :-2] & wide[1:-1, 2:]
    row, column = np.nonzero(meant & ~buried)
    around = np.pad(np.where(meant, height, -np.inf), 1, constant_values=-np.inf)
    highest = np.max(
        [around[row + up, column + along] for up in range(3) for along in range(3)], axis=0, initial=-np.inf
    )
    whole = height.copy()
    whole[row, column] = np.where(height[row, column] < highest - _UNDER_FACE, highest, height[row, column])
    return whole


def _with_flanks(face: HeightMap, steep: float, stood: NDArray[np.bool_]) -> HeightMap:
    """Return the face with the flanks right beside its ink as they fall from there, ``steep`` mm a mm.

    They are finer than pixels, and take some of a push. ``stood``: what was ink as the heights were taken.
    """
    row, column, off = _beside_ink(face)
    height = face.height.copy()
    height[stood & ~face.face] = -face.relief
    height[row, column] = np.where(
        np.isfinite(height[row, column]), np.maximum(-steep * off, -face.relief), height[row, column]
    )
    return replace(face, height=height)


def _steepness(face: HeightMap) -> float:
    """Return how steeply the flanks fall beside a face's ink, mm a mm."""
    row, column, off = _beside_ink(face)
    fallen = -face.height[row, column].astype(np.float64)
    seen = (off > face.pitch / 4) & (fallen > 0.0) & (fallen < 0.9 * face.relief)
    return float(np.median(fallen[seen] / off[seen])) if seen.any() else 1.0 / face.pitch


def _beside_ink(face: HeightMap) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.float64]]:
    """Return rows and columns, (n,) int, of the pixels right beside the ink, and how far off its outlines they are."""
    wide = np.pad(face.face, 1)
    rows, columns = face.face.shape
    near = np.any([wide[up : up + rows, along : along + columns] for up in range(3) for along in range(3)], axis=0)
    row, column = np.nonzero(near & ~face.face)
    corners = [shapely.get_coordinates(ring) for ring in shapely.get_rings(shapely.get_parts(face.outlines))]
    edges = Chains.of(*(np.concatenate([ring[part] for ring in corners]) for part in (np.s_[:-1], np.s_[1:])))
    return row, column, edges.distances(np.column_stack((face.x[column], face.y[row])))


def _relief(height: NDArray[np.float32], meant: NDArray[np.bool_]) -> float:
    """Return how far the face stands over the floor, mm: over the level that most of what lies lower shares."""
    lower = -height[np.isfinite(height) & ~meant & (height < -_UNDER_FACE)]
    if lower.size < 0.001 * height.size:
        raise PressError(
            "nothing of the mesh lies under its face, so no relief is there to press: check that this is the die, "
            "lying face up"
        )
    levels = np.rint(lower / _BIN).astype(np.int64)
    return float(np.argmax(np.bincount(levels)) * _BIN)

"""Faces of any mesh as height maps, ideal and as they come from the printer."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...errors import MeshFileError, PressError
from ...findings import Finding
from ...job.bent import radius_of
from ...job.sections.bending import BendSection
from ...job.sections.parts import DieSection
from ...job.sections.pressing import PressSection
from ...job.sections.printing import PrinterSection
from ...plane.rasters.distance import distance_inside
from ...plane.rasters.raster import MM_PER_INCH, picture_grid, picture_of
from ...solids.soundness import check_soundness
from ..impressing import Mesh, PressedFace, find_face, state_face
from ..impression import HeightMap
from .layered import lay_layers, lay_steps
from .seen import heights_over
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
    seen = _seen(found.vertices, found.triangles)
    height = (heights_over(seen, shape, corner, pitch) - level).astype(np.float32)
    height = _up_to_the_edge(height, meant)
    return HeightMap(height, meant, pitch, corner, _relief(height, meant), found.findings)


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
    return replace(face, pitch=face.pitch * factor, corner=(face.corner[0] * factor, face.corner[1] * factor))


def thinned(face: HeightMap, inset: float) -> HeightMap:
    """Return the face of the same design with every edge drawn in by ``inset`` mm; the rest falls to the floor."""
    kept = (distance_inside(face.face, inset / face.pitch + 1.0) - 0.5) * face.pitch > inset
    lost = face.face & ~kept
    height = np.where(lost, -face.relief, face.height).astype(face.height.dtype)
    return replace(face, height=height, face=kept)


def _seen(vertices: NDArray[np.float64], triangles: NDArray[np.int64]) -> NDArray[np.float64]:
    """Return the corners, (n, 3, 3), of the triangles that face up as the highest of them do."""
    corners = vertices[triangles]
    along, across = corners[:, 1, :2] - corners[:, 0, :2], corners[:, 2, :2] - corners[:, 0, :2]
    up = along[:, 0] * across[:, 1] - along[:, 1] * across[:, 0]
    highest = corners[..., 2].max(axis=1) >= corners[..., 2].max() - _UNDER_FACE
    # A mesh turned inside out shows its inner sides; the sense of its top tells.
    return corners[up > 0.0] if up[highest].sum() >= 0.0 else corners[up < 0.0]


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

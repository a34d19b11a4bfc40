"""Where a print differs from its stamp: missing, light, stray and spread, in the stamp's own frame."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from ...plane.overlays import all_joined, common, joined, without
from ...plane.rasters.raster import MM_PER_INCH, picture_grid, picture_of, pixel_places
from ...plane.regions import filled_parts
from ...press.faces.seen import outlined
from ..finding.views import as_seen
from ..finding.vision import vision
from .around import ink_beside, other_prints, things_elsewhere
from .edges import solid_level
from .registering import Registered
from .striking import both_strikes

DPI = 400.0
"""Resolution at which prints are compared."""

_MARGIN = 2.0  # looked at round the stamp, mm
_EDGE = 0.12  # beside an edge, mm, that is left to the spread
_SOFT = 0.25  # over which tones are taken together, mm
_MISSING, _EDGE_OF_INK, _LIGHT = 0.25, 0.5, 0.72  # of solid ink
_LEAST_PLACE = 0.08  # of a place that is told of, mm²
_LEAST_SPECK = 0.03  # of a part of the print, mm²; smaller is dust
_ANOTHER = 0.25  # of the face's area, that lacks and that is too much: another stamp's print
_MUCH = 0.12  # more spread than the mean, mm

Mask = NDArray[np.bool_]
Tones = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class PrintDifferences:
    """A print beside its stamp, regions in the paper frame, mm.

    ``printed``: its outlines. ``missing``: face without ink; ``light``: with too little; ``stray``: ink away from the
    face; ``spread``: ink that crept farther than the mean; ``beside``: ink where the stamp does not reach.
    ``mean_spread``: mm. ``tone``: mean over what printed, 1
    solid. ``lean``: how the tone changes from edge to edge, right and up. ``cut_off``: share of the face beyond the
    picture's edge, which is taken to print as it should. ``elsewhere``: how many other things the picture shows, far
    off. ``recoloured``: whether another colour was left out of the picture.
    """

    registered: Registered
    printed: MultiPolygon
    missing: MultiPolygon
    light: MultiPolygon
    stray: MultiPolygon
    spread: MultiPolygon
    beside: MultiPolygon
    mean_spread: float
    tone: float
    lean: tuple[float, float]
    cut_off: float = 0.0
    elsewhere: int = 0
    recoloured: bool = False

    @property
    def too_much(self) -> float:
        """Ink where none should be, on the stamp or beside it, mm²."""
        return float(self.stray.area + self.spread.area + self.beside.area)

    def is_of_another(self, face: MultiPolygon) -> bool:
        """Say whether a print is none of this face's: much of that is missing, and as much ink lies elsewhere."""
        lacking = (self.missing.area + self.light.area) / face.area
        return bool(min(lacking, (self.stray.area + self.spread.area) / face.area) > _ANOTHER)


def find_differences(
    registered: Registered,
    face: MultiPolygon,
    *,
    stamp: Polygon | None = None,
    others: Sequence[Registered] = (),
) -> PrintDifferences:
    """Return where a print that is in register differs from the face that made it, mm, paper frame.

    ``stamp``: outline of the whole die, which may print wherever it took ink; ``others``: what else the scan shows.
    """
    cv2 = vision()
    reached = joined(shapely.box(*face.bounds), MultiPolygon() if stamp is None else stamp).convex_hull
    footprint = shapely.box(*reached.bounds).buffer(_MARGIN, join_style="mitre")
    shape, corner = picture_grid(footprint.bounds, DPI)
    pitch = MM_PER_INCH / DPI
    places = pixel_places(shape, corner, DPI)
    solid = solid_level(registered.scan, registered.view, face)
    besides = other_prints(registered, others, face.convex_hull)
    spread = max(registered.spread, 0.0)
    ink, lit, unseen = _inks(registered, places, solid, _mask(face.buffer(spread), shape, corner))
    other = _mask(without(besides, face.convex_hull), shape, corner)
    ink[other] = lit[other] = 0.0
    whole = _mask(face.buffer(-_EDGE), shape, corner)
    inner = whole & ~unseen
    missing, light = _lacking(ink, inner, _thin(face, whole, corner), pitch)
    bare = _uncrept(_places(missing, corner, pitch), face, spread)
    # What a second strike laid beside the first is neither stray nor spread.
    struck = face if registered.again is None else both_strikes(face, registered.again)
    inked = lit > 0.5
    far = inked & ~_mask(struck.buffer(spread + _EDGE), shape, corner) & _mask(reached.buffer(_MARGIN), shape, corner)
    crept = inked & ~_mask(struck.buffer(spread + _MUCH), shape, corner)
    beside = cv2.dilate(_mask(struck, shape, corner).astype(np.uint8), _disc((spread + 0.6) / pitch)) > 0
    return PrintDifferences(
        registered=registered,
        printed=_printed(lit, face, corner, pitch),
        missing=bare,
        light=filled_parts(without(_places(light, corner, pitch), bare)),
        stray=_places(far & ~beside, corner, pitch),
        spread=_places(crept & beside, corner, pitch),
        mean_spread=registered.spread,
        tone=float(np.minimum(ink[inner & ~missing], 1.0).mean()) if (inner & ~missing).any() else 0.0,
        beside=ink_beside(registered, footprint, solid, besides),
        lean=_lean(np.minimum(ink, 1.0), inner, places),
        cut_off=float(np.mean(unseen[whole])) if whole.any() else 0.0,
        elsewhere=things_elsewhere(registered, footprint, solid, besides),
    )


def _inks(registered: Registered, places: NDArray[np.float64], solid: float, wanted: Mask) -> tuple[Tones, Tones, Mask]:
    """Return the ink at places, (..., 2) mm, as written and in the scale of its blur, and where the picture has ended.

    Beyond its edge nothing is known: there it is as the face would print, ``wanted``, neither missing nor stray.
    """
    pixels = registered.view.project(places)
    level = as_seen(registered.scan.level, pixels, vision())
    rows, columns = registered.scan.shape
    beyond = np.any((pixels <= 0.0) | (pixels >= (columns - 1.0, rows - 1.0)), axis=-1)
    if beyond.any():
        beyond = vision().dilate(beyond.astype(np.uint8), _disc(_EDGE * DPI / MM_PER_INCH)) > 0
    ink, lit = (_ink(level, solid, power) for power in (1.0, registered.power))
    ink[beyond] = lit[beyond] = wanted[beyond]
    return ink, lit, np.asarray(beyond)


def _ink(level: Tones, solid: float, power: float) -> Tones:
    """Return how much ink lies at places, 1 solid, by brightness taken to a power: for edges, the scale of its blur."""
    lit = np.maximum(level, 0.0) ** np.float32(power)
    return np.asarray(np.clip((1.0 - lit) / (1.0 - solid**power), 0.0, 1.3), dtype=np.float32)


def _thin(face: MultiPolygon, inner: Mask, corner: tuple[float, float]) -> Mask:
    """Return thin lines, which have no inside at all: the middle of what is left of them is looked at."""
    near = vision().dilate(inner.astype(np.uint8), _disc(3 * _EDGE * DPI / MM_PER_INCH)) > 0
    return np.asarray(_mask(face.buffer(-0.02), (inner.shape[0], inner.shape[1]), corner) & ~near)


def _lacking(ink: Tones, inner: Mask, thin: Mask, pitch: float) -> tuple[Mask, Mask]:
    """Return where a face printed nothing, and where too little; ``thin``: the middles of lines without an inside."""
    cv2 = vision()
    soft = cv2.GaussianBlur(np.minimum(ink, 1.0), (0, 0), _SOFT / pitch / 2.0)
    looked = inner | thin
    # From where next to nothing printed, bare paper goes on to where ink begins: half-way.
    core = looked & (soft < np.where(thin, 0.15, _MISSING))
    missing = looked & (soft < _EDGE_OF_INK) & (cv2.dilate(core.astype(np.uint8), _disc(_SOFT / pitch)) > 0)
    return missing, inner & ~missing & (soft < _LIGHT)


def _printed(ink: Tones, face: MultiPolygon, corner: tuple[float, float], pitch: float) -> MultiPolygon:
    """Return the outlines of a print, without what is farther from the face than it could have spread."""
    near = _mask(shapely.box(*face.bounds).buffer(_MARGIN), (ink.shape[0], ink.shape[1]), corner)
    return _region(vision().GaussianBlur(ink * near, (0, 0), 1.0) - 0.5, corner, pitch, _LEAST_SPECK)


def shared_places(regions: Sequence[MultiPolygon], least: int) -> MultiPolygon:
    """Return the places that at least so many of several prints have in common."""
    kept: list[shapely.Geometry] = []
    counted: list[MultiPolygon] = [MultiPolygon()] * len(regions)
    for region in regions:
        # From how many prints had it before to one more.
        for level in range(len(counted) - 1, 0, -1):
            counted[level] = filled_parts(joined(counted[level], common(counted[level - 1], region)))
        counted[0] = filled_parts(joined(counted[0], region))
    if counted:
        kept.append(counted[min(least, len(counted)) - 1])
    return filled_parts(all_joined(kept))


def _mask(region: shapely.Geometry, shape: tuple[int, int], corner: tuple[float, float]) -> Mask:
    parts = filled_parts(region)
    if parts.is_empty:
        return np.zeros(shape, dtype=np.bool_)
    return np.asarray(picture_of(parts, shape, corner, DPI)[::-1] < 128)


def _disc(radius: float) -> NDArray[np.uint8]:
    size = max(1, round(radius))
    down, along = np.mgrid[-size : size + 1, -size : size + 1]
    return np.asarray(down**2 + along**2 <= size**2, dtype=np.uint8)


def _places(mask: Mask, corner: tuple[float, float], pitch: float) -> MultiPolygon:
    """Return the places of a mask that are large enough to be seen."""
    cv2 = vision()
    soft = cv2.GaussianBlur(mask.astype(np.float32), (0, 0), 1.2)
    return _region(soft - 0.5, corner, pitch, _LEAST_PLACE)


def _uncrept(places: MultiPolygon, face: MultiPolygon, spread: float) -> MultiPolygon:
    """Return what of a face did not print, of the places that stayed bare: ink beside them crept in by the spread."""
    return filled_parts(common(places.buffer(spread, quad_segs=4), face))


def _region(over: Tones, corner: tuple[float, float], pitch: float, least: float) -> MultiPolygon:
    """Return where samples are above 0, without specks of ink or paper under ``least`` mm²."""
    edged = np.pad(over.astype(np.float64), 1, constant_values=-0.5)
    region = outlined(edged, (corner[0] - pitch, corner[1] - pitch), pitch)
    parts = []
    for part in shapely.get_parts(region.simplify(pitch / 8)):
        if part.area >= least:
            holes = [ring for ring in part.interiors if shapely.Polygon(ring).area >= min(least, 0.02)]
            parts.append(shapely.Polygon(part.exterior, holes))
    return filled_parts(all_joined(parts)) if parts else MultiPolygon()


def _lean(ink: Tones, inner: Mask, places: NDArray[np.float64]) -> tuple[float, float]:
    """Return how much darker the face prints at its right than at its left edge, and at its upper than at its lower."""
    if np.count_nonzero(inner) < 50:
        return 0.0, 0.0
    at, tone = places[inner], ink[inner].astype(np.float64)
    span = np.ptp(at, axis=0)
    design = np.column_stack((np.ones(len(at)), (at - at.mean(axis=0)) / np.maximum(span, 1e-6)))
    _, right, up = np.linalg.lstsq(design, tone, rcond=None)[0]
    return float(right), float(up)

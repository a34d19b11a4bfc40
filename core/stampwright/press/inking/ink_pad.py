"""Inking the die: how deep a soft ink pad sags into its open areas, and whether it inks the floor."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from shapely.geometry import Point

from ...errors import PressError
from ...findings import Finding
from ...job.sections.pressing import InkSection
from ...memory import Share
from ..contact.bounded import Bed, press_on_bed
from ..contact.elastic import layered
from ..contact.layers import Layer
from ..contact.push import Places, Push
from ..impression import HeightMap
from ..pushing.hands import pushed_with

PAD_POISSON = 0.3
"""Poisson's ratio of felt or foam (assumed)."""

MOST_PAD_STRAIN = 0.5
"""Share of its thickness to which a pad may be pressed before linear elasticity says nothing any more (assumed)."""

_FAR = 2.5  # times the sag; a relief that is higher is far from taking ink on its floor, whatever the map
_PITCH = 0.25  # mm; sag is as smooth as the gaps are wide, so a coarse map does


@dataclass(frozen=True)
class Inking:
    """How the pad sags: ``sag`` mm under the finished face at its deepest, at ``place`` mm, ``span`` mm wide open.

    ``touches``: whether the floor takes ink; ``relief``: height of the face over the floor, mm; ``needed``: the relief
    that would keep the floor clean, mm. ``beyond``: whether the pad would be pressed together further than any figure
    holds; the sag is then held to that.
    """

    sag: float
    place: tuple[float, float]
    span: float
    touches: bool
    relief: float
    needed: float
    beyond: bool = False


def ink_die(face: HeightMap, pad: Layer, force: float, *, progress: Share | None = None) -> Inking:
    """Press the die on an ink pad and return how deep the pad sags between the lines of its face.

    ``pad``: the soft pad on its rigid tray; ``force``: N, level. The die is rigid beside the pad. The floor is taken
    away for the reckoning, so that the depth that would do is found even when the floor is in the way.
    Raises :class:`PressError` when there is no face or the force is not above 0.
    """
    return _inked(face, _coarse(face, _PITCH), pad, force, progress)


def glance_at_inking(face: HeightMap, pad: Layer, force: float) -> Inking:
    """Return what :func:`ink_die` does, from a map half as fine where all that it says stays far from the floor.

    Raises :class:`PressError` as that does.
    """
    rough = _coarse(face, 2.0 * _PITCH)
    if rough.face.any():
        seen = _inked(face, rough, pad, force, None)
        if seen.needed * _FAR < face.relief:
            return seen
    return ink_die(face, pad, force)


def _inked(face: HeightMap, coarse: HeightMap, pad: Layer, force: float, progress: Share | None) -> Inking:
    """Return how the pad sags under a face, from a coarser map of it."""
    if not coarse.face.any():
        raise PressError("there is no face to ink: check that it points up and that the size is in mm")
    height = np.where(coarse.face, coarse.height, -np.inf).reshape(-1)
    pixels = np.flatnonzero(np.isfinite(height))
    places = Places(height[pixels].astype(np.float64), *coarse.places(pixels), coarse.pitch**2)
    shape = (coarse.height.shape[0], coarse.height.shape[1])
    surface = layered(shape, coarse.pitch, [[pad]], "float64")
    bed = Bed(surface, pixels, np.zeros(len(pixels)))
    held = press_on_bed(places, bed, Push(force=force), progress=progress)
    give = bed.surface_under(held.pressure, np.arange(len(pixels))).reshape(shape)
    open_floor = np.isfinite(coarse.height) & ~coarse.face
    if not open_floor.any():
        return Inking(0.0, (0.0, 0.0), 0.0, False, face.relief, 0.0)
    # The face has come forward by the approach; the pad's surface has been drawn down by its give.
    sag = np.where(open_floor, held.approach - give, -np.inf)
    deepest = int(np.argmax(sag))
    x, y = coarse.places(np.array([deepest]))
    place = (float(x[0]), float(y[0]))
    most = MOST_PAD_STRAIN * pad.thickness
    depth = min(float(sag.flat[deepest]), most)
    return Inking(
        sag=depth,
        place=place,
        span=_clear_width(coarse, place),
        touches=depth >= face.relief,
        relief=face.relief,
        needed=depth,
        beyond=held.approach > most,
    )


def ink_pad(ink: InkSection) -> Layer:
    """Return the ink pad that a section of a job states."""
    return Layer(ink.pad_thickness, ink.pad_stiffness, PAD_POISSON)


def dab_of(ink: InkSection, face: HeightMap) -> float:
    """Return the push, N, with which a face is dabbed on the pad: lighter on a small one, where it yields sooner."""
    return pushed_with(ink.pad_force, ink.pad_pressure, face.face_area) or ink.pad_force


def inking_finding(inking: Inking, layer: float) -> Finding | None:
    """Return the finding that the floor takes ink or nearly does, with the relief that would do in whole layers."""
    room = 1.25  # a quarter to spare: the pad's softness is assumed
    wanted = math.ceil(round(inking.needed * room / layer, 6)) * layer
    if inking.relief >= inking.needed * room:
        return None
    says = "the floor prints" if inking.touches else "little is left before the floor prints"
    return Finding(
        kind="floor takes ink",
        severity="warns",
        stage="impression",
        message=f"the ink pad sags {inking.sag:.2f} mm into an opening {inking.span:.1f} mm wide and the relief is "
        f"{inking.relief:.2f} mm high: {says} (the pad's stiffness is assumed)"
        + ("; the pad is pressed to half its thickness, beyond which no figure holds" if inking.beyond else ""),
        remedy=f"Raise the relief to {wanted:.2f} mm, dab with less force, or ink with a firmer pad.",
        place=Point(inking.place).buffer(max(inking.span / 2.0, 0.5)),
        measured=inking.relief,
        limit=wanted,
    )


def _coarse(face: HeightMap, pitch: float) -> HeightMap:
    """Return the map at about a pitch, mm: a square is face when at least half of it is."""
    side = max(1, round(pitch / face.pitch))
    rows, columns = (math.ceil(size / side) for size in face.face.shape)
    wide = ((0, rows * side - face.face.shape[0]), (0, columns * side - face.face.shape[1]))
    blocks = (rows, side, columns, side)
    meant = np.pad(face.face, wide).reshape(blocks).mean(axis=(1, 3))
    height = np.pad(face.height, wide, constant_values=-np.inf).reshape(blocks).max(axis=(1, 3))
    return replace(face, height=height, face=meant >= 0.5, pitch=face.pitch * side)


def _clear_width(face: HeightMap, place: tuple[float, float]) -> float:
    """Return the diameter of the largest clear circle round a place, mm."""
    row, column = np.nonzero(face.face)
    away = np.hypot(face.x[column] - place[0], face.y[row] - place[1])
    return float(2.0 * max(away.min() - face.pitch / 2.0, 0.0))

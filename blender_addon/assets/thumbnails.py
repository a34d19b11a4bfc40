"""Small pictures of assets, drawn by us: the host draws its own only in a window, and a little later."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

from ..stampwright.output.pictures.parts_view import view_parts

if TYPE_CHECKING:
    from ..mockup.materials.palette import Rgba
    from ..stampwright.solids import Solid

SIDE = 128
"""Pixels; the host shows them no larger."""

FILL = 0.86
"""Share of the side that an outline takes."""

SHADE = (0.78, 0.72, 0.62)
"""Colour of outlines, sRGB."""

_LIGHT = np.array([-0.45, 0.55, 0.70])


def of_solid(solid: Solid) -> Any:
    """Return a solid as it stands on the bed, (SIDE, SIDE, 4) float, sRGB, lowest row first, clear around it."""
    drawn = view_parts([solid], width=2 * SIDE)[::-1].astype(np.float64) / 255.0
    side = max(drawn.shape[:2])
    square = np.ones((side, side, 3))
    below, left = ((side - size) // 2 for size in drawn.shape[:2])
    square[below : below + drawn.shape[0], left : left + drawn.shape[1]] = drawn
    nearest = (np.arange(SIDE) * side) // SIDE
    small = square[nearest][:, nearest]
    return np.dstack((small, (small < 1.0).any(axis=2)))


def of_region(region: Any) -> Any:
    """Return an outline, filled, as :func:`of_solid` does a solid."""
    left, bottom, right, top = region.bounds
    pitch = max(right - left, top - bottom) / (FILL * SIDE)
    along = (np.arange(2 * SIDE) + 0.5 - SIDE) * pitch / 2.0
    x, y = np.meshgrid((left + right) / 2 + along, (bottom + top) / 2 + along)
    inside = shapely.contains_xy(region, x, y).reshape(SIDE, 2, SIDE, 2).mean(axis=(1, 3))
    return np.dstack((*(np.full((SIDE, SIDE), part) for part in SHADE), inside))


def of_curve(drawn: Any) -> Any:
    """Return a profile or an outline that was drawn, filled, or None when it encloses nothing."""
    rings = []
    for spline in drawn.data.splines:
        points = spline.bezier_points if spline.type == "BEZIER" else spline.points
        places = np.array([point.co[:3] for point in points])
        # Profiles are drawn flat or standing: the third axis is the one they hardly use.
        across, up = sorted(np.argsort(np.ptp(places, axis=0))[1:]) if len(places) > 2 else (0, 1)
        rings.append(places[:, (across, up)])
    flat = np.concatenate(rings) if rings else np.empty((0, 2))
    if len(flat) < 3:
        return None
    if not drawn.data.splines[0].use_cyclic_u:
        # Half of a turned handle: its mirror image is the other.
        flat = np.concatenate((flat, flat[::-1] * (-1.0, 1.0)))
    region = shapely.make_valid(shapely.Polygon(flat))
    return of_region(region) if region.area > 0.0 else None


def of_finish(colour: Rgba, roughness: float, metallic: float) -> Any:
    """Return a ball of a material, lit from the upper left, as :func:`of_solid` does a solid."""
    along = (np.arange(SIDE) + 0.5) / SIDE * 2.0 - 1.0
    x, y = np.meshgrid(along, along)
    out = np.hypot(x, y)
    z = np.sqrt(np.clip(0.92**2 - out**2, 0.0, None)) / 0.92
    normals = np.dstack((x / 0.92, y / 0.92, z))
    light = _LIGHT / np.linalg.norm(_LIGHT)
    lit = np.clip(normals @ light, 0.0, 1.0)
    half = np.add(light, (0.0, 0.0, 1.0))
    half /= np.linalg.norm(half)
    glint = np.clip(normals @ half, 0.0, 1.0) ** (2.0 / max(roughness, 0.1) ** 3) * (1.0 - roughness)
    base = np.array(colour[:3])
    shown = base * (0.25 + 0.85 * lit)[..., None] + glint[..., None] * (base * metallic + 0.5 * (1.0 - metallic))
    encoded = np.clip(shown, 0.0, 1.0) ** (1 / 2.2)
    return np.dstack((encoded, np.clip((0.92 - out) * SIDE / 2.0, 0.0, 1.0)))


def of_lift() -> Any:
    """Return a plate whose middle is lifted, lit from the upper left, as :func:`of_solid` does a solid."""
    along = (np.arange(SIDE) + 0.5) / SIDE * 2.0 - 1.0
    x, y = np.meshgrid(along, along)
    height = 0.3 / (1.0 + np.exp(24.0 * (np.hypot(x, y) - 0.5)))
    up, across = np.gradient(height, along, along)
    normals = np.dstack((-across, -up, np.ones_like(height)))
    normals /= np.linalg.norm(normals, axis=2, keepdims=True)
    lit = np.clip(normals @ (_LIGHT / np.linalg.norm(_LIGHT)), 0.0, 1.0)
    shown = np.array(SHADE) * (0.35 + 0.85 * lit)[..., None]
    plate = np.clip((0.9 - np.maximum(np.abs(x), np.abs(y))) * SIDE / 2.0, 0.0, 1.0)
    return np.dstack((np.clip(shown, 0.0, 1.0), plate))


def lay_on(asset: Any, picture: Any) -> None:
    """Have the host show a picture for an asset."""
    preview = asset.preview_ensure()
    preview.image_size = (SIDE, SIDE)
    preview.image_pixels_float.foreach_set(np.ascontiguousarray(picture, dtype=np.float32).ravel())

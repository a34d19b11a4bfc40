"""Filter primitives: each takes pixels and gives pixels (Filter Effects 1, chapter 9)."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from ....looks.light import from_linear, to_linear
from ..seeing.marks import Colour
from .canvas import Pixels

Numbers = NDArray[np.float64]

FARTHEST_OFFSET = 1e6
"""Pixels; what is moved further is gone from any canvas."""

LUMINANCE_WEIGHTS = np.array([0.2125, 0.7154, 0.0721])


def in_linear_light(pixels: Pixels) -> Pixels:
    """Return sRGB pixels in linear light (IEC 61966-2-1)."""
    return _by_colour(pixels, to_linear)


def in_srgb(pixels: Pixels) -> Pixels:
    """Return pixels of linear light in sRGB (IEC 61966-2-1)."""
    return _by_colour(pixels, from_linear)


def blur(pixels: Pixels, across: float, down: float) -> Pixels:
    """Return pixels blurred by a Gaussian with these standard deviations, pixels; 0 leaves a direction alone."""
    if down > 0:
        pixels = np.tensordot(_gaussian(pixels.shape[0], down), pixels, axes=1)
    if across > 0:
        pixels = np.swapaxes(np.tensordot(_gaussian(pixels.shape[1], across), pixels, axes=(1, 1)), 0, 1)
    return pixels


def offset(pixels: Pixels, across: float, down: float) -> Pixels:
    """Return pixels moved, by parts of a pixel too."""
    for axis, far in ((1, across), (0, down)):
        by = min(max(far, -FARTHEST_OFFSET), FARTHEST_OFFSET)
        whole = math.floor(by)
        share = by - whole
        pixels = (1 - share) * _shifted(pixels, whole, axis) + share * _shifted(pixels, whole + 1, axis)
    return pixels


def flood(pixels: Pixels, colour: Colour) -> Pixels:
    """Return pixels of one colour, as many as ``pixels``."""
    red, green, blue, opacity = colour
    return np.broadcast_to(np.array([red * opacity, green * opacity, blue * opacity, opacity]), pixels.shape).copy()


def drop_shadow(pixels: Pixels, colour: Colour, moved: tuple[float, float], blurred: tuple[float, float]) -> Pixels:
    """Return pixels over their own shadow, moved and blurred by so many pixels across and down."""
    shadow = flood(pixels, colour) * offset(blur(pixels, *blurred), *moved)[..., 3:]
    return pixels + shadow * (1 - pixels[..., 3:])


def composite(above: Pixels, below: Pixels, operator: str, k: Sequence[float]) -> Pixels:
    """Return one laid on the other by a Porter and Duff operator, or mixed by arithmetic with ``k``."""
    a, b = above[..., 3:], below[..., 3:]
    if operator == "arithmetic":
        mixed = np.clip(k[0] * above * below + k[1] * above + k[2] * below + k[3], 0, 1)
        mixed[..., :3] = np.minimum(mixed[..., :3], mixed[..., 3:])
        return mixed
    # What share of either stays (Porter and Duff 1984, table 3).
    shares: dict[str, tuple[Pixels | float, Pixels | float]] = {
        "in": (b, 0.0),
        "out": (1 - b, 0.0),
        "atop": (b, 1 - a),
        "xor": (1 - b, 1 - a),
        "lighter": (1.0, 1.0),
    }
    of_above, of_below = shares.get(operator, (1.0, 1 - a))
    laid: Pixels = np.clip(above * of_above + below * of_below, 0, 1)
    return laid


def by_matrix(pixels: Pixels, matrix: Numbers) -> Pixels:
    """Return pixels with colour and opacity changed by a matrix; ``matrix``: (4, 5), its last column added."""
    plain = np.concatenate((_unmultiplied(pixels), pixels[..., 3:]), axis=-1)
    changed = np.clip(plain @ matrix[:, :4].T + matrix[:, 4], 0, 1)
    changed[..., :3] *= changed[..., 3:]
    return changed


def by_channel(pixels: Pixels, functions: Sequence[Callable[[Numbers], Numbers]]) -> Pixels:
    """Return pixels with red, green, blue and opacity each changed by a function of its own."""
    plain = np.concatenate((_unmultiplied(pixels), pixels[..., 3:]), axis=-1)
    changed = np.stack([np.clip(f(plain[..., at]), 0, 1) for at, f in enumerate(functions)], axis=-1)
    changed[..., :3] *= changed[..., 3:]
    return changed


def spread(pixels: Pixels, across: int, down: int, *, thicker: bool) -> Pixels:
    """Return the greatest, or least, of every part in the rectangle that reaches so far round each pixel."""
    pick = np.maximum if thicker else np.minimum
    for axis, far in ((1, across), (0, down)):
        reach = min(far, pixels.shape[axis])
        # Windows twice as wide each time take a logarithm of the work; they begin at their pixel and end beyond it.
        width, done = 2 * reach + 1, 1
        found = np.pad(pixels, [(reach, reach) if at == axis else (0, 0) for at in range(3)])
        while done < width:
            step = min(done, width - done)
            found = pick(found, _shifted(found, -step, axis))
            done += step
        pixels = np.take(found, np.arange(pixels.shape[axis]), axis=axis)
    return pixels


def saturating(amount: float) -> Numbers:
    """Return the matrix that leaves so much of the saturation (Filter Effects 1, section 9.6)."""
    grey = np.tile([0.213, 0.715, 0.072], (3, 1))
    return _with_opacity(grey + amount * (np.eye(3) - grey))


def turning(degrees: float) -> Numbers:
    """Return the matrix that turns hues (Filter Effects 1, section 9.6)."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    grey = np.tile([0.213, 0.715, 0.072], (3, 1))
    quarter = np.array([[-0.213, -0.715, 0.928], [0.143, 0.140, -0.283], [-0.787, 0.715, 0.072]])
    return _with_opacity(grey + cos * (np.eye(3) - grey) + sin * quarter)


def sepia(amount: float) -> Numbers:
    """Return the matrix of sepia, in such a share (Filter Effects 1, section 13.1.8)."""
    full = np.array([[0.393, 0.769, 0.189], [0.349, 0.686, 0.168], [0.272, 0.534, 0.131]])
    return _with_opacity(full * amount + np.eye(3) * (1 - amount))


def opacity_from_luminance() -> Numbers:
    """Return the matrix that makes opacity of luminance (Filter Effects 1, section 9.6)."""
    matrix = np.zeros((4, 5))
    matrix[3, :3] = LUMINANCE_WEIGHTS
    return matrix


def _with_opacity(colour: Numbers) -> Numbers:
    matrix = np.zeros((4, 5))
    matrix[:3, :3], matrix[3, 3] = colour, 1.0
    return matrix


def _unmultiplied(pixels: Pixels) -> Pixels:
    plain: Pixels = np.clip(pixels[..., :3] / np.maximum(pixels[..., 3:], 1e-9), 0, 1)
    return plain


def _by_colour(pixels: Pixels, change: Callable[[Pixels], Pixels]) -> Pixels:
    changed = pixels.copy()
    changed[..., :3] = change(_unmultiplied(pixels)) * pixels[..., 3:]
    return changed


def _shifted(pixels: Pixels, by: int, axis: int) -> Pixels:
    """Return pixels moved by whole pixels, clear ones coming in."""
    size = pixels.shape[axis]
    moved = np.zeros_like(pixels)
    if abs(by) >= size:
        return moved
    to, source = [slice(None)] * 3, [slice(None)] * 3
    to[axis] = slice(max(by, 0), size + min(by, 0))
    source[axis] = slice(max(-by, 0), size - max(by, 0))
    moved[tuple(to)] = pixels[tuple(source)]
    return moved


def _gaussian(size: int, sigma: float) -> Numbers:
    """Return the matrix that blurs a line of ``size`` pixels; what it spreads beyond the ends is lost."""
    apart = np.arange(size)[:, None] - np.arange(size)
    weights: Numbers = np.exp(-((apart / sigma) ** 2) / 2)
    # As many neighbours as there would be on an endless line share a pixel out.
    reach = np.arange(-math.ceil(4 * sigma), math.ceil(4 * sigma) + 1) if sigma < size else np.zeros(0)
    whole = float(np.exp(-((reach / sigma) ** 2) / 2).sum()) if len(reach) else sigma * math.sqrt(2 * math.pi)
    return weights / whole

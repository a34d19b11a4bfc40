"""How a chart lies in a picture: a homography, and the bulge of a lens on top of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class View:
    """The way from a flat thing to a picture of it.

    ``matrix``: (3, 3), takes (x, y, 1), mm, y up, to pixels from the middle of the upper left pixel, y down. ``bulge``:
    k1 of the lens (D. C. Brown's first radial term; from memory): a place at the radius r, in half diagonals from
    ``middle``, comes to r (1 + k1 r²); below 0 for a barrel.
    """

    matrix: Floats
    bulge: float = 0.0
    middle: tuple[float, float] = (0.0, 0.0)
    half_diagonal: float = 1.0

    def project(self, points: NDArray[np.floating]) -> Floats:
        """Return where points, (..., 2) mm, come in the picture, (..., 2) pixels."""
        x, y = points[..., 0], points[..., 1]
        m = self.matrix
        w = m[2, 0] * x + m[2, 1] * y + m[2, 2]
        flat = np.stack(((m[0, 0] * x + m[0, 1] * y + m[0, 2]) / w, (m[1, 0] * x + m[1, 1] * y + m[1, 2]) / w), axis=-1)
        if not self.bulge:
            return flat
        away = (flat - self.middle) / self.half_diagonal
        stretch = 1.0 + self.bulge * (away**2).sum(axis=-1, keepdims=True)
        return np.asarray(self.middle + away * stretch * self.half_diagonal)

    def unproject(self, pixels: NDArray[np.floating]) -> Floats:
        """Return the places, (..., 2) mm, that come to pixels, (..., 2): the way back of :meth:`project`."""
        straight = np.asarray(pixels, dtype=np.float64)
        if self.bulge:
            away = (straight - self.middle) / self.half_diagonal
            radius = np.sqrt((away**2).sum(axis=-1, keepdims=True))
            flat = radius
            # A telephone's lens bulges by a few hundredths: each round gains a digit and more.
            for _ in range(25):
                flat = radius / (1.0 + self.bulge * flat**2)
            ratio = np.divide(flat, radius, out=np.ones_like(flat), where=radius > 0)
            straight = np.asarray(self.middle) + away * ratio * self.half_diagonal
        m = np.linalg.inv(self.matrix)
        x, y = straight[..., 0], straight[..., 1]
        w = m[2, 0] * x + m[2, 1] * y + m[2, 2]
        return np.stack(((m[0, 0] * x + m[0, 1] * y + m[0, 2]) / w, (m[1, 0] * x + m[1, 1] * y + m[1, 2]) / w), -1)

    def jacobian(self, point: tuple[float, float]) -> Floats:
        """Return how many pixels right and down a step of 1 mm right, and up, takes at a place, (2, 2)."""
        at = np.asarray(point, dtype=np.float64)
        step = 1e-3
        moved = self.project(at + step * np.array([(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)]))
        return np.asarray(((moved[1:] - moved[0]) / step).T)

    def pixels_per_mm(self, point: tuple[float, float] = (0.0, 0.0)) -> float:
        """Return how many pixels a millimetre takes at a place: the geometric mean over directions."""
        return float(np.sqrt(abs(np.linalg.det(self.jacobian(point)))))


def homography(places: NDArray[np.floating], pixels: NDArray[np.floating]) -> Floats:
    """Return the (3, 3) matrix that takes places, (n, 2), to pixels, (n, 2); n is 4 or more.

    By the direct linear transform on normalised points (R. Hartley and A. Zisserman, Multiple View Geometry, 4.1).
    """
    near, far = _normalising(places), _normalising(pixels)
    x, y = (near[:2, :2] @ np.asarray(places).T + near[:2, 2:]).tolist()
    u, v = (far[:2, :2] @ np.asarray(pixels).T + far[:2, 2:]).tolist()
    rows = []
    for x_, y_, u_, v_ in zip(x, y, u, v, strict=True):
        rows.append([x_, y_, 1, 0, 0, 0, -u_ * x_, -u_ * y_, -u_])
        rows.append([0, 0, 0, x_, y_, 1, -v_ * x_, -v_ * y_, -v_])
    matrix = np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3)
    found = np.linalg.inv(far) @ matrix @ near
    return np.asarray(found / found[2, 2])


def _normalising(points: NDArray[np.floating]) -> Floats:
    middle = np.mean(points, axis=0)
    scale = np.sqrt(2.0) / max(float(np.mean(np.hypot(*(points - middle).T))), 1e-12)
    return np.array([[scale, 0, -scale * middle[0]], [0, scale, -scale * middle[1]], [0, 0, 1.0]])


def as_seen(grey: NDArray[np.generic], pixels: NDArray[np.floating], cv2: object) -> NDArray[np.float32]:
    """Return the brightness of a picture at places, (..., 2) pixels, between pixels by cubic pieces; 0 outside."""
    flat = np.asarray(pixels, dtype=np.float32).reshape(-1, 2)
    # The library takes pictures of places no wider than 32,767.
    wide = 8192
    rows = -(-len(flat) // wide)
    padded = np.zeros((rows * wide, 2), dtype=np.float32)
    padded[: len(flat)] = flat
    maps = padded.reshape(rows, wide, 2)
    seen = cv2.remap(  # type: ignore[attr-defined]
        grey,
        maps,
        None,
        cv2.INTER_CUBIC,  # type: ignore[attr-defined]
        borderMode=cv2.BORDER_REPLICATE,  # type: ignore[attr-defined]
    )
    return np.asarray(seen, dtype=np.float32).reshape(-1)[: len(flat)].reshape(pixels.shape[:-1])

"""How a stack of bonded elastic layers on a rigid base gives way under a push on its top.

The answer is a compliance per wave number: the depth of the waves that a unit pressure wave presses into the surface.
Layers are isotropic, linear, and stick to each other and to the base; the top is free of friction. Lengths mm, moduli
MPa, wave numbers rad/mm, compliances mm/MPa.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...errors import PressError

Floats = NDArray[np.float64]

# Below this product of wave number and whole thickness the stiffness matrix loses its digits, and the compliance no
# longer differs from that at wave number 0.
_LONG_WAVE = 1e-3

# Beyond this depth, in units of one over the wave number, nothing is felt at the surface: exp(-40) is below rounding.
_DEEP = 40.0


@dataclass(frozen=True)
class Layer:
    """One elastic layer: ``thickness`` mm, ``stiffness`` MPa, ``poisson`` 0 to 0.5."""

    thickness: float
    stiffness: float
    poisson: float

    def __post_init__(self) -> None:
        """Check the figures; raises :class:`PressError`."""
        if not (0.0 < self.thickness < 1e4 and 0.0 < self.stiffness < 1e9 and 0.0 <= self.poisson <= 0.5):
            raise PressError(
                f"a layer of {self.thickness:g} mm, {self.stiffness:g} MPa, Poisson's ratio {self.poisson:g} is not "
                "allowed: thickness and modulus must be above 0, Poisson's ratio 0 to 0.5"
            )

    @property
    def confined(self) -> float:
        """Compliance under an even pressure that leaves no room to bulge (oedometer), mm/MPa."""
        nu = self.poisson
        return self.thickness * (1.0 + nu) * (1.0 - 2.0 * nu) / (self.stiffness * (1.0 - nu))


def surface_compliance(layers: Sequence[Layer], wave_numbers: Floats) -> Floats:
    """Return the compliance of a stack's top for each wave number, mm/MPa.

    ``layers``: topmost first, on a rigid base; none at all is a rigid surface. ``wave_numbers``: any shape, rad/mm.

    Each layer's four solutions exp(±q z) and z exp(±q z) of plane elasticity give its stiffness between top and
    bottom; layers are added from the base up (E. Kausel and J. M. Roesset, "Stiffness matrices for layered soils",
    Bull. Seismol. Soc. Am. 71 (1981), 1743, in the static case). One layer is the closed form of K. L. Johnson,
    "Contact Mechanics" (1985), section 5.8.
    """
    compliance = np.full(np.shape(wave_numbers), sum(layer.confined for layer in layers))
    waves = np.ravel(np.asarray(wave_numbers, dtype=np.float64))
    short = waves * sum(layer.thickness for layer in layers) > _LONG_WAVE
    if layers and short.any():
        compliance.reshape(-1)[short] = _stacked(layers, waves[short])
    return compliance


def half_space_compliance(stiffness: float, poisson: float, wave_numbers: Floats) -> Floats:
    """Return the compliance of an elastic half-space, 2 (1 - nu²) / (E q), mm/MPa; wave numbers must not be 0."""
    return 2.0 * (1.0 - poisson**2) / (stiffness * wave_numbers)


def bending_length(layers: Sequence[Layer]) -> float:
    """Return how far to the side a push on the stack is felt, mm.

    The greater of the whole thickness and, for a stiff layer on softer ones, the length of a plate on an elastic
    foundation, (4 D / k)^(1/4) (S. Timoshenko, "Theory of Plates and Shells", on plates on elastic foundation).
    """
    reach = sum(layer.thickness for layer in layers)
    for at, plate in enumerate(layers):
        below = sum(layer.confined for layer in layers[at + 1 :])
        rigidity = plate.stiffness * plate.thickness**3 / (12.0 * (1.0 - plate.poisson**2))
        reach = max(reach, (4.0 * rigidity * below) ** 0.25)
    return reach


def _stacked(layers: Sequence[Layer], waves: Floats) -> Floats:
    below = _layer_stiffness(layers[-1], waves)[:, :2, :2]
    for layer in reversed(layers[:-1]):
        stiffness = _layer_stiffness(layer, waves)
        joint = stiffness[:, 2:, 2:] + below
        below = stiffness[:, :2, :2] - stiffness[:, :2, 2:] @ np.linalg.solve(joint, stiffness[:, 2:, :2])
    # With no friction on top, the sideways traction is 0: the vertical entry of the inverse remains.
    determinant = below[:, 0, 0] * below[:, 1, 1] - below[:, 0, 1] * below[:, 1, 0]
    vertical: Floats = below[:, 0, 0] / determinant
    return vertical


def _layer_stiffness(layer: Layer, waves: Floats) -> Floats:
    """Return (n, 4, 4): tractions (sideways, normal) on top and bottom from displacements of top and bottom.

    With z down and all fields as exp(i q x), displacements are (i U, W). The solutions that die away from the top are
    U = A + B q z, W = A + B (q z + kappa), times exp(-q z), where kappa = 3 - 4 nu; those from the bottom mirror them.
    """
    nu = layer.poisson
    kappa = 3.0 - 4.0 * nu
    shear = layer.stiffness / (2.0 * (1.0 + nu))
    # A thickness that nothing at the surface can feel is as good as a thinner one, and keeps the matrix regular.
    depth = np.minimum(waves * layer.thickness, _DEEP)
    fade = np.exp(-depth)
    one, none = np.ones_like(depth), np.zeros_like(depth)
    ends = ((none, one, depth, fade), (depth, fade, none, one))
    displacement: list[Floats] = []
    traction: list[Floats] = []
    for z, falling, rise, rising in ends:
        displacement.append(np.stack([falling, z * falling, rising, rise * rising], axis=-1))
        displacement.append(
            np.stack([falling, (z + kappa) * falling, -rising, -(rise + kappa) * rising], axis=-1),
        )
        # Shear stress mu (dU/dz - q W) and normal stress, per 2 mu q.
        sideways = np.stack(
            [
                -falling,
                -(z + (kappa - 1.0) / 2.0) * falling,
                rising,
                (rise + (kappa - 1.0) / 2.0) * rising,
            ],
            axis=-1,
        )
        normal = np.stack(
            [
                -falling,
                -(z + (kappa + 1.0) / 2.0) * falling,
                -rising,
                -(rise + (kappa + 1.0) / 2.0) * rising,
            ],
            axis=-1,
        )
        # Outward tractions: the top's normal points up, against z.
        outward = -1.0 if len(traction) == 0 else 1.0
        traction.append(outward * sideways)
        traction.append(outward * normal)
    solutions = np.stack(displacement, axis=-2)
    tractions = np.stack(traction, axis=-2) * (2.0 * shear * waves)[:, None, None]
    # K = T U^-1, solved as U^T K^T = T^T.
    transposed = np.linalg.solve(solutions.swapaxes(-1, -2), tractions.swapaxes(-1, -2))
    return np.asarray(transposed.swapaxes(-1, -2))

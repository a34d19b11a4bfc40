"""From hardness, infill and form to stiffness: what modulus a printed elastomer part works with.

No relation between hardness and modulus is exact. :func:`modulus_range` therefore gives the span of three published
ones; a single figure is never to be quoted without it. Moduli and stresses are MPa, lengths mm.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass
from statistics import NormalDist

from ...errors import PressError

SOFTEST_SHORE_A, HARDEST_SHORE_A = 20.0, 98.0
"""Shore A range in which any of the relations is used here: Gent's has a pole at 100, and all are steep beyond 98."""

BULK_MODULUS = 1330.0
"""Bulk modulus of a hard rubber, MPa: the 75 IRHD row of Lindley's handbook table (from memory)."""

# IRHD (near enough Shore A from 30 to 80) and the shape coefficient k, Lindley, "Engineering Design with Natural
# Rubber" (from memory; the rows at 65 and 75 seen in print).
_SHAPE_COEFFICIENTS = (
    (30.0, 0.93),
    (35.0, 0.89),
    (40.0, 0.85),
    (45.0, 0.80),
    (50.0, 0.73),
    (55.0, 0.64),
    (60.0, 0.57),
    (65.0, 0.54),
    (70.0, 0.53),
    (75.0, 0.52),
)


@dataclass(frozen=True)
class ModulusRange:
    """Young's modulus as far as a hardness tells it, MPa: the span of the relations and its geometric middle."""

    low: float
    middle: float
    high: float

    def __str__(self) -> str:
        return f"{self.low:.3g} to {self.high:.3g} MPa"


def modulus_range(shore_a: float) -> ModulusRange:
    """Return the span of Young's modulus that three published relations give for a Shore A hardness.

    Raises :class:`PressError` outside 20 to 98 Shore A.

    >>> print(modulus_range(95))
    18.9 to 43.8 MPa
    """
    moduli = (gent_modulus(shore_a), log_linear_modulus(shore_a), error_function_modulus(shore_a))
    low, high = min(moduli), max(moduli)
    return ModulusRange(low, math.sqrt(low * high), high)


def gent_modulus(shore_a: float) -> float:
    """Return Young's modulus from Shore A by the elastic contact of the durometer's cone.

    A. N. Gent, "On the Relation between Indentation Hardness and Young's Modulus", IRI Trans. 34, 46 (1958).

    Raises :class:`~stampwright.errors.PressError` outside the scale of hardness.
    """
    _check_hardness(shore_a)
    return 0.0981 * (56.0 + 7.62336 * shore_a) / (0.137505 * (254.0 - 2.54 * shore_a))


def log_linear_modulus(shore_a: float) -> float:
    """Return Young's modulus from Shore A by log10 E = 0.0235 S - 0.6403 (Ruess; also attributed to Qi et al. 2003).

    The logarithm is to base 10. Pages that print the same coefficients with the natural base fall to a ninth of this
    at 95 Shore A. The relation was stated for 20 to 80; beyond, it serves only to show how far the relations part.

    Raises :class:`~stampwright.errors.PressError` outside the scale of hardness.
    """
    _check_hardness(shore_a)
    return float(10.0 ** (0.0235 * shore_a - 0.6403))


def error_function_modulus(shore_a: float) -> float:
    """Return Young's modulus from Shore A by S = 100 erf(3.186e-4 sqrt(E)), with E in Pa.

    Raises :class:`~stampwright.errors.PressError` outside the scale of hardness.
    """
    _check_hardness(shore_a)
    inverse = NormalDist().inv_cdf((shore_a / 100.0 + 1.0) / 2.0) / math.sqrt(2.0)
    return (inverse / 3.186e-4) ** 2 / 1e6


def shape_coefficient(shore_a: float) -> float:
    """Return Lindley's coefficient k of the shape factor for a hardness; held at its ends outside 30 to 75."""
    hardness = [row[0] for row in _SHAPE_COEFFICIENTS]
    at = bisect_right(hardness, shore_a)
    if at in (0, len(hardness)):
        return _SHAPE_COEFFICIENTS[0 if at == 0 else -1][1]
    (left, k_left), (right, k_right) = _SHAPE_COEFFICIENTS[at - 1 : at + 1]
    return k_left + (k_right - k_left) * (shore_a - left) / (right - left)


def infill_stiffness(solid: float, infill: float) -> ModulusRange:
    """Return the modulus across a part's thickness when only a share ``infill`` of its inside is filled.

    Upper bound: walls that stand in the push, E infill (a honeycomb along its axis); lower bound: cells that bend,
    E infill² (open cells). L. J. Gibson and M. F. Ashby, "Cellular Solids", 2nd ed. 1997, eqs. 4.93 and 5.6a. An
    infill of 0 leaves the walls alone, and is a modulus of 0.

    Raises :class:`~stampwright.errors.PressError` when ``infill`` is no share.

    >>> infill_stiffness(30.0, 0.5)
    ModulusRange(low=7.5, middle=10.606601717798213, high=15.0)
    """
    if not 0.0 <= infill <= 1.0:
        raise PressError(f"infill = {infill:g} is not a share; it takes 0 (hollow) to 1 (solid)")
    low, high = solid * infill**2, solid * infill
    return ModulusRange(low, math.sqrt(low * high), high)


def buckling_stress(stiffness: float, width: float, height: float) -> float:
    """Return the pressure at which a thin ridge, held at its foot and free at its top, gives way sideways.

    Euler's column in plane stress: (pi² E / 12) (width/height)² / 4.
    """
    return math.pi**2 * stiffness / 12.0 * (width / height) ** 2 / 4.0


def _check_hardness(shore_a: float) -> None:
    if not SOFTEST_SHORE_A <= shore_a <= HARDEST_SHORE_A:
        raise PressError(
            f"hardness {shore_a:g} Shore A is outside the relations between hardness and stiffness; "
            f"they take {SOFTEST_SHORE_A:g} to {HARDEST_SHORE_A:g}"
        )

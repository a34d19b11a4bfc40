"""Ink between face and paper: what takes, what creeps past the edge, and how dark it comes out."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...errors import PressError
from ...job.sections.pressing import InkSection

Floats = NDArray[np.floating]

SOLID = 0.95
"""Share of the paper's grain that must take ink for a print to count as solid; the threshold is where it does."""

REFERENCE_PRESSURE = 0.1
REFERENCE_WIDTH = 1.0
"""The job's spread is what a line 1 mm wide shows under 0.1 MPa: about 60 N on the lines of a 50 mm stamp."""


@dataclass(frozen=True, kw_only=True)
class InkFilm:
    """Ink as it lies on the face.

    ``film`` mm thick; ``threshold`` MPa at which paper takes a solid print; ``spread`` mm per edge of a 1 mm line under
    0.1 MPa, which is how to measure it; ``usual_film`` mm, the film at which it was measured; ``density`` of the solid.
    """

    film: float = 0.010
    solid_from: float = 0.02
    spread: float = 0.1
    usual_film: float = 0.010
    density: float = 1.4

    def __post_init__(self) -> None:
        """Check the figures; raises :class:`PressError`."""
        for name, value in (("film", self.film), ("solid_from", self.solid_from), ("density", self.density)):
            if not 0.0 < value < math.inf:
                raise PressError(f"ink {name} = {value:g} is not allowed: it must be above 0")
        if not 0.0 <= self.spread < REFERENCE_WIDTH / 2.0:
            raise PressError(
                f"ink spread = {self.spread:g} mm is not allowed: 0 to less than {REFERENCE_WIDTH / 2.0:g} mm, half of "
                "the line that it is measured on"
            )


def ink_of(ink: InkSection) -> InkFilm:
    """Return the ink that a section of a job states."""
    return InkFilm(
        film=ink.film,
        solid_from=ink.solid_from,
        spread=min(ink.spread, REFERENCE_WIDTH * 0.49),
        density=ink.density,
    )


def taken(pressure: Floats, ink: InkFilm) -> Floats:
    """Return the share of the paper's grain that takes ink under each pressure, 0 to 1.

    Contact of a rough sheet grows with pressure and saturates, 1 - exp(-p / p0), as in the coverage of W. C. Walker and
    J. M. Fetsko's ink transfer equation (1955; from memory), with p0 set so that the threshold is solid.
    """
    return np.asarray(1.0 - np.exp(pressure * (math.log(1.0 - SOLID) / ink.solid_from)))


def film_left(pressure: Floats, width: Floats, ink: InkFilm) -> Floats:
    """Return the share of the film that stays under the face; the rest is squeezed out past its edges.

    J. Stefan's squeeze film (1874) between long strips: 1/h² - 1/h0² = 2 p t / (viscosity w²). Time over viscosity is
    not known for any hand, so it is what makes a 1 mm line under 0.1 MPa show the stated spread. Soft faces lift at
    their edges, and so squeeze no better for being wider than that line.
    """
    narrow = np.minimum(width, REFERENCE_WIDTH)
    return np.asarray(1.0 / np.sqrt(1.0 + _flow(ink) * pressure * (ink.film / narrow) ** 2))


def spread_past_edge(pressure: Floats, width: Floats, ink: InkFilm) -> Floats:
    """Return how far squeezed ink creeps past the edge of a line, mm.

    What is squeezed out of half a line lies beside it, as thick as the film was.
    """
    narrow = np.minimum(width, REFERENCE_WIDTH)
    return np.asarray((1.0 - film_left(pressure, width, ink)) * narrow / 2.0)


def tone_of_film(film: Floats, ink: InkFilm) -> Floats:
    """Return how dark a film is, 1 for the solid's full film: Lambert and Beer's law for its density."""
    return np.asarray((1.0 - 10.0 ** (-ink.density * film)) / (1.0 - 10.0**-ink.density))


def tint_density(dot_area: float, solid_density: float, n: float = 1.0) -> float:
    """Return the density of a tint over that of the paper.

    ``dot_area``: share that is inked. ``n`` = 1 is A. Murray's and E. R. Davies's equation (1936); above 1, J. A. C.
    Yule's and W. J. Nielsen's (1951), for light that spreads in the paper: 1.7 is usual (M. Pearson 1981), 2 the
    limit.

    Raises :class:`~stampwright.errors.PressError` when the share, the solid's density or ``n`` is out of range.

    >>> round(tint_density(0.5, 3.0), 4)
    0.3006
    """
    _check_tint(solid_density, n)
    if not 0.0 <= dot_area <= 1.0:
        raise PressError(f"dot area = {dot_area:g} is not a share; it takes 0 to 1")
    return -n * math.log10(1.0 - dot_area * (1.0 - 10.0 ** (-solid_density / n)))


def dot_area(tint: float, solid_density: float, n: float = 1.0) -> float:
    """Return the share that is inked in a tint of some density over the paper's; the inverse of :func:`tint_density`.

    Raises :class:`~stampwright.errors.PressError` when the tint is lighter than paper or darker than the solid, or as
    :func:`tint_density` does.

    >>> round(dot_area(0.30, 1.40), 5), round(dot_area(0.30, 1.40, n=1.7), 5)
    (0.51949, 0.3929)
    """
    _check_tint(solid_density, n)
    if not 0.0 <= tint <= solid_density:
        raise PressError(f"tint density = {tint:g} is not allowed: it takes 0 to that of the solid, {solid_density:g}")
    return float((1.0 - 10.0 ** (-tint / n)) / (1.0 - 10.0 ** (-solid_density / n)))


def _flow(ink: InkFilm) -> float:
    left = 1.0 - 2.0 * ink.spread / REFERENCE_WIDTH
    return (1.0 / left**2 - 1.0) / (REFERENCE_PRESSURE * (ink.usual_film / REFERENCE_WIDTH) ** 2)


def _check_tint(solid_density: float, n: float) -> None:
    if not solid_density > 0.0:
        raise PressError(f"solid density = {solid_density:g} is not allowed: it must be above 0")
    if not 1.0 <= n <= 100.0:
        raise PressError(f"n = {n:g} is not allowed: 1 (Murray and Davies) to 2 is usual, 100 at most")

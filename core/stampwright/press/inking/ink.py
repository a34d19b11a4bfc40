"""Ink between face and paper: what takes, what creeps past the edge, and how dark it comes out."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...errors import PressError
from ...job.sections.pressing import InkSection

Reals = NDArray[np.floating]

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


def taken(pressure: Reals, ink: InkFilm) -> Reals:
    """Return the share of the paper's grain that takes ink under each pressure, 0 to 1.

    Contact of a rough sheet grows with pressure and saturates, 1 - exp(-p / p0), as in the coverage of W. C. Walker and
    J. M. Fetsko's ink transfer equation (1955; from memory), with p0 set so that the threshold is solid.
    """
    return np.asarray(1.0 - np.exp(pressure * (math.log(1.0 - SOLID) / ink.solid_from)))


def film_left(pressure: Reals, width: Reals, ink: InkFilm) -> Reals:
    """Return the share of the film that stays under the face; the rest is squeezed out past its edges.

    J. Stefan's squeeze film (1874) between long strips: 1/h² - 1/h0² = 2 p t / (viscosity w²). Time over viscosity is
    not known for any hand, so it is what makes a 1 mm line under 0.1 MPa show the stated spread. Soft faces lift at
    their edges, and so squeeze no better for being wider than that line.
    """
    narrow = np.minimum(width, REFERENCE_WIDTH)
    return np.asarray(1.0 / np.sqrt(1.0 + _flow(ink) * pressure * (ink.film / narrow) ** 2))


def spread_past_edge(pressure: Reals, width: Reals, ink: InkFilm) -> Reals:
    """Return how far squeezed ink creeps past the edge of a line, mm.

    What is squeezed out of half a line lies beside it, as thick as the film was.
    """
    narrow = np.minimum(width, REFERENCE_WIDTH)
    return np.asarray((1.0 - film_left(pressure, width, ink)) * narrow / 2.0)


def tone_of_film(film: Reals, ink: InkFilm) -> Reals:
    """Return how dark a film is, 1 for the solid's full film: Lambert and Beer's law for its density."""
    return np.asarray((1.0 - 10.0 ** (-ink.density * film)) / (1.0 - 10.0**-ink.density))


def _flow(ink: InkFilm) -> float:
    left = 1.0 - 2.0 * ink.spread / REFERENCE_WIDTH
    return (1.0 / left**2 - 1.0) / (REFERENCE_PRESSURE * (ink.usual_film / REFERENCE_WIDTH) ** 2)

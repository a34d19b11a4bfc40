"""The art as it was given: at its final size and place, before repair, thinning, tone or anything else."""

from __future__ import annotations

from dataclasses import dataclass

from shapely import affinity
from shapely.geometry import MultiPolygon

from ..artwork.artwork import Artwork, Code
from ..artwork.letters import Letter
from ..plane.regions import filled_parts
from ..plane.repeats import Repeat


@dataclass(frozen=True, eq=False)
class GivenArt:
    """Art in the paper frame of its stamp, mm, with the letters and codes that are known to stand in it.

    ``inked``: MultiPolygon. ``codes`` have modules at final size. ``name``: what the artwork is called.
    ``repeat``: how the art comes again, where a roller prints it.
    """

    inked: MultiPolygon
    letters: tuple[Letter, ...] = ()
    codes: tuple[Code, ...] = ()
    name: str = ""
    repeat: Repeat | None = None

    @staticmethod
    def placed(
        artwork: Artwork, matrix: tuple[float, float, float, float, float, float], repeat: Repeat | None = None
    ) -> GivenArt:
        """Return artwork taken through ``matrix`` (shapely's six-number affine form)."""
        inked = affinity.affine_transform(artwork.inked, list(matrix))
        codes = tuple(code.moved(matrix) for code in artwork.codes)
        letters = tuple(letter.moved(matrix) for letter in artwork.letters)
        return GivenArt(filled_parts(inked), letters, codes, artwork.name, repeat)

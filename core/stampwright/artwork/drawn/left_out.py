"""What is drawn and does not print: said with what it belongs to, how much it covers, and where."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...findings import Finding
from ...looks.numbers import percent
from ...plane.overlays import without

LEFT_OUT = "artwork left out"

_NOTHING = 1e-9  # mm²


def about_left_out(left_out: Mapping[str, BaseGeometry], inked: MultiPolygon) -> Iterator[Finding]:
    """Yield a finding for each thing that is drawn and no ink, as far as no ink lies over it.

    ``left_out``: what it covers, mm, by what it belongs to, such as "material Red".
    """
    for what, covered in left_out.items():
        place = without(covered, inked)
        if place.area <= _NOTHING:
            continue
        share = float(place.area / (place.area + inked.area))
        yield Finding(
            kind=LEFT_OUT,
            severity="notes",
            stage="artwork",
            message=(f"The {what} is left out: it covers {percent(share)} of what is drawn, and is no ink"),
            remedy="Tick it under Which Is Ink to print it",
            place=place,
            measured=share,
            unit="",
        )

"""What is drawn and does not print: said with what it belongs to, how much it covers, and where."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...findings import Finding
from ...looks.numbers import percent
from ...plane.overlays import common, without

LEFT_OUT, WHITE = "artwork left out", "white is paper"

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


def about_white(paint: str, laid: MultiPolygon, dark: MultiPolygon, inked: MultiPolygon) -> Iterator[Finding]:
    """Yield what is to be said of what is painted as white as paper; under the ink it is its paper, and nothing is.

    ``laid``: what it covers, ``dark``: what all others do, and ``inked``: what is seen of these, all mm.
    """
    what = f"material {paint}" if paint else "part without a material"
    taken = common(laid, without(dark, inked))
    if common(laid, dark).area <= _NOTHING:
        yield Finding(
            kind=WHITE,
            severity="warns",
            stage="artwork",
            message=f"The {what} is as white as paper and does not print",
            remedy="Give it another colour to print it",
            place=laid,
        )
    elif taken.area > _NOTHING:
        share = float(taken.area / dark.area)
        yield Finding(
            kind=WHITE,
            severity="notes",
            stage="artwork",
            message=(
                f"The {what} is white, or a holdout, and shows paper: it takes {percent(share)} of the ink under it"
            ),
            remedy="Nothing need be done; give it another colour to print it",
            place=taken,
            measured=share,
            unit="",
        )

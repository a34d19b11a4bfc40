"""Codes read back from the impression: by an independent decoder where there is one, otherwise module by module."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass, replace
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon

from ..artwork.artwork import Code
from ..findings import Finding
from ..job.kinds import CODE_UNREADABLE
from ..looks.numbers import percent
from ..plane.overlays import common
from ..plane.rasters.raster import MM_PER_INCH, picture_grid, picture_of

MOST_WRONG = {"qr": 0.01, "code 128": 0.0, "ean 13": 0.0}
"""Share of modules that may print wrong. A QR symbol of the lowest level corrects 7 % of its codewords, of 8 modules
each (ISO/IEC 18004, error correction L); spread over them, 1 % of the modules spoils as many. Bars correct none."""

_PIXELS = (6.0, 10.0, 16.0)
"""To a module in what a decoder sees: a camera's picture of a code that fills its view, and nearer. Who reads a code
moves the camera until it reads, so one of them is enough."""


@dataclass(frozen=True)
class CodeReading:
    """Whether a code in the art still reads in print.

    ``by``: "decoder", or "modules" where none is installed or the art itself does not decode. ``wrong``: share of its
    modules that are ink where the art has paper at their middle, or paper where it has ink.
    """

    code: Code
    reads: bool
    by: str
    wrong: float

    def as_record(self) -> dict[str, Any]:
        """Return plain data for a report."""
        x, y = self.code.place.centroid.coords[0]
        record = {key: value for key, value in asdict(self).items() if key != "code"}
        return {"symbology": self.code.symbology, "at": [round(x, 3), round(y, 3)], **record}


def read_codes(printed: MultiPolygon, given: MultiPolygon, codes: Iterable[Code]) -> tuple[CodeReading, ...]:
    """Read each of ``codes``, modules at final size, in what was printed and in the art as given; mm, paper frame."""
    return tuple(_read(printed, given, code) for code in codes)


def judge_codes(readings: Iterable[CodeReading], *, accept: Iterable[str] = ()) -> Iterator[Finding]:
    """Yield a finding for each code that does not read; it blocks unless its kind is in ``accept``."""
    accepted = frozenset(accept)
    for reading in readings:
        if reading.reads:
            continue
        name = {"qr": "QR symbol", "code 128": "Code 128", "ean 13": "EAN-13"}[reading.code.symbology]
        found = "a decoder reads it in the art and not in print" if reading.by == "decoder" else "it is not as drawn"
        yield Finding(
            kind=CODE_UNREADABLE,
            severity="warns" if CODE_UNREADABLE in accepted else "blocks",
            stage="impression",
            message=f"The {name} does not read: {found}; {percent(reading.wrong, 1)} of its modules print wrong",
            remedy="Enlarge the code, use an ink that spreads less, or keep repair away from it",
            place=reading.code.place,
            measured=reading.wrong,
            limit=MOST_WRONG[reading.code.symbology],
            unit="",
        )


def _read(printed: MultiPolygon, given: MultiPolygon, code: Code) -> CodeReading:
    # Upright, as whoever reads it holds it.
    _, _, left, base = shapely.get_coordinates(code.place)[:4]
    tilt = -math.degrees(math.atan2(*(left - base)[::-1])) + 90
    place = affinity.rotate(code.place, tilt, origin=(0, 0))
    art, ink = (affinity.rotate(_near(region, code), tilt, origin=(0, 0)) for region in (given, printed))
    upright = replace(code, place=place)
    spots = _modules(upright)
    wrong = float((_inked_at(art, spots) != _inked_at(ink, spots)).mean()) if len(spots) else 1.0
    meant = _decoded(art, upright)
    if meant is None:
        return CodeReading(code, wrong <= MOST_WRONG[code.symbology], "modules", wrong)
    reads = any(_decoded(ink, upright, pixels) == meant for pixels in _PIXELS)
    return CodeReading(code, reads, "decoder", wrong)


def _near(region: MultiPolygon, code: Code) -> MultiPolygon:
    """Return what of a region is in a code's place, its quiet zone included."""
    parts = shapely.get_parts(common(region, code.place))
    return MultiPolygon(list(parts[shapely.get_dimensions(parts) == 2]))


def _modules(code: Code) -> NDArray[np.float64]:
    """Return the middles of a code's modules, (n, 2) mm: of a symbol all, of bars those along its middle."""
    corner, along, _, across = shapely.get_coordinates(code.place)[:4]
    along, across = along - corner, across - corner
    counts = [max(1, round(float(np.hypot(*side)) / code.module)) for side in (along, across)]
    # The sides of bars are drawn from the bottom up first; only across them modules follow each other.
    shares = [(np.arange(count) + 0.5) / count for count in counts]
    if code.symbology != "qr":
        shares[0] = np.array([0.5])
    up, over = np.meshgrid(*shares)
    spots: NDArray[np.float64] = corner + up.reshape(-1, 1) * along + over.reshape(-1, 1) * across
    return spots


def _inked_at(region: MultiPolygon, spots: NDArray[np.float64]) -> NDArray[np.bool_]:
    shapely.prepare(region)
    inked: NDArray[np.bool_] = shapely.contains_xy(region, spots[:, 0], spots[:, 1])
    return inked


def _decoded(region: MultiPolygon, code: Code, pixels: float = _PIXELS[0]) -> bytes | None:
    """Return what a decoder reads in a region at ``pixels`` to a module, None when that is nothing or there is none."""
    try:
        # Not all who make stamps read codes: the decoder is an extra (stampwright[codes]).
        import zxingcpp  # noqa: PLC0415
    except ImportError:
        return None
    dpi = pixels * MM_PER_INCH / code.module
    shape, corner = picture_grid(code.place.bounds, dpi)
    found = zxingcpp.read_barcodes(picture_of(region, shape, corner, dpi))
    return bytes(found[0].bytes) if found else None

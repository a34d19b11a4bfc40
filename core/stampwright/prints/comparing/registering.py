"""A scan brought into register with a face: coarsely by correlation over all turns and sizes, finely by its edges."""

from __future__ import annotations

import math
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...errors import PrintError
from ...looks.numbers import percent
from ...plane.rasters.raster import MM_PER_INCH, picture_of
from ..finding.encodings import AS_WRITTEN
from ..finding.scans import Scan
from ..finding.views import View, as_seen
from ..finding.vision import vision
from .edges import LaidOn, encoding_at, lay_on_edges
from .holding import holds, negative, sizes
from .striking import struck_twice

Floats = NDArray[np.float64]
Tones = NDArray[np.float32]

COARSE = 72
"""Pixels of the longer side of a face when it is looked for."""

LEAST_LIKE = 0.55
"""Correlation of a print with the face, from which on it is taken for a print of it."""

LEAST_DENSITY = 5.0
"""Pixels to the millimetre; a print that shows fewer is too small in its picture to be compared."""

_PYRAMID = (60, 120, 240)
"""Pixels of the face's longer side at which it is drawn nearer, one after the other."""

MOST_IN_A_SCAN = 12
"""Prints of one stamp that are looked for in one scan."""

_AS_LIKE = 0.75  # of the surest print's correlation, that another in the same scan must have
_BESIDE = 1.0  # mm round a print that was found, in which no other is looked for
_COUNTS = (1, 2, 3, 4, 6, 9)  # of prints in a photograph, by which its ink is shared out until one of them is seen
_CLEARLY = 0.06  # more alike, of the correlation
_SURELY = 0.8  # alike: with no other number of prints in the picture is one any more so
_LIES_WELL = 0.015  # mm that the edges of a print stray which is only of another size
_FINE = 200  # pixels of a face's longer side at which it is told from its mirror image
_FINELY = 0.02  # more alike there
_TURNS_NEAR = (-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0)  # degrees beside the turn that was found
_NEARER = (1.0, 0.93, 1.07, 0.86, 1.15)  # sizes of other prints in a photograph that is taken from an angle
_TURN = 4.0  # degrees between turns that are tried
_SIZES = (1.0, 0.92, 1.08, 0.85, 1.16)  # tried where nothing says how large the picture is


@dataclass(frozen=True, eq=False)
class Registered:
    """A scan in register with a face: ``view`` takes mm, paper frame, to pixels; ``spread`` is the mean over its edges.

    ``like``: the coarse correlation; ``error``: how far edges stray from where the spread puts them, mm (middle value).
    ``number``: of the print in its scan, from 1; 0 where it is the only one. ``again``: where it was struck a second
    time, from the first, mm, paper frame; None of a print that was struck once. ``power``: takes brightness to the
    scale in which the picture was blurred; ``unsure``: by how much less the ink may have spread, mm, where the picture
    does not show which scale that is.
    """

    scan: Scan
    view: View
    spread: float
    like: float
    error: float
    number: int = 0
    again: tuple[float, float] | None = None
    power: float = AS_WRITTEN
    unsure: float = 0.0

    @property
    def name(self) -> str:
        """Name of the scan, and of several prints in it which one."""
        return f"{self.scan.name}, print {self.number}" if self.number else self.scan.name


class _NotSeenError(PrintError):
    """Nothing in a scan is like the face."""


@dataclass(frozen=True)
class _Guess:
    like: float
    turn: float
    density: float
    x: float
    y: float
    mirrored: bool


def register_all(scan: Scan, face: MultiPolygon, *, reasons: bool = True) -> tuple[Registered, ...]:
    """Bring every print of a face, mm, that a scan shows into register with it: from the top down, left to right.

    ``reasons``: whether to look for why none is seen. Raises :class:`~stampwright.errors.PrintError` when none is.
    """
    try:
        first = register(scan, face)
    except _NotSeenError as error:
        raise (_reason(scan, face, error) if reasons else error) from error
    found, rest = [first], scan
    middle = face.convex_hull.centroid
    density = first.view.pixels_per_mm((middle.x, middle.y))
    while len(found) < MOST_IN_A_SCAN:
        rest = replace(rest, level=_painted_over(rest.level, found[-1].view, face))
        try:
            another = register(rest, face, density=density)
        except PrintError:
            break
        if another.like < _AS_LIKE * first.like:
            break
        found.append(replace(another, scan=scan))
    if len(found) == 1:
        return (first,)
    across = density * float(np.ptp(np.reshape(face.bounds, (2, 2)), axis=0).max())

    def reading_order(each: Registered) -> tuple[int, float]:
        x, y = each.view.project(np.array([middle.x, middle.y]))
        return round(float(y) / across), float(x)

    return tuple(replace(each, number=at) for at, each in enumerate(sorted(found, key=reading_order), 1))


def _painted_over(level: Tones, view: View, face: MultiPolygon) -> Tones:
    """Return brightness with bare paper where a print of a face lies."""
    outline = view.project(np.asarray(face.convex_hull.buffer(_BESIDE, quad_segs=4).exterior.coords))
    bare = level.copy()
    vision().fillConvexPoly(bare, np.round(outline).astype(np.int32), 1.0)
    return bare


def register(scan: Scan, face: MultiPolygon, *, density: float | None = None) -> Registered:
    """Bring the likeliest print in a scan into register with a face, mm, paper frame.

    The size is taken from the scanner's resolution, or from about ``density``, pixels to the mm, where either is known.
    What is missing, or printed too much, moves nothing: edges far from where they should be do not count. Raises
    :class:`~stampwright.errors.PrintError`, with the reason, when no print of that face is seen.
    """
    guess = _look_for(scan, face, density)
    if guess.like < LEAST_LIKE:
        raise _NotSeenError(
            f"{scan.name}: no print of this stamp is seen (likeness {guess.like:.2f}, least {LEAST_LIKE:g}); scan the "
            "whole print, larger and by itself, or name the folder of the stamp that made it"
        )
    if guess.mirrored:
        raise PrintError(f"{scan.name}: the print is mirrored: the picture was turned over, or the die made mirrored")
    if guess.density < LEAST_DENSITY:
        raise PrintError(
            f"{scan.name}: the print is too small in the picture ({guess.density * MM_PER_INCH:.0f} pixels to the "
            "inch); scan at 300 dpi or more, or hold the camera nearer"
        )
    cos, sin = math.cos(math.radians(guess.turn)), math.sin(math.radians(guess.turn))
    d = guess.density
    matrix = np.array([[d * cos, -d * sin, guess.x], [-d * sin, -d * cos, guess.y], [0.0, 0.0, 1.0]])
    flat = scan.dpi is not None
    view, laid, rigid = _laid(scan, face, View(matrix), flat=flat)
    encoding, unsure = encoding_at(scan, face, laid), 0.0
    power = encoding.power
    if power != AS_WRITTEN:
        as_written = laid.spread
        laid = lay_on_edges(scan, face, laid.view, flat=flat, power=power, rigid=rigid)
        unsure = 0.0 if encoding.sure else laid.spread - as_written
    struck = struck_twice(scan, face, laid, view, flat=flat, power=power)
    if struck is not None:
        laid = struck.laid
    again = None if struck is None else struck.shift
    return Registered(
        scan, laid.view, laid.spread, guess.like, laid.error, again=again, power=power, unsure=max(unsure, 0.0)
    )


def _laid(scan: Scan, face: MultiPolygon, start: View, *, flat: bool) -> tuple[View, LaidOn, bool]:
    """Return how a print lies, before its edges were laid on and after, and whether that shifts and turns only.

    Where what is there of a print was stretched over all of the face, it is laid on once more without being stretched.
    Raises :class:`~stampwright.errors.PrintError` when no way of laying it holds.
    """
    off: PrintError | None = None
    first: View | None = None
    for stiff in (False, True):
        rigid = stiff
        view = _drawn_near(scan, face, start, flat=flat, rigid=rigid)
        laid = lay_on_edges(scan, face, view, flat=flat, rigid=rigid)
        first = first or view
        if rigid:
            # From there, what is there of the print may say how far it is off its size, but not by much.
            freely = lay_on_edges(scan, face, laid.view, flat=flat)
            if holds(freely.view, face, scan.dpi, closely=True):
                laid, rigid = freely, False
        if holds(laid.view, face, scan.dpi):
            if view is first or laid.error < 2.0 * _LIES_WELL:
                return view, laid, rigid
        elif scan.dpi is not None and laid.error < _LIES_WELL:
            wide, high = sizes(laid.view, face, scan.dpi)
            off = off or PrintError(
                f"{scan.name}: by its {scan.dpi[0]:.0f} dpi the print is {percent(wide)} as wide and {percent(high)} "
                "as high as its die, and no die is so far off: say the true resolution (--dpi), or scan it without "
                "scaling"
            )
    raise off or PrintError(
        f"{scan.name}: no print of this stamp is seen whole enough to be laid on its die; scan a whole print by itself"
    )


def _reason(scan: Scan, face: MultiPolygon, error: PrintError) -> PrintError:
    """Return why a print was not found, as far as that can be told: a wrong resolution, or dark for light."""
    if scan.dpi is not None:
        with suppress(PrintError):
            free = register(replace(scan, dpi=None), face)
            if free.like >= _SURELY:
                return PrintError(
                    f"{scan.name}: the file records {scan.dpi[0]:.0f} dpi, but the print is as large as at about "
                    f"{free.view.pixels_per_mm() * MM_PER_INCH:.0f} dpi: say the true resolution (--dpi)"
                )
    light = negative(scan)
    for known in dict.fromkeys((scan.dpi, None)):
        if _look_for(replace(light, dpi=known), face, None).like >= _SURELY:
            return PrintError(
                f"{scan.name}: the print is light on dark, a negative: invert the picture, or print dark ink on light "
                "paper"
            )
    return error


def _look_for(scan: Scan, face: MultiPolygon, density: float | None) -> _Guess:
    """Return where, how turned and how large a print of the face is most likely seen."""
    ink = np.clip(1.0 - scan.level, 0.0, 1.0)
    if scan.dpi:
        sizes = [float(np.sqrt(scan.dpi[0] * scan.dpi[1])) / MM_PER_INCH]
        return _seen_at(ink, face, sizes, either=density is None)
    if density is not None:
        return _seen_at(ink, face, [density * size for size in _NEARER], either=False)
    guesses = []
    for count in _COUNTS:
        guesses.append(_seen_at(ink, face, _densities(ink, face, vision(), count=count)))
        if guesses[-1].like >= _SURELY:
            break
    return max(guesses, key=lambda guess: guess.like)


def _seen_at(ink: Tones, face: MultiPolygon, densities: Sequence[float], *, either: bool = True) -> _Guess:
    """Return where and how turned a print is most likely seen, with one of these numbers of pixels to the mm.

    ``either``: whether it may be mirrored, too.
    """
    cv2 = vision()
    left, bottom, right, top = face.bounds
    side = max(right - left, top - bottom)
    found_at = {mirrored: _Guess(-1.0, 0.0, 1.0, 0.0, 0.0, mirrored) for mirrored in (False, True)}
    template, middle = _template(face, COARSE / side)
    for density in densities:
        shrink = COARSE / (side * density)
        if shrink > 4.0:
            continue
        small = cv2.resize(ink, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA if shrink < 1 else 1)
        small = cv2.GaussianBlur(small, (0, 0), 1.0)
        for mirrored in (False, True)[: 1 + either]:
            for turn in np.arange(0.0, 360.0, _TURN):
                found = _correlate(small, template, float(turn), mirrored, cv2)
                if found is not None and found[0] > found_at[mirrored].like:
                    like, x, y = found
                    found_at[mirrored] = _Guess(like, float(turn), density, x / shrink, y / shrink, mirrored)
    best = found_at[either and _is_mirrored(ink, face, found_at[False], found_at[True])]
    # The template turned about its own middle; the frame's origin lies elsewhere.
    cos, sin = math.cos(math.radians(best.turn)), math.sin(math.radians(best.turn))
    off_x, off_y = best.density * middle[0], best.density * middle[1]
    return replace(best, x=best.x - (off_x * cos - off_y * sin), y=best.y + (off_x * sin + off_y * cos))


def _is_mirrored(ink: Tones, face: MultiPolygon, plain: _Guess, mirrored: _Guess) -> bool:
    """Say whether a print is mirrored; ``x`` and ``y`` of both guesses are still those of the face's middle.

    Much art is nearly its own mirror image, the more so the coarser it is seen: only what is clearly more alike is
    mirrored, and where neither is clearly so, what is as seen more finely.
    """
    if mirrored.like > plain.like + _CLEARLY or mirrored.like < plain.like - _CLEARLY or mirrored.like < LEAST_LIKE:
        return mirrored.like > plain.like + _CLEARLY
    return _finely_alike(ink, face, mirrored) > _finely_alike(ink, face, plain) + _FINELY


def _finely_alike(ink: Tones, face: MultiPolygon, guess: _Guess) -> float:
    """Return how alike a picture and a face are where a guess has it, seen more finely."""
    cv2 = vision()
    left, bottom, right, top = face.bounds
    per_mm = _FINE / max(right - left, top - bottom)
    template, _ = _template(face, per_mm)
    reach = 0.55 * len(template) / per_mm * guess.density
    low_x, low_y = (max(0, int(at - reach)) for at in (guess.x, guess.y))
    part = ink[low_y : int(guess.y + reach) + 1, low_x : int(guess.x + reach) + 1]
    if not part.size:
        return -1.0
    shrink = per_mm / guess.density
    seen = cv2.resize(part, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA if shrink < 1 else 1)
    tried = [_correlate(seen, template, guess.turn + turn, guess.mirrored, cv2) for turn in _TURNS_NEAR]
    return max((found[0] for found in tried if found is not None), default=-1.0)


def _drawn_near(scan: Scan, face: MultiPolygon, view: View, *, flat: bool, rigid: bool = False) -> View:
    """Return a view brought near enough for edges to find each other, by correlation from blurred to sharp.

    G. D. Evangelidis and E. Z. Psarakis, Parametric image alignment using enhanced correlation coefficient (2008), as
    the library has it. Where that finds no way on, the view stays as it is. ``rigid``: shifted and turned only.
    """
    cv2 = vision()
    motion = cv2.MOTION_EUCLIDEAN if rigid else cv2.MOTION_AFFINE if flat else cv2.MOTION_HOMOGRAPHY
    rows = 2 if flat or rigid else 3
    side = max(face.bounds[2] - face.bounds[0], face.bounds[3] - face.bounds[1])
    for pixels in _PYRAMID:
        per_mm = pixels / side
        template, middle = _template(face, per_mm)
        size = template.shape[0]
        # From a pixel of the template to mm, and on to the scan.
        to_mm = np.array(
            [
                [1 / per_mm, 0.0, middle[0] - (size - 1) / 2 / per_mm],
                [0.0, -1 / per_mm, middle[1] + (size - 1) / 2 / per_mm],
                [0.0, 0.0, 1.0],
            ]
        )
        column, row = np.meshgrid(np.arange(size), np.arange(size))
        places = np.stack((column, row), axis=-1) / per_mm * (1.0, -1.0) + to_mm[:2, 2]
        ink = 1.0 - _softly_seen(scan.level, view.project(places), 0.4 / per_mm * view.pixels_per_mm(middle))
        warp = np.eye(3, dtype=np.float32)[:rows]
        ends = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 80, 1e-6)
        try:
            _, warp = cv2.findTransformECC(
                cv2.GaussianBlur(template, (0, 0), 1.5), cv2.GaussianBlur(ink, (0, 0), 1.5), warp, motion, ends, None, 3
            )
        except cv2.error:
            continue
        whole = np.vstack((warp, (0.0, 0.0, 1.0))) if rows == 2 else warp
        view = replace(view, matrix=view.matrix @ to_mm @ whole @ np.linalg.inv(to_mm))
    return view


def _softly_seen(level: Tones, pixels: Floats, blur: float) -> Tones:
    """Return the brightness of a blurred picture at places, (..., 2) pixels; only what lies round them is blurred."""
    cv2 = vision()
    rows, columns = level.shape
    reach = 4.0 * blur + 4.0
    flat = pixels.reshape(-1, 2)
    low = np.clip(np.floor(flat.min(axis=0) - reach), 0, (columns - 1, rows - 1)).astype(int)
    high = np.clip(np.ceil(flat.max(axis=0) + reach) + 1, low + 1, (columns, rows)).astype(int)
    part = np.ascontiguousarray(level[low[1] : high[1], low[0] : high[0]])
    return as_seen(cv2.GaussianBlur(part, (0, 0), blur), pixels - low, cv2)


def _densities(ink: Tones, face: MultiPolygon, cv2: Any, *, count: int) -> list[float]:
    """Return how many pixels to the millimetre a photograph of ``count`` prints may have, by how much ink it shows."""
    rows, columns = ink.shape
    shrink = 500.0 / max(rows, columns)
    small = cv2.resize(ink, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
    cut = max(0.3 * float(np.percentile(small, 99.8)), 0.08)
    # Shadows of the paper's edge and the table are far larger than strokes: what is wide is no print.
    dark = (small > cut).astype(np.uint8)
    wide = cv2.morphologyEx(dark, cv2.MORPH_OPEN, np.ones((61, 61), np.uint8))
    area = float(
        np.where(wide > 0, 0.0, np.where(dark > 0, small / max(float(np.percentile(small, 99.5)), 0.1), 0)).sum()
    )
    density = math.sqrt(max(area, 1.0) / (count * face.buffer(0.1).area)) / shrink
    return [density * size for size in _SIZES]


def _template(face: MultiPolygon, per_mm: float) -> tuple[Tones, tuple[float, float]]:
    """Return the face as ink, 0 to 1, on a square that holds it whatever its turn, and its middle, mm."""
    left, bottom, right, top = face.bounds
    middle = ((left + right) / 2, (bottom + top) / 2)
    half = math.hypot(right - left, top - bottom) / 2 + 2.0 / per_mm
    dpi = per_mm * MM_PER_INCH
    pixels = 2 * round(half * per_mm) + 1
    corner = (middle[0] - pixels / per_mm / 2, middle[1] - pixels / per_mm / 2)
    picture = picture_of(face, (pixels, pixels), corner, dpi)
    return (255.0 - picture.astype(np.float32)) / 255.0, middle


def _correlate(
    small: Tones, template: Tones, turn: float, mirrored: bool, cv2: Any
) -> tuple[float, float, float] | None:
    """Return how alike a picture and the turned template are at best, 0 to 1, and where its middle then lies."""
    size = template.shape[0]
    half = (size - 1) / 2.0
    drawn = template[:, ::-1] if mirrored else template
    spin = cv2.getRotationMatrix2D((half, half), turn, 1.0)
    turned = cv2.GaussianBlur(cv2.warpAffine(np.ascontiguousarray(drawn), spin, (size, size)), (0, 0), 1.0)
    # Room round the picture: a print may lie at its edge.
    room = size // 2
    padded = cv2.copyMakeBorder(small, room, room, room, room, cv2.BORDER_CONSTANT, value=0.0)
    if padded.shape[0] < size or padded.shape[1] < size:
        return None
    like = cv2.matchTemplate(padded, turned, cv2.TM_CCOEFF_NORMED)
    _, highest, _, at = cv2.minMaxLoc(like)
    return float(highest), at[0] + half - room + 0.5, at[1] + half - room + 0.5

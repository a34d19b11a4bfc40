"""One print of a test die, read: edges, ladders, screens, darkness and size."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from ...errors import PrintError
from ...plane.rasters.raster import MM_PER_INCH
from ..finding.encodings import AS_LIGHT, AS_WRITTEN, encoding_of, tenth_to_nine
from ..finding.impressions import Found, least_density
from ..finding.scales import Scale, find_scale, scanned_so
from ..finding.scans import Scan
from ..finding.views import View, as_seen
from ..finding.vision import vision
from ..testdie import DIRECTIONS, Chart
from .profiles import EdgeProfiles, Profiles, edge_response, find_edges, ink_across, look_across
from .refining import refine_view
from .tones import FaceTones, face_tones

Floats = NDArray[np.float64]

MOST_BLUR = 0.7
"""Of a printed line: an edge that takes more from a tenth to nine tenths of its step is too blurred."""

MOST_ERROR = 0.15
"""Of a printed line: lines that lie farther than this off where the chart has them are bent paper, or no such chart."""

WHOLE = 0.95
"""Share of a line's length that prints, or of a gap's that stays open, from which on it is whole."""

LEAST_OPEN = 0.03
"""Paper across a gap, mm, that an eye sees as open."""

_SURE, _UNSURE = 0.3, 0.75  # of how far edges lie apart in both scales of brightness, that their places are in doubt by
_MOST_DOUBT = 0.1  # of a printed line, by which an edge may lie elsewhere
_SHARP = 3.0  # pixels from a tenth to nine tenths: as sharp an edge as scanners and cameras show
_BROAD = 1.5  # line widths from which on a line's edges are measured


@dataclass(frozen=True)
class Spread:
    """How far ink crept past edges in one direction: mean and deviation over places, mm, and how many places."""

    mean: float
    deviation: float
    places: int


@dataclass(frozen=True)
class Rungs:
    """A ladder in print: widths of its rungs, mm, and the share of each one's length that prints, or stays open."""

    widths: tuple[float, ...]
    shares: tuple[float, ...]

    @property
    def least(self) -> float | None:
        """The narrowest rung that is whole as are all broader ones; None where even the broadest is not."""
        found = None
        for width, share in sorted(zip(self.widths, self.shares, strict=True), reverse=True):
            if share < WHOLE:
                break
            found = width
        return found


@dataclass(frozen=True, eq=False)
class PrintReading:
    """One print, read; lengths in mm as printed, directions in degrees on paper.

    ``spread``, ``lines``, ``gaps``: by direction. ``size``: of the print over that of the chart, across and up; None
    where no scale was found. ``raggedness``, ``blurriness``, ``void``: as ISO/IEC 24790 has them (from memory):
    deviation of an edge from its line; distance over which it goes from a tenth to nine tenths; share of a solid area
    that shows paper. ``density``: of the solid over the paper, by the file's brightness, which no one has calibrated.
    ``covers``: steps of ink cover, as drawn and as printed. ``error``: of the chart's lines about their places.
    """

    scan: str
    chart: Chart
    view: View
    scale: Scale | None
    size: tuple[float, float] | None
    spread: dict[float, Spread]
    lines: dict[float, Rungs]
    gaps: dict[float, Rungs]
    raggedness: float
    blurriness: float
    void: float
    density: float
    covers: tuple[tuple[float, float], ...]
    tones: FaceTones
    error: float
    power: float
    doubt: float = 0.0
    least_dot: float | None = None
    least_hole: float | None = None
    push: float | None = None
    notes: tuple[str, ...] = field(default=())

    @property
    def mean_spread(self) -> float:
        """Mean of the spread over directions, mm."""
        return _mean_of(self.spread)


def read_print(scan: Scan, found: Found, *, scale: str = "", push: float | None = None) -> PrintReading:
    """Read one print that was found in a scan.

    ``scale``: what says how large the picture is, as :func:`~stampwright.prints.finding.scales.find_scale` has it.
    ``push``: N, where it was weighed.
    Raises :class:`~stampwright.errors.PrintError` when the picture is too small, too blurred or too bent to measure.
    """
    chart = found.chart
    wrong = "" if scale == "dpi" else scanned_so(scan, found.view, chart)
    scan = replace(scan, dpi=None) if wrong else scan
    view, error = refine_view(scan, chart, found.view, lens=scan.dpi is None)
    line = chart.line_width
    density = view.pixels_per_mm()
    _check_size(scan, density, line)
    if not error / density < MOST_ERROR * line:
        raise PrintError(
            f"{scan.name}: the print's lines lie up to {error / density:.2f} mm off where the chart has them: the "
            "paper is bent, the print smeared, or much of it missing; lay the paper flat and print again"
        )
    broad = look_across(scan, chart, view, [rung for rung in chart.rungs if rung.width >= _BROAD * line - 1e-9])
    power, edges, width, doubt = _edges_in(scan, broad, line, density)
    known = find_scale(scan, found, view, scale)
    size = None if known is None else known.size_of(view, chart)
    factor = 1.0 if size is None else float(np.sqrt(size[0] * size[1]))
    solid = _darkest(edges)
    spread = _spreads(broad, edges, factor)
    every = look_across(scan, chart, view, chart.rungs)
    return PrintReading(
        scan=scan.name,
        chart=chart,
        view=view,
        scale=known,
        size=size,
        spread=spread,
        lines=_ladders(every, "line", solid, power),
        gaps=_ladders(every, "gap", solid, power),
        raggedness=_raggedness(edges),
        blurriness=width,
        void=_void(scan, chart, view, solid, power),
        density=float(-np.log10(max(solid ** (2.2 / power), 1e-4))),
        covers=_covers(scan, chart, view, solid, power),
        tones=face_tones(scan, chart, view, blur=width, power=power),
        error=error,
        power=power,
        doubt=doubt * factor,
        least_dot=_least_disc(scan, chart, view, "dot", solid=solid, power=power),
        least_hole=_least_disc(scan, chart, view, "hole", solid=solid, power=power),
        push=push,
        notes=(f"{wrong}: that is not taken",) if wrong else (),
    )


def _check_size(scan: Scan, density: float, line: float) -> None:
    if density < least_density(line):
        raise PrintError(
            f"{scan.name}: the print is too small in the picture: {density * MM_PER_INCH:.0f} pixels to the inch; "
            f"lines of {line:g} mm take {least_density(line) * MM_PER_INCH:.0f}; scan at 600 dpi, or hold the camera "
            "nearer"
        )


def _edges_in(scan: Scan, broad: Profiles, line: float, density: float) -> tuple[float, EdgeProfiles, float, float]:
    """Return the scale in which edges were blurred, edges and blur there, and what their places are in doubt by, mm."""
    edges = {power: find_edges(broad, power) for power in (AS_WRITTEN, AS_LIGHT)}
    steps = {power: edge_response(broad, each, power, 0.65 * line) for power, each in edges.items()}
    if any(np.isnan(response).any() for _, response in steps.values()):
        raise PrintError(f"{scan.name}: no edge of the print is seen; scan it more clearly")
    encoding = encoding_of(scan, steps)
    width = max(tenth_to_nine(*step) for step in steps.values())
    if width > MOST_BLUR * line and width * density < _SHARP:
        raise PrintError(
            f"{scan.name}: the print is too small in the picture: at {density * MM_PER_INCH:.0f} pixels to the inch "
            f"even a sharp edge takes {width:.2f} mm, and {MOST_BLUR * line:.2f} mm are the most that can be measured; "
            "scan at 600 dpi, or hold the camera nearer"
        )
    if width > MOST_BLUR * line:
        raise PrintError(
            f"{scan.name}: too blurred: edges take {width:.2f} mm from paper to ink, where {MOST_BLUR * line:.2f} mm "
            "are the most that can be measured; scan at 600 dpi, or hold the camera still and let it focus"
        )
    width = tenth_to_nine(*steps[encoding.power])
    spreads = [_mean_of(_spreads(broad, each, 1.0)) for each in edges.values()]
    doubt = (_SURE if encoding.sure else _UNSURE) * abs(spreads[1] - spreads[0])
    if not doubt < _MOST_DOUBT * line:
        raise PrintError(
            f"{scan.name}: too blurred: edges take {width:.2f} mm from paper to ink, and may lie anywhere within "
            f"{2 * doubt:.2f} mm of that; scan at 600 dpi, or hold the camera still and let it focus"
        )
    return encoding.power, edges[encoding.power], width, doubt


def _mean_of(spread: dict[float, Spread]) -> float:
    return float(np.mean([each.mean for each in spread.values()]))


def _darkest(edges: EdgeProfiles) -> float:
    """Return the brightness of solid ink over the paper's: of the darker half of all broad lines."""
    dark = edges.dark / edges.light
    return float(np.clip(np.nanpercentile(dark, 20), 0.0, 0.95))


def _spreads(broad: Profiles, edges: EdgeProfiles, factor: float) -> dict[float, Spread]:
    """Return the spread by direction: lines are broader by twice it, gaps narrower, whatever the print's size."""
    nominal = np.array([rung.width for rung in broad.rungs])[:, None]
    sign = np.array([1.0 if rung.kind == "line" else -1.0 for rung in broad.rungs])[:, None]
    spread = sign * (edges.width - nominal) / 2.0 * factor
    direction = np.array([rung.direction for rung in broad.rungs])
    found = {}
    for turn in DIRECTIONS:
        # Lines and gaps count alike, so that what stretches both leaves their mean.
        means, values = [], []
        for kind in (1.0, -1.0):
            some = spread[(direction == turn) & (sign[:, 0] == kind)].reshape(-1)
            some = _without_strays(some[np.isfinite(some)])
            if len(some) >= 4:
                means.append(float(np.mean(some)))
                values.append(some)
        if means:
            every = np.concatenate(values)
            found[turn] = Spread(float(np.mean(means)), float(np.std(every)), len(every))
    return found


def _without_strays(values: Floats) -> Floats:
    if len(values) < 4:
        return values
    middle = np.median(values)
    spread = 1.4826 * float(np.median(np.abs(values - middle)))
    return values[np.abs(values - middle) <= max(3.0 * spread, 0.004)]


def _ladders(every: Profiles, kind: str, solid: float, power: float) -> dict[float, Rungs]:
    """Return the ladders of one kind by direction, with the share of every rung that prints or stays open."""
    across = ink_across(every, solid, power)
    found = {}
    for turn in DIRECTIONS:
        widths, shares = [], []
        for index, rung in enumerate(every.rungs):
            if (rung.kind, rung.direction) == (kind, turn):
                least = 0.5 * rung.width if kind == "line" else LEAST_OPEN
                widths.append(rung.width)
                shares.append(float(np.mean(_smoothed(across[index]) >= least)))
        found[turn] = Rungs(tuple(widths), tuple(shares))
    return found


def _smoothed(values: Floats) -> Floats:
    """Return running medians of three: one speck or void is no breach."""
    padded = np.pad(values, 1, mode="edge")
    return np.asarray(np.median(np.stack((padded[:-2], padded[1:-1], padded[2:])), axis=0))


def _raggedness(edges: EdgeProfiles) -> float:
    """Return how far edges of one rung stray about their line, mm: the middle over rungs."""
    with np.errstate(all="ignore"):
        sides = [np.nanstd(side, axis=1) for side in (edges.left, edges.right)]
    return float(np.nanmedian(np.concatenate(sides)))


def _levels_in(scan: Scan, view: View, region: shapely.Geometry, step: float, power: float) -> tuple[Floats, Floats]:
    """Return places in a region, (n, 2) mm, a step apart, and brightness there."""
    left, bottom, right, top = region.bounds
    x, y = np.meshgrid(np.arange(left + step / 2, right, step), np.arange(bottom + step / 2, top, step))
    inside = shapely.contains_xy(region, x, y)
    places = np.stack((x[inside], y[inside]), axis=-1)
    return places, np.maximum(as_seen(scan.level, view.project(places), vision()), 0.0).astype(np.float64) ** power


def _void(scan: Scan, chart: Chart, view: View, solid: float, power: float) -> float:
    """Return the share of the solid square, without its edge, that is lighter than half-way to paper."""
    region = chart.patches_of("solid")[0].region.buffer(-0.5 * chart.line_width)
    _, level = _levels_in(scan, view, region, 0.05, power)
    return float(np.mean(level > (1.0 + solid) / 2.0))


def _covers(scan: Scan, chart: Chart, view: View, solid: float, power: float) -> tuple[tuple[float, float], ...]:
    """Return the steps of ink cover as drawn and as printed, by brightness between solid ink and paper."""
    steps = []
    pitch = 4.0 * chart.line_width
    for patch in chart.patches_of("cover"):
        left, bottom, right, top = patch.region.bounds
        count = int((right - left) / pitch + 1e-9)
        inner = 0.6 * chart.line_width
        # Whole pitches, so that no part of a line counts more than another.
        start = left - pitch * (1 - patch.share) / 2
        place = shapely.box(start, bottom + inner, start + count * pitch, top - inner)
        _, level = _levels_in(scan, view, place, 0.04, power)
        steps.append((patch.share, float(np.clip((1.0 - level.mean()) / (1.0 - solid), 0.0, 1.0))))
    return tuple(steps)


def _least_disc(scan: Scan, chart: Chart, view: View, kind: str, *, solid: float, power: float) -> float | None:
    """Return the smallest dot that prints, or hole that stays open, with all larger ones; by ink in and round it."""
    least = None
    for patch in sorted(chart.patches_of(kind), key=lambda each: -each.size):
        around = patch.region.centroid.buffer(patch.size / 2 + 0.3 * chart.line_width)
        _, level = _levels_in(scan, view, around, max(patch.size / 12, 0.02), power)
        inked = (1.0 - level.mean()) / (1.0 - solid) * around.area
        shown = inked if kind == "dot" else around.area - inked
        if shown < (0.5 * patch.region.area if kind == "dot" else max(0.03 * patch.region.area, 0.01)):
            break
        least = patch.size
    return least

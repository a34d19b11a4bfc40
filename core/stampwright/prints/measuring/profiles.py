"""Brightness across the rungs of a chart, as a scan shows it: where edges lie, how much ink, how sharp."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..finding.scans import Scan
from ..finding.views import View, as_seen
from ..finding.vision import vision
from ..testdie import Chart, Rung

Floats = NDArray[np.float64]

STATIONS = 24
"""Places along a rung where it is looked at; by fours they make a segment."""

SEGMENTS = 6
_SAMPLES = 81  # across a rung
_CORE = 5  # samples at the middle and at either end, from which ink and paper are taken
_END = 0.6  # of the ends of a rung that are left out, hundredths of the chart's side
_BESIDE = {"line": 0.95, "gap": 0.72}  # how far past a rung's edge is looked, line widths


@dataclass(frozen=True, eq=False)
class Profiles:
    """Brightness over the paper's across every rung, in the encoding of the file.

    ``offsets``: (rungs, samples), mm from the middle line, towards the left of its direction. ``places``: (rungs,
    stations, 2), mm, chart frame. ``normals``: (rungs, 2). ``levels``: (rungs, stations, samples).
    """

    rungs: tuple[Rung, ...]
    offsets: Floats
    places: Floats
    normals: Floats
    levels: Floats

    def by_segments(self, power: float) -> Floats:
        """Return brightness to a power, means of four stations each, (rungs, segments, samples)."""
        raised = np.maximum(self.levels, 0.0) ** power
        return np.asarray(raised.reshape(len(self.rungs), SEGMENTS, -1, _SAMPLES).mean(axis=2))

    @property
    def segment_places(self) -> Floats:
        """Middles of the segments, (rungs, segments, 2), mm."""
        return np.asarray(self.places.reshape(len(self.rungs), SEGMENTS, -1, 2).mean(axis=2))


def look_across(scan: Scan, chart: Chart, view: View, rungs: Sequence[Rung]) -> Profiles:
    """Return the brightness across rungs of a chart that lies in a scan as ``view`` says."""
    starts, ends = (np.array([getattr(rung, name) for rung in rungs]) for name in ("start", "end"))
    lengths = np.hypot(*(ends - starts).T)
    along = (ends - starts) / lengths[:, None]
    normals = np.stack((-along[:, 1], along[:, 0]), axis=-1)
    reach = np.array([rung.width / 2 + _BESIDE[rung.kind] * chart.line_width for rung in rungs])
    # The ends of slanted rungs are cut level: a profile near them would run out of the rung.
    slanted = np.array([rung.direction % 90.0 != 0.0 for rung in rungs])
    kept = np.maximum(lengths / 2 - _END * chart.unit - np.where(slanted, reach, 0.0), 0.08 * lengths)
    along_line = np.linspace(-1.0, 1.0, STATIONS)
    places = (starts + ends)[:, None, :] / 2 + (kept[:, None] * along_line)[..., None] * along[:, None, :]
    offsets = reach[:, None] * np.linspace(-1.0, 1.0, _SAMPLES)
    points = places[:, :, None, :] + offsets[:, None, :, None] * normals[:, None, None, :]
    levels = as_seen(scan.level, view.project(points), vision())
    return Profiles(tuple(rungs), offsets, places, normals, levels.astype(np.float64))


@dataclass(frozen=True, eq=False)
class EdgeProfiles:
    """Both edges of every segment of every rung, mm from its middle line, and how ink and paper look there.

    ``left``, ``right``, ``dark``, ``light``: (rungs, segments); nan where nothing was printed, or no gap stayed open.
    """

    left: Floats
    right: Floats
    dark: Floats
    light: Floats

    @property
    def width(self) -> Floats:
        """Width of the line, or of the gap, mm."""
        return self.right - self.left

    @property
    def middle(self) -> Floats:
        """How far off its middle line it lies, mm."""
        return (self.right + self.left) / 2.0


def find_edges(profiles: Profiles, power: float = 1.0, *, at: float = 0.5) -> EdgeProfiles:
    """Return where brightness passes ``at`` of the way from paper to ink, on both sides of every rung.

    Half-way is where the edge of a blurred step lies. ``power`` raises the file's encoding to the scale of brightness
    in which it was blurred.
    """
    levels = profiles.by_segments(power)
    offsets = np.broadcast_to(profiles.offsets[:, None, :], levels.shape)
    gaps = np.array([rung.kind == "gap" for rung in profiles.rungs])[:, None, None]
    # Of a gap, light and dark trade places.
    inside = np.where(gaps, -levels, levels)
    middle = np.median(inside[..., _SAMPLES // 2 - _CORE : _SAMPLES // 2 + _CORE + 1], axis=-1)
    beyond = np.median(np.concatenate((inside[..., :_CORE], inside[..., -_CORE:]), axis=-1), axis=-1)
    cut = np.where(gaps[..., 0], middle + (1 - at) * (beyond - middle), beyond + at * (middle - beyond))
    out = inside > cut[..., None]
    half = _SAMPLES // 2
    left = -_first_crossing(out[..., half::-1], inside[..., half::-1], -offsets[..., half::-1], cut)
    right = _first_crossing(out[..., half:], inside[..., half:], offsets[..., half:], cut)
    dark = np.where(gaps[..., 0], -beyond, middle)
    light = np.where(gaps[..., 0], -middle, beyond)
    missing = (light - dark < 0.08) | ~np.isfinite(left + right)
    left, right = (np.where(missing, np.nan, side) for side in (left, right))
    return EdgeProfiles(left, right, dark, light)


def _first_crossing(out: NDArray[np.bool_], levels: Floats, offsets: Floats, cut: Floats) -> Floats:
    """Return the offset where levels first pass the cut, going outwards; nan where they never do."""
    found = out.any(axis=-1)
    index = np.clip(out.argmax(axis=-1), 1, None)
    before, after = (np.take_along_axis(levels, (index - back)[..., None], axis=-1)[..., 0] for back in (1, 0))
    near, far = (np.take_along_axis(offsets, (index - back)[..., None], axis=-1)[..., 0] for back in (1, 0))
    share = np.clip((cut - before) / np.where(after > before, after - before, np.inf), 0.0, 1.0)
    return np.asarray(np.where(found & ~out[..., 0], near + share * (far - near), np.nan))


def ink_across(profiles: Profiles, dark: float, power: float) -> Floats:
    """Return how much ink, or open paper of a gap, lies across a rung at each station, mm, (rungs, stations).

    The area under the profile: blur moves it about, but leaves it as it is. ``dark``: brightness of solid ink.
    """
    share = (1.0 - np.maximum(profiles.levels, 0.0) ** power) / (1.0 - dark)
    step = profiles.offsets[:, 1] - profiles.offsets[:, 0]
    gap = np.array([rung.kind == "gap" for rung in profiles.rungs])
    inked = share.sum(axis=-1) * step[:, None]
    wide = (profiles.offsets[:, -1] - profiles.offsets[:, 0])[:, None]
    return np.asarray(np.where(gap[:, None], wide - inked, inked))


def edge_response(profiles: Profiles, edges: EdgeProfiles, power: float, reach: float) -> tuple[Floats, Floats]:
    """Return the mean edge from ink (0) to paper (1) over its place, mm: offsets and levels, (n,) each.

    Edges of all rungs are laid over each other where they pass half-way: what ISO 12233 calls the edge spread function,
    from edges that cross the pixels at every phase.
    """
    grid = np.linspace(-reach, reach, 61)
    levels = profiles.by_segments(power)
    shown = []
    for row, rung in enumerate(profiles.rungs):
        outwards = 1.0 if rung.kind == "line" else -1.0
        for segment in range(levels.shape[1]):
            dark, light = edges.dark[row, segment], edges.light[row, segment]
            for edge, sign in ((edges.left[row, segment], -1.0), (edges.right[row, segment], 1.0)):
                if np.isfinite(edge):
                    at = outwards * sign * (profiles.offsets[row] - edge)
                    order = np.argsort(at)
                    seen = (levels[row, segment] - dark) / max(light - dark, 1e-6)
                    shown.append(np.interp(grid, at[order], seen[order]))
    if not shown:
        return grid, np.full(len(grid), np.nan)
    return grid, np.median(np.array(shown), axis=0)

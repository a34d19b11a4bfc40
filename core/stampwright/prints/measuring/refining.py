"""How a chart lies in a scan, from all of its lines at once: far finer than its four marks tell."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ..finding.scans import Scan
from ..finding.views import View
from ..testdie import Chart
from .profiles import find_edges, look_across

Floats = NDArray[np.float64]

_ROUNDS = 3
_STEPS = 6  # of Gauss and Newton in a round
_LEAST_WIDTH = 1.5  # of the lines that are taken, line widths
_LEAST_GAIN = 0.97  # of the error that the lens must take away to be believed


def refine_view(scan: Scan, chart: Chart, view: View, *, lens: bool) -> tuple[View, float]:
    """Return the view of a chart as the middles of its lines and gaps show it, and their mean error, pixels.

    Middles are the same however far ink spreads. ``lens``: whether the picture may bulge, as photographs do.
    """
    rungs = [rung for rung in chart.rungs if rung.width >= _LEAST_WIDTH * chart.line_width - 1e-9]
    rows, columns = scan.shape
    middle, half = ((columns - 1) / 2.0, (rows - 1) / 2.0), float(np.hypot(rows, columns)) / 2
    view = replace(view, middle=middle, half_diagonal=half)
    error = np.inf
    for _ in range(_ROUNDS):
        profiles = look_across(scan, chart, view, rungs)
        edges = find_edges(profiles)
        seen = np.isfinite(edges.middle)
        # A line that another ran into has its middle elsewhere.
        seen &= np.abs(edges.middle) < 0.5 * chart.line_width
        if np.count_nonzero(seen) < 40:
            return view, error
        places = profiles.segment_places
        off = places + edges.middle[..., None] * profiles.normals[:, None, :]
        tangents = np.stack((profiles.normals[:, 1], -profiles.normals[:, 0]), axis=-1)
        ahead = places + 0.1 * tangents[:, None, :]
        pixels = view.project(off[seen])
        plain, plain_error = _fitted(view, places[seen], ahead[seen], pixels, chart.size / 2, lens=False)
        if lens:
            bulged, bulged_error = _fitted(view, places[seen], ahead[seen], pixels, chart.size / 2, lens=True)
            if bulged_error < _LEAST_GAIN * plain_error:
                plain, plain_error = bulged, bulged_error
        view, error = plain, plain_error
    return view, error


def _fitted(
    view: View, places: Floats, ahead: Floats, pixels: Floats, half: float, *, lens: bool
) -> tuple[View, float]:
    """Return the view in which places come to lines through ``pixels``, by least squares on what is not far off."""
    found = view if lens else replace(view, bulge=0.0)
    count = 9 if lens else 8
    kept = np.ones(len(places), dtype=np.bool_)
    for _ in range(_STEPS):
        residual = _across(found, places, ahead, pixels)
        spread = 1.4826 * float(np.median(np.abs(residual - np.median(residual))))
        kept = np.abs(residual) < max(4.0 * spread, 0.05) + abs(float(np.median(residual)))
        step = np.zeros((len(places), count))
        for index in range(count):
            step[:, index] = (_across(_moved(found, index, 1e-6, half), places, ahead, pixels) - residual) / 1e-6
        change = np.linalg.lstsq(step[kept], -residual[kept], rcond=None)[0]
        for index, amount in enumerate(change.tolist()):
            found = _moved(found, index, amount, half)
    residual = _across(found, places, ahead, pixels)[kept]
    return found, float(np.sqrt(np.mean(residual**2)))


def _across(view: View, places: Floats, ahead: Floats, pixels: Floats) -> Floats:
    """Return how far pixels lie beside the lines that pass places towards what is ahead, pixels."""
    here, there = view.project(places), view.project(ahead)
    along = (there - here) / np.hypot(*(there - here).T)[:, None]
    off = pixels - here
    return np.asarray(along[:, 0] * off[:, 1] - along[:, 1] * off[:, 0])


def _moved(view: View, index: int, amount: float, half: float) -> View:
    """Return a view with one of its nine figures changed: eight of the homography, on a chart two wide, or lens."""
    if index == 8:
        return replace(view, bulge=view.bulge + amount)
    change = np.eye(3)
    change.reshape(-1)[index] += amount
    wide = np.diag([half, half, 1.0])
    return replace(view, matrix=view.matrix @ wide @ change @ np.linalg.inv(wide))

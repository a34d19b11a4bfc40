"""How sharp a print's edges are, against the slanted edge of ISO 12233, written here from memory of the standard.

The standard's way: in every row of pixels across an edge a few degrees off upright, the edge lies at the centroid of
the brightness's differences; a line is fitted through these; all pixels are laid out by their distance from that line
in bins of a quarter of a pixel, which is the edge spread function; its differences, through a Hamming window,
transformed, are the spatial frequency response.
"""

import numpy as np
import pytest
from stampwright.prints.finding.scans import read_scan
from stampwright.prints.measuring import measure_prints
from stampwright.prints.measuring.profiles import edge_response, find_edges, look_across
from stampwright.prints.testdie import draw_chart

from ..core.prints.synthetic import Stamped, scanned

BINS = 4
HALF = 12
"""Pixels to either side of the edge that are looked at."""


def slanted_edge(level):
    """Return offsets, pixels, and levels of the edge spread function, from dark to light along every row."""
    rows, columns = level.shape
    window = np.hamming(columns - 2)
    change = (level[:, 2:] - level[:, :-2]) / 2
    at = np.arange(1, columns - 1)
    centroid = (change * window * at).sum(axis=1) / (change * window).sum(axis=1)
    slope, start = np.polyfit(np.arange(rows), centroid, 1)
    down, across = np.mgrid[0:rows, 0:columns]
    off = (across - (start + slope * down)) / np.hypot(1, slope)
    bins = np.floor(off * BINS).astype(int)
    grid = np.arange(-HALF * BINS // 2, HALF * BINS // 2)
    return (grid + 0.5) / BINS, np.array([level[bins == each].mean() for each in grid])


def rise(offsets, levels):
    """Return how far it is from a tenth to nine tenths of a step."""
    ends = levels[:8].mean(), levels[-8:].mean()
    share = np.maximum.accumulate((levels - ends[0]) / (ends[1] - ends[0]))
    return np.interp(0.9, share, offsets) - np.interp(0.1, share, offsets)


def half_response(offsets, levels):
    """Return the frequency at which the response to it has fallen to a half."""
    spread = np.gradient(levels, offsets)
    spread = spread * np.hamming(len(spread))
    response = np.abs(np.fft.rfft(spread, 4096))
    frequency = np.fft.rfftfreq(4096, offsets[1] - offsets[0])
    at = int(np.argmax(response < response[0] / 2))
    return float(frequency[at])


@pytest.mark.sweep(1)
@pytest.mark.parametrize("blur", [1.0, 1.5, 2.2])
def test_sharpness_is_that_of_the_slanted_edge(blur, tmp_path):
    chart, path = draw_chart(50.0), tmp_path / "scan.png"
    scanned(
        [Stamped(chart.inked, 0.06)],
        path,
        blur=blur,
        noise=0.004,
        texture=0.0,
        light=0.0,
        page=(64, 64),
        places=((32.0, 32.0),),
    )
    (reading,) = measure_prints([path]).readings
    scan = read_scan(path)
    pixel = 25.4 / 600
    corners = np.asarray(chart.patches_of("slanted")[0].region.exterior.coords)[:-1]
    right = corners[np.argsort(-corners[:, 0])[:2]]
    column, row = (32.0 + right[:, 0]) / pixel, (32.0 - right[:, 1]) / pixel
    # The two corners left out, and a window that follows the edge only as far as the edge leans.
    top, bottom = round(row.min() + 14), round(row.max() - 14)
    middle = round(column.mean() + 0.06 / pixel)
    level = scan.level[top:bottom, middle - 2 * HALF : middle + 2 * HALF].astype(float) ** reading.power
    offsets, levels = slanted_edge(level)
    width = rise(offsets, levels) * pixel
    # A blurred step of this deviation takes 2.563 of it from a tenth to nine tenths (normal distribution).
    assert width == pytest.approx(2.563 * np.hypot(blur, 0.75) * pixel, rel=0.1)
    assert reading.blurriness == pytest.approx(width, rel=0.08)

    broad = look_across(scan, chart, reading.view, [rung for rung in chart.rungs if rung.width > 0.59])
    grid, response = edge_response(broad, find_edges(broad, reading.power), reading.power, 0.26)
    seen = half_response(np.asarray(grid) / pixel, np.asarray(response))
    assert seen == pytest.approx(half_response(offsets, levels), rel=0.1)

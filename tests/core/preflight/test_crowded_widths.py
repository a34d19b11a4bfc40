"""Where edges lie thick, widths are found by another way; it finds just the same."""

import numpy as np
import pytest
import shapely
from stampwright.preflight.widths import crowded
from stampwright.preflight.widths.middles import measure_gap_widths, measure_line_widths


def noisy_spike(points=1200):
    chance, half = np.random.default_rng(0), points // 2
    along = np.linspace(0, 1, half)
    edge = 0.15 * (1 - along) + 0.005
    upper = np.column_stack((5 * along, edge + chance.normal(0, 0.002, half)))
    lower = np.column_stack((5 * along, -edge + chance.normal(0, 0.002, half)))[::-1]
    return shapely.Polygon(np.vstack((upper, lower)))


def comb():
    teeth = shapely.box(np.arange(60) * 0.3, 0, np.arange(60) * 0.3 + np.linspace(0.05, 0.28, 60), 3)
    return shapely.union_all([*teeth, shapely.box(0, -1, 18, 0.1)])


def stars():
    spots = [shapely.Point(0.7 * x, 0.7 * y).buffer(0.3 + 0.05 * (x * y % 2), 2) for x in range(9) for y in range(9)]
    return shapely.union_all(spots)


@pytest.mark.parametrize("measure", [measure_line_widths, measure_gap_widths])
@pytest.mark.parametrize("art", [noisy_spike, comb, stars])
def test_crowded_edges_are_measured_as_all_pairs_are(art, measure, monkeypatch):
    region = art()
    plain = measure(region, below=0.8)
    monkeypatch.setattr(crowded, "MANY_PAIRS", 0)
    monkeypatch.setattr(crowded, "SAMPLE", 10)
    quick = measure(region, below=0.8)
    assert len(quick) == len(plain)
    assert quick.lengths.sum() == pytest.approx(plain.lengths.sum(), abs=1e-9)
    assert np.sort(quick.narrowest) == pytest.approx(np.sort(plain.narrowest), abs=1e-12)

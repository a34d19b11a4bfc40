"""Where few rings cross, those alone are cut, and what fills is what cutting along every edge gives."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from stampwright.artwork.outlines import crossing
from stampwright.artwork.outlines.filling import filled


def lobed(chance, radius, middle):
    turn = np.linspace(0, 2 * np.pi, int(chance.integers(5, 30)), endpoint=False)
    reach = radius * (1 + 0.2 * np.cos(3 * turn))
    return np.column_stack((reach * np.cos(turn), reach * np.sin(turn))) + middle


def apart(chance, count):
    """Return rings of all sizes that keep clear of each other, many in each other, turning either way."""
    rings, lines = [], []
    while len(rings) < count:
        radius = chance.choice([0.2, 0.6, 2.0, 5.0, 9.0])
        ring = lobed(chance, radius, chance.uniform(-12, 12, 2))
        line = shapely.linearrings(ring)
        if not any(line.intersects(other) for other in lines):
            rings.append(ring[:: chance.choice([-1, 1])])
            lines.append(line)
    return rings


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**32 - 1), st.sampled_from(["nonzero", "evenodd"]))
def test_few_rings_that_cross_are_filled_as_all_of_them_would_be(seed, rule):
    chance = np.random.default_rng(seed)
    rings = apart(chance, 45)
    for _ in range(3):
        # Some cross their neighbours, some themselves: a star's points joined by turns.
        one = rings[int(chance.integers(len(rings)))]
        star = lobed(chance, 0.5, one[0])
        rings.append(star if chance.random() < 0.5 else star[np.argsort(np.arange(len(star)) * 2 % len(star))])
    chance.shuffle(order := np.arange(len(rings)))
    rings = [rings[at] for at in order]
    region = filled(rings, rule)
    expected = crossing._filled_by_faces(rings, rule, crossing.DEFAULTS)
    assert region.is_valid
    assert region.symmetric_difference(expected).area < 2e-5


@pytest.mark.parametrize("rule", ["nonzero", "evenodd"])
@pytest.mark.parametrize("turn", [1, -1])
def test_what_crosses_in_a_ring_in_what_crosses_is_filled(rule, turn):
    """A frame of two crossing rings, in it a ring alone, in that another pair; and many dots, so that these are few."""
    square = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    dots = [square * 0.1 + (3 * at, 30.0) for at in range(30)]
    rings = [square * 10, square * 10 + 1, (square * 6)[::turn], square * 2, (square * 2 + 1)[::turn], *dots]
    region = filled(rings, rule)
    expected = crossing._filled_by_faces(rings, rule, crossing.DEFAULTS)
    assert region.symmetric_difference(expected).area < 2e-6
    assert region.area == pytest.approx(expected.area, rel=1e-8)


def test_rings_far_from_those_that_cross_are_not_cut(monkeypatch):
    square = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    seen = []
    cut = crossing.faces_between
    monkeypatch.setattr(crossing, "faces_between", lambda lines, limits: seen.extend(lines) or cut(lines, limits))
    region = filled([square, square + 0.5, *(square * 0.4 + (3 * at, 9.0) for at in range(30))], "evenodd")
    assert len(seen) == 2
    assert region.area == pytest.approx(2 * (4 - 1.5**2) + 30 * 0.64)

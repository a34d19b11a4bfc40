"""Ink: what takes, what creeps, and how dark a tint comes out."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from stampwright.errors import PressError
from stampwright.job import Job
from stampwright.press.inking.ink import (
    SOLID,
    InkFilm,
    film_left,
    ink_of,
    spread_past_edge,
    taken,
    tone_of_film,
)


def test_spread_of_lines_and_dots():
    # Geometry: 0.05 mm per edge makes a 0.5 mm line 1.2 times as wide and a 0.5 mm dot 1.44 times its area.
    ink = InkFilm(spread=0.05)
    creep = float(spread_past_edge(np.array([0.1]), np.array([1.0]), ink)[0])
    assert (0.5 + 2 * creep) / 0.5 == pytest.approx(1.2)
    assert ((0.5 + 2 * creep) / 0.5) ** 2 == pytest.approx(1.44)


def test_spread_is_the_stated_one_on_the_line_it_is_measured_on():
    for spread in (0.0, 0.05, 0.1, 0.3):
        found = spread_past_edge(np.array([0.1]), np.array([1.0]), InkFilm(spread=spread))
        assert found[0] == pytest.approx(spread, abs=1e-12)


@given(st.floats(0.001, 2.0), st.floats(0.2, 3.0))
def test_ink_is_neither_made_nor_lost_by_squeezing(pressure, width):
    # What creeps out of half a line, as thick as the film was, is what is missing under it.
    ink = InkFilm()
    narrow = min(width, 1.0)
    left = film_left(np.array([pressure]), np.array([width]), ink)[0]
    crept = spread_past_edge(np.array([pressure]), np.array([width]), ink)[0]
    assert crept + left * narrow / 2 == pytest.approx(narrow / 2)


@given(st.floats(0.001, 1.0), st.floats(0.002, 0.05))
def test_more_pressure_and_more_ink_creep_farther(pressure, film):
    widths = np.array([0.8])
    less = spread_past_edge(np.array([pressure]), widths, InkFilm(film=film))
    assert spread_past_edge(np.array([pressure * 1.1]), widths, InkFilm(film=film)) > less
    assert spread_past_edge(np.array([pressure]), widths, InkFilm(film=film * 1.1)) > less


def test_squeezing_follows_stefans_film():
    # 1/h² - 1/h0² grows in step with pressure times time (J. Stefan 1874).
    pressures = np.array([0.05, 0.1, 0.2, 0.4])
    left = film_left(pressures, np.full(4, 0.7), InkFilm())
    growth = 1 / left**2 - 1
    np.testing.assert_allclose(growth / pressures, growth[0] / pressures[0])


def test_threshold_is_where_a_print_is_solid():
    ink = InkFilm(solid_from=0.03)
    share = taken(np.array([0.0, 0.01, 0.03, 1.0]), ink)
    assert share[0] == 0.0
    assert 0.0 < share[1] < SOLID
    assert share[2] == pytest.approx(SOLID)
    assert share[3] == pytest.approx(1.0)


def test_full_film_is_full_tone_and_none_is_none():
    ink = InkFilm()
    assert tone_of_film(np.array([0.0, 1.0]), ink) == pytest.approx([0.0, 1.0])


def test_ink_follows_the_job():
    job = Job().with_values({"ink.film": 0.02, "ink.solid_from": 0.05, "ink.spread": 0.2, "ink.density": 1.2})
    assert ink_of(job.ink) == InkFilm(film=0.02, solid_from=0.05, spread=0.2, density=1.2)


@pytest.mark.parametrize(
    "figures", [{"film": 0.0}, {"film": math.nan}, {"solid_from": -1.0}, {"density": math.inf}, {"spread": 0.5}]
)
def test_ink_that_is_none_is_refused(figures):
    with pytest.raises(PressError, match=next(iter(figures))):
        InkFilm(**figures)

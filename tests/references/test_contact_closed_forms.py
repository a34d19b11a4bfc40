"""The contact solvers against problems with a closed solution."""

import math

import numpy as np
import pytest
from stampwright.press.contact.bounded import Bed, press_on_bed
from stampwright.press.contact.elastic import ElasticSurface, layered
from stampwright.press.contact.foundation import press_on_springs
from stampwright.press.contact.layers import Layer, half_space_compliance, surface_compliance
from stampwright.press.contact.push import Held, Places, Push

from .half_spaces import half_space, periodic_half_space

YOUNG, POISSON = 30.0, 0.48
PLANE_STRAIN = YOUNG / (1.0 - POISSON**2)


def square(size: int, pitch: float) -> tuple[np.ndarray, np.ndarray]:
    middle = (np.arange(size) - size / 2 + 0.5) * pitch
    x, y = np.meshgrid(middle, middle)
    return x, y


def pressed(surface: ElasticSurface, height: np.ndarray, x: np.ndarray, y: np.ndarray, push: Push) -> Held:
    stand = np.isfinite(height).ravel()
    places = Places(height.ravel()[stand], x.ravel()[stand], y.ravel()[stand], float(x[0, 1] - x[0, 0]) ** 2)
    bed = Bed(surface, np.flatnonzero(stand), np.zeros(int(stand.sum())))
    return press_on_bed(places, bed, push, tolerance=1e-5)


class TestHertz:
    """Sphere on plane, 64 pixels a radius: K. L. Johnson, "Contact Mechanics" (1985), eqs. 4.22 to 4.24."""

    radius, touch = 20.0, 1.0
    pitch = 1.0 / 64

    def press(self, push: Push, dtype: str = "float32") -> Held:
        x, y = square(160, self.pitch)
        surface = half_space(x.shape, self.pitch, YOUNG, POISSON, dtype)
        return pressed(surface, -(x**2 + y**2) / (2 * self.radius), x, y, push)

    @property
    def force(self) -> float:
        return 4 * PLANE_STRAIN * self.touch**3 / (3 * self.radius)

    @property
    def peak(self) -> float:
        return 2 * PLANE_STRAIN * self.touch / (math.pi * self.radius)

    def test_force_gives_radius_peak_pressure_and_approach(self):
        held = self.press(Push(force=self.force))
        radius = math.sqrt(np.count_nonzero(held.pressure) * self.pitch**2 / math.pi)
        assert radius == pytest.approx(self.touch, rel=0.003)
        assert held.pressure.max() == pytest.approx(self.peak, rel=0.001)
        assert held.approach == pytest.approx(self.touch**2 / self.radius, rel=0.001)

    def test_depth_gives_force(self):
        held = self.press(Push(depth=self.touch**2 / self.radius))
        assert held.force == pytest.approx(self.force, rel=0.001)

    def test_start_from_a_single_place_comes_to_the_same(self):
        x, y = square(160, self.pitch)
        height = -(x**2 + y**2) / (2 * self.radius)
        places = Places(height.ravel(), x.ravel(), y.ravel(), self.pitch**2)
        surface = half_space(x.shape, self.pitch, YOUNG, POISSON, "float32")
        start = np.zeros(x.size)
        start[np.argmax(height)] = 1.0
        bed = Bed(surface, np.arange(x.size), np.zeros(x.size))
        told: list[float] = []
        held = press_on_bed(places, bed, Push(force=self.force), start=start, progress=told.append)
        assert held.pressure.max() == pytest.approx(self.peak, rel=0.01)
        assert told[-1] == 1.0

    def test_push_beside_the_middle_rolls_the_sphere_until_moments_balance(self):
        # A sphere that turns by a small angle touches that angle times its radius further on.
        shift = 0.1
        held = self.press(Push(force=self.force, at=(shift, 0.0)))
        x, y = square(160, self.pitch)
        share = held.pressure / held.pressure.sum()
        assert share @ x.ravel() == pytest.approx(shift, abs=1e-6)
        assert share @ y.ravel() == pytest.approx(0.0, abs=1e-6)
        assert held.slopes[0] == pytest.approx(shift / self.radius, rel=0.005)
        assert held.pressure.max() == pytest.approx(self.peak, rel=0.002)


def test_flat_punch_is_as_stiff_and_dents_the_plane_round_it_as_sneddon_says():
    # I. N. Sneddon, Int. J. Engng Sci. 3 (1965), 47: F = 2 E* a d; u(r) = (2 d / pi) asin(a / r) beside the punch;
    # p(0) = E* d / (pi a). Radius 64 pixels.
    radius, depth, pitch = 1.0, 0.01, 1.0 / 64
    x, y = square(256, pitch)
    away = np.hypot(x, y)
    height = np.where(away <= radius, 0.0, -np.inf)
    surface = half_space(x.shape, pitch, YOUNG, POISSON, "float64")
    held = pressed(surface, height, x, y, Push(depth=depth))
    assert held.force == pytest.approx(2 * PLANE_STRAIN * radius * depth, rel=0.005)
    pressure = np.zeros(x.shape)
    pressure[away <= radius] = held.pressure
    inner = away < 0.9 * radius
    expected = PLANE_STRAIN * depth / (math.pi * np.sqrt(radius**2 - away[inner] ** 2))
    np.testing.assert_allclose(pressure[inner], expected, rtol=0.01)
    outer = away > 1.1 * radius
    give = surface.yield_to(pressure)
    np.testing.assert_allclose(give[outer], 2 * depth / math.pi * np.arcsin(radius / away[outer]), rtol=0.005)


@pytest.mark.parametrize("load", [0.02, 0.1, 0.3, 0.5, 0.7, 0.9, 0.98, 1.0, 1.5])
def test_sinusoid_is_pressed_flat_as_westergaard_says(load):
    # H. M. Westergaard, "Bearing pressures and cracks", J. Appl. Mech. 6 (1939), A49; Johnson (1985), eqs. 13.7, 13.8:
    # mean pressure over p* = pi E* amplitude / wavelength is sin²(pi a / wavelength), a half of the touching width.
    wavelength, amplitude, points = 1.0, 0.01, 256
    pitch = wavelength / points
    x = np.tile((np.arange(points) + 0.5) * pitch - wavelength / 2, (8, 1))
    y = np.tile((np.arange(8)[:, None] + 0.5) * pitch, (1, points))
    height = amplitude * np.cos(2 * math.pi * x / wavelength)
    full = math.pi * PLANE_STRAIN * amplitude / wavelength
    mean = load * full
    surface = periodic_half_space(x.shape, pitch, YOUNG, POISSON, "float64")
    held = pressed(surface, height, x, y, Push(force=mean * x.size * pitch**2))
    pressure = held.pressure.reshape(x.shape)[4]
    at = x[4]
    if load >= 1.0:
        expected = mean + full * np.cos(2 * math.pi * at / wavelength)
    else:
        half = wavelength / math.pi * math.asin(math.sqrt(load))
        inside = np.maximum(load - np.sin(math.pi * at / wavelength) ** 2, 0.0)
        expected = 2 * mean * np.cos(math.pi * at / wavelength) / load * np.sqrt(inside)
        touching = np.count_nonzero(pressure) * pitch
        assert touching == pytest.approx(2 * half, abs=2.1 * pitch)
    assert np.abs(pressure - expected).max() < 0.02 * expected.max()
    assert np.sqrt(np.mean((pressure - expected) ** 2)) < 0.004 * expected.max()


class TestThinLayer:
    def test_one_layer_answers_as_the_closed_form(self):
        # Elastic layer bonded to a rigid base, no friction on top: Johnson (1985), section 5.8; R. H. Bentall and
        # K. L. Johnson, Int. J. Mech. Sci. 10 (1968), 637.
        waves = np.geomspace(1e-2, 30.0, 60)
        for poisson in (0.0, 0.3, 0.48, 0.5):
            thickness, kappa = 2.0, 3.0 - 4.0 * poisson
            a = waves * thickness
            share = (kappa * np.sinh(2 * a) - 2 * a) / (
                kappa * np.cosh(2 * a) + 2 * a**2 + 5.0 - 12.0 * poisson + 8.0 * poisson**2
            )
            expected = half_space_compliance(YOUNG, poisson, waves) * share
            found = surface_compliance([Layer(thickness, YOUNG, poisson)], waves)
            np.testing.assert_allclose(found, expected, rtol=1e-6)
            # Cut into three, it is the same layer.
            cut = [Layer(part, YOUNG, poisson) for part in (0.5, 1.2, 0.3)]
            np.testing.assert_allclose(surface_compliance(cut, waves), expected, rtol=1e-6)

    def test_deep_layer_is_a_half_space(self):
        waves = np.geomspace(1.0, 1e4, 20)
        found = surface_compliance([Layer(50.0, YOUNG, POISSON)], waves)
        np.testing.assert_allclose(found, half_space_compliance(YOUNG, POISSON, waves), rtol=1e-9)

    def test_sphere_on_a_thin_layer_nears_the_layer_as_springs(self):
        # Johnson (1985), eq. 5.69 and section 4.3: for contact much wider than the bonded layer is thick, the layer
        # acts as springs of E (1 - nu) / ((1 + nu)(1 - 2 nu)) per thickness: F = pi k a⁴ / (4 R), depth a² / (2 R).
        poisson, touch, radius, pitch = 0.3, 1.0, 50.0, 1.0 / 64
        x, y = square(192, pitch)
        errors = []
        for thickness in (0.2, 0.1, 0.05):
            layer = Layer(thickness, YOUNG, poisson)
            surface = layered(x.shape, pitch, [[layer]], "float64")
            held = pressed(surface, -(x**2 + y**2) / (2 * radius), x, y, Push(depth=touch**2 / (2 * radius)))
            errors.append(abs(held.force / (math.pi / layer.confined * touch**4 / (4 * radius)) - 1))
        assert errors[2] < 0.01
        assert errors[0] > errors[1] > errors[2]

    def test_incompressible_layer_squeezes_out_as_a_viscous_film_would(self):
        # Long waves on a thin bonded incompressible layer: compliance q² h³ / (3 G), the limit used by Johnson (1985),
        # section 5.8, for the lubrication-like flow of the layer.
        thickness, shear = 1.0, YOUNG / 3.0
        waves = np.array([0.01, 0.02, 0.05])
        found = surface_compliance([Layer(thickness, YOUNG, 0.5)], waves)
        np.testing.assert_allclose(found, waves**2 * thickness**3 / (3 * shear), rtol=0.01)


class TestSprings:
    def test_sphere_on_springs(self):
        # Johnson (1985), section 4.3: F = pi k a⁴ / (4 R), depth a² / (2 R).
        radius, touch, pitch, compliance = 20.0, 1.0, 1.0 / 64, 0.05
        x, y = square(160, pitch)
        places = Places(-(x.ravel() ** 2 + y.ravel() ** 2) / (2 * radius), x.ravel(), y.ravel(), pitch**2)
        force = math.pi / compliance * touch**4 / (4 * radius)
        held = press_on_springs(places, np.full(x.size, compliance), Push(force=force))
        assert held.approach == pytest.approx(touch**2 / (2 * radius), rel=1e-4)
        assert held.pressure.max() == pytest.approx(touch**2 / (2 * radius) / compliance, rel=1e-3)

    @pytest.mark.parametrize(("shift", "lifted"), [(0.1, 0.0), (1.0 / 6.0, 0.0), (0.25, 0.25), (0.4, 0.7)])
    def test_square_pushed_off_centre_lifts_beyond_the_middle_third(self, shift, lifted):
        # Rigid footing on springs, by statics: beyond 1/6 of the side from the middle one edge lifts, and the pressed
        # length is 3 (1/2 - shift); peak pressure 2 F / (side * pressed length).
        size = 300
        x, y = square(size, 1.0 / size)
        places = Places(np.zeros(x.size), x.ravel(), y.ravel(), 1.0 / size**2)
        held = press_on_springs(places, np.full(x.size, 0.05), Push(force=10.0, at=(shift, 0.0)))
        free = 1.0 - np.count_nonzero(held.pressure) / x.size
        assert free == pytest.approx(lifted, abs=2.0 / size)
        peak = 10.0 * (1.0 + 6.0 * shift) if shift <= 1.0 / 6.0 else 20.0 / (3.0 * (0.5 - shift))
        assert held.pressure.max() == pytest.approx(peak, rel=0.02)

    def test_both_solvers_agree_where_places_do_not_yield_together(self):
        rng = np.random.default_rng(5)
        x, y = square(64, 0.1)
        height = rng.normal(0.0, 0.01, x.shape)
        compliance = rng.uniform(0.02, 0.08, x.size)
        places = Places(height.ravel(), x.ravel(), y.ravel(), 0.01)
        push = Push(force=3.0, at=(0.4, -0.3))
        springs = press_on_springs(places, compliance, push)
        rigid = ElasticSurface(x.shape, x.shape, np.zeros((33, 64)))
        full = press_on_bed(places, Bed(rigid, np.arange(x.size), compliance), push, tolerance=1e-8)
        np.testing.assert_allclose(full.pressure, springs.pressure, atol=1e-4 * springs.pressure.max())
        assert full.approach == pytest.approx(springs.approach, rel=1e-4)
        assert full.slopes == pytest.approx(springs.slopes, rel=1e-4)

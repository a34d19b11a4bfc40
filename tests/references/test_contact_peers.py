"""The full contact solver against two independent ones, on rough surfaces and on the faces of stamps.

``tamaas`` (L. Frérot et al., J. Open Source Softw. 5 (2020), 2121) solves surfaces that repeat; ``ContactMechanics``
(L. Pastewka et al.) solves single ones by the doubled grid. Both are elastic half-spaces under a rigid counterface.
"""

import os
from importlib import import_module
from types import ModuleType

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, box
from stampwright.plane.rasters.raster import picture_grid, picture_of
from stampwright.press.contact.bounded import Bed, press_on_bed
from stampwright.press.contact.elastic import ElasticSurface
from stampwright.press.contact.push import Held, Places, Push
from stampwright.press.faces.surface import bow_out, lay_beads
from stampwright.press.impression import HeightMap

from .half_spaces import half_space, periodic_half_space

YOUNG, POISSON = 28.8, 0.48
SIZE, POINTS = 10.0, 192


def peer(name: str) -> ModuleType:
    """Return an independent solver; where there is none for this platform the test is skipped, but never in CI."""
    if os.environ.get("CI"):
        return import_module(name)
    return pytest.importorskip(name)


def rough(seed: int) -> np.ndarray:
    """Return a self-affine surface, Hurst exponent 0.8, 0.02 mm root mean square, 10 mm across."""
    rng = np.random.default_rng(seed)
    waves = np.hypot(np.fft.fftfreq(POINTS)[:, None], np.fft.rfftfreq(POINTS)[None, :]) * POINTS
    amplitude = np.where((waves >= 3) & (waves <= POINTS / 8), np.maximum(waves, 1.0) ** -1.8, 0.0)
    height = np.fft.irfft2(amplitude * np.exp(2j * np.pi * rng.random(waves.shape)), s=(POINTS, POINTS))
    return height / height.std() * 0.02


def stamp_face(ink: MultiPolygon, dpi: float) -> HeightMap:
    shape, corner = picture_grid(ink.bounds, dpi)
    size = max(shape)
    meant = picture_of(ink, (size, size), corner, dpi)[::-1] < 128
    face = HeightMap(np.where(meant, 0.0, -2.0), meant, 25.4 / dpi, corner, 2.0)
    return bow_out(lay_beads(face, 0.8, 0.4, 2, 45.0), 0.1)


def ring_mark() -> MultiPolygon:
    ring = Point(0, 0).buffer(12, quad_segs=32).difference(Point(0, 0).buffer(11, quad_segs=32))
    rays = [affinity.rotate(box(4, -0.4, 10, 0.4), angle, origin=(0, 0)) for angle in range(0, 360, 30)]
    return MultiPolygon(shapely.get_parts(shapely.union_all([ring, *rays, Point(0, 0).buffer(2)])).tolist())


def address_block() -> MultiPolygon:
    letters = [box(x, y, x + 0.5, y + 2) for y in (0, 3, 6) for x in np.arange(0, 22, 1.1)]
    return MultiPolygon([*letters, box(0, -1.5, 22, -0.9)])


def solved(surface: ElasticSurface, height: np.ndarray, pitch: float, push: Push) -> tuple[Held, np.ndarray]:
    rows, columns = height.shape
    x, y = np.meshgrid((np.arange(columns) + 0.5) * pitch, (np.arange(rows) + 0.5) * pitch)
    places = Places(height.ravel(), x.ravel(), y.ravel(), pitch**2)
    bed = Bed(surface, np.arange(height.size), np.zeros(height.size))
    held = press_on_bed(places, bed, push, tolerance=1e-5)
    return held, held.pressure.reshape(height.shape)


def assert_alike(pressure: np.ndarray, expected: np.ndarray, within: float = 0.003) -> None:
    assert np.linalg.norm(pressure - expected) <= within * np.linalg.norm(expected)
    assert pressure.max() == pytest.approx(expected.max(), rel=within)
    touching, expected_touching = np.count_nonzero(pressure > 0), np.count_nonzero(expected > 0)
    assert touching == pytest.approx(expected_touching, rel=0.005, abs=4)


@pytest.mark.parametrize(("seed", "load"), [(1, 0.02), (2, 0.1), (3, 0.4)])
def test_rough_surface_that_repeats_is_pressed_as_tamaas_does(seed, load):
    tamaas = peer("tamaas")
    tamaas.set_log_level(tamaas.LogLevel.error)
    height, pitch = rough(seed), SIZE / POINTS
    slope = np.sqrt(np.mean(np.gradient(height, pitch)[0] ** 2 + np.gradient(height, pitch)[1] ** 2))
    mean = load * YOUNG / (1 - POISSON**2) * slope
    model = tamaas.Model(tamaas.model_type.basic_2d, [SIZE, SIZE], [POINTS, POINTS])
    model.E, model.nu = YOUNG, POISSON
    tamaas.PolonskyKeerRey(model, height, 1e-8).solve(mean)
    surface = periodic_half_space(height.shape, pitch, YOUNG, POISSON, "float64")
    _, pressure = solved(surface, height, pitch, Push(force=mean * SIZE**2))
    assert_alike(pressure, np.array(model.traction))


@pytest.mark.parametrize(("ink", "force"), [(ring_mark, 30.0), (ring_mark, 150.0), (address_block, 60.0)])
def test_stamp_face_that_stands_alone_is_pressed_as_contactmechanics_does(ink, force):
    peer("ContactMechanics")
    from ContactMechanics import FreeFFTElasticHalfSpace
    from ContactMechanics.Systems import NonSmoothContactSystem
    from SurfaceTopography import Topography

    face = stamp_face(ink(), 150.0)
    size = face.height.shape[0] * face.pitch
    surface = half_space((face.height.shape[0],) * 2, face.pitch, YOUNG, POISSON, "float64")
    held, pressure = solved(surface, face.height, face.pitch, Push(force=force))
    substrate = FreeFFTElasticHalfSpace(face.height.shape, YOUNG / (1 - POISSON**2), (size, size))
    system = NonSmoothContactSystem(substrate, Topography(face.height, (size, size)))
    result = system.minimize_proxy(external_force=force, pentol=1e-7, maxiter=2000)
    assert result.success
    assert_alike(pressure, np.maximum(system.force, 0.0) / face.pitch**2)
    assert held.force == pytest.approx(force, rel=1e-6)

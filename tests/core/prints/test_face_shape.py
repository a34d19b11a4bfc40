"""Tilt and bow of the face behind a print are told to a fifth, or said not to be told, with a bound that holds."""

import math
from dataclasses import dataclass

import numpy as np
import pytest
from scipy import ndimage, optimize
from scipy.interpolate import NearestNDInterpolator
from stampwright import Job
from stampwright.errors import PrintError
from stampwright.prints.measuring import measure_prints
from stampwright.prints.measuring.face_shape import fit_face, set_up_face
from stampwright.prints.measuring.tones import FaceTones
from stampwright.prints.testdie import chart_of, job_of_test_die

from .synthetic import Stamped, photographed, scanned

SOLID_FROM = 0.02  # MPa, as jobs have it
LEAST_TOLD = 0.05  # of solid ink, by which a tilt or bow changes the print that the guide promises to tell it from


@dataclass(frozen=True)
class Face:
    """A test die's face with the springs that it is on, and how far its farthest place is from its middle, mm²."""

    job: Job
    rig: object
    springs: object
    places: np.ndarray
    farthest: float
    half: float

    @classmethod
    def of(cls, size):
        job = job_of_test_die(Job(), size)
        rig = set_up_face(job)
        on_face = rig.face.face.reshape(-1)[rig.pixels]
        places = np.column_stack([rig.places.x[on_face], rig.places.y[on_face]])
        springs = NearestNDInterpolator(places, rig.springs[on_face])
        return cls(job, rig, springs, places, float((places**2).sum(axis=1).max()), float(np.ptp(places[:, 0])) / 2)

    def come(self, x, y, approach, rise, bow):
        """How far places are pressed in, mm; negative where they do not touch."""
        return approach + (rise[0] * x + rise[1] * y) / (2 * self.half) - bow * (x * x + y * y) / self.farthest

    def touching(self, least, rise, bow):
        """The approach under which the place that is pressed least is pressed by ``least``, mm."""
        return least - float(self.come(*self.places.T, 0.0, rise, bow).min())

    def force(self, approach, rise, bow):
        x, y = self.places.T
        return float((np.maximum(self.come(x, y, approach, rise, bow), 0) / self.springs(x, y)).sum()) * (
            self.rig.places.area
        )

    def changes(self, approach, figures, which):
        """By how much of solid ink, rms over the face, one of bow, rise right, rise up changes a print at one push."""
        pressed = self.springs(*self.places.T) * SOLID_FROM

        def taken(approach, bow, right, up):
            come = np.maximum(self.come(*self.places.T, approach, (right, up), bow), 0)
            return 1 - np.exp(np.log(0.05) * come / pressed)

        with_it, without = taken(approach, *figures), [0.0 if at == which else each for at, each in enumerate(figures)]

        def off(other):
            return float(np.sqrt(np.mean((taken(other, *without) - with_it) ** 2)))

        return optimize.minimize_scalar(off, bounds=(0.0, 3 * approach + 0.01), method="bounded").fun

    def print_of(self, approach, rise, bow, *, threshold=SOLID_FROM, uneven=None, **how):
        """A print of it, of ink that lies ``uneven`` over the face."""

        def darkness(x, y):
            x, y = np.broadcast_arrays(x, y)
            # Contact of rough paper as W. C. Walker and J. M. Fetsko have it: 95 % at the pressure that prints solid.
            come = np.maximum(self.come(x, y, approach, rise, bow), 0)
            taken = 1 - np.exp(np.log(0.05) * come / self.springs(x, y) / threshold)
            return taken if uneven is None else taken * uneven(x, y)

        return Stamped(chart_of(self.job).inked, darkness=darkness, **how)


@pytest.fixture(scope="module")
def small():
    return Face.of(30.0)


def slowly_uneven(rng, share):
    """Ink that is up to ``share`` lighter in some places, which are some millimetres wide."""
    field = ndimage.gaussian_filter(rng.standard_normal((60, 60)), rng.uniform(4, 10))
    field = (field - field.min()) / np.ptp(field)

    def at(x, y):
        rows, columns = (np.clip((each + 30.0), 0, 59) for each in (y, x))
        return 1 - share * ndimage.map_coordinates(field, [rows, columns], order=1)

    return at


def any_print(face, rng, path, seed):
    """Save a print under any tilt, bow and push, by scanner or camera, and return what is true of it."""
    soft = 0.0022  # mm: how far the face gives way under what prints solid
    bow, rise = rng.normal(0, 0.9) * soft, rng.normal(0, 0.8, 2) * soft
    approach = face.touching(rng.uniform(0.1, 1.2) * rng.choice([0.3, 1.0]) * soft, rise, bow)
    stamped = face.print_of(
        approach,
        rise,
        bow,
        uneven=slowly_uneven(rng, rng.uniform(0, 0.05)),
        spread=rng.uniform(0.04, 0.13),
        ink=rng.uniform(0.08, 0.4),
        speckle=rng.uniform(0, 0.02),
        seed=seed,
    )
    if seed % 2:
        photographed(
            stamped,
            path.with_suffix(".jpg"),
            shape=(1000, 1100),
            across=rng.uniform(1000, 1200),
            turn=rng.uniform(0, 360),
            tip=rng.uniform(-0.3, 0.3, 2),
            barrel=rng.uniform(-0.05, 0.02),
            blur=rng.uniform(0.5, 1.0),
            light=rng.uniform(0, 0.3),
            seed=seed,
        )
    else:
        scanned(
            [stamped],
            path.with_suffix(".png"),
            page=(46, 46),
            places=((23, 23),),
            turns=(rng.uniform(0, 360),),
            blur=rng.uniform(0.4, 1.0),
            noise=rng.uniform(0.003, 0.02),
            light=rng.uniform(0, 0.2),
            seed=seed,
        )
    return path.with_suffix(".jpg" if seed % 2 else ".png"), approach, bow, rise


@pytest.mark.parametrize("part", range(4))
def test_tilt_and_bow_are_told_to_a_fifth_or_bounded(part, small, sweep, tmp_path, record_property):
    told, refused, figures, mattering, wrong = 0, 0, 0, 0, []
    for case in sweep(range(50 * part, 50 * part + 50), quick=1):
        rng = np.random.default_rng(3000 + case)
        path, approach, bow, rise = any_print(small, rng, tmp_path / "print", case)
        try:
            (reading,) = measure_prints([path]).readings
        except PrintError as error:
            # Where a corner hardly touched, its mark did not print.
            assert "mark" in str(error)  # noqa: PT017  either will do
            refused += 1
            continue
        weighed = small.force(approach, rise, bow) if rng.random() < 0.3 else None
        shape = fit_face(reading.tones, small.rig, SOLID_FROM, push=weighed)
        for which, (found, meant) in enumerate(zip((shape.bow, *shape.rise), (bow, *rise), strict=True)):
            figures += 1
            told += found.told
            matters = small.changes(approach, (bow, *rise), which) > LEAST_TOLD
            mattering += matters
            near = abs(found.value - meant) <= 0.2 * abs(meant) if found.told else not matters
            if not (near and abs(meant) < found.most < math.inf):
                wrong.append((case, meant, found))
    assert not wrong
    for name, count in {"figures": figures, "told": told, "matter": mattering, "refused": refused}.items():
        record_property(name, int(count))


def test_even_print_bounds_bow_and_tilt_by_the_push(small, tmp_path):
    # As much bow as so light a push can press flat, and no more.
    bow = 0.002
    approach = small.touching(0.003, (0, 0), bow)
    force = small.force(approach, (0, 0), bow)
    scanned([Stamped(chart_of(small.job).inked)], tmp_path / "scan.png", page=(46, 46), places=((23, 23),))
    path = tmp_path / "scan.png"
    by_push = {}
    for push in (force, 4 * force, None):
        measured = measure_prints([path], push=push)
        (shape,) = measured.shapes
        assert not shape.seen
        assert not shape.bow.told
        by_push[push] = shape.bow.most
        figure = next(each for each in measured.figures if each.name == "bow of the face")
        assert (figure.told, figure.setting) == (False, "")
        assert figure.most == pytest.approx(shape.bow.most)
        assert any("bow" in note for note in measured.notes)
    # A hollow of the same push is deeper: most of the face lies near its middle height.
    assert bow < by_push[force] < 8 * bow
    assert by_push[4 * force] == pytest.approx(4 * by_push[force], rel=1e-6)
    assert by_push[None] > by_push[4 * force]


def test_most_that_a_push_presses_flat_is_that_of_the_press(small):
    # Of figures drawn at random, none that touch everywhere under the push go beyond what is said to be the most.
    rng = np.random.default_rng(9)
    from_push = fit_face(_solid(small), small.rig, SOLID_FROM, push=20.0)
    most = np.array([each.most for each in (from_push.bow, *from_push.rise)])
    stiffness = float((1 / small.springs(*small.places.T)).sum()) * small.rig.places.area
    reached = np.zeros(3)
    for _ in range(400):
        bow, *rise = rng.normal(0, 1, 3) * rng.uniform(0, 1, 3) ** 3
        x, y = small.places.T
        come = small.come(x, y, 0.0, rise, bow)
        weights = 1 / small.springs(x, y)
        over = np.average(come, weights=weights) - come.min()
        # Made as large as so much push still presses flat.
        largest = 20.0 / stiffness / over
        reached = np.maximum(reached, np.abs([bow * largest, *(each * largest for each in rise)]))
    assert (reached <= most * 1.0001).all()
    assert (reached > 0.7 * most).all()


def _solid(face):
    return FaceTones(face.places, np.full(len(face.places), 0.9), np.full(len(face.places), 6.0))


def test_weighed_push_turns_darkness_into_pressure(small, tmp_path):
    threshold, rise, bow = 0.035, (0.003, 0.0), 0.0
    approach = small.touching(0.0005, rise, bow)
    scanned(
        [small.print_of(approach, rise, bow, threshold=threshold)],
        tmp_path / "scan.png",
        page=(46, 46),
        places=((23, 23),),
    )
    measured = measure_prints([tmp_path / "scan.png"], push=small.force(approach, rise, bow))
    figure = next(each for each in measured.figures if each.name == "pressure that prints solid")
    assert figure.value == pytest.approx(threshold, rel=0.1)
    assert figure.setting == "ink.solid_from"
    # The face leaned to the right: there the push passed.
    off = {each.name: each.value for each in measured.figures if each.name.startswith("push off centre")}
    assert off["push off centre, right"] > 1.0
    assert "push off centre, up" not in off

"""Turned handles against the closed formulas of solids of revolution."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely.geometry import Point
from stampwright.job import Job
from stampwright.parts.handle import shape_body

Profile = list[tuple[float, float]]


def turned(profile: Profile) -> float:
    job = Job().with_values({"handle.form": "turned", "handle.profile": profile})
    return shape_body(job.handle, job.backing, Point(0, 0).buffer(25), 45.0, round_base=True).solid.volume


def arc(radius: float, middle: float, start: float, end: float, steps: int = 300) -> Profile:
    angles = np.radians(np.linspace(start, end, steps))
    points = zip(radius * np.cos(angles), middle + radius * np.sin(angles), strict=True)
    # cos 90 degrees is not quite 0 in floats, and would leave a needle on the axis.
    return [(float(r) if r > 1e-9 else 0.0, float(z)) for r, z in points]


def test_cylinder_and_frustum() -> None:
    assert turned([(10, 0), (10, 30)]) == pytest.approx(9424.777961, rel=1e-6)
    # h / 3 pi (R² + R r + r²)
    assert turned([(15, 0), (10, 25)]) == pytest.approx(12435.470921, rel=1e-6)
    assert turned([(12, 0), (0, 20)]) == pytest.approx(math.pi * 144 * 20 / 3, rel=1e-6)


def test_sphere_capsule_and_cap() -> None:
    # 300 chords in the arc take 3e-5 off the sphere.
    assert turned(arc(15, 15, -90, 90)) == pytest.approx(14137.166941, rel=5e-5)
    capsule = arc(10, 10, -90, 0) + arc(10, 30, 0, 90)
    assert turned(capsule) == pytest.approx(10471.975512, rel=5e-5)
    # Cap 10 high of a sphere of radius 15: pi h² (3 R - h) / 3.
    cap = arc(15, -5, math.degrees(math.asin(1 / 3)), 90)
    assert turned(cap) == pytest.approx(3665.191429, rel=5e-5)


def test_pappus() -> None:
    # A disc of radius 5 centred at radius 20, on a cylinder that reaches its centre: Pappus for the half ring outside,
    # whose centroid lies 4 r / 3 pi out from the disc's centre.
    bead = [(20.0, 0.0), *arc_at(20, 5, 5), (20.0, 10.0)]
    half_disc, out = math.pi * 25 / 2, 20 + 4 * 5 / (3 * math.pi)
    assert turned(bead) == pytest.approx(math.pi * 400 * 10 + 2 * math.pi * out * half_disc, rel=5e-5)


def arc_at(centre: float, radius: float, middle: float) -> Profile:
    return [(centre + r, z) for r, z in arc(radius, middle, -90, 90)[1:-1]]

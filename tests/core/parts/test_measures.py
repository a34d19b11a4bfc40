"""Measures follow from the solid by formulas that can be done by hand."""

import math

import pytest
from shapely.geometry import box
from stampwright.job import Job
from stampwright.job.materials import MATERIALS, Material
from stampwright.parts import Measures, measure
from stampwright.parts.measures import PAUSE, SKIN_LAYERS
from stampwright.solids import Solid, extrude, revolve

PLA = MATERIALS["pla"]


def measured(solid: Solid, *, walls: int = 3, infill: float = 1.0, material: Material = PLA) -> Measures:
    return measure(solid, material=material, printer=Job().printer, walls=walls, infill=infill, price_per_kg=22)


def test_full_cylinder_weighs_its_volume() -> None:
    # Diameter 20 mm, height 30 mm: 9424.777961 mm³, at 1.24 g/cm³ 11.6867 g.
    cylinder = measured(revolve([(0, 0), (10, 0), (10, 30), (0, 30)], name="handle"))
    assert cylinder.volume == pytest.approx(9424.777961, rel=1e-6)
    assert cylinder.mass == pytest.approx(11.6867, abs=1e-4)
    assert cylinder.cost == pytest.approx(11.6867 * 22 / 1000, abs=1e-5)
    assert cylinder.filament_length == pytest.approx(9424.778 / (math.pi * 1.75**2 / 4), rel=1e-6)
    assert (cylinder.layers, cylinder.size[2]) == (150, 30.0)


def test_sparse_block_is_walls_skins_and_a_share_of_the_rest() -> None:
    block = measured(extrude(box(0, 0, 30, 20), 0, 20, name="block"), infill=0.2)
    outlines = 100 * 3 * 0.4  # outline length, walls, line width
    sparse_layers = 100 - 2 * SKIN_LAYERS
    expected = 600 * 20 - sparse_layers * 0.2 * (600 - outlines) * 0.8
    assert block.printed_volume == pytest.approx(expected, rel=1e-6)


def test_walls_never_hold_more_than_the_part() -> None:
    thin = extrude(box(0, 0, 30, 1), 0, 5, name="fin")
    assert measured(thin, infill=0.0).printed_volume == pytest.approx(thin.volume, rel=1e-9)


def test_time_is_lines_at_the_slower_of_speed_and_flow() -> None:
    block = extrude(box(0, 0, 30, 20), 0, 20, name="block")
    hard, soft = measured(block), measured(block, material=MATERIALS["tpu-95a"])
    # 60 mm/s x 0.4 x 0.2 mm = 4.8 mm³/s for the hard one; 20 mm/s gives 1.6 for the flexible one.
    assert hard.minutes == pytest.approx((12000 / 4.8 + 100 * PAUSE) / 60, rel=1e-6)
    assert soft.minutes == pytest.approx((12000 / 1.6 + 100 * PAUSE) / 60, rel=1e-6)
    fast = Job().with_values({"printer.speed_flexible": 100}).printer
    capped = measure(block, material=MATERIALS["tpu-95a"], printer=fast, walls=3, infill=1, price_per_kg=1)
    assert capped.minutes == pytest.approx((12000 / 3.2 + 100 * PAUSE) / 60, rel=1e-6)

"""What lies beside a print says how large it is: the edges of a sheet, a ruler, the ticket's bar."""

import numpy as np
import pytest
from stampwright.errors import PrintError
from stampwright.prints.measuring import measure_prints
from stampwright.prints.testdie import draw_chart

from .synthetic import Stamped, photographed, ruler, ticket_bar

SHEETS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}


def sizes_of(path, scale=""):
    (reading,) = measure_prints([path], scale=scale).readings
    return reading.size, reading.scale and reading.scale.source


def taken_anyhow(stamped, path, rng, **how):
    """Photograph a print from anywhere about straight above it, turned any way, and return the picture."""
    photographed(stamped, path, turn=rng.uniform(0, 360), tip=rng.uniform(-0.1, 0.1, 2), **how)
    return path


@pytest.mark.sweep(1)
@pytest.mark.parametrize("case", range(12))
def test_edges_of_a_sheet_give_the_size(case, tmp_path):
    rng = np.random.default_rng(5000 + case)
    name = ("letter", "a4")[case % 2]
    wide, high = SHEETS[name]
    if case % 3 == 0:
        wide, high = high, wide
    scale = tuple(rng.uniform(0.985, 1.015, 2))
    x, y = rng.uniform(-20, 20, 2)
    stamped = Stamped(draw_chart(60.0, 0.8).inked, 0.08, scale, ink=0.15, seed=case)
    photographed(
        stamped,
        tmp_path / "photo.jpg",
        shape=(1700, 2250),
        across=50 * 1400 / high if high > wide else 50 * 1400 / wide,
        turn=rng.uniform(-6, 6),
        tip=rng.uniform(-0.05, 0.05, 2),
        barrel=rng.uniform(-0.03, 0.01),
        blur=0.6,
        sheet=(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2),
        at=(1125 - 4.7 * x, 850 + 4.7 * y),
        light=0.1,
        seed=case,
    )
    size, source = sizes_of(tmp_path / "photo.jpg")
    assert {"a4": "A4", "letter": "Letter"}[name] in source
    assert size == pytest.approx(scale, abs=0.001)


@pytest.mark.sweep(1)
@pytest.mark.parametrize("case", range(8))
def test_ruler_beside_a_print_gives_the_size(case, tmp_path):
    rng = np.random.default_rng(6000 + case)
    scale = float(rng.uniform(0.985, 1.015))
    turn = float(rng.uniform(-4, 4))
    stamped = Stamped(draw_chart(50.0).inked, 0.08, (scale, scale), beside=ruler(70, (-35.0, 31.0), turn), seed=case)
    size, source = sizes_of(
        taken_anyhow(stamped, tmp_path / "photo.jpg", rng, shape=(1350, 1500), across=800, seed=case)
    )
    assert "ruler" in source
    assert size == pytest.approx((scale, scale), abs=0.001)


@pytest.mark.sweep(1)
@pytest.mark.parametrize("case", range(8))
def test_bar_of_the_ticket_gives_the_size(case, tmp_path):
    rng = np.random.default_rng(7000 + case)
    scale = float(rng.uniform(0.985, 1.015))
    stamped = Stamped(draw_chart(50.0).inked, 0.08, (scale, scale), beside=ticket_bar(), seed=case)
    size, source = sizes_of(
        taken_anyhow(stamped, tmp_path / "photo.jpg", rng, shape=(1500, 1500), across=750, seed=case)
    )
    assert "bar" in source
    assert size == pytest.approx((scale, scale), abs=0.001)


def test_print_alone_is_taken_for_true_and_says_so(tmp_path):
    photographed(Stamped(draw_chart(50.0).inked, 0.08), tmp_path / "photo.jpg", shape=(900, 1000), across=750)
    measured = measure_prints([tmp_path / "photo.jpg"])
    assert measured.readings[0].size is None
    assert any("taken for true" in note for note in measured.notes)
    for scale in ("a4", "ruler", "bar", "dpi", "thumb"):
        with pytest.raises(PrintError) as caught:
            measure_prints([tmp_path / "photo.jpg"], scale=scale)
        assert "\n" not in str(caught.value)

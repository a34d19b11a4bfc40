"""Codes read back from the print, with an independent decoder and without."""

import sys

import numpy as np
import pytest
import shapely
from shapely.geometry import MultiPolygon, box
from stampwright.artwork.made import make_artwork
from stampwright.job.pieces import Barcode, QrCode
from stampwright.likeness import CODE_UNREADABLE, GivenArt, judge_by_art, judge_codes, read_codes
from stampwright.plane.regions import filled_parts
from stampwright.preflight import PrintLimits
from stampwright.press import spread_ink

PIECES = {
    "qr": QrCode(text="Mossgate Seed Library", module=0.9, turn=17),
    "ean 13": Barcode(text="401234567890", symbology="ean 13", module=0.8, turn=30),
    "code 128": Barcode(text="Shelf 7", symbology="code 128", module=0.8),
}


@pytest.fixture(params=[True, False], ids=["decoder", "modules"])
def decoder(request, monkeypatch):
    if not request.param:
        monkeypatch.setitem(sys.modules, "zxingcpp", None)
    return "decoder" if request.param else "modules"


def given(symbology: str) -> GivenArt:
    return GivenArt.placed(make_artwork([PIECES[symbology]]), (0.8, 0.6, -0.6, 0.8, -3.0, 4.0))


@pytest.mark.parametrize("symbology", PIECES)
def test_a_code_that_prints_as_drawn_reads(symbology, decoder):
    art = given(symbology)
    (reading,) = read_codes(spread_ink(art.inked, 0.1), art.inked, art.codes)
    assert (reading.reads, reading.by, reading.wrong) == (True, decoder, 0.0)
    assert not list(judge_codes([reading]))


@pytest.mark.parametrize("symbology", PIECES)
def test_a_code_that_ink_floods_does_not_read_and_blocks(symbology, decoder):
    art = given(symbology)
    readings = read_codes(spread_ink(art.inked, 0.46), art.inked, art.codes)
    (finding,) = judge_codes(readings)
    assert (finding.kind, finding.severity) == (CODE_UNREADABLE, "blocks")
    assert finding.place.equals(art.codes[0].place)
    (accepted,) = judge_codes(readings, accept=[CODE_UNREADABLE])
    assert accepted.severity == "warns"


def test_modules_are_sampled_at_their_middles(decoder):
    art = given("qr")
    code = art.codes[0]
    side = np.hypot(*np.diff(shapely.get_coordinates(code.place)[:2], axis=0)[0]) / code.module
    assert side == pytest.approx(round(side))
    lost = filled_parts(art.inked.difference(code.place.centroid.buffer(2.5)))
    (reading,) = read_codes(lost, art.inked, art.codes)
    # A disc of 2.5 mm holds about pi 2.5^2 / 0.9^2 = 24 modules, half of them dark, of the symbol and its quiet zone.
    assert 6 / side**2 < reading.wrong < 20 / side**2


def test_modules_of_a_code_that_meet_are_no_loss_to_a_reader():
    art = given("qr")
    bar = box(60, 0, 70, 5)
    with_bar = GivenArt(filled_parts(shapely.union(art.inked, bar)), codes=art.codes)
    limits = PrintLimits(extrusion=0.4, line_blocks=0.4, line_warns=0.8, spread=0.1, gap=0.2, counter=0.4, speck=0.8)
    judgement = judge_by_art(spread_ink(with_bar.inked, 0.1), with_bar, limits)
    assert judgement.findings == ()
    assert judgement.as_record()["codes"][0]["reads"] is True


def test_ink_over_a_code_is_seen(decoder):
    art = given("code 128")
    x, y = art.codes[0].place.centroid.coords[0]
    blot = MultiPolygon([box(x - 4, y - 20, x + 4, y + 20)])
    (reading,) = read_codes(filled_parts(art.inked.union(blot)), art.inked, art.codes)
    assert not reading.reads

"""Cleaning takes out what nobody sees, and says what it changed."""

import pytest
from shapely.geometry import MultiPolygon, box
from stampwright.artwork import Artwork, read_artwork
from stampwright.artwork.cleaning import clean_artwork
from stampwright.errors import ArtworkError
from stampwright.job.sections.tracing import TracingSection


def artwork(*parts):
    return Artwork(MultiPolygon(list(parts)), (100.0, 100.0))


def test_slivers_of_ink_and_paper_go_and_their_area_is_told():
    plate = box(0, 0, 40, 40).difference(box(10, 10, 10.01, 30)).difference(box(20, 10, 30, 30))
    cleaned = clean_artwork(artwork(plate, box(60, 0, 90, 0.015)))
    assert cleaned.inked.equals(box(0, 0, 40, 40).difference(box(20, 10, 30, 30)))
    told = {finding.kind: finding.measured for finding in cleaned.findings}
    assert told["sliver dropped"] == pytest.approx(0.45)
    assert told["sliver filled"] == pytest.approx(0.2)


def test_thin_line_that_is_no_sliver_stays():
    line = box(0, 0, 50, 0.1)
    assert clean_artwork(artwork(line)).inked.equals(line)


def test_double_outline_is_filled_only_on_request():
    outer = box(0, 0, 40, 40).difference(box(1, 1, 39, 39))
    inner = box(1.4, 1.4, 38.6, 38.6).difference(box(2.4, 2.4, 37.6, 37.6))
    art = artwork(outer, inner)
    assert clean_artwork(art).inked.area == pytest.approx(art.inked.area)
    filled = clean_artwork(art, outline=0.5)
    assert filled.inked.equals(box(0, 0, 40, 40).difference(box(2.4, 2.4, 37.6, 37.6)))
    assert filled.findings[0].measured == pytest.approx(filled.inked.area - art.inked.area)


def test_job_asks_for_double_outlines_to_be_filled(tmp_path):
    path = tmp_path / "double.svg"
    ring = '<path fill-rule="evenodd" d="M{0} {0}H{1}V{1}H{0}zM{2} {2}H{3}V{3}H{2}z"/>'
    path.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 40 40">'
        + ring.format(0, 40, 1, 39)
        + ring.format(1.4, 38.6, 2.4, 37.6)
        + "</svg>"
    )
    assert read_artwork(path).findings == ()
    filled = read_artwork(path, tracing=TracingSection(double_outlines=0.5))
    assert filled.inked.area == pytest.approx(1600 - 35.2**2)
    (finding,) = filled.findings
    assert (finding.kind, finding.measured) == ("double outline", pytest.approx(38**2 - 37.2**2))


def test_slivers_left_by_drawing_are_dropped_on_reading(tmp_path):
    path = tmp_path / "sliver.svg"
    path.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 40 40">'
        '<rect width="40" height="20"/><rect y="30" width="30" height=".004"/></svg>'
    )
    artwork = read_artwork(path)
    assert artwork.inked.area == pytest.approx(800)
    assert [(finding.kind, round(finding.measured, 3)) for finding in artwork.findings] == [("sliver dropped", 0.12)]


def test_art_of_nothing_but_slivers_is_no_ink(tmp_path):
    path = tmp_path / "hair.svg"
    path.write_text('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><rect width="1e-9" height="8"/></svg>')
    with pytest.raises(ArtworkError, match="no ink: nothing in it is wide enough"):
        read_artwork(path)

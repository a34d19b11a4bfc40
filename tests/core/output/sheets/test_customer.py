"""The customer's page shows the clean impression: codes scan from it, names are whole, nothing tells of findings."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import resvg_py
import zxingcpp
from PIL import Image
from shapely.geometry import MultiPolygon, box
from stampwright.artwork import Artwork, make_artwork
from stampwright.errors import JobError, OutputError
from stampwright.job import Job
from stampwright.job.pieces import pieces_from_data
from stampwright.output import write_folder
from stampwright.output.origin import Origin, origin_of
from stampwright.output.sheets import forms
from stampwright.output.sheets.customer import customer_sketch
from stampwright.output.sheets.dating import day_of_making, version_of
from stampwright.output.sketches.as_svg import sketch_svg
from stampwright.stamp import Stamp
from stampwright.workshop import make_stamp

DAY = date(2031, 5, 6)
SAID = "MOSSGATE 7"


def shown(page: Path) -> list[Image.Image]:
    """Return what independent readers of images, SVG and PDF show of a page at 200 dpi."""
    pdf = pytest.importorskip("pypdfium2").PdfDocument(page.with_suffix(".pdf"))
    svg = resvg_py.svg_to_bytes(svg_string=page.with_suffix(".svg").read_text("utf-8"), dpi=200, background="white")
    drawn = pdf[0].render(scale=200 / 72).to_pil()
    return [Image.open(page.with_suffix(".png")), Image.open(io.BytesIO(bytes(svg))), drawn]


@pytest.fixture(scope="module")
def coded() -> Stamp:
    job = Job().with_values({"base.outline": "rectangle", "base.width": 28.0, "base.height": 28.0, "name": "Code"})
    pieces = pieces_from_data([{"kind": "qr", "text": SAID, "module": 1.0}])
    return make_stamp(job, make_artwork(pieces, name="code"))


def test_codes_scan_from_every_form_of_the_page(coded: Stamp, tmp_path: Path) -> None:
    pytest.importorskip("reportlab")
    write_folder(tmp_path, coded)
    for picture in shown(tmp_path / "customer"):
        read = zxingcpp.read_barcodes(picture.convert("L"))
        # At true size and enlarged.
        assert [each.text for each in read] == [SAID, SAID]


def test_the_impression_is_at_true_size_in_the_inks_colour(stamp: Stamp, tmp_path: Path) -> None:
    pytest.importorskip("reportlab")
    colour = (176, 36, 48)
    page = write_folder(tmp_path, make_stamp(stamp.job.with_value("ink.colour", "#b02430"), _artwork(stamp)))
    left, _, right, _ = page.stamp.impression.outlines.bounds
    for picture in shown(tmp_path / "customer"):
        inked = (np.asarray(picture.convert("RGB")).astype(int) == colour).all(axis=2)
        columns = np.flatnonzero(inked[: int(66 * 200 / 25.4)].any(axis=0))
        assert np.ptp(columns) * 25.4 / 200 == pytest.approx(right - left, abs=0.4)
        assert picture.size[0] == pytest.approx(148 / 25.4 * 200, abs=1.5)


@pytest.mark.parametrize(
    ("wide", "high", "name", "size"),
    [
        (14.0, 14.0, "Mark", (148.0, 210.0)),
        (28.0, 26.0, "Mark", (148.0, 210.0)),
        (42.0, 40.0, "Mark", (210.0, 297.0)),
        (60.0, 12.0, "Mossgate Seed Library, branch for the far valley, winter opening hours " * 3, (148.0, 210.0)),
        (110.0, 90.0, "Mark", (148.0, 210.0)),
        (150.0, 20.0, "Mark", (210.0, 297.0)),
    ],
)
def test_the_page_is_one_of_a_printers_pages(
    stamp: Stamp, wide: float, high: float, name: str, size: tuple[float, float]
) -> None:
    """Taller by a few millimetres, an office printer would cut it off or print it smaller (ISO 216: A5, A4)."""
    printed = replace(stamp.impression, outlines=MultiPolygon([box(0, 0, wide, high)]))
    named = replace(stamp, impression=printed, job=stamp.job.with_value("name", name))
    page = customer_sketch(named, Origin("mark.svg", "0" * 8, "1.0", DAY))
    assert (page.width, page.height) == size


def _artwork(stamp: Stamp) -> Artwork:
    return Artwork(stamp.given.inked, (60.0, 60.0), name="letter")


def test_it_tells_what_is_signed_for_and_nothing_of_findings(stamp: Stamp) -> None:
    told = " ".join(
        ElementTree.fromstring(sketch_svg(customer_sketch(stamp, origin_of(stamp, day=DAY)), title="t")).itertext()
    )
    left, bottom, right, top = stamp.impression.outlines.bounds
    for word in (
        "Mossgate",
        origin_of(stamp, day=DAY).version,
        version_of(stamp),
        "2031-05-06",
        f"{right - left:.1f} × {top - bottom:.1f} mm",
    ):
        assert word in told
    assert stamp.findings
    for finding in stamp.findings:
        assert finding.kind not in told


@pytest.mark.parametrize("name", ["Mossgate " * 33, "M" * 300, "Зёрна и семена — Mössgåte ŻÓŁĆ", "<b>&\"'"])
def test_names_are_wrapped_and_never_cut(stamp: Stamp, name: str) -> None:
    named = make_stamp(stamp.job.with_value("name", name), _artwork(stamp))
    sketch = customer_sketch(named, origin_of(named, day=DAY))
    drawn = resvg_py.svg_to_bytes(svg_string=sketch_svg(sketch, title="t"), dpi=50, background="white")
    edges = np.asarray(Image.open(io.BytesIO(bytes(drawn))).convert("L"))
    # Nothing runs into the margins, in whichever of the families the renderer has.
    assert (edges[:, :20] == 255).all()
    assert (edges[:, -16:] == 255).all()
    told = "".join(ElementTree.fromstring(sketch_svg(sketch, title="t")).itertext())
    assert name.strip().replace(" ", "") in told.replace(" ", "").replace("\n", "")


def test_versions_change_with_art_and_settings_alone(stamp: Stamp) -> None:
    again = make_stamp(stamp.job, _artwork(stamp))
    assert version_of(again) == version_of(make_stamp(stamp.job, _artwork(stamp)))
    assert version_of(make_stamp(stamp.job.with_value("die.relief", 1.8), _artwork(stamp))) != version_of(again)


def test_the_day_can_be_set_and_must_be_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1800000000")
    assert day_of_making() == date(2027, 1, 15)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "soon")
    with pytest.raises(OutputError, match="SOURCE_DATE_EPOCH"):
        day_of_making()


def test_without_the_library_the_pdf_is_left_out_and_said(
    stamp: Stamp, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(forms, "can_write_pdf", lambda: False)
    written = write_folder(tmp_path, stamp)
    assert written.left_out == {"customer.pdf": "reportlab"}
    assert not (tmp_path / "customer.pdf").exists()
    assert (tmp_path / "customer.png").exists()


@pytest.mark.parametrize("colour", ["blue", "#12", "#12345g", "#ffffff", "#fdfdf0"])
def test_a_colour_that_is_none_or_not_seen_is_refused(colour: str) -> None:
    with pytest.raises(JobError, match=r"ink\.colour"):
        Job().with_value("ink.colour", colour)

"""PDF drawings, written by an independent library: outlines are taken over, the rest traced, the broken refused."""

from __future__ import annotations

import io
import math
import sys

import pypdfium2
import pytest
import shapely
from PIL import Image
from reportlab.lib import pdfencrypt
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from shapely.geometry import box
from stampwright.artwork import read_artwork
from stampwright.artwork.fonts import outline_text, read_font
from stampwright.artwork.fonts.case import BUNDLED_FOLDER
from stampwright.artwork.pdf import reader
from stampwright.errors import ArtworkError
from stampwright.job.sections.tracing import TracingSection

MM = 72 / 25.4
SIDE = 40.0


def written(path, *draw, size=(SIDE, SIDE), **options):
    """Write a PDF with a page for each of ``draw``, which draws in mm."""
    canvas = Canvas(str(path), pagesize=(size[0] * MM, size[1] * MM), **options)
    for each in draw:
        canvas.scale(MM, MM)
        each(canvas)
        canvas.showPage()
    canvas.save()
    return path


def kinds(artwork):
    return [finding.kind for finding in artwork.findings]


def ring(canvas):
    path = canvas.beginPath()
    path.rect(5, 5, 30, 30)
    path.rect(10, 10, 20, 20)
    canvas.drawPath(path, stroke=0, fill=1, fillMode=0)


def dashed(canvas):
    canvas.setLineWidth(2)
    canvas.setDash([4, 3])
    canvas.line(5, 20, 35, 20)


def clipped(canvas):
    path = canvas.beginPath()
    path.circle(20, 20, 10)
    canvas.clipPath(path, stroke=0, fill=0)
    canvas.rect(0, 20, 40, 20, stroke=0, fill=1)


def pale(canvas):
    canvas.rect(5, 5, 10, 10, stroke=0, fill=1)
    canvas.setFillGray(0.9)
    canvas.rect(20, 5, 10, 10, stroke=0, fill=1)


def in_forms(canvas):
    canvas.beginForm("leaf")
    canvas.translate(3, 0)
    canvas.rect(0, 0, 4, 4, stroke=0, fill=1)
    canvas.endForm()
    canvas.beginForm("twig")
    canvas.scale(2, 1)
    canvas.doForm("leaf")
    canvas.endForm()
    canvas.translate(5, 10)
    canvas.doForm("twig")


@pytest.mark.parametrize(
    ("draw", "area", "bounds"),
    [
        (ring, 900 - 400, (5, 5, 35, 35)),
        (dashed, 2 * (4 * 4 + 2), (5, 19, 35, 21)),
        (clipped, math.pi * 100 / 2, (10, 20, 30, 30)),
        (pale, 100, (5, 5, 15, 15)),
        (in_forms, 32, (11, 10, 19, 14)),
    ],
)
def test_outlines_come_as_they_were_drawn(tmp_path, draw, area, bounds):
    artwork = read_artwork(written(tmp_path / "drawing.pdf", draw))
    assert kinds(artwork) == (["colour left out"] if draw is pale else [])
    assert artwork.page_size == pytest.approx((SIDE, SIDE), abs=1e-3)
    assert artwork.inked.area == pytest.approx(area, rel=1e-3)
    assert artwork.inked.bounds == pytest.approx(bounds, abs=0.01)


def set_in(font):
    def draw(canvas):
        canvas.setFont(font, 10)
        canvas.drawString(4, 15, "Seed,")
        canvas.rotate(90)
        canvas.drawString(3, -38, "offer")

    return draw


def test_text_comes_as_its_letters_outlines(tmp_path):
    """Against the same letters set by ourselves in the same font."""
    file = next(path for path in sorted(BUNDLED_FOLDER.glob("*.ttf")) if "Italic" not in path.name)
    pdfmetrics.registerFont(TTFont("Seeds", str(file)))
    artwork = read_artwork(written(tmp_path / "words.pdf", set_in("Seeds")))
    assert kinds(artwork) == []
    upright = artwork.inked.intersection(box(3, 10, 30, 26))
    own = outline_text("Seed,", read_font(file), 10, kerning=False)
    assert upright.area == pytest.approx(own.area, rel=0.02)


@pytest.mark.parametrize("font", ["Helvetica", "Times-Italic", "Courier-Bold"])
def test_text_in_fonts_that_no_file_holds_prints_as_it_is_shown(tmp_path, font):
    path = written(tmp_path / "words.pdf", set_in(font))
    artwork = read_artwork(path)
    page = pypdfium2.PdfDocument(str(path))[0]
    dark = (page.render(scale=8).to_numpy()[..., :3].mean(axis=-1) < 128).mean() * SIDE * SIDE
    assert artwork.inked.area == pytest.approx(dark, rel=0.03)


@pytest.mark.parametrize("turn", [90, 180, 270])
def test_turned_pages_are_read_as_they_are_shown(tmp_path, turn):
    """An L-shaped drawing on a page of unequal sides, turned clockwise as the page says."""

    def corner(canvas):
        canvas.rect(5, 5, 20, 4, stroke=0, fill=1)
        canvas.rect(5, 5, 4, 12, stroke=0, fill=1)

    document = pypdfium2.PdfDocument(str(written(tmp_path / "flat.pdf", corner, size=(50, 30))))
    document[0].set_rotation(turn)
    document.save(str(tmp_path / "turned.pdf"))
    artwork = read_artwork(tmp_path / "turned.pdf")
    flat = read_artwork(tmp_path / "flat.pdf").inked
    about = shapely.affinity.rotate(flat, -turn, origin=(25, 15))
    middle = [side / 2 for side in artwork.page_size]
    wanted = shapely.affinity.translate(about, middle[0] - 25, middle[1] - 15)
    assert kinds(artwork) == []
    assert artwork.inked.symmetric_difference(wanted).area < 0.01


def test_scan_in_a_page_is_treated_as_a_scan(tmp_path):
    image = Image.new("L", (400, 400), 255)
    image.paste(0, (100, 100, 300, 300))
    image.save(tmp_path / "scan.png")
    path = written(tmp_path / "scan.pdf", lambda canvas: canvas.drawImage(str(tmp_path / "scan.png"), 0, 0, 40, 40))
    artwork = read_artwork(path)
    assert kinds(artwork) == ["page traced"]
    assert artwork.inked.bounds == pytest.approx((10, 10, 30, 30), abs=0.05)
    assert artwork.true_size


def test_shading_is_traced_where_it_is_dark(tmp_path):
    def shaded(canvas):
        canvas.linearGradient(0, 0, 40, 0, ((0, 0, 0), (1, 1, 1)))

    artwork = read_artwork(written(tmp_path / "shading.pdf", shaded))
    assert kinds(artwork)[0] == "page traced"
    assert artwork.inked.area == pytest.approx(SIDE * SIDE / 2, rel=0.1)


def page_said(said, content="10 10 m 90 10 l 90 30 l 50 30 l 50 80 l 10 80 l h f"):
    """Return a PDF whose one page, 200 x 100 points, says something of itself."""
    things = [
        "<</Type/Catalog/Pages 2 0 R>>",
        "<</Type/Pages/Kids[3 0 R]/Count 1>>",
        f"<</Type/Page/Parent 2 0 R/MediaBox[0 0 200 100]/Contents 4 0 R/Resources<<>>{said}>>",
        f"<</Length {len(content)}>>stream\n{content}\nendstream",
    ]
    data, places = "%PDF-1.7\n", []
    for number, thing in enumerate(things, start=1):
        places.append(f"{len(data):010d} 00000 n \n")
        data += f"{number} 0 obj\n{thing}\nendobj\n"
    table = (
        f"xref\n0 5\n0000000000 65535 f \n{''.join(places)}trailer<</Size 5/Root 1 0 R>>\nstartxref\n{len(data)}\n%%EOF"
    )
    return (data + table).encode()


@pytest.mark.parametrize(
    ("said", "size", "bounds"),
    [
        ("/CropBox[-50 -50 500 500]", (200, 100), (10, 10, 90, 80)),
        ("/CropBox[120 90 5 5]", (115, 85), (5, 5, 85, 75)),
        ("/CropBox[-50 5 150 500]/Rotate 90", (95, 150), (5, 60, 75, 140)),
    ],
)
def test_what_a_page_shows_is_its_crop_box_within_its_media_box(tmp_path, said, size, bounds):
    # ISO 32000-1, section 14.11.2, and 7.9.5 for corners in another order.
    path = tmp_path / "page.pdf"
    path.write_bytes(page_said(said))
    artwork = read_artwork(path)
    assert kinds(artwork) == []
    assert artwork.page_size == pytest.approx([side / MM for side in size])
    assert artwork.inked.bounds == pytest.approx([side / MM for side in bounds], abs=1e-3)


def test_line_of_no_width_is_the_thinnest_line_and_not_nothing(tmp_path):
    path = tmp_path / "thin.pdf"
    path.write_bytes(page_said("", "0 w 3 0 0 3 0 0 cm 10 10 m 60 10 l S 2 w 10 20 m 60 20 l S"))
    thin, broad = sorted(read_artwork(path).inked.geoms, key=lambda part: part.area)
    assert thin.area == pytest.approx(0.1 * 150 / MM, rel=0.01)
    assert broad.area == pytest.approx(6 * 150 / MM**2, rel=0.01)


def test_unit_of_its_own_is_told(tmp_path):
    path = tmp_path / "unit.pdf"
    path.write_bytes(page_said("/UserUnit 2"))
    assert kinds(read_artwork(path)) == ["page unit left out"]


def test_page_is_chosen_and_others_are_told(tmp_path):
    path = written(tmp_path / "two.pdf", ring, dashed)
    assert kinds(read_artwork(path)) == ["other pages left out"]
    second = read_artwork(path, tracing=TracingSection(page=2))
    assert second.inked.area == pytest.approx(36, rel=1e-3)
    with pytest.raises(ArtworkError, match=r"2 pages; there is no page 3 \(tracing\.page\)"):
        read_artwork(path, tracing=TracingSection(page=3))


def broken_off(path):
    data = written(path, ring).read_bytes()
    path.write_bytes(data[: len(data) // 3])


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (lambda path: written(path, ring, encrypt=pdfencrypt.StandardEncryption("secret")), "locked by a password"),
        (lambda path: path.write_bytes(b"%PDF-1.7\n"), "damaged, broken off or has no pages"),
        (broken_off, "damaged, broken off or has no pages"),
        (lambda path: path.write_bytes(page_said("").replace(b"/Kids[3 0 R]/Count 1", b"/Kids[]/Count 0")), "no pages"),
        (lambda path: written(path, lambda canvas: canvas.setFillGray(1)), "no ink"),
        (lambda path: written(path, ring, size=(9000, 20)), "which is no stamp's artwork"),
    ],
)
def test_what_cannot_be_read_is_told_in_one_line(tmp_path, make, told):
    path = tmp_path / "drawing.pdf"
    make(path)
    with pytest.raises(ArtworkError, match=told) as refused:
        read_artwork(path)
    assert "\n" not in str(refused.value)
    assert str(refused.value).count("drawing.pdf") == 1


def test_forms_inside_one_another_and_pages_full_of_points_have_limits(tmp_path):
    def full(canvas):
        path = canvas.beginPath()
        path.moveTo(0, 0)
        for number in range(3000):
            path.lineTo(number % 40, number % 37)
        canvas.drawPath(path)

    path = written(tmp_path / "full.pdf", full)
    with pytest.raises(ArtworkError, match="most_points"):
        read_artwork(path, limits=reader.Limits(most_points=1000))


def test_without_the_library_it_is_said_what_to_do(tmp_path, monkeypatch):
    monkeypatch.setattr(reader, "find_spec", lambda name: None)
    path = written(tmp_path / "drawing.pdf", ring)
    with pytest.raises(ArtworkError, match=r"stampwright\[pdf\].*save the drawing as SVG"):
        read_artwork(path)


def test_the_library_is_loaded_only_for_a_pdf():
    """Another process: this one has it loaded."""
    import subprocess

    code = "import sys, stampwright.artwork.reading; print('pypdfium2' in sys.modules)"
    assert (
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip()
        == "False"
    )


def test_spoiled_files_are_refused_or_read_never_worse(tmp_path, sweep):
    import random

    rnd, refusals, files = random.Random(7), [], sweep(range(150), quick=40)
    stream = io.BytesIO((written(tmp_path / "a.pdf", ring, in_forms, pageCompression=0)).read_bytes())
    whole = stream.getvalue()
    for _ in files:
        data = bytearray(whole)
        for _ in range(rnd.choice((1, 3, 10))):
            data[rnd.randrange(20, len(data))] = rnd.randrange(256)
        (tmp_path / "b.pdf").write_bytes(data)
        try:
            assert read_artwork(tmp_path / "b.pdf").inked.is_valid
        except ArtworkError as error:
            refusals.append(str(error))
    assert 0 < len(refusals) < len(files)
    assert not any("\n" in refusal for refusal in refusals)

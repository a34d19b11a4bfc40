"""Letters of PDF text: named and placed as other libraries write them, and only where they are seen."""

import math
import re

import pytest
import shapely
from PIL import Image
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from stampwright import Job, read_artwork
from stampwright.artwork.fonts.case import BUNDLED_FOLDER
from stampwright.examination import examine_job
from stampwright.job.sections.tracing import TracingSection
from stampwright.remedy import ways_to_pass

from .test_ways_of_writing import LAYERS, OFF, ON, SQUARE, stream, written

MM = 72 / 25.4
HELVETICA = "/Font << /H << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >>"
WORDS = "BT /H 24 Tf 20 60 Td (Seed) Tj ET"


def said(artwork):
    return "".join(letter.character for letter in artwork.letters)


def drawn(path, draw, size=(60, 40), **options):
    canvas = Canvas(str(path), pagesize=(size[0] * MM, size[1] * MM), **options)
    draw(canvas)
    canvas.save()
    return path


def words_of(artwork):
    return list(dict.fromkeys(letter.word for letter in artwork.letters))


@pytest.fixture(scope="module")
def seeds():
    file = next(path for path in sorted(BUNDLED_FOLDER.glob("*.ttf")) if "Italic" not in path.name)
    pdfmetrics.registerFont(TTFont("Lettered", str(file)))
    return "Lettered"


@pytest.mark.parametrize("font", ["Helvetica", "Times-Italic", "Lettered"])
@pytest.mark.parametrize("turn", [0, 35, 90, -120])
def test_letters_stand_where_the_writer_put_them(tmp_path, seeds, font, turn):
    """Against the advances that the writing library states."""

    def draw(canvas):
        canvas.translate(30 * MM, 20 * MM)
        canvas.rotate(turn)
        canvas.setFont(font, 16)
        canvas.drawString(-30, 0, "Saat für")

    artwork = read_artwork(drawn(tmp_path / "a.pdf", draw))
    assert said(artwork) == "Saatfür"
    assert words_of(artwork) == ["Saat", "für"]
    way = math.radians(turn)
    for letter, at in zip(artwork.letters, (0, 1, 2, 3, 5, 6, 7), strict=True):
        begin, end = (pdfmetrics.stringWidth("Saat für"[:count], font, 16) - 30 for count in (at, at + 1))
        x, y = ((begin + end) / 2, 5.5)
        spot = shapely.Point(
            30 + (x * math.cos(way) - y * math.sin(way)) / MM, 20 + (x * math.sin(way) + y * math.cos(way)) / MM
        )
        assert letter.place.distance(spot) < 0.5
        # The f of an italic overhangs its advance to both sides.
        assert letter.place.area < (end - begin + 4) * 16 * 1.2 / MM**2
        assert letter.place.intersection(artwork.inked).area > 0.1 * letter.place.area


@pytest.mark.parametrize("rotate", [90, 180, 270])
def test_letters_are_turned_with_their_page(tmp_path, rotate):
    path = written(tmp_path / "a.pdf", WORDS, resources=HELVETICA, page=f"/Rotate {rotate} /CropBox [10 10 190 95]")
    artwork = read_artwork(path)
    assert said(artwork) == "Seed"
    held = shapely.union_all([letter.place for letter in artwork.letters])
    assert artwork.inked.difference(held.buffer(0.1)).area < 0.05


UNSEEN = {
    "invisible": f"3 Tr {WORDS}",
    "only a clip": f"q 7 Tr {WORDS} Q",
    "white on white": f"1 g {WORDS} 0 g",
    "under a white sheet": f"{WORDS} 1 g 0 50 200 50 re f 0 g",
    "black on black": f"0 50 200 50 re f {WORDS}",
    "clipped away": f"q 0 0 10 10 re W n {WORDS} Q",
    "beside the page": WORDS.replace("20 60 Td", "300 60 Td"),
    "on a hidden layer": f"/OC /B BDC {WORDS} EMC",
}


@pytest.mark.parametrize("how", UNSEEN)
def test_text_that_is_not_seen_has_no_letters(tmp_path, how):
    resources = f"{HELVETICA} /Properties << /A 5 0 R /B 6 0 R >>"
    path = written(tmp_path / "a.pdf", f"{UNSEEN[how]} 0 Tr {SQUARE}", ON, OFF, catalog=LAYERS, resources=resources)
    artwork = read_artwork(path)
    assert artwork.letters == ()
    assert artwork.inked.area > 0


def test_light_letters_on_dark_are_letters(tmp_path):
    path = written(tmp_path / "a.pdf", f"0 50 200 50 re f 1 g {WORDS}", resources=HELVETICA)
    assert said(read_artwork(path)) == "Seed"


def test_outlined_letters_are_letters(tmp_path):
    path = written(tmp_path / "a.pdf", f"1 Tr 2 w {WORDS}", resources=HELVETICA)
    assert said(read_artwork(path)) == "Seed"


def test_text_laid_invisibly_over_a_scan_is_neither_ink_nor_letters(tmp_path):
    image = Image.new("L", (600, 400), 255)
    image.paste(0, (100, 100, 300, 300))
    image.save(tmp_path / "scan.png")

    def draw(canvas):
        canvas.drawImage(str(tmp_path / "scan.png"), 0, 0, 60 * MM, 40 * MM)
        text = canvas.beginText(10 * MM, 15 * MM)
        text.setFont("Helvetica", 30)
        text.setTextRenderMode(3)
        text.textOut("Seed library")
        canvas.drawText(text)

    artwork = read_artwork(drawn(tmp_path / "a.pdf", draw))
    assert artwork.letters == ()
    assert artwork.inked.bounds == pytest.approx((10, 10, 30, 30), abs=0.1)


def test_text_beside_what_is_traced_keeps_its_letters(tmp_path):
    def draw(canvas):
        canvas.linearGradient(0, 0, 60, 0, ((0, 0, 0), (0.3, 0.3, 0.3)), extend=False)
        canvas.setFillGray(1)
        canvas.rect(0, 20 * MM, 60 * MM, 20 * MM, stroke=0, fill=1)
        canvas.setFillGray(0)
        canvas.setFont("Helvetica", 20)
        canvas.drawString(10 * MM, 25 * MM, "Seed")

    artwork = read_artwork(drawn(tmp_path / "a.pdf", draw))
    assert "page traced" in {finding.kind for finding in artwork.findings}
    assert said(artwork) == "Seed"


def test_letters_of_a_scan_that_is_turned_level_turn_with_it(tmp_path):
    def draw(canvas):
        canvas.rotate(3)
        canvas.saveState()
        bar = canvas.beginPath()
        bar.rect(8 * MM, 5 * MM, 40 * MM, 4 * MM)
        canvas.clipPath(bar, stroke=0, fill=0)
        canvas.linearGradient(0, 0, 60 * MM, 0, ((0, 0, 0), (0.2, 0.2, 0.2)))
        canvas.restoreState()
        canvas.setFont("Helvetica", 20)
        canvas.drawString(10 * MM, 15 * MM, "Seed")

    artwork = read_artwork(drawn(tmp_path / "a.pdf", draw), tracing=TracingSection(deskew=True))
    assert any("was turned" in finding.message for finding in artwork.findings)
    assert said(artwork) == "Seed"
    for letter in artwork.letters:
        left, bottom, right, top = letter.place.bounds
        near = artwork.inked.intersection(shapely.box(left - 0.2, bottom - 0.2, right + 0.2, top + 0.2))
        assert near.difference(letter.place.buffer(0.12)).area < 0.03 * near.area


TO_UNICODE = """/CIDInit /ProcSet findresource begin 12 dict begin begincmap
1 begincodespacerange <00> <FF> endcodespacerange
{} endcmap end end"""


def test_ligature_is_one_letter_that_stands_for_several(tmp_path):
    told = stream(TO_UNICODE.format("3 beginbfchar <41> <006F> <42> <006600660069> <43> <00630065> endbfchar"))
    font = "/Font << /H << /Type /Font /Subtype /Type1 /BaseFont /Helvetica /ToUnicode 5 0 R >> >>"
    path = written(tmp_path / "a.pdf", "BT /H 24 Tf 20 60 Td (ABC) Tj ET", told, resources=font)
    artwork = read_artwork(path)
    assert [letter.character for letter in artwork.letters] == ["o", "ffi", "ce"]
    assert words_of(artwork) == ["office"]


def test_character_whose_file_does_not_tell_what_it_is_has_no_name(tmp_path):
    told = stream(TO_UNICODE.format("2 beginbfchar <41> <E001> <42> <0042> endbfchar"))
    font = "/Font << /H << /Type /Font /Subtype /Type1 /BaseFont /Helvetica /ToUnicode 5 0 R >> >>"
    artwork = read_artwork(written(tmp_path / "a.pdf", "BT /H 24 Tf 20 60 Td (AB) Tj ET", told, resources=font))
    assert said(artwork) == "B"


@pytest.mark.parametrize("kind", [3, 42])
def test_fonts_of_drawn_glyphs_and_of_numbered_ones_are_read_alike(tmp_path, kind):
    """As a plotting library embeds them: Type 3, and Type 0 over CIDs."""
    matplotlib = pytest.importorskip("matplotlib")
    matplotlib.use("pdf")
    from matplotlib import pyplot

    with matplotlib.rc_context({"pdf.fonttype": kind}):
        figure = pyplot.figure(figsize=(3, 2))
        figure.text(0.1, 0.6, "Seed office", size=20)
        figure.text(0.3, 0.1, "Größe", size=18, rotation=40)
        figure.savefig(tmp_path / "a.pdf")
        pyplot.close(figure)
    artwork = read_artwork(tmp_path / "a.pdf")
    assert words_of(artwork) == ["Seed", "office", "Größe"]
    assert said(artwork) == "SeedofficeGröße"


def test_findings_name_the_letters(tmp_path):
    bold = HELVETICA.replace("Helvetica", "Helvetica-Bold")
    path = written(tmp_path / "a.pdf", WORDS, resources=bold)
    job = Job().with_values({"layout.size_by": "width", "layout.width": 4.0})
    found = examine_job(job, read_artwork(path)).judgement.findings
    assert any(re.search("letters? .*'e'.* of 'Seed'", finding.message) for finding in found)


def test_no_bolder_type_is_offered_where_the_program_does_not_set_it(tmp_path):
    asked = []

    def read(job):
        asked.append(job.tracing)
        return read_artwork(path, tracing=job.tracing)

    path = written(tmp_path / "a.pdf", WORDS, resources=HELVETICA)
    job = Job().with_values({"layout.size_by": "width", "layout.width": 10.0})
    ways_to_pass(job, read_artwork(path), read=read)
    assert not any(tracing.text_weight or tracing.text_spacing for tracing in asked)

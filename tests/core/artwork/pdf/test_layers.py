"""Layers of PDF pages (optional content, ISO 32000-1, section 8.11): as a viewer shows them, chosen by name."""

import pytest
from stampwright import read_artwork
from stampwright.errors import ArtworkError
from stampwright.job.sections.tracing import TracingSection

SQUARE_MM = (25.4 / 72) ** 2

DRAWN = {
    "Frame": ("0 0 0 rg 10 10 30 60 re f", 1800),
    "Bild, rot": ("0.63 0.16 0.16 rg 60 10 30 60 re f", 1800),
    "Guides": ("0 0 0 rg 10 80 80 6 re f", 480),
    "Gelb": ("1 0.85 0 rg 10 95 80 6 re f", 480),
    "Paper": ("1 1 1 rg 20 20 10 10 re f", 100),
}


def layered(path, hidden):
    """Write a page with a layer for each thing drawn, and one thing that lies on none."""
    content = " ".join(f"/OC /L{at} BDC {draw} EMC" for at, (draw, _) in enumerate(DRAWN.values()))
    content += " 0 0 0 rg 2 2 5 5 re f"
    groups = [f"{5 + at} 0 R" for at in range(len(DRAWN))]
    off = " ".join(group for group, name in zip(groups, DRAWN, strict=True) if name in hidden)
    bodies = [
        f"<< /Type /Catalog /Pages 2 0 R /OCProperties << /OCGs [{' '.join(groups)}] /D << /OFF [{off}] >> >> >>",
        "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 113 113] /Contents 4 0 R /Resources << /Properties << "
        + " ".join(f"/L{at} {group}" for at, group in enumerate(groups))
        + " >> >> >>",
        f"<< /Length {len(content)} >>\nstream\n{content}\nendstream",
        *(f"<< /Type /OCG /Name ({name}) >>" for name in DRAWN),
    ]
    data, places = b"%PDF-1.5\n", []
    for number, body in enumerate(bodies, 1):
        places.append(len(data))
        data += f"{number} 0 obj\n{body}\nendobj\n".encode()
    table = "".join(f"{place:010} 00000 n \n" for place in places)
    size = len(places) + 1
    end = (
        f"xref\n0 {size}\n0000000000 65535 f \n{table}trailer << /Size {size} /Root 1 0 R >>\nstartxref\n{len(data)}\n"
    )
    path.write_bytes(data + end.encode() + b"%%EOF")
    return path


@pytest.fixture
def page(tmp_path):
    return layered(tmp_path / "layers.pdf", {"Guides"})


def read(path, **values):
    artwork = read_artwork(path, tracing=TracingSection(**values))
    return artwork.inked.area / SQUARE_MM, {finding.message.split(":")[0]: finding for finding in artwork.findings}


def test_hidden_layers_do_not_print_and_are_told_and_so_are_light_ones(page):
    area, told = read(page)
    assert area == pytest.approx(1800 + 1800 - 100 + 25, rel=1e-4)
    assert told["Guides is hidden in the drawing and does not print"].measured == pytest.approx(480 * SQUARE_MM)
    assert {finding.kind for finding in told.values()} == {"layers left out", "colour left out"}


def test_layers_are_chosen_by_name_hidden_ones_too(page):
    assert read(page, ink_layers=("bild, rot",))[0] == pytest.approx(1800, rel=1e-4)
    area, told = read(page, ink_layers=("Guides", "Frame"))
    assert area == pytest.approx(1800 + 480, rel=1e-4)
    assert "Guides is hidden in the drawing, and prints because it is named" in told
    with pytest.raises(ArtworkError, match="no layer 'Nothing'; there are: Frame; Bild, rot; Guides"):
        read(page, ink_layers=("Nothing",))


def test_colours_are_chosen_as_in_other_drawings(page):
    assert read(page, ink_by="not-paper")[0] == pytest.approx(3600 - 100 + 25 + 480, rel=1e-4)
    assert read(page, ink_by="colours", ink_colours=("#ffd900",))[0] == pytest.approx(480, rel=1e-4)
    assert read(page, ink_darker_than=0.9)[0] == pytest.approx(3600 - 100 + 25 + 480, rel=1e-4)


def test_a_page_of_nothing_but_light_ink_is_read_where_that_is_asked_for(tmp_path):
    page = layered(tmp_path / "layers.pdf", {"Guides", "Frame", "Bild, rot"})
    text = page.read_bytes().replace(b"0 0 0 rg 2 2 5 5 re f", b"1 1 1 rg 2 2 5 5 re f")
    page.write_bytes(text)
    with pytest.raises(ArtworkError, match="shows no ink"):
        read(page)
    assert read(page, ink_by="not-paper")[0] == pytest.approx(480, rel=1e-4)

"""Pages as programs write them, by hand from the standard (ISO 32000-1): outlines are taken over as shown."""

import math

import pytest
from stampwright import read_artwork

SQUARE_MM = (25.4 / 72) ** 2

SQUARE = "20 20 60 40 re f"

LAYERS = "/OCProperties << /OCGs [5 0 R 6 0 R] /D << /OFF [6 0 R] >> >>"
ON, OFF = "<< /Type /OCG /Name (On) >>", "<< /Type /OCG /Name (Off) >>"


def stream(content, entries=""):
    return f"<< {entries} /Length {len(content)} >>\nstream\n{content}\nendstream"


def written(path, content, *more, catalog="", page="", resources=""):
    """Write a page of 200 x 100 points whose box is its parent's; ``more``: objects from number 5 on."""
    bodies = [
        f"<< /Type /Catalog /Pages 2 0 R {catalog} >>",
        "<< /Type /Pages /Kids [3 0 R] /Count 1 /MediaBox [0 0 200 100] >>",
        f"<< /Type /Page /Parent 2 0 R /Contents 4 0 R /Resources << {resources} >> {page} >>",
        stream(content),
        *more,
    ]
    data, places = b"%PDF-1.7\n", []
    for number, body in enumerate(bodies, 1):
        places.append(len(data))
        data += f"{number} 0 obj\n{body}\nendobj\n".encode("latin-1")
    table = "".join(f"{place:010} 00000 n \n" for place in places)
    size = len(places) + 1
    data += f"xref\n0 {size}\n0000000000 65535 f \n{table}trailer << /Size {size} /Root 1 0 R >>\n".encode()
    path.write_bytes(data + f"startxref\n{data.rindex(b'xref')}\n%%EOF".encode())
    return path


def read(path):
    """Return the ink in square points, the page in points, and what was told, which is not that it was traced."""
    artwork = read_artwork(path)
    told = {finding.kind: finding.message for finding in artwork.findings}
    assert "page traced" not in told
    return artwork.inked.area / SQUARE_MM, tuple(side * 72 / 25.4 for side in artwork.page_size), told


@pytest.mark.parametrize("page", ["", "/Rotate 180", "/Rotate -90", "/CropBox [10 10 190 90]"])
def test_page_has_its_parents_box(tmp_path, page):
    area, (width, height), _ = read(written(tmp_path / "a.pdf", SQUARE, page=page))
    assert area == pytest.approx(2400, rel=1e-4)
    assert sorted((width, height)) == pytest.approx([80, 180] if "Crop" in page else [100, 200])


@pytest.mark.parametrize(
    ("rule", "shown"),
    [
        ("/OCGs 5 0 R", True),
        ("/OCGs 6 0 R", False),
        ("/OCGs [5 0 R 6 0 R] /P /AllOn", False),
        ("/OCGs [5 0 R 6 0 R] /P /AnyOff", True),
        ("/OCGs [] /VE [/And 5 0 R [/Not 6 0 R]]", True),
        ("/OCGs [] /VE [/Not 5 0 R]", False),
    ],
)
def test_layers_that_hang_together_by_a_rule_print_where_they_show(tmp_path, rule, shown):
    content = f"{SQUARE} /OC /M BDC 120 20 60 40 re f EMC"
    bodies = (ON, OFF, f"<< /Type /OCMD {rule} >>")
    path = written(tmp_path / "a.pdf", content, *bodies, catalog=LAYERS, resources="/Properties << /M 7 0 R >>")
    area, _, told = read(path)
    assert area == pytest.approx(4800 if shown else 2400, rel=1e-4)
    assert ("layers left out" in told) is not shown


def test_what_lies_on_a_hidden_layer_inside_a_shown_one_is_hidden_and_only_that(tmp_path):
    content = f"/OC /A BDC {SQUARE} /OC /B BDC 120 20 60 40 re f EMC 0 0 10 10 re f EMC"
    path = written(
        tmp_path / "a.pdf", content, ON, OFF, catalog=LAYERS, resources="/Properties << /A 5 0 R /B 6 0 R >>"
    )
    area, _, told = read(path)
    assert area == pytest.approx(2500, rel=1e-4)
    assert told["layers left out"].startswith("Off is hidden")


def test_layers_of_one_name_are_told_apart(tmp_path):
    content = f"/OC /A BDC {SQUARE} EMC /OC /B BDC 120 20 60 40 re f EMC"
    path = written(tmp_path / "a.pdf", content, ON, ON, catalog=LAYERS, resources="/Properties << /A 5 0 R /B 6 0 R >>")
    assert read(path)[0] == pytest.approx(2400, rel=1e-4)


@pytest.mark.parametrize("hidden", [True, False])
def test_form_lies_on_a_layer_by_its_dictionary(tmp_path, hidden):
    entries = f"/Type /XObject /Subtype /Form /BBox [0 0 200 100] /OC {6 if hidden else 5} 0 R"
    form = stream("120 20 60 40 re f", entries)
    path = written(
        tmp_path / "a.pdf", f"{SQUARE} /F Do", ON, OFF, form, catalog=LAYERS, resources="/XObject << /F 7 0 R >>"
    )
    assert read(path)[0] == pytest.approx(2400 if hidden else 4800, rel=1e-4)


def test_picture_on_a_hidden_layer_does_not_have_the_page_traced(tmp_path):
    picture = "q 100 0 0 100 0 0 cm BI /W 1 /H 1 /BPC 8 /CS /G /F /AHx ID 00 > EI Q"
    content = f"/OC /B BDC {picture} EMC {SQUARE}"
    path = written(tmp_path / "a.pdf", content, ON, OFF, catalog=LAYERS, resources="/Properties << /B 6 0 R >>")
    assert read(path)[0] == pytest.approx(2400, rel=1e-4)


@pytest.mark.parametrize(
    "written_name",
    [
        "<FEFF00470072" + "00F6" + "00DF" + "0065>",
        "(\xfe\xff\\000G\\000r\\000\xf6\\000\xdf\\000e)",
        "(Gr\xf6\xdfe)",
        "(\xef\xbb\xbfGr\xc3\xb6\xc3\x9fe)",
    ],
)
def test_names_of_layers_are_read_in_every_way_that_text_is_written(tmp_path, written_name):
    content = f"{SQUARE} /OC /B BDC 120 20 60 40 re f EMC"
    layer = f"<< /Type /OCG /Name {written_name} >>"
    path = written(tmp_path / "a.pdf", content, ON, layer, catalog=LAYERS, resources="/Properties << /B 6 0 R >>")
    assert read(path)[2]["layers left out"].startswith("Größe is hidden")


def test_group_that_nothing_shows_through_is_taken_over(tmp_path):
    form = stream(SQUARE, "/Type /XObject /Subtype /Form /BBox [0 0 200 100] /Group << /S /Transparency >>")
    assert read(written(tmp_path / "a.pdf", "/F Do", form, resources="/XObject << /F 5 0 R >>"))[0] == pytest.approx(
        2400
    )


@pytest.mark.parametrize("size", ["/H 50 Tf 1 0 0 1 10 30 Tm", "/H 1 Tf 50 0 0 50 10 30 Tm"])
def test_outlined_letters_have_lines_of_the_width_that_is_set(tmp_path, size):
    font = "/Font << /H << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> >>"
    thin, thick = (
        read(written(tmp_path / "a.pdf", f"BT 1 Tr {width} w {size} (l) Tj ET", resources=font))[0] for width in (1, 2)
    )
    # An l is a plain bar, which a line of twice the width runs round as well.
    assert thick / thin == pytest.approx(2, rel=0.05)
    assert thin == pytest.approx(2 * (36 + 4), rel=0.15)


def test_dots_of_a_dotted_line_are_round_where_their_dashes_have_no_length(tmp_path):
    area = read(written(tmp_path / "a.pdf", "6 w 1 J [0 10] 0 d 10 50 m 95 50 l S"))[0]
    assert area == pytest.approx(9 * math.pi * 9, rel=0.03)


@pytest.mark.parametrize("kind", ["/Square /C [0 0 0]", "/Widget /FT /Tx /T (a) /V (b)"])
def test_fields_and_remarks_print_as_they_show(tmp_path, kind):
    remark = f"<< /Type /Annot /Subtype {kind} /Rect [120 20 180 60] /F 4 /AP << /N 6 0 R >> >>"
    form = stream("0 0 60 40 re f", "/Type /XObject /Subtype /Form /BBox [0 0 60 40]")
    catalog = "/AcroForm << /Fields [5 0 R] >>" if "Widget" in kind else ""
    area, size, _ = read(written(tmp_path / "a.pdf", SQUARE, remark, form, catalog=catalog, page="/Annots [5 0 R]"))
    assert area == pytest.approx(4800, rel=1e-4)
    assert size == pytest.approx((200, 100))

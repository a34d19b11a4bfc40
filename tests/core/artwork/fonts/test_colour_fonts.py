"""A font with colours prints what of them is dark, as Chromium draws it (OpenType, tables COLR and CPAL)."""

import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from shapely import box
from stampwright.artwork.svg import read_svg

from .glyphs import block

PX = 25.4 / 96


@pytest.fixture
def patchwork(tmp_path, monkeypatch):
    """Put a font at hand whose letter A has a black half, a light quarter, and a quarter in the colour of the text."""
    glyphs = {
        "A": block(0, 0, 800, 800),
        "dark": block(0, 0, 400, 800),
        "light": block(400, 0, 800, 400),
        "own": block(400, 400, 800, 800),
        "B": block(0, 0, 800, 800),
    }
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder([".notdef", *glyphs])
    builder.setupCharacterMap({ord("A"): "A", ord("B"): "B"})
    builder.setupGlyf({".notdef": TTGlyphPen(None).glyph(), **glyphs})
    lefts = {"light": 400, "own": 400}
    builder.setupHorizontalMetrics({name: (900, lefts.get(name, 0)) for name in (".notdef", *glyphs)})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Patchwork", "styleName": "Regular"})
    builder.setupOS2(sTypoAscender=800, sTypoDescender=-200)
    builder.setupPost()
    builder.setupCOLR({"A": [("dark", 0), ("light", 1), ("own", 0xFFFF)]})
    builder.setupCPAL([[(0.1, 0.1, 0.2, 1.0), (1.0, 1.0, 0.8, 1.0)]])
    builder.save(tmp_path / "patchwork.ttf")
    monkeypatch.setattr("stampwright.artwork.fonts.case._system_folders", lambda: (tmp_path,))


@pytest.mark.usefixtures("patchwork")
@pytest.mark.parametrize(
    ("letter", "stated", "boxes"),
    [
        ("A", "", [(0, 0, 40, 80), (40, 40, 80, 80)]),
        ("A", 'fill="#ddd"', [(0, 0, 40, 80)]),
        ("A", 'fill="#ddd" stroke="#000" stroke-width="9"', [(0, 0, 40, 80)]),
        ("A", 'textLength="40" lengthAdjust="spacingAndGlyphs"', [(0, 0, 17.778, 80), (17.778, 40, 35.556, 80)]),
        ("B", "", [(0, 0, 80, 80)]),
    ],
)
def test_letter_prints_its_dark_colours(letter, stated, boxes):
    text = f'<text y="100" font-family="Patchwork" font-size="100" {stated}>{letter}</text>'
    inked = read_svg(f'<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100">{text}</svg>'.encode()).inked
    wanted = box(0, 0, 0, 0)
    for each in boxes:
        wanted = wanted.union(box(*(side * PX for side in each)))
    assert inked.symmetric_difference(wanted).area < 1e-3 * wanted.area


@pytest.mark.usefixtures("patchwork")
def test_colours_hide_what_lies_below():
    text = '<rect width="100" height="100"/><text y="100" font-family="Patchwork" font-size="100" fill="#fff">A</text>'
    inked = read_svg(f'<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100">{text}</svg>'.encode()).inked
    assert inked.area == pytest.approx((100 * 100 - 40 * 80) * PX**2)

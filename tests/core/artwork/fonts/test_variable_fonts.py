"""A variable font is set at the width and on the axes that a drawing asks for (CSS Fonts 4, sections 2.3 and 6.12)."""

import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib.tables.TupleVariation import TupleVariation
from stampwright.artwork.svg import read_svg

STILL = [(0, 0)] * 4


@pytest.fixture
def stretchwork(tmp_path, monkeypatch):
    """Put a font at hand whose only letter is a block, 0.4 em wide and 0.8 high, with four axes."""
    pen = TTGlyphPen(None)
    for at, corner in enumerate([(0, 0), (0, 800), (400, 800), (400, 0)]):
        (pen.lineTo if at else pen.moveTo)(corner)
    pen.closePath()
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder([".notdef", "A"])
    builder.setupCharacterMap({ord("A"): "A"})
    builder.setupGlyf({".notdef": TTGlyphPen(None).glyph(), "A": pen.glyph()})
    builder.setupHorizontalMetrics({".notdef": (600, 0), "A": (600, 0)})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Stretchwork", "styleName": "Regular"})
    builder.setupOS2(sTypoAscender=800, sTypoDescender=-200)
    builder.setupPost()
    axes = [("wdth", 50, 100, 200, "Width"), ("wght", 100, 400, 900, "Weight"), ("TALL", 0, 0, 1, "Tall")]
    builder.setupFvar(axes, [])
    wider, narrower = [(0, 0), (0, 0), (400, 0), (400, 0)], [(0, 0), (0, 0), (-200, 0), (-200, 0)]
    changes = {
        ("wdth", (0, 1, 1)): wider,
        ("wdth", (-1, -1, 0)): narrower,
        ("wght", (0, 1, 1)): [(0, 0), (0, 0), (100, 0), (100, 0)],
        ("TALL", (0, 1, 1)): [(0, 0), (0, 200), (0, 200), (0, 0)],
    }
    builder.setupGvar({"A": [TupleVariation({tag: at}, moves + STILL) for (tag, at), moves in changes.items()]})
    builder.save(tmp_path / "stretchwork.ttf")
    monkeypatch.setattr("stampwright.artwork.fonts.case._system_folders", lambda: (tmp_path,))


@pytest.mark.usefixtures("stretchwork")
@pytest.mark.parametrize(
    ("stated", "size"),
    [
        ("", (40, 80)),
        ('font-stretch="ultra-expanded"', (80, 80)),
        ('style="font-stretch:75%"', (30, 80)),
        ('style="font:expanded 100px Stretchwork"', (50, 80)),
        ('font-weight="900"', (50, 80)),
        ("style=\"font-variation-settings:'TALL' 1, 'wdth' 150\"", (60, 100)),
        ("style=\"font-variation-settings:'TALL' 7, 'none' 3\"", (40, 100)),
        ('font-weight="400" style="font-variation-settings:\'wght\' 900"', (50, 80)),
        ("style='font-variation-settings:bogus'", (40, 80)),
    ],
)
def test_letter_takes_the_place_on_its_axes(stated, size):
    text = f'<text x="10" y="110" font-family="Stretchwork" font-size="100" {stated}>A</text>'
    whole = f'<svg xmlns="http://www.w3.org/2000/svg" width="200" height="200">{text}</svg>'
    left, bottom, right, top = read_svg(whole.encode()).inked.bounds
    px = 25.4 / 96
    assert ((right - left) / px, (top - bottom) / px) == pytest.approx(size, abs=0.1)

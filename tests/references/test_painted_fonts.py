"""A font that paints its letters prints what of them is dark, as Chromium draws it (OpenType, COLR version 1)."""

from pathlib import Path

import numpy as np
import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib.tables.otTables import CompositeMode, ExtendMode, PaintFormat
from PIL import Image
from stampwright.artwork.fonts import find_font, outline_text
from stampwright.artwork.svg import read_svg

from ..core.artwork.fonts.glyphs import block
from .rendering import agreement

SIDE = 200
"""Pixels a side of one drawing in the picture of all."""

DARK, LIGHT, OWN = 0, 1, 0xFFFF


def solid(index, alpha=1.0):
    return {"Format": PaintFormat.PaintSolid, "PaletteIndex": index, "Alpha": alpha}


def of(glyph, paint):
    return {"Format": PaintFormat.PaintGlyph, "Glyph": glyph, "Paint": paint}


def line(*stops, extend=ExtendMode.PAD):
    return {
        "ColorStop": [{"StopOffset": at, "PaletteIndex": index, "Alpha": alpha} for at, index, alpha in stops],
        "Extend": extend,
    }


def linear(colours, *places):
    ends = dict(zip(("x0", "y0", "x1", "y1", "x2", "y2"), places, strict=True))
    return {"Format": PaintFormat.PaintLinearGradient, "ColorLine": colours, **ends}


def radial(colours, *places):
    circles = dict(zip(("x0", "y0", "r0", "x1", "y1", "r1"), places, strict=True))
    return {"Format": PaintFormat.PaintRadialGradient, "ColorLine": colours, **circles}


def sweep(colours, x, y, begin, end):
    place = {"centerX": x, "centerY": y, "startAngle": begin, "endAngle": end}
    return {"Format": PaintFormat.PaintSweepGradient, "ColorLine": colours, **place}


def mixed(mode, below, above):
    return {
        "Format": PaintFormat.PaintComposite,
        "SourcePaint": above,
        "CompositeMode": mode,
        "BackdropPaint": below,
    }


def layers(*paints):
    return {"Format": PaintFormat.PaintColrLayers, "Layers": list(paints)}


SHADED = line((0.0, DARK, 1.0), (1.0, LIGHT, 1.0))
LETTERS = {
    "straight": of("square", linear(SHADED, 0, 0, 800, 0, 0, 800)),
    "leaning": of("square", linear(SHADED, 0, 0, 800, 0, 400, 800)),
    "repeated": of(
        "square", linear(line((0.2, DARK, 1.0), (0.8, LIGHT, 1.0), extend=ExtendMode.REPEAT), 0, 0, 300, 100, -100, 300)
    ),
    "reflected": of(
        "square", linear(line((0.0, DARK, 1.0), (1.0, LIGHT, 1.0), extend=ExtendMode.REFLECT), 0, 0, 0, 200, 200, 0)
    ),
    "round": of("square", radial(SHADED, 300, 300, 50, 400, 400, 380)),
    "cone": of("square", radial(SHADED, 200, 200, 150, 600, 600, 40)),
    "swept": of("square", sweep(SHADED, 400, 400, 0, 360)),
    "swept in part": of("square", sweep(SHADED, 400, 300, 45, 200)),
    "turned": {
        "Format": PaintFormat.PaintRotateAroundCenter,
        "Paint": of("bar", solid(DARK)),
        "angle": 30,
        "centerX": 400,
        "centerY": 400,
    },
    "moved and scaled": {
        "Format": PaintFormat.PaintTranslate,
        "Paint": {"Format": PaintFormat.PaintScale, "Paint": of("bar", solid(DARK)), "scaleX": 0.5, "scaleY": 1.5},
        "dx": 200,
        "dy": -100,
    },
    "transformed gradient": of(
        "square",
        {
            "Format": PaintFormat.PaintTransform,
            "Paint": linear(SHADED, 0, 0, 800, 0, 0, 800),
            "Transform": (0.6, 0.5, -0.4, 0.8, 50, 20),
        },
    ),
    "clipped twice": of("square", of("bar", solid(DARK))),
    "another letter": layers(of("square", solid(LIGHT)), {"Format": PaintFormat.PaintColrGlyph, "Glyph": "turned"}),
    "own colour": layers(of("square", solid(DARK)), of("bar", solid(OWN))),
    "thin": layers(of("square", solid(DARK, 0.3)), of("bar", solid(DARK, 0.4))),
    **{
        f"mode {mode.name.lower()}": mixed(mode, of("square", solid(DARK)), of("bar", solid(LIGHT, 0.9)))
        for mode in CompositeMode
        if not mode.name.startswith("HSL")
    },
    "cut out": mixed(CompositeMode.SRC_OUT, of("bar", solid(DARK)), of("square", solid(DARK))),
    "kept in": mixed(CompositeMode.SRC_IN, of("bar", solid(LIGHT)), of("square", solid(DARK))),
    "either": mixed(CompositeMode.XOR, of("bar", solid(DARK)), of("corner", solid(DARK))),
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Make a font whose letters, from A on, are painted as in LETTERS, in the order of these."""
    folder = tmp_path_factory.mktemp("fonts")
    parts = {"square": block(0, 0, 800, 800), "bar": block(100, 300, 700, 500), "corner": block(400, 400, 800, 800)}
    empty = TTGlyphPen(None).glyph()
    glyphs = {".notdef": empty, **parts, **dict.fromkeys(LETTERS, empty)}
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder(list(glyphs))
    builder.setupCharacterMap({ord("A") + at: name for at, name in enumerate(LETTERS)})
    builder.setupGlyf(glyphs)
    lefts = {"bar": 100, "corner": 400}
    builder.setupHorizontalMetrics({name: (900, lefts.get(name, 0)) for name in glyphs})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Painted", "styleName": "Regular"})
    builder.setupOS2(sTypoAscender=800, sTypoDescender=-200)
    builder.setupPost()
    builder.setupCOLR(LETTERS, version=1, clipBoxes=dict.fromkeys(LETTERS, (0, 0, 800, 800)))
    builder.setupCPAL([[(0.1, 0.1, 0.2, 1.0), (1.0, 1.0, 0.8, 1.0)]])
    builder.save(folder / "painted.ttf")
    return folder


def drawn(name):
    letter = f"&#{ord('A') + list(LETTERS).index(name)};"
    text = f'<text x="10" y="90" font-family="Painted" font-size="100" fill="#eee">{letter}</text>'
    ground = '<rect y="40" width="100" height="20"/>'
    return f'<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100">{ground}{text}</svg>'


@pytest.fixture
def _at_hand(folder, monkeypatch):
    monkeypatch.setattr("stampwright.artwork.fonts.case._system_folders", lambda: (folder,))


@pytest.mark.usefixtures("_at_hand")
@pytest.mark.sweep(12)
@pytest.mark.parametrize("name", LETTERS)
def test_painted_letter_prints_its_dark_parts(name):
    # The same drawings in Chromium 156, darker than half luminance, one beside the other.
    pictures = np.asarray(Image.open(Path(__file__).with_name("painted_letters.png")).convert("L")) < 128
    at = list(LETTERS).index(name) * SIDE
    truth = pictures[:, at : at + SIDE]
    assert agreement(read_svg(drawn(name).encode()), truth) >= 0.975


@pytest.mark.usefixtures("_at_hand")
def test_gradients_of_a_letter_alone_are_not_told_as_colours_left_out():
    assert not read_svg(drawn("straight").encode()).findings


@pytest.mark.usefixtures("_at_hand")
def test_painted_letter_in_a_line_of_type_is_filled_where_it_has_no_outline_of_its_own():
    font, findings = find_font("Painted")
    assert not findings
    letter = chr(ord("A") + list(LETTERS).index("straight"))
    assert outline_text(letter, font, 10.0).area == pytest.approx(64.0)

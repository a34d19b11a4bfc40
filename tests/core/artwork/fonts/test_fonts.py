"""Type: fonts found, and text set in them."""

from __future__ import annotations

import contextlib
import sys

import pytest
from stampwright.artwork.fonts import cap_height, case, find_font, outline_text, read_font, set_line, stand_ins_in
from stampwright.artwork.fonts.case import BUNDLED_FOLDER, MOST_FONT_FILES
from stampwright.artwork.made import lettering, make_artwork
from stampwright.artwork.svg import read_svg
from stampwright.errors import ArtworkError
from stampwright.job.pieces import Lettering

BOLD, _ = find_font("sans-serif", 700, folders=())


def test_substitution_names_both_families():
    font, findings = find_font("Quillfeather, Nibworth", folders=())
    assert font.family == "Noto Sans"
    assert [finding.kind for finding in findings] == ["font substituted"]
    assert "Quillfeather" in findings[0].message
    assert "Noto Sans" in findings[0].message


@pytest.mark.parametrize("name", ["noto sans", "NOTO SANS", "Noto Sans Bold", "notosans-bold"])
def test_bundled_font_is_found_in_any_letter_case(name):
    font, findings = find_font(name, folders=())
    assert font.family == "Noto Sans"
    assert findings == ()


def test_missing_style_is_said():
    font, findings = find_font("Noto Sans", 400, "italic", folders=())
    assert not font.italic
    assert [finding.kind for finding in findings] == ["font style substituted"]


@pytest.mark.parametrize(("asked", "given"), [(400, 400), (300, 400), (500, 400), (600, 700), (900, 700)])
def test_nearest_weight_follows_css(asked, given):
    """CSS Fonts Level 4, section 5.2: up to 500 lighter ones first, above it heavier ones first."""
    font, _ = find_font("Noto Sans", asked, folders=())
    assert font.weight == given


def test_outline_stands_on_the_baseline_at_cap_height():
    """Noto Sans has a cap height of 714 of 1000 units in its OS/2 table."""
    left, bottom, _, top = outline_text("H", BOLD, 10.0).bounds
    assert bottom == pytest.approx(0, abs=1e-9)
    assert top == pytest.approx(7.14, abs=1e-9)
    assert left > 0
    assert cap_height(BOLD) == pytest.approx(0.714)


def test_kerning_and_spacing_move_glyphs():
    kerned, loose = set_line("AV", BOLD, 10.0), set_line("AV", BOLD, 10.0, kerning=False)
    spaced = set_line("AV", BOLD, 10.0, spacing=1.5)
    assert kerned.advance < loose.advance - 0.1
    assert spaced.advance == pytest.approx(kerned.advance + 3.0)


def test_counters_stay_open():
    letter = outline_text("O", BOLD, 10.0)
    assert len(letter.geoms) == 1
    assert len(letter.geoms[0].interiors) == 1


def test_missing_glyphs_are_said():
    assert [f.kind for f in set_line("a\N{CJK UNIFIED IDEOGRAPH-6F22}", BOLD, 5).findings] == ["missing glyph"]


def test_letters_stand_in_another_font_where_theirs_lacks_them(monkeypatch):
    regular, _ = find_font("sans-serif", 400, folders=())
    line = set_line("aba", BOLD, 10.0, stand_ins={1: regular})
    own = [set_line(letter, font, 10.0).outlines for letter, font in (("a", BOLD), ("b", regular), ("a", BOLD))]
    assert [glyph.outline.area for glyph in line.glyphs] == pytest.approx([each.area for each in own])
    assert [glyph.start for glyph in line.glyphs] == [0, 1, 2]
    leftward = set_line("\u202eab\u202c", BOLD, 10.0, stand_ins={1: regular})
    assert [glyph.start for glyph in leftward.glyphs if not glyph.outline.is_empty] == [2, 1]

    module = sys.modules[stand_ins_in.__module__]
    monkeypatch.setattr(module, "holds", lambda font, letters: not {"x", "y", "\u6f22"} & set(letters))
    monkeypatch.setattr(module, "standing_in", lambda letters, font: None if "\u6f22" in letters else regular)
    # A mark goes with its letter; what no font has stays, and is told as missing.
    assert stand_ins_in("I x\u0323 \u6f22", BOLD) == {2: regular, 3: regular}
    assert stand_ins_in("plain", BOLD) == {}
    # So does what a font of coloured pictures has no outline of.
    monkeypatch.setattr(module, "set_line", lambda text, font, size: set_line(" ", font, size))
    assert stand_ins_in("y", BOLD) == {}


def test_pieces_are_set_with_stand_ins_and_say_so(monkeypatch):
    regular, _ = find_font("sans-serif", 400, folders=())
    monkeypatch.setattr(lettering, "stand_ins_in", lambda text, font: {text.index("x"): regular} if "x" in text else {})
    plain, told = (make_artwork([Lettering(text=text, cap_height=8)]) for text in ("seed", "sxed"))
    assert "font substituted" not in {finding.kind for finding in plain.findings}
    assert "Noto Sans has no 'x' (U+0078); Noto Sans stands in for it" in {each.message for each in told.findings}


def test_missing_mark_is_said_and_not_its_letter():
    # The bundled font has the letter and the accent above it, but no dot below.
    told = [finding.message for finding in set_line("a\u0308\u0323", BOLD, 5.0).findings]
    assert len(told) == 1
    assert "U+0323" in told[0]
    assert "U+0061" not in told[0]


def test_empty_and_odd_text_is_set_without_complaint():
    assert outline_text("", BOLD, 5).is_empty
    assert outline_text(" \n\t", BOLD, 5).is_empty
    assert set_line("\ud800x", BOLD, 5).findings[0].kind == "missing glyph"


@pytest.mark.parametrize("size", [0.0, -1.0, float("nan"), 1e9])
def test_absurd_sizes_are_refused(size):
    with pytest.raises(ArtworkError, match="size"):
        outline_text("a", BOLD, size)


def test_broken_fonts_are_refused_and_passed_over(tmp_path):
    whole = (BUNDLED_FOLDER / "NotoSans-Bold.ttf").read_bytes()
    for name, content in {"cut.ttf": whole[:9000], "empty.ttf": b"", "junk.otf": b"OTTO" + bytes(500)}.items():
        (tmp_path / name).write_bytes(content)
        with pytest.raises(ArtworkError, match="no usable font"):
            read_font(tmp_path / name)
    with pytest.raises(ArtworkError, match="cannot be read"):
        read_font(tmp_path / "none.ttf")
    _, findings = find_font("Anything", folders=(tmp_path,))
    assert findings[0].kind == "font substituted"
    assert MOST_FONT_FILES > 3


def test_scrambled_fonts_never_crash(tmp_path):
    """A font with bytes turned over, every 97th, gives outlines or a refusal."""
    whole = bytearray((BUNDLED_FOLDER / "NotoSans-Bold.ttf").read_bytes())
    for start in range(0, 300, 30):
        broken = bytearray(whole)
        broken[start::97] = bytes(255 - byte for byte in broken[start::97])
        path = tmp_path / f"{start}.ttf"
        path.write_bytes(broken)
        with contextlib.suppress(ArtworkError):
            outline_text("Seed", read_font(path), 5.0)


def made_font(path, family, style, *, legacy=None, weight=400, width=5, italic=False):
    """Write a small font with the names that a foundry gives it; its only letter is a square A."""
    from fontTools.fontBuilder import FontBuilder
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    pen = TTGlyphPen(None)
    for corner, draw in zip([(0, 0), (0, 700), (500, 700), (500, 0)], (pen.moveTo, *[pen.lineTo] * 3), strict=True):
        draw(corner)
    pen.closePath()
    square = pen.glyph()
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder([".notdef", "A", "H"])
    builder.setupCharacterMap({65: "A", 72: "H"})
    builder.setupGlyf({".notdef": TTGlyphPen(None).glyph(), "A": square, "H": square})
    builder.setupHorizontalMetrics(dict.fromkeys([".notdef", "A", "H"], (600, 0)))
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    names = {
        "familyName": legacy or family,
        "styleName": "Regular" if legacy else style,
        "fullName": f"{family} {style}",
        "psName": f"{family} {style}".replace(" ", "-", 1).replace(" ", ""),
    }
    if legacy:
        names |= {"typographicFamily": family, "typographicSubfamily": style}
    builder.setupNameTable(names)
    builder.setupOS2(usWeightClass=weight, usWidthClass=width, fsSelection=1 if italic else 64)
    builder.setupPost(italicAngle=-12 if italic else 0)
    builder.save(path)


@pytest.fixture
def foundry(tmp_path):
    made_font(tmp_path / "a.ttf", "Fernleaf", "Regular")
    made_font(tmp_path / "b.ttf", "Fernleaf", "Bold", weight=700)
    made_font(tmp_path / "c.ttf", "Fernleaf", "Italic", italic=True)
    made_font(tmp_path / "d.ttf", "Fernleaf", "SemiBold", legacy="Fernleaf SemiBold", weight=600)
    made_font(tmp_path / "e.ttf", "Fernleaf", "Condensed", legacy="Fernleaf Condensed", width=3)
    made_font(tmp_path / "f.ttf", "Fernleaf", "Expanded Black", legacy="Fernleaf Expanded Black", width=7, weight=900)
    return tmp_path


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("Fernleaf", "a"),
        ("fernleaf", "a"),
        ("Fernleaf Bold", "b"),
        ("Fernleaf-Bold", "b"),
        ("FERNLEAF-BOLD", "b"),
        ("Fernleaf Italic", "c"),
        ("Fernleaf-Italic", "c"),
        ("Fernleaf SemiBold", "d"),
        ("Fernleaf-SemiBold", "d"),
        ("Fernleaf Semi Bold", "d"),
        ("Fernleaf Condensed", "e"),
        ("'Fernleaf-ExpandedBlack', serif", "f"),
        ("Nibworth, Fernleaf-Bold", "b"),
    ],
)
def test_fonts_are_found_by_family_full_and_postscript_name(foundry, name, file):
    font, findings = find_font(name, 400, folders=(foundry,))
    assert font.path.stem == file
    assert [finding.kind for finding in findings if finding.kind == "font substituted"] == []


@pytest.mark.parametrize(
    ("width", "weight", "style", "file"),
    [
        (100, 400, "normal", "a"),
        (75, 400, "normal", "e"),
        (50, 400, "normal", "e"),
        (125, 900, "normal", "f"),
        (200, 400, "normal", "f"),
        (100, 700, "normal", "b"),
        (100, 600, "normal", "d"),
        (100, 400, "italic", "c"),
    ],
)
def test_fonts_are_found_by_style_and_width(foundry, width, weight, style, file):
    """CSS Fonts Level 4, section 5.2: width first, narrower ones first up to normal, then style, then weight."""
    font, _ = find_font("Fernleaf", weight, style, width=width, folders=(foundry,))
    assert font.path.stem == file


def test_svg_text_and_pieces_find_fonts_by_their_full_names(tmp_path, foundry, monkeypatch):
    monkeypatch.setattr(case, "_system_folders", lambda: (foundry,))
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm">'
    text = head + '<text y="40" font-size="20" {}>A</text></svg>'
    for named in ('font-family="Fernleaf-SemiBold"', 'font-family="Fernleaf" font-stretch="condensed"'):
        assert read_svg(text.format(named).encode()).findings == ()
    assert make_artwork([Lettering(text="A", font="Fernleaf SemiBold")]).findings == ()

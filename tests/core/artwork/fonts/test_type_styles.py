"""Letters that lean, in other cases, by features of their font, or from another font, as drawings ask for them."""

import pytest
import shapely
from stampwright.artwork.fonts import find_font, fonts_standing_in, holds, standing_in
from stampwright.artwork.fonts.case import BUNDLED_FOLDER
from stampwright.artwork.svg import read_svg

from .glyphs import block, save_font

NOTO = 'font-family="Noto Sans" font-size="30"'


def drawn(body):
    return read_svg(f'<svg xmlns="http://www.w3.org/2000/svg" width="200" height="100">{body}</svg>'.encode())


def same(one, other):
    """Return whether two drawings are the same but for how finely their curves are cut."""
    ours, theirs = drawn(one).inked, drawn(other).inked
    return shapely.symmetric_difference(ours, theirs).area < 0.005 * theirs.area


@pytest.mark.parametrize(
    "asked", ['font-style="italic"', 'font-style="oblique"', 'style="font:oblique 30px Noto Sans"']
)
def test_upright_letters_lean_where_no_leaning_ones_are_at_hand(asked, monkeypatch):
    """By 14 degrees, a quarter (CSS Fonts 4, section 2.4)."""
    monkeypatch.setattr("stampwright.artwork.fonts.case._system_folders", tuple)
    leaning = f'<g transform="translate(5 60) skewX(-14)"><text {NOTO}>Elm</text></g>'
    assert same(f'<text x="5" y="60" {NOTO} {asked}>Elm</text>', leaning)
    told = [finding.message for finding in drawn(f'<text x="5" y="60" {NOTO} {asked}>Elm</text>').findings]
    assert any("Noto Sans 400 is slanted for it" in message for message in told)


@pytest.mark.parametrize(
    "asked", ['style="font-style:italic;font-synthesis:weight"', 'font-style="oblique 40deg"', 'font-style="normal"']
)
def test_upright_letters_stay_upright(asked, monkeypatch):
    """Where nothing may be made up, and where an angle is asked for, which no renderer follows."""
    monkeypatch.setattr("stampwright.artwork.fonts.case._system_folders", tuple)
    assert same(f'<text x="5" y="60" {NOTO} {asked}>Elm</text>', f'<text x="5" y="60" {NOTO}>Elm</text>')


def test_letters_that_lean_by_themselves_are_not_slanted(tmp_path):
    save_font(tmp_path / "a.ttf", "Fernleaf", {"A": block(0, 0, 500, 700)})
    save_font(tmp_path / "b.ttf", "Fernleaf", {"A": block(100, 0, 500, 700)}, style="Italic")
    assert find_font("Fernleaf", 400, "italic", folders=(tmp_path,))[0].slant == 0
    assert find_font("Fernleaf", 400, "normal", folders=(tmp_path,))[0].slant == 0
    (tmp_path / "b.ttf").unlink()
    assert find_font("Fernleaf", 400, "italic", folders=(tmp_path, tmp_path))[0].slant == 14


@pytest.mark.parametrize(
    ("asked", "written", "means"),
    [
        ('font-variant="small-caps"', "Elm 9", 'E<tspan font-size="21">LM</tspan> 9'),
        ('style="font:small-caps 30px Noto Sans"', "Elm", 'E<tspan font-size="21">LM</tspan>'),
        ('style="font-variant-caps:all-small-caps"', "Elm", '<tspan font-size="21">ELM</tspan>'),
        ('style="font-variant-caps:petite-caps"', "aß", '<tspan font-size="21">ASS</tspan>'),
        ('style="font-variant-caps:unicase"', "Elm", '<tspan font-size="21">E</tspan>lm'),
        ('style="font-variant-caps:titling-caps"', "Elm", "Elm"),
        ('style="font-variant:small-caps;font-synthesis:style"', "Elm", "Elm"),
        ('style="font-variant:small-caps;font-variant:normal"', "Elm", "Elm"),
        ('font-variant="small-caps no-such-word"', "Elm", "Elm"),
        ('style="text-transform:uppercase"', "Straße", "STRASSE"),
        ('style="text-transform:lowercase"', "ELM", "elm"),
        ('style="text-transform:capitalize"', "elm and oak", "Elm And Oak"),
        ('text-transform="uppercase"', "elm", "elm"),
    ],
)
def test_letters_are_set_in_the_case_asked_for(asked, written, means):
    """CSS Fonts 4, section 6.6; CSS Text 3, section 2.1. What a presentation attribute cannot be is left aside."""
    assert same(f'<text x="5" y="60" {NOTO} {asked}>{written}</text>', f'<text x="5" y="60" {NOTO}>{means}</text>')


def test_what_is_placed_goes_on_where_one_letter_becomes_two():
    means = f'<text x="5" y="60" {NOTO}>SS<tspan x="80">E</tspan></text>'
    assert same(f'<text x="5 80" y="60" {NOTO} style="text-transform:uppercase">ße</text>', means)


FEATURES = (
    """
feature smcp { sub a by small; } smcp;
feature c2sc { sub A by small; } c2sc;
feature liga { sub A a by joined; } liga;
feature onum { sub one by old; } onum;
""".replace(" a ", " u0061 ")
    .replace(" A ", " u0041 ")
    .replace(" one ", " u0031 ")
)


@pytest.fixture
def sedge(tmp_path, monkeypatch):
    """Put a font at hand whose letters tell by their height, in tenths of an em, which glyph was taken."""
    heights = {"A": 7, "a": 5, "1": 6, "small": 4, "joined": 2, "old": 3}
    letters = {each: block(0, 0, 500, 100 * height) for each, height in heights.items()}
    save_font(tmp_path / "sedge.ttf", "Sedge", letters, features=FEATURES)
    monkeypatch.setattr("stampwright.artwork.fonts.case._system_folders", lambda: (tmp_path,))


@pytest.mark.usefixtures("sedge")
@pytest.mark.parametrize(
    ("asked", "written", "heights"),
    [
        ("", "Aa", [2]),
        ("font-variant:small-caps", "aA", [4, 7]),
        ("font-variant-caps:all-small-caps", "aA", [4, 4]),
        ("font-variant-caps:petite-caps", "a1", [4, 6]),
        ("font-variant-ligatures:none", "Aa", [7, 5]),
        ("font-variant:no-common-ligatures", "Aa", [7, 5]),
        ("font-variant-numeric:oldstyle-nums", "1a", [3, 5]),
        ("font-feature-settings:'liga' 0, 'onum'", "Aa1", [7, 5, 3]),
        ("font-feature-settings:'liga' off", "Aa", [7, 5]),
        ("font-variant-numeric:oldstyle-nums;font-feature-settings:'onum' 0", "1", [6]),
        ("font-feature-settings:normal", "Aa", [2]),
        ("font-feature-settings:bogus", "Aa", [2]),
        ("letter-spacing:5px", "Aa", [7, 5]),
        ("letter-spacing:5px;font-variant-ligatures:common-ligatures", "Aa", [7, 5]),
        ("letter-spacing:5px;font-feature-settings:'liga' 1", "Aa", [2]),
    ],
)
def test_features_of_a_font_are_put_to_use(asked, written, heights):
    """CSS Fonts 4, sections 6.4 to 6.12, and 7.2 for what comes before what."""
    ink = drawn(f'<text x="5" y="90" font-family="Sedge" font-size="96" style="{asked}">{written}</text>').inked
    parts = sorted(ink.geoms, key=lambda part: part.bounds[0])
    found = [round((part.bounds[3] - part.bounds[1]) / 25.4 * 10) for part in parts]
    assert found == heights


@pytest.fixture
def foundry(tmp_path, monkeypatch):
    """Put fonts at hand that have some letters each, told by their heights; an arrow stands over what is before it."""
    save_font(tmp_path / "a.ttf", "Aster", {"A": block(0, 0, 500, 700), "e": block(0, 0, 500, 400)})
    save_font(tmp_path / "b.ttf", "Bracken", {"\u2660": block(0, 0, 500, 500), "A": block(0, 0, 500, 100)})
    bold = {"\u2660": block(0, 0, 500, 600)}
    save_font(tmp_path / "c.ttf", "Bracken", bold, style="Bold", weight=700)
    accented = {"\u2660": block(0, 0, 500, 300), "e": block(0, 0, 500, 200), "\u20d7": block(-550, 500, -50, 600)}
    save_font(tmp_path / "d.ttf", "Cicely", accented)
    monkeypatch.setattr("stampwright.artwork.fonts.case._system_folders", lambda: (tmp_path,))
    return tmp_path


@pytest.mark.usefixtures("foundry")
@pytest.mark.parametrize(
    ("asked", "written", "heights"),
    [
        ('font-family="Aster"', "A\u2660", [7, 5]),
        ('font-family="Aster, Cicely"', "A\u2660", [7, 3]),
        ('font-family="Aster, none such, Cicely"', "\u2660A", [3, 7]),
        ('font-family="Aster" font-weight="bold"', "A\u2660", [7, 6]),
        ('font-family="Aster"', "Ae\u20d7", [7, 2, 1]),
        ('font-family="Aster"', "A\ufe0f\u200d", [7]),
    ],
)
def test_letters_that_a_font_lacks_are_taken_from_another(asked, written, heights):
    """CSS Fonts 4, section 5.3: families as they are listed, then what is at hand; a mark goes with its letter."""
    ink = drawn(f'<text x="5" y="90" {asked} font-size="96">{written}</text>').inked
    parts = sorted(ink.geoms, key=lambda part: (part.bounds[0], part.bounds[3]))
    assert [round((part.bounds[3] - part.bounds[1]) / 25.4 * 10) for part in parts] == heights


@pytest.mark.usefixtures("foundry")
def test_stand_ins_are_told_with_their_letters():
    told = [one.message for one in drawn('<text y="90" font-family="Aster" font-size="50">A\u2660</text>').findings]
    assert "Aster has no '\u2660' (U+2660); Bracken stands in for it: <text> on line 1" in told
    told = [one.message for one in drawn('<text y="90" font-family="Aster" font-size="50">A\u4e2d</text>').findings]
    assert any("Aster has no '\u4e2d' (U+4E2D); left out of" in message for message in told)


def test_lines_and_baselines_are_those_of_the_font_asked_for(foundry):
    """A letter from another font does not move the line under the words."""
    with_line = 'text-decoration="underline" font-family="Aster" font-size="50"'
    bottom = [drawn(f'<text x="5" y="60" {with_line}>{word}</text>').inked.bounds[1] for word in ("AA", "A\u2660")]
    assert bottom[0] == pytest.approx(bottom[1])


def test_fonts_that_stand_in_are_known_beforehand(foundry):
    assert [path.name for path in fonts_standing_in("A &#9824;", folders=(foundry,))] == ["b.ttf", "c.ttf"]
    assert fonts_standing_in("Seeds", folders=(foundry,)) == ()
    usual, _ = find_font(folders=())
    assert usual.path.parent == BUNDLED_FOLDER
    assert standing_in("\u4e2d", usual, folders=(foundry,)) is None
    assert not holds(usual, "\u2660")

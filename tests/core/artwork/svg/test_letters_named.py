"""Promises of names: the letters of text are told as they are read, whatever places them on the page."""

import pytest
from stampwright import make_artwork, read_artwork
from stampwright.job.pieces import Lettering, RoundLettering

PAGE = '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="60mm" viewBox="0 0 100 60">{}</svg>'


def letters_in(body, folder):
    file = folder / "words.svg"
    file.write_text(PAGE.format(body), encoding="utf-8")
    artwork = read_artwork(file)
    for letter in artwork.letters:
        assert artwork.inked.intersection(letter.place).area > 0.01, letter
    return artwork.letters


def words_of(letters):
    return list(dict.fromkeys(letter.word for letter in letters))


@pytest.mark.parametrize(
    ("body", "told", "words"),
    [
        (
            '<text x="9" y="20">nai\u0308ve cafe\u0301</text>',
            "n|a|i\u0308|v|e|c|a|f|e\u0301",
            ["nai\u0308ve", "cafe\u0301"],
        ),
        ('<text x="9" y="20">co\u00adop A\u200bB</text>', "c|o|o|p|A|B", ["coop", "A", "B"]),
        ('<text x="9 19 29 39" y="20 22">Seeds</text>', "S|e|e|d|s", ["Seeds"]),
        ('<text x="9" y="20">Be<tspan dy="-2">an</tspan><tspan dy="2">s</tspan></text>', "B|e|a|n|s", ["Beans"]),
        ('<text><tspan x="9" y="10">one</tspan><tspan x="9" dy="8">two</tspan></text>', "o|n|e|t|w|o", ["one", "two"]),
        ('<text x="-50" y="20" rotate="10 -10" transform="scale(-1 .5)">turn</text>', "t|u|r|n", ["turn"]),
        ('<text x="50" y="5" style="writing-mode:vertical-rl">Down</text>', "D|o|w|n", ["Down"]),
    ],
)
def test_letters_are_named_with_their_accents_and_words(body, told, words, tmp_path):
    letters = letters_in(f'<g font-family="Noto Sans" font-size="6">{body}</g>', tmp_path)
    assert [letter.character for letter in letters] == told.split("|")
    assert words_of(letters) == words


def test_what_is_read_leftward_is_named_in_the_order_of_reading(tmp_path):
    """By an override, as the bundled fonts have no letters of scripts that are read so."""
    bidi = 'direction="rtl" unicode-bidi="bidi-override"'
    letters = letters_in(f'<text font-family="Noto Sans" font-size="6" x="60" y="20" {bidi}>pear tree</text>', tmp_path)
    assert "".join(letter.character for letter in letters) == "peartree"
    assert words_of(letters) == ["pear", "tree"]
    across = [letter.place.centroid.x for letter in letters]
    assert across == sorted(across, reverse=True)


@pytest.mark.parametrize("piece", [Lettering, RoundLettering])
def test_letters_of_pieces_have_their_accents(piece):
    made = make_artwork([piece(text="cafe\u0301", font="Noto Sans")])
    assert [letter.character for letter in made.letters] == ["c", "a", "f", "e\u0301"]
    assert {letter.word for letter in made.letters} == {"cafe\u0301"}

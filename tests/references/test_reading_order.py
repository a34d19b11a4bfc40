"""Text of both reading directions stands on the line as an independent renderer sets it."""

import random
import unicodedata

import bidi
import pytest
from stampwright.artwork.fonts import find_font, reading_levels, stretches
from stampwright.artwork.svg import read_svg

from .rendering import agreement, rendered_ink

FAMILY = "DejaVu Sans"
HEBREW = "\u05e9\u05dc\u05d5\u05dd"
ARABIC = "\u0633\u0644\u0627\u0645"

needs_letters = pytest.mark.skipif(
    bool(find_font(FAMILY)[1]), reason=f"{FAMILY}, which has Hebrew and Arabic letters, is not on this machine"
)


@needs_letters
@pytest.mark.parametrize(
    "text",
    [
        HEBREW,
        ARABIC,
        f"A{HEBREW}b",
        f"{HEBREW} 12",
        f"{ARABIC} 12",
        f"({HEBREW})",
        f"{HEBREW}!",
        f"{HEBREW} 1-2",
        f"{HEBREW} ab",
        f'{HEBREW[:2]}<tspan fill="#444">{HEBREW[2:]}</tspan>',
    ],
)
@pytest.mark.parametrize("anchor", ['x="5"', 'x="50" text-anchor="middle"'])
def test_leftward_text_is_set_as_the_renderer_sets_it(text, anchor):
    whole = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100">'
        f'<text font-family="{FAMILY}" font-size="20" y="50" {anchor}>{text}</text></svg>'
    )
    assert agreement(read_svg(whole.encode()), rendered_ink(whole, side=800)) >= 0.97


@pytest.mark.parametrize(
    ("text", "leftward", "shown"),
    [
        # UAX #9, section 3.4, rule L2: its own examples, capitals standing for leftward letters.
        ("car means CAR.", False, "car means RAC."),
        ("<car MEANS CAR.=", True, ".RAC SNAEM car"),
        ("he said \u201cCAR 123.\u201d", False, "he said \u201c123 RAC.\u201d"),
        ("12 ABC", None, "CBA 12"),
        # Rule N0: its own examples, section 3.3.5, with brackets as they are typed.
        ("AB(CD[&ef]!)gh", True, "gh)!]ef&[DC(BA"),
        ("smith (fabrikam ARABIC) HEBREW", True, "WERBEH )CIBARA fabrikam( smith"),
        ("ARABIC book(s)", True, "book(s) CIBARA"),
        ("", None, ""),
        ("   ", True, "   "),
    ],
)
def test_order_is_that_of_the_standard(text, leftward, shown):
    text = text.removeprefix("<").removesuffix("=")
    letters = "".join(chr(0x5D0 + ord(each) - ord("A")) if "A" <= each <= "Z" else each for each in text)
    found = ""
    for stretch in stretches(reading_levels(letters, leftward)):
        part = text[stretch.start : stretch.end]
        found += part[::-1] if stretch.leftward else part
    assert found == shown


LETTERS = "abc\u05d0\u05d1\u0627\u0628123\u0661\u0662 +-.,:/$%<>!?\u0300\u064b\t\u200e\u200f\u00ad"
MARKS = "\u202a\u202b\u202c\u202d\u202e"
BRACKETS = "()[]{}\u2329\u3009\u300a\u300b"
ISOLATES = "\u2066\u2067\u2068\u2069"

UNSEEN = {"BN", "LRE", "RLE", "LRO", "RLO", "PDF"}


@pytest.mark.sweep(2)
@pytest.mark.parametrize("first", range(0, 20_000, 1_000))
# Before a bracket after an isolate the library takes the first letter for the last (iter_backwards_from, 0.3.18).
@pytest.mark.parametrize("signs", [BRACKETS, ISOLATES], ids=["brackets", "isolates"])
def test_order_is_that_of_an_independent_library(first, signs):
    # The library unicode-bidi, tested by the Unicode Consortium's own cases. It turns no line without a letter that is
    # read leftward, whatever the direction of the whole, so each begins with one.
    some = LETTERS + MARKS + signs
    for chance in map(random.Random, range(first, first + 1_000)):
        text = "\u05d2" + "".join(chance.choice(some) for _ in range(chance.randint(1, 24)))
        for leftward in (False, True):
            found = ""
            for stretch in stretches(reading_levels(text, leftward)):
                part = text[stretch.start : stretch.end]
                found += part[::-1] if stretch.leftward else part
            told = bidi.get_display(text, base_dir="R" if leftward else "L")
            lines = ([one for one in line if unicodedata.bidirectional(one) not in UNSEEN] for line in (found, told))
            seen, expected = lines
            assert seen == expected, (ascii(text), leftward)

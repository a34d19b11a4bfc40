"""The cascade decides as in a browser (CSS Cascade 4, section 6; SVG 2, chapter 6)."""

import pytest

SQUARE = '<rect x="10" y="10" width="10" height="10" {}/>'
MARK = '<rect width="1" height="1"/>'


@pytest.mark.parametrize(
    ("sheet", "attributes", "seen"),
    [
        ("rect{fill:white}", 'fill="black"', False),
        ("rect{fill:black}", 'style="fill:white"', False),
        ("rect{fill:black!important}", 'style="fill:white"', True),
        ("rect{fill:black!important}", 'style="fill:white!important"', False),
        (".a{fill:white} rect{fill:black}", 'class="a"', False),
        ("#b{fill:white} .a{fill:black}", 'class="a" id="b"', False),
        (".a{fill:black} .a{fill:white}", 'class="a"', False),
        ("svg > rect.a{fill:white}", 'class="a c"', False),
        ("g rect{fill:white}", "", True),
        ("rect:not(.a){fill:white}", 'class="a"', True),
        ("rect[data-k=v]{fill:white}", 'data-k="v"', False),
        ("@media all{rect{fill:white}}", "", False),
        ("@media (min-width: 9999px){rect{fill:white}}", "", True),
        ("rect:hover, rect{fill:white}", "", False),
        ("rect{fill:none;stroke:none}", "", False),
        ("rect{fill:rgb(100% 100% 100% / 1)}", "", False),
        ("/* c */ rect{fill:#ffff /* white */}", "", False),
        ("rect{fill:currentColor} svg{color:white}", "", False),
        ("rect{display:none}", "", False),
        ("rect{visibility:hidden}", "", False),
        ("rect{transform:translate(500px)}", "", False),
        ("svg{--ink:white} rect{fill:var(--ink)}", "", False),
        ("rect{fill:var(--missing, white)}", "", False),
    ],
)
def test_rule_that_wins(draw, sheet, attributes, seen):
    artwork = draw(f"<style>{sheet}</style>" + SQUARE.format(attributes) + MARK.replace("rect", "path d='M0 0h1v1z'"))
    assert (artwork.inked.area > 50) == seen


def test_visible_child_of_a_hidden_group_is_drawn(draw):
    body = '<g visibility="hidden">' + SQUARE.format('visibility="visible"') + SQUARE.format("") + "</g>"
    assert draw(body).inked.area == pytest.approx(100)


def test_use_hands_its_style_to_what_it_draws(draw):
    body = '<defs><rect id="r" width="10" height="10"/></defs><use href="#r" fill="white"/><use href="#r" x="20"/>'
    assert draw(body).inked.bounds == pytest.approx((20, 90, 30, 100))


def test_symbol_is_drawn_only_through_use_in_its_own_viewport(draw):
    body = (
        '<symbol id="s" viewBox="0 0 10 10"><rect x="-5" width="20" height="10"/></symbol>'
        '<use xlink:href="#s" x="20" y="20" width="40" height="40"/>'
    )
    assert draw(body).inked.bounds == pytest.approx((20, 40, 60, 80))


def test_import_and_font_face_are_left_out_and_said(draw):
    sheet = '<style>@import url("other.css"); @font-face{font-family:A;src:url(a.woff)}</style>'
    kinds = {finding.kind for finding in draw(sheet + SQUARE.format("")).findings}
    assert kinds == {"external reference", "font left out"}


@pytest.mark.parametrize("word", ["inherit", "unset"])
def test_shorthand_takes_the_words_that_every_property_takes(draw, word):
    """CSS Cascade 4, section 7.3: such a word stands for each property of the shorthand."""
    text = '<g font-size="40" font-family="sans-serif"><text y="50" font-size="10" {}>le</text></g>'
    assert draw(text.format(f'style="font: {word}"')).inked.equals(draw(text.format('style="font-size: 40"')).inked)

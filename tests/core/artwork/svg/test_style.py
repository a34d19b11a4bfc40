"""The cascade decides as in a browser (CSS Cascade 4, section 6; SVG 2, chapter 6)."""

import pytest
from stampwright.artwork.svg import read_svg
from stampwright.job.sections.tracing import TracingSection

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
        ("@media (max-width: 101mm) and (orientation: portrait){rect{fill:white}}", "", False),
        ("@media screen and (300px &lt;= width &lt; 400px){rect{fill:white}}", "", False),
        ("@media (width > 100px) and (max-height: 10em){rect{fill:white}}", "", True),
        ("@media not print{rect{fill:white}}", "", False),
        ("@media not (min-width: 1px){rect{fill:white}}", "", True),
        ("@media (monochrome-level: 3){rect{fill:white}}", "", True),
        ("@supports (fill: red) and (not (float-by: 1px)){rect{fill:white}}", "", False),
        ("@supports (float-by: 1px) or selector(:unheard-of){rect{fill:white}}", "", True),
        ("@supports ((fill: red) and (stroke: red)) or (x: y){@media all{rect{fill:white}}}", "", False),
        ("@layer a{#b{fill:white}} rect{fill:black}", 'id="b"', True),
        ("@layer b, a; @layer a{rect{fill:white}} @layer b{rect{fill:black}}", "", False),
        ("@layer a{rect{fill:white!important}} rect{fill:black!important}", "", False),
        ("@layer a{@layer b{rect{fill:black}} rect{fill:white}}", "", False),
        ("@layer a{rect{fill:white}} @layer{rect{fill:black}} @layer a.b{#b{fill:white}}", 'id="b"', True),
        ("svg{rect{fill:white}}", "", False),
        ("svg{&amp;.k rect{fill:white}}", "", True),
        ("rect{&amp;:not(.k){fill:white} fill:black}", "", False),
        ("svg{> rect{fill:white}}", "", False),
        ("rect{@media all{fill:white}}", "", False),
        ("g, svg{line, rect{fill:white}} rect{fill:black}", "", False),
        ("@namespace s url(http://www.w3.org/2000/svg); s|rect{fill:white}", "", False),
        ("@namespace s 'http://www.w3.org/1999/xhtml'; s|rect{fill:white}", "", True),
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


@pytest.mark.parametrize(
    ("sheet", "drawn", "bounds"),
    [
        # Shorthands whose values are not known before the references in them are (CSS Custom Properties 1, 3.2).
        ("svg{--m:url(#m)} path{marker:var(--m)}", '<path d="M20 80h40" stroke="#000"/>', (18, 18, 62, 22)),
        ("svg{--m:url(#m)} path{marker:var(--m);marker:none}", '<path d="M20 80h40v-9"/>', (20, 20, 60, 29)),
        ("path{marker:var(--m)}", '<path d="M20 80h40v-9"/>', (20, 20, 60, 29)),
        (
            "svg{--s:20px} text{font:var(--w, bold) var(--s)/1 sans-serif}",
            '<text y="80">l</text>',
            (1.6, 20, 4.5, 35.2),
        ),
    ],
)
def test_references_in_shorthands_are_followed(draw, sheet, drawn, bounds):
    marker = (
        '<marker id="m" markerWidth="4" markerHeight="4" refX="2" refY="2" markerUnits="userSpaceOnUse">'
        '<rect width="4" height="4"/></marker>'
    )
    assert draw(f"<style>{sheet}</style>{marker}{drawn}").inked.bounds == pytest.approx(bounds, abs=0.15)


@pytest.mark.parametrize("rule", ["display:none", "visibility:hidden", "opacity:0", "display:none!important"])
def test_layers_that_a_class_hides_are_told_and_print_where_they_are_named(rule):
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="10mm" viewBox="0 0 30 10">'
        f'<style>.st0{{{rule}}}</style><g id="Guides" class="st0"><rect width="8" height="8"/></g>'
        '<g id="Ink"><rect x="20" width="5" height="5"/></g></svg>'
    ).encode()
    artwork = read_svg(drawing)
    assert artwork.inked.area == pytest.approx(25)
    assert [finding.message for finding in artwork.findings] == [
        "Guides is hidden in the drawing and does not print: it covers 64.0 mm²"
    ]
    assert read_svg(drawing, tracing=TracingSection(ink_layers=("Guides",))).inked.area == pytest.approx(64)

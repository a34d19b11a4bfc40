"""Malformed, hostile and absurd files get one clear message, or are read as far as they go."""

import base64
import gzip

import pytest
from stampwright.artwork import read_artwork
from stampwright.artwork.svg import Limits, read_svg
from stampwright.errors import ArtworkError

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="100" height="100">'
INK = '<path d="M10 10h50v50z"/>'
AREA = 1250 * (25.4 / 96) ** 2


def bomb(levels=10):
    inner = "".join(f'<!ENTITY a{k} "{f"&a{k - 1};" * 10}">' for k in range(1, levels))
    return f'<!DOCTYPE svg [<!ENTITY a0 "lol">{inner}]>{HEAD}{INK}<desc>&a{levels - 1};</desc></svg>'


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "empty"),
        ("plain words", "not artwork this program reads: give SVG, PDF, PNG"),
        ("<html><body/></html>", "its root element is <html>"),
        (f"{HEAD}<path d='M1 1", "not well-formed XML"),
        ("\x01\x02<\x03", "not artwork this program reads"),
        ("\ufeff \n<svg", "not well-formed XML"),
        (bomb(), "entity bomb"),
        (f'<!DOCTYPE svg [<!ENTITY a "{"x" * 99999}">]>{HEAD}<desc>{"&a;" * 9999}</desc></svg>', "entity bomb"),
        (f"{HEAD}</svg>", "no ink"),
        (f'{HEAD}<rect width="50" height="50" fill="#fff"/></svg>', "no ink"),
        (f'{HEAD}<g opacity=".8"><rect width="50"/></g></svg>', "no ink"),
        (f'{HEAD}<path d="M1e999 0L5 5L0 5z"/></svg>', "<path> on line 1 has a coordinate that is not finite"),
        (f'{HEAD}<path id="far" d="M1e300 0L5 5L0 5z"/></svg>', '<path id="far"> on line 1 has a coordinate'),
        (f'{HEAD}<path stroke="#000" stroke-width="1e300" d="M1 1h5"/></svg>', "stroke 1e+300 units wide"),
        (f'<svg xmlns="http://www.w3.org/2000/svg" width="0" height="9">{INK}</svg>', "the page is 0 x"),
        (f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 0 9">{INK}</svg>', "viewBox"),
        (f'<svg xmlns="http://www.w3.org/2000/svg" width="1e300" height="9">{INK}</svg>', "the limit is 1e+06 mm"),
        (f'{HEAD}<path stroke="#000" stroke-dasharray="1e-9" d="M1 1h90"/></svg>', "most_dashes"),
        (
            f'{HEAD}<path id="p" d="M0 0A9 9 0 0 1 1e38 0"/><text><textPath href="#p">a</textPath></text></svg>',
            "the limit is 1e+06 mm",
        ),
        (f"{HEAD}{'<g>' * 100000}{INK}{'</g>' * 100000}</svg>", "deepest"),
        (HEAD + '<g opacity=".9">' * 4000 + INK + "</g>" * 4000 + "</svg>", "deepest_layers"),
    ],
    ids=lambda value: value[:24] if isinstance(value, str) else None,
)
def test_one_clear_message(text, told):
    with pytest.raises(ArtworkError) as caught:
        read_svg(text.encode())
    message = str(caught.value)
    assert told in message
    assert "\n" not in message


@pytest.mark.parametrize(
    "text",
    [
        f'<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/no.dtd">{HEAD}{INK}</svg>',
        f'<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/passwd">]>{HEAD}{INK}</svg>',
        f'<!DOCTYPE svg [<!ENTITY % p SYSTEM "http://nowhere.invalid/p.dtd"> %p;]>{HEAD}{INK}</svg>',
        '<!DOCTYPE svg [<!ENTITY ns "http://www.w3.org/2000/svg">]>'
        f'<svg xmlns="&ns;" width="100" height="100">{INK}</svg>',
        f'{HEAD}<g id="a"><use href="#a"/></g><use id="b" href="#c"/><use id="c" href="#b"/>{INK}</svg>',
        f'{HEAD}<use href="other.svg#x"/><use xlink:href="http://nowhere.invalid/x.svg#a"/>{INK}</svg>',
        f"{HEAD}{'<g>' * 4000}{INK}{'</g>' * 4000}</svg>",
        f"{HEAD}<style>g g path{{fill:#000}}</style>{'<g>' * 900}{INK}{'</g>' * 900}</svg>",
        f"{HEAD}<style>{'a{' * 9000}</style>{INK}</svg>",
        f'{HEAD}<g transform="{"(" * 9000}">{INK}</g></svg>',
        f'{HEAD}<clipPath id="k" clip-path="url(#k)"><path d="M0 0h9v9z"/></clipPath>{INK}</svg>',
        f"\ufeff{HEAD}{INK}</svg>",
        f'{HEAD}<radialGradient id="g" r="1e300"><stop/><stop offset="1" stop-color="#fff"/></radialGradient>'
        + INK.replace("/>", ' fill="url(#g)"/>')
        + "</svg>",
    ],
    ids=range(13),
)
def test_odd_files_are_read_all_the_same(text):
    assert read_svg(text.encode()).inked.area == pytest.approx(AREA)


def test_a_drawing_that_takes_in_an_external_entity_is_refused():
    text = f'<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/passwd">]>{HEAD}{INK}<desc>&a;</desc></svg>'
    with pytest.raises(ArtworkError, match="external entity &a; "):
        read_svg(text.encode())


def test_an_arc_that_bulges_beyond_all_measure_is_refused_with_the_limit():
    with pytest.raises(ArtworkError, match=r"the limit is 1e\+06 mm"):
        read_svg(f'{HEAD}<path d="M10 10H60A1e300 9 0 0 1 60 60z"/></svg>'.encode())


def test_compressed_drawing_is_read_and_a_bomb_is_not_unpacked():
    assert read_svg(gzip.compress(f"{HEAD}{INK}</svg>".encode())).inked.area == pytest.approx(AREA)
    with pytest.raises(ArtworkError, match="ends too early"):
        read_svg(gzip.compress(f"{HEAD}{INK}</svg>".encode())[:-20])
    with pytest.raises(ArtworkError, match="largest_unpacked"):
        read_svg(gzip.compress(b"<svg>" + b" " * 100_000_000))


def test_use_that_multiplies_without_end_is_stopped():
    fan = "".join(f'<g id="u{k}">' + f'<use href="#u{k - 1}"/>' * 10 + "</g>" for k in range(1, 10))
    with pytest.raises(ArtworkError, match="most_drawn"):
        read_svg(f'{HEAD}<path id="u0" d="M1 1h5v5z"/>{fan}</svg>'.encode(), limits=Limits(most_drawn=2000))


def test_limit_can_be_raised_as_the_message_says():
    many = f'{HEAD}<path d="M0 0{"".join(f"L{k % 90} {k % 70}" for k in range(300))}z"/></svg>'.encode()
    with pytest.raises(ArtworkError, match=r"Limits\(most_points=\.\.\.\)"):
        read_svg(many, limits=Limits(most_points=100))
    assert not read_svg(many, limits=Limits(most_points=1000)).inked.is_empty


def test_outlines_that_cross_without_end_are_refused_before_they_fill_the_memory():
    tangle = "".join(f"L{(k * 7919) % 97}.{k % 10} {(k * 104729) % 89}.{k % 7}" for k in range(60000))
    with pytest.raises(ArtworkError, match="most_crossings"):
        read_svg(f'{HEAD}<path d="M0 0{tangle}z"/></svg>'.encode())


def test_missing_file_is_named(tmp_path):
    with pytest.raises(ArtworkError, match=r"nothing\.svg: cannot be read"):
        read_artwork(tmp_path / "nothing.svg")
    with pytest.raises(ArtworkError, match="cannot be read"):
        read_artwork(tmp_path)


def test_damaged_path_is_drawn_up_to_the_error_and_named():
    artwork = read_svg(f'{HEAD}<path id="torn" d="M10 10h50v50z X"/></svg>'.encode())
    assert artwork.inked.area == pytest.approx(AREA)
    (finding,) = artwork.findings
    assert finding.kind == "damaged path"
    assert 'id="torn"' in finding.message


def test_pictures_drawn_again_and_again_are_limited():
    picture = base64.b64encode(f"{HEAD}{INK * 50}</svg>".encode()).decode()
    fan = '<defs><image id="i" width="9" height="9" href="data:image/svg+xml;base64,' + picture + '"/></defs>'
    fan += '<use href="#i"/>' * 100
    with pytest.raises(ArtworkError, match="most_pictured"):
        read_svg(f"{HEAD}{fan}</svg>".encode(), limits=Limits(most_pictured=50_000))

"""Made codes read by an independent reader, and made type against its font's own tables and an independent renderer."""

from __future__ import annotations

import io

import numpy as np
import pytest
import resvg_py
import zxingcpp
from fontTools.ttLib import TTFont
from PIL import Image
from shapely import affinity
from shapely.geometry import MultiPolygon
from stampwright.artwork.artwork import Artwork
from stampwright.artwork.fonts import cap_height, find_font, outline_text
from stampwright.artwork.fonts.case import BUNDLED_FOLDER
from stampwright.artwork.made import make_artwork
from stampwright.files import read_mesh
from stampwright.job import Job
from stampwright.job.pieces import Barcode, Piece, QrCode
from stampwright.preflight import MOST_SPREAD, check_codes
from stampwright.press import impress
from stampwright.workshop import make_files

from ..core.stages import limits_of

CODES = {
    "qr": QrCode(text="Mossgate Seed Library, lending no. 42"),
    "code 128": Barcode(text="MOSS-0042", readable=False),
    "ean 13": Barcode(text="401234567890", symbology="ean 13", readable=False),
}
SAID = {"qr": "Mossgate Seed Library, lending no. 42", "code 128": "MOSS-0042", "ean 13": "4012345678901"}


def rendered(region: MultiPolygon, size: tuple[float, float], scale: float) -> Image.Image:
    rings = [ring for part in region.geoms for ring in (part.exterior, *part.interiors)]
    outline = "".join("M" + "L".join(f"{x:.5f} {size[1] - y:.5f}" for x, y in ring.coords) + "Z" for ring in rings)
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{round(size[0] * scale)}" height="{round(size[1] * scale)}" '
        f'viewBox="0 0 {size[0]} {size[1]}" preserveAspectRatio="none"><rect width="100%" height="100%" fill="#fff"/>'
        f'<path fill-rule="evenodd" d="{outline}"/></svg>'
    )
    return Image.open(io.BytesIO(bytes(resvg_py.svg_to_bytes(svg_string=svg)))).convert("L")


def read(artwork: Artwork, spread: float = 0.0) -> list[str]:
    printed = artwork.inked.buffer(spread) if spread else artwork.inked
    return [code.text for code in zxingcpp.read_barcodes(rendered(printed, artwork.page_size, 10.0))]


def with_module(piece: Piece, module: float) -> Piece:
    return type(piece)(**{**vars(piece), "module": module})


@pytest.mark.parametrize("symbology", CODES)
def test_codes_read_as_they_were_meant(symbology):
    assert read(make_artwork([CODES[symbology]])) == [SAID[symbology]]


@pytest.mark.parametrize("correction", "LMQH")
def test_qr_symbols_of_every_correction_read(correction):
    assert read(make_artwork([QrCode(text="https://mossgate.example/42", correction=correction, turn=30.0)]))


@pytest.mark.parametrize("symbology", CODES)
def test_codes_read_with_as_much_spread_as_is_allowed(symbology):
    """The smallest module that the check lets pass without a word, printed with all the spread of the job."""
    job = Job().with_value("ink.spread", 0.2)
    least = 0.2 / MOST_SPREAD[symbology]
    artwork = make_artwork([with_module(CODES[symbology], least)])
    assert "blocks" not in [finding.severity for finding in check_codes(artwork.codes, limits_of(job))]
    assert read(artwork, spread=0.2) == [SAID[symbology]]
    smaller = [code.moved((0.95, 0.0, 0.0, 0.95, 0.0, 0.0)) for code in artwork.codes]
    assert "blocks" in [finding.severity for finding in check_codes(smaller, limits_of(job))]


@pytest.mark.parametrize(
    ("piece", "size"),
    [
        (QrCode(text="MOSSGATE 42", module=0.4), (20.0, 20.0)),
        (Barcode(text="M-42", module=0.4, readable=False), (50.0, 20.0)),
        (Barcode(text="401234567890", symbology="ean 13", module=0.67, readable=False), (90.0, 20.0)),
    ],
    ids=["qr", "code 128", "ean 13"],
)
def test_smallest_allowed_codes_read_from_the_written_stamp(piece, size, tmp_path):
    """Modules as fine as the nozzle of 0.4 mm or the spread of 0.1 mm allow, pressed from the STL on disk."""
    job = Job(pieces=(piece,)).with_values(
        {
            **{"layout.size_by": "page", "layout.centre": "bounds", "layout.margin": 0.5, "ink.spread": 0.1},
            **{"base.outline": "rectangle", "base.width": size[0], "base.height": size[1], "handle.form": "none"},
        }
    )
    stamp, written = make_files(job, make_artwork(job.pieces), tmp_path)
    assert written is not None, stamp.blocked
    printed = impress(read_mesh(tmp_path / "die.stl"), spread=job.ink.spread, depth=job.die.dressing)
    assert [code.text for code in zxingcpp.read_barcodes(printed.picture)] == _said(piece)


def _said(piece: QrCode | Barcode) -> list[str]:
    return [SAID["ean 13"]] if piece.kind == "barcode" and piece.symbology == "ean 13" else [piece.text]


@pytest.mark.parametrize("weight", [400, 700])
def test_capitals_and_stems_have_the_font_tables_measures(weight):
    """OS/2 sCapHeight of Noto Sans; the stem of its I as drawn in the glyf table."""
    font, _ = find_font("Noto Sans", weight, folders=())
    table = TTFont(BUNDLED_FOLDER / font.path.name)
    assert cap_height(font) == table["OS/2"].sCapHeight / table["head"].unitsPerEm
    glyph = table["glyf"][table.getBestCmap()[ord("l")]]
    left, _, right, _ = outline_text("l", font, 1000.0).bounds
    assert right - left == pytest.approx(glyph.xMax - glyph.xMin)


@pytest.mark.parametrize(
    "text", ["Mossgate Seed Library", "AVATAR To. WAVE fi flow", "Ärztin, š Ž ŁódŹ naïve", "ΑΒΓ Вдгж 0123"]
)
def test_lines_of_text_agree_with_an_independent_renderer(text):
    font, _ = find_font("Noto Sans", 700, folders=())
    size, width, height = 10.0, 150.0, 16.0
    ours = outline_text(text, font, size)
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width * 8}" height="{height * 8}" viewBox="0 0 {width} '
        f'{height}"><rect width="100%" height="100%" fill="#fff"/><text x="0" y="12" font-family="Noto Sans" '
        f'font-weight="700" font-size="{size}">{text}</text></svg>'
    )
    drawn = resvg_py.svg_to_bytes(svg_string=svg, skip_system_fonts=True, font_files=[str(font.path)])
    theirs = np.asarray(Image.open(io.BytesIO(bytes(drawn))).convert("L")) < 128
    mine = np.asarray(rendered(affinity.translate(ours, 0, height - 12), (width, height), 8.0)) < 128
    assert theirs.any()
    assert (mine & theirs).sum() / (mine | theirs).sum() > 0.99

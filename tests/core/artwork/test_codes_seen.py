"""QR symbols in artwork are seen, and one that reads only in a mirror is asked about, never decided silently."""

import io

import numpy as np
import pytest
import segno
import shapely
import zxingcpp
from PIL import Image
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, box
from stampwright.artwork import read_artwork
from stampwright.artwork.codes_seen import see_codes
from stampwright.artwork.made import make_artwork
from stampwright.job import Job
from stampwright.job.pieces import Mark, Ring
from stampwright.workshop import examine_artwork

TEXT = "MOSSGATE SEED LIBRARY 42"


def symbol(version=None, module=0.8, error="M"):
    """Return a QR symbol by an independent maker as ink, mm, its lower-left corner at the origin."""
    matrix = np.array([list(row) for row in segno.make(TEXT, error=error, version=version, micro=False).matrix])
    rows, columns = np.nonzero(matrix[::-1])
    squares = shapely.box(columns * module, rows * module, (columns + 1) * module, (rows + 1) * module)
    return MultiPolygon(shapely.get_parts(shapely.union_all(squares)).tolist())


def mirrored(inked):
    return affinity.scale(inked, -1, 1, origin=(0, 0))


@pytest.mark.parametrize("turn", [0, 17, 90, 200])
@pytest.mark.parametrize("version", [None, 7, 15])
def test_symbol_is_seen_at_its_size_however_it_is_turned(version, turn):
    codes, findings = see_codes(affinity.rotate(symbol(version), turn))
    assert [code.symbology for code in codes] == ["qr"]
    assert codes[0].module == pytest.approx(0.8)
    assert findings == ()


@pytest.mark.parametrize("turn", [0, 17, 90, 200])
@pytest.mark.parametrize("error", "LMQH")
def test_mirrored_symbol_is_asked_about(error, turn):
    codes, findings = see_codes(affinity.rotate(mirrored(symbol(error=error)), turn))
    assert len(codes) == 1
    assert [finding.kind for finding in findings] == ["already reversed"]
    assert findings[0].place.area > 0


@pytest.mark.parametrize("reverse", [False, True])
def test_scan_that_an_independent_reader_reads_is_told_from_its_mirror_image(tmp_path, reverse):
    inked = mirrored(symbol()) if reverse else symbol()
    picture = drawn(inked)
    path = tmp_path / "scan.png"
    picture.save(path, dpi=(300, 300))
    # The reader takes a symbol either way round and does not say which.
    assert [read.text for read in zxingcpp.read_barcodes(picture)] == [TEXT]
    told = [finding.kind for finding in read_artwork(path).findings]
    assert told == (["already reversed"] if reverse else [])


def test_symbols_drawn_in_a_file_are_checked_like_made_ones(tmp_path):
    path = tmp_path / "label.svg"
    segno.make(TEXT, micro=False).save(path, kind="svg", scale=2, unit="mm")
    artwork = read_artwork(path)
    assert [(code.symbology, round(code.module, 3)) for code in artwork.codes] == [("qr", 2.0)]
    assert artwork.findings == ()


@pytest.mark.parametrize("form", ["svg", "png"])
def test_symbols_seen_in_a_file_take_no_texture(tmp_path, form):
    """As a made one: all of its ink, and none of what is drawn beside it."""
    path = tmp_path / f"label.{form}"
    if form == "svg":
        modules = segno.make(TEXT, micro=False)
        modules.save(path, kind="svg", scale=2, unit="mm", svgclass=None)
        text = path.read_text().replace("</svg>", '<path d="M0 0h1v29h-1z"/></svg>')
        path.write_text(text)
    else:
        drawn(symbol()).save(path, dpi=(300, 300))
    artwork = read_artwork(path)
    (code,) = artwork.codes
    own = artwork.inked.intersection(code.place.buffer(-3 * code.module, join_style="mitre"))
    assert own.area > 100
    assert artwork.plain.symmetric_difference(own).area < 1e-6 * own.area


def test_symbols_in_a_mark_are_kept_with_their_size(tmp_path):
    segno.make(TEXT, micro=False).save(tmp_path / "label.svg", kind="svg", scale=2, unit="mm", border=4)
    side = segno.make(TEXT, micro=False).symbol_size(border=0)[0]
    mark = Mark(file=str(tmp_path / "label.svg"), width=side * 0.3, turn=30.0)
    artwork = make_artwork([mark, Ring(diameter=60.0)])
    (code,) = artwork.codes
    assert code.module == pytest.approx(0.3, rel=0.01)
    ring = max(artwork.inked.geoms, key=lambda part: part.bounds[2] - part.bounds[0])
    assert artwork.plain.area == pytest.approx(artwork.inked.area - ring.area, rel=1e-6)


def test_too_fine_symbol_in_a_mark_is_found(tmp_path):
    segno.make(TEXT, micro=False).save(tmp_path / "label.svg", kind="svg", scale=2, unit="mm")
    job = Job().with_value("layout.size_by", "page")
    made = make_artwork([Mark(file=str(tmp_path / "label.svg"), width=8.0)])
    assert "code too fine" in {finding.kind for finding in examine_artwork(job, made)}


def test_rings_and_squares_that_are_no_code_stay_unseen():
    finder = box(0, 0, 7, 7).difference(box(1, 1, 6, 6)).union(box(2, 2, 5, 5))
    targets = [affinity.translate(finder, *spot) for spot in ((0, 0), (30, 0), (0, 30), (30, 30))]
    assert see_codes(MultiPolygon(shapely.get_parts(shapely.union_all(targets)).tolist())) == ((), ())
    assert see_codes(MultiPolygon([Point(0, 0).buffer(5)])) == ((), ())
    assert see_codes(MultiPolygon()) == ((), ())


def drawn(inked, scale=300 / 25.4):
    left, bottom, right, top = inked.buffer(5).bounds
    rows, columns = int((top - bottom) * scale), int((right - left) * scale)
    y, x = np.mgrid[0:rows, 0:columns] + 0.5
    shapely.prepare(inked)
    dark = shapely.contains_xy(inked, left + x / scale, top - y / scale)
    stream = io.BytesIO()
    Image.fromarray(np.where(dark, 0, 255).astype(np.uint8)).save(stream, "PNG")
    return Image.open(stream)


def test_pattern_of_many_finder_squares_is_no_symbol_but_one_beside_it_is_seen():
    ring = box(0, 0, 7, 7).difference(box(1, 1, 6, 6)).union(box(2, 2, 5, 5))
    squares = [affinity.translate(ring, 10 * x, 10 * y) for x in range(6) for y in range(6)]
    alone = MultiPolygon([part for square in squares for part in square.geoms])
    assert see_codes(alone) == ((), ())
    codes, _ = see_codes(MultiPolygon([*alone.geoms, *affinity.translate(symbol(), 100, 0).geoms]))
    assert [code.module for code in codes] == [pytest.approx(0.8)]


def test_mirrored_art_is_led_to_the_setting_that_mirrors_it_back(tmp_path):
    drawn(mirrored(symbol())).save(tmp_path / "scan.png", dpi=(300, 300))
    (tmp_path / "words.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="20mm">'
        '<g transform="translate(180 0) scale(-1 1)">'
        '<text x="9" y="40" font-size="30">SEEDS</text></g></svg>'
    )
    for name in ("scan.png", "words.svg"):
        (told,) = [finding for finding in read_artwork(tmp_path / name).findings if finding.kind == "already reversed"]
        assert "layout.mirror = true" in told.remedy

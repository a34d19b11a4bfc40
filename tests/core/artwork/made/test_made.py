"""Made artwork: what each piece measures, how pieces come together, and what is refused."""

from __future__ import annotations

import json
import math

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import Point, box
from stampwright.artwork.made import composing, make_artwork, name_of_pieces, read_pieces
from stampwright.artwork.made.codes import encode_bars
from stampwright.errors import ArtworkError
from stampwright.job.pieces import (
    Barcode,
    DateLine,
    Frame,
    Lettering,
    Mark,
    NumberLine,
    QrCode,
    Ring,
    RoundLettering,
    Rule,
)


def kinds(artwork) -> list[str]:
    return [finding.kind for finding in artwork.findings]


def on_page(*pieces, size=100.0, **options):
    """Return the ink of pieces with (0, 0) back in the middle."""
    artwork = make_artwork(pieces, page_size=(size, size), **options)
    return affinity.translate(artwork.inked, -size / 2, -size / 2)


def test_lettering_has_its_cap_height_and_stands_centred():
    inked = on_page(Lettering(text="HEH", cap_height=5.0))
    left, bottom, right, top = inked.bounds
    assert (bottom, top) == pytest.approx((-2.5, 2.5), abs=1e-9)
    assert left == pytest.approx(-right, abs=1e-9)


@pytest.mark.parametrize(("align", "edge"), [("left", 0), ("right", 2)])
def test_lines_of_a_block_line_up(align, edge):
    inked = on_page(Lettering(text="HHH\nHH\nHHHHH", align=align))
    rows = [part.bounds for part in inked.geoms]
    assert inked.bounds[edge] == pytest.approx(0, abs=1e-9)
    assert sum(abs(row[edge]) < 1e-9 for row in rows) == 3


def test_leading_is_the_distance_of_baselines():
    inked = on_page(Lettering(text="H\nH", cap_height=2.0, leading=2.5))
    assert inked.bounds[3] - inked.bounds[1] == pytest.approx(2.0 + 5.0)


def test_block_breaks_between_words_at_its_width():
    inked = on_page(Lettering(text="seeds lent and seeds returned", width=25.0))
    assert inked.bounds[2] - inked.bounds[0] <= 25.0
    assert inked.bounds[3] - inked.bounds[1] > 5.0


@pytest.mark.parametrize("side", ["outside", "inside"])
def test_round_lettering_stands_on_its_circle(side):
    inked = on_page(RoundLettering(text="HHHHH", radius=20.0, cap_height=3.0, side=side))
    far = shapely.distance(shapely.points(shapely.get_coordinates(inked)), Point(0, 0))
    low, high = (20.0, 23.0) if side == "outside" else (17.0, 20.0)
    # Letters are straight: a foot's corners lie a little off the circle, by half its width squared over the diameter.
    assert far.min() == pytest.approx(low, abs=0.1)
    assert far.max() == pytest.approx(high, abs=0.1)


@pytest.mark.parametrize(("side", "turn", "order"), [("outside", 0.0, 1), ("inside", 180.0, 1), ("inside", 0.0, -1)])
def test_round_lettering_reads_in_order(side, turn, order):
    """The L is broader at its foot: at the top outside, and at the bottom inside, text reads from left to right."""
    inked = on_page(RoundLettering(text="I.", radius=20.0, side=side, turn=turn))
    tall, dot = sorted(inked.geoms, key=lambda part: -part.area)
    assert np.sign(dot.centroid.x - tall.centroid.x) == order


def test_span_spaces_text_out_over_its_angle():
    inked = on_page(RoundLettering(text="IIIIIIIII", radius=20.0, span=180.0, cap_height=3.0))
    centres = [part.centroid for part in inked.geoms]
    angles = sorted(math.degrees(math.atan2(centre.y, centre.x)) for centre in centres)
    assert angles[-1] - angles[0] == pytest.approx(180, abs=6)
    assert np.diff(angles) == pytest.approx(np.diff(angles).mean(), abs=1e-6)


@pytest.mark.parametrize("text", ["office official affix", "fi", "ffi ffl", "caf\u00e9 o\u0304ffice"])
@pytest.mark.parametrize("span", [90.0, 180.0])
def test_span_holds_where_letters_could_join(text, span):
    """Half of the span on either side of the top, from the first letter's outer edge to the last one's."""
    inked = on_page(RoundLettering(text=text, radius=20.0, span=span))
    corners = shapely.get_coordinates(inked)
    angles = np.degrees(np.arctan2(corners[:, 1], corners[:, 0]))
    # Letters are straight, and have bearings beside their ink: they reach a little over or stay a little short.
    assert angles.min() == pytest.approx(90 - span / 2, abs=3)
    assert angles.max() == pytest.approx(90 + span / 2, abs=3)


def test_letters_spaced_over_a_span_stand_upright_on_their_own_radius():
    """An I is symmetric: its middle line must go through the middle of the circle."""
    inked = on_page(RoundLettering(text="III", radius=20.0, span=120.0))
    for part in inked.geoms:
        middle = np.array(part.centroid.coords[0])
        box_round = shapely.get_coordinates(part.minimum_rotated_rectangle)[:4]
        sides = np.diff(box_round, axis=0)
        along = sides[np.argmax(np.linalg.norm(sides, axis=1))]
        lean = np.cross(np.append(along, 0), np.append(middle, 0))[2]
        assert abs(lean) / np.linalg.norm(along) / np.linalg.norm(middle) < 1e-3


def test_accents_set_apart_take_no_spacing():
    """CSS Text Level 3, section 8.2: spacing stands between letters, and an accent is part of its own."""
    spaced = [on_page(Lettering(text=text, spacing=3.0)).bounds for text in ("pp", "p\u0302p\u0302")]
    assert spaced[1][2] - spaced[1][0] == pytest.approx(spaced[0][2] - spaced[0][0], abs=0.2)


def test_letters_that_run_into_each_other_or_round_are_said():
    assert "lettering too long" in kinds(make_artwork([RoundLettering(text="MOSSGATE" * 9, radius=10.0)]))
    assert "letters overlap" in kinds(make_artwork([Lettering(text="MOSSGATE", spacing=-1.5)]))
    assert "letters overlap" in kinds(make_artwork([RoundLettering(text="MOSSGATE", radius=5.0, side="inside")]))


def test_missing_fonts_are_said_once():
    pieces = [Lettering(text="a", font="Quillfeather", y=y) for y in (0.0, 9.0)]
    assert kinds(make_artwork(pieces)) == ["font substituted"]


def test_rings_have_the_area_of_their_lines():
    inked = on_page(Ring(diameter=40.0, line=2.0, count=2, gap=1.0, inner_line=0.5))
    expected = math.pi * (20**2 - 18**2 + 17**2 - 16.5**2)
    assert inked.area == pytest.approx(expected, rel=1e-6)
    assert on_page(Ring(diameter=10.0, line=5.0)).area == pytest.approx(math.pi * 25, rel=1e-6)


def test_ring_of_dots_has_them_apart():
    inked = on_page(Ring(diameter=40.0, line=1.0, dots=60))
    assert len(inked.geoms) == 60
    assert inked.area == pytest.approx(60 * math.pi / 4, rel=1e-3)
    with pytest.raises(ArtworkError, match="at most 122 fit"):
        make_artwork([Ring(diameter=40.0, line=1.0, dots=200)])


@pytest.mark.parametrize(
    ("form", "parts"), [("plain", 1), ("double", 2), ("dashed", 6), ("dotted", 17), ("swelled", 1)]
)
def test_rules_have_their_length(form, parts):
    inked = on_page(Rule(length=30.0, line=1.0, form=form, gap=0.8))
    assert len(inked.geoms) == parts
    assert inked.bounds[2] - inked.bounds[0] == pytest.approx(30.0, abs=0.02)


@pytest.mark.parametrize(
    ("corner", "lost"),
    [("square", 0), ("round", 4 * 9 * (1 - math.pi / 4)), ("cut", 18), ("scooped", 9 * math.pi), ("stepped", 36)],
)
def test_frames_keep_their_corners_and_line_width(corner, lost):
    inked = on_page(Frame(width=40.0, height=20.0, line=0.8, corner=corner, corner_size=3.0))
    (part,) = inked.geoms
    assert shapely.Polygon(part.exterior).area == pytest.approx(800 - lost, rel=1e-4)
    (inside,) = part.interiors
    across = shapely.distance(shapely.points(inside.coords), part.exterior)
    assert across.min() == pytest.approx(0.8, abs=0.01)
    # At a right angle the line's inner corner lies on the diagonal.
    assert across.max() < 0.8 * math.sqrt(2) + 0.01


def test_second_line_lies_inside_the_first():
    inked = on_page(
        Frame(width=40.0, height=20.0, line=0.8, inner_line=0.4, gap=1.0, corner="scooped", corner_size=3.0)
    )
    assert len(inked.geoms) == 2
    assert inked.geoms[0].distance(inked.geoms[1]) == pytest.approx(1.0, abs=0.01)


def test_dates_and_numbers_are_set_or_left_to_write():
    blanks = make_artwork([DateLine(label="Due")])
    said = make_artwork([DateLine(label="Due", date="2026-11-25")])
    assert said.inked.area > blanks.inked.area
    assert len(make_artwork([NumberLine(label="", digits=6)]).inked.geoms) == 1
    padded = make_artwork([NumberLine(label="", number=7, digits=3)]).inked
    assert padded.symmetric_difference(make_artwork([Lettering(text="007")]).inked).area < 1e-6


def test_knocking_out_leaves_the_rest_whole():
    solid = Frame(width=30.0, height=10.0, filled=True)
    letters = Lettering(text="SEEDS", cap_height=5.0)
    knocked = on_page(solid, Lettering(text="SEEDS", cap_height=5.0, knock_out=True))
    assert knocked.area == pytest.approx(300 - on_page(letters).area)
    assert on_page(solid, letters).area == pytest.approx(300)


def test_place_and_turn_are_obeyed():
    inked = on_page(Rule(length=10.0, line=1.0, x=20.0, y=5.0, turn=90.0))
    assert inked.bounds == pytest.approx((19.5, 0.0, 20.5, 10.0))


def test_page_holds_ink_and_quiet_zone():
    artwork = make_artwork([QrCode(text="MOSSGATE", module=1.0)])
    assert artwork.page_size == pytest.approx((29, 29))
    assert artwork.inked.bounds == pytest.approx((4, 4, 25, 25))
    assert kinds(artwork) == []


def test_ink_in_a_quiet_zone_is_said_with_its_place():
    artwork = make_artwork([QrCode(text="MOSSGATE", module=1.0), Rule(length=5.0, line=1.0, x=12.0, turn=90.0)])
    (finding,) = artwork.findings
    assert finding.kind == "quiet zone not clear"
    assert finding.place.area == pytest.approx(5.0)
    assert artwork.inked.covers(finding.place)


def test_pieces_over_each_other_are_said_by_number_and_place():
    artwork = make_artwork(
        [
            Ring(diameter=40.0, line=1.0),
            Lettering(text="HHH", cap_height=5.0, x=20.0),
            Rule(length=4.0, line=1.0, y=-19.5, turn=90.0),
            Lettering(text="SEEDS", cap_height=5.0, y=-1.0),
        ]
    )
    over, crossing = artwork.findings
    assert (over.kind, over.severity) == ("pieces overlap", "warns")
    assert over.message.startswith("Piece 1 (ring) and piece 2 (lettering 'HHH') print over each other")
    assert over.measured == pytest.approx(over.place.area)
    assert artwork.inked.buffer(1e-6).covers(over.place)
    # Lines across lines are how frames and tables are drawn.
    assert (crossing.kind, crossing.severity) == ("pieces overlap", "notes")
    assert "piece 3 (rule)" in crossing.message


def test_what_is_knocked_out_or_only_touches_does_not_overlap():
    solid = Frame(width=30.0, height=10.0, filled=True)
    beside = Frame(width=10.0, height=10.0, x=20.0, filled=True)
    assert kinds(make_artwork([solid, beside, Lettering(text="SEEDS", knock_out=True)])) == []


def test_a_quiet_zone_names_who_disturbs_it():
    pieces = [QrCode(text="MOSSGATE"), Lettering(text="Seeds", x=13.0, turn=90.0), Ring(diameter=60.0)]
    (finding,) = make_artwork(pieces).findings
    assert finding.message.startswith("Piece 2 (lettering 'Seeds') disturbs")


def test_a_pieces_file_is_called_what_it_calls_itself(tmp_path):
    file = tmp_path / "card.toml"
    file.write_text('name = "Lending card"\n[[pieces]]\nkind = "ring"\n')
    assert read_pieces(file).name == name_of_pieces(file) == "Lending card"
    file.write_text('[[pieces]]\nkind = "ring"\n')
    assert (read_pieces(file).name, name_of_pieces(file)) == ("card", "")


def test_knocked_out_codes_are_said():
    pieces = [Frame(width=30.0, height=30.0, filled=True), QrCode(text="MOSSGATE", module=1.0, knock_out=True)]
    assert kinds(make_artwork(pieces)) == ["code light on dark"]


def test_curves_are_finer_when_artwork_is_to_be_enlarged():
    ring = [Ring(diameter=10.0)]
    assert make_artwork(ring, fitted_to=100.0).tolerance == pytest.approx(0.0005, rel=0.01)
    assert make_artwork(ring, fitted_to=5.0).tolerance == 0.005


def test_check_digits_are_made_and_checked():
    """4012345678901: the worked example of the check digit, weights 1 and 3 (GS1 General Specifications)."""
    assert encode_bars("401234567890", "ean 13") == encode_bars("4012345678901", "ean 13")
    with pytest.raises(ArtworkError, match="would be 4012345678901"):
        encode_bars("4012345678905", "ean 13")


@pytest.mark.parametrize(
    "piece",
    [
        Lettering(),
        Lettering(text="  \n"),
        Lettering(text="a", font_file="none.ttf"),
        RoundLettering(),
        Ring(diameter=5.0, line=1.0, count=4),
        Frame(corner="round", corner_size=40.0),
        Frame(width=2.0, height=2.0, line=2.0),
        DateLine(date="2026-02-30"),
        DateLine(date="tomorrow"),
        QrCode(),
        QrCode(text="x" * 490, correction="H", version=3),
        Barcode(),
        Barcode(text="é"),
        Barcode(text="12", symbology="ean 13"),
        Barcode(text="x" * 300),
        Mark(),
        Mark(file="none.svg"),
        Mark(file="other.toml"),
        Lettering(text="\N{CJK UNIFIED IDEOGRAPH-6F22}"),
        Ring(knock_out=True),
    ],
    ids=lambda piece: piece.kind,
)
def test_pieces_that_cannot_be_made_are_refused_in_one_line(piece, tmp_path):
    with pytest.raises(ArtworkError) as refused:
        make_artwork([piece], folder=tmp_path)
    assert "\n" not in str(refused.value)


def test_endless_pieces_are_refused(monkeypatch):
    monkeypatch.setattr(composing, "MOST_PIECE_POINTS", 1000)
    with pytest.raises(ArtworkError, match="MOST_PIECE_POINTS"):
        make_artwork([Ring(diameter=40.0, dots=50)] * 400)


def test_pieces_files_are_read(tmp_path):
    (tmp_path / "mark.toml").write_text(
        'format = 1\nwidth = 50\nheight = 40\n[[pieces]]\nkind = "ring"\ndiameter = 30\n'
    )
    artwork = read_pieces(tmp_path / "mark.toml")
    assert artwork.page_size == (50, 40)
    assert artwork.name == "mark"
    assert artwork.inked.bounds == pytest.approx((10, 5, 40, 35), abs=0.01)
    (tmp_path / "mark.json").write_text(json.dumps({"name": "M", "pieces": [{"kind": "ring"}]}))
    assert read_pieces(tmp_path / "mark.json").name == "M"


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\xff\xfe\x00",
        b"pieces = 3",
        b"[[pieces]]\nkind='ring'\n[other]",
        b"format = 99\npieces = []",
        b"pieces = []",
        b"width = 5\n[[pieces]]\nkind='ring'",
        b"width = 'a'\nheight = nan\n[[pieces]]\nkind='ring'",
        b"name = 3\n[[pieces]]\nkind='ring'",
        b"[[pieces]]\nkind='ring'\nline='x'",
        b"a = " + b"[" * 100_000,
    ],
)
def test_other_files_are_refused_in_one_line(tmp_path, content):
    path = tmp_path / "bad.toml"
    path.write_bytes(content)
    with pytest.raises(ArtworkError, match=r"bad\.toml"):
        read_pieces(path)
    with pytest.raises(ArtworkError, match="cannot be read"):
        read_pieces(tmp_path / "none.toml")


def test_box_of_a_mark_takes_its_place(tmp_path):
    (tmp_path / "m.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M1 1h4v2H1z"/></svg>'
    )
    inked = on_page(Mark(file="m.svg", width=20.0, x=5.0), folder=tmp_path)
    assert inked.symmetric_difference(box(-5, -5, 15, 5)).area == pytest.approx(0, abs=1e-6)


def test_plain_pieces_and_codes_take_no_texture():
    pieces = (
        Ring(diameter=40.0, line=4.0),
        Ring(diameter=20.0, line=4.0, plain=True),
        Rule(length=8.0, line=2.0, knock_out=True, x=9.0, plain=True),
        QrCode(text="MOSSGATE", x=40.0),
    )
    artwork = make_artwork(pieces)
    assert artwork.plain.difference(artwork.inked).area < 1e-9
    ring = math.pi * (10**2 - 6**2)
    code = next(code.place for code in artwork.codes)
    assert artwork.plain.difference(code).area == pytest.approx(ring - 2 * 4, rel=0.02)
    assert artwork.plain.intersection(code).area == pytest.approx(artwork.inked.intersection(code).area)


def test_a_frame_needs_no_room_for_a_gap_after_its_last_line():
    # 6 mm less two lines of 1 mm leave 4 mm open; a gap of 3 mm on both sides would not.
    (part,) = on_page(Frame(width=20.0, height=6.0, line=1.0, gap=3.0)).geoms
    assert part.area == pytest.approx(20 * 6 - 18 * 4)
    double = on_page(Frame(width=20.0, height=8.0, line=1.0, inner_line=0.5, gap=2.0))
    assert [part.area for part in double.geoms] == pytest.approx([20 * 8 - 18 * 6, 14 * 2 - 13 * 1], rel=1e-6)
    with pytest.raises(ArtworkError, match="nothing open inside"):
        make_artwork([Frame(width=20.0, height=8.0, line=1.0, inner_line=1.1, gap=2.0)])
    with pytest.raises(ArtworkError, match="nothing open inside"):
        make_artwork([Frame(width=20.0, height=6.0, line=1.0, inner_line=0.5, gap=2.5)])

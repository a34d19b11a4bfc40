"""What of the changes a reader loses: letters by name, texture with a warning."""

import shapely
from shapely.geometry import MultiPolygon, Point, box
from stampwright.artwork.letters import Letter
from stampwright.artwork.made import make_artwork
from stampwright.artwork.svg import read_svg
from stampwright.findings import Finding
from stampwright.job.pieces import Lettering, RoundLettering
from stampwright.likeness import (
    COUNTER_LOST,
    GAP_CLOSED,
    PART_LOST,
    RUN_TOGETHER,
    GivenArt,
    judge_likeness,
    liken,
)
from stampwright.plane.regions import filled_parts
from stampwright.press import spread_ink

SPECK = 0.8


def region(*shapes: shapely.Geometry) -> MultiPolygon:
    return filled_parts(shapely.union_all(shapes))


def judged(given: MultiPolygon, letters=(), *, spread: float = 0.1, **figures) -> tuple[Finding, ...]:
    likeness = liken(spread_ink(given, spread), given, spread=spread)
    return judge_likeness(likeness.changes, letters, speck=SPECK, **figures)


def told(findings: tuple[Finding, ...]) -> set[tuple[str, str]]:
    return {(finding.severity, finding.kind) for finding in findings}


def set_small(spread: float) -> tuple[Finding, ...]:
    """Mossgate in capitals' height of 1.6 mm, as the ink leaves it."""
    artwork = make_artwork([Lettering(text="Mossgate", cap_height=1.6)])
    return judged(artwork.inked, artwork.letters, spread=spread)


def test_letters_that_lose_their_counters_are_named_with_their_word():
    blocks = [finding for finding in set_small(0.16) if finding.kind == COUNTER_LOST]
    assert {finding.severity for finding in blocks} == {"blocks"}
    (said,) = (finding.message for finding in blocks)
    assert said.startswith("The letters ")
    assert "'a'" in said
    assert "'e'" in said
    assert "of 'Mossgate' lost their counters" in said
    assert "'M'" not in said


def test_light_letters_on_dark_fill_and_have_no_counters_to_lose():
    artwork = make_artwork([Lettering(text="Mossgate", cap_height=1.2)])
    ground = filled_parts(shapely.box(*artwork.inked.bounds).buffer(3).difference(artwork.inked))
    said = [finding.message for finding in judged(ground, artwork.letters, inked=ground, spread=0.12)]
    assert any("fill with the ink round them" in each for each in said)
    assert not any("counter" in each or "run together" in each for each in said)
    dark = [finding.message for finding in judged(artwork.inked, artwork.letters, inked=artwork.inked, spread=0.16)]
    assert any("of 'Mossgate' lost their counters" in each for each in dark)


def test_letters_that_keep_all_a_reader_needs_are_not_told():
    assert told(set_small(0.05)) == set()


def test_letters_round_a_circle_and_turned_are_where_their_ink_is():
    pieces = [
        RoundLettering(text="seed library", radius=15, cap_height=3, side="inside", turn=40),
        Lettering(text="Open Tuesdays\nto borrow", cap_height=2, turn=33, align="left"),
    ]
    artwork = make_artwork(pieces)
    assert "".join(letter.character for letter in artwork.letters) == "seedlibraryOpenTuesdaystoborrow"
    everywhere = shapely.union_all([letter.place for letter in artwork.letters])
    assert artwork.inked.difference(everywhere.buffer(1e-6)).area < 1e-9
    for letter in artwork.letters:
        inside = artwork.inked.intersection(letter.place)
        assert inside.area > 0.1 * letter.place.area


def test_letters_in_a_drawing_are_where_their_ink_is():
    drawing = b"""<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
      <g transform="rotate(-20 30 20)">
      <text x="5" y="20" font-size="6">Moss<tspan font-weight="bold">gate</tspan></text></g>
      <text x="5" y="38" font-size="4" visibility="hidden">unseen</text></svg>"""
    artwork = read_svg(drawing)
    named = [(letter.character, letter.word) for letter in artwork.letters]
    assert named == [(each, "Mossgate") for each in "Mossgate"]
    everywhere = shapely.union_all([letter.place for letter in artwork.letters])
    assert artwork.inked.difference(everywhere.buffer(1e-6)).area < 1e-6
    placed = GivenArt.placed(artwork, (2.0, 0.0, 0.0, 2.0, 5.0, 7.0)).letters[0].place
    moved = shapely.affinity.affine_transform(artwork.letters[0].place, [2, 0, 0, 2, 5, 7])
    assert placed.equals_exact(moved, 1e-9)


def test_a_counter_of_an_unnamed_shape_blocks_and_a_pore_in_a_texture_warns():
    pore = Point(1, 1).buffer(0.13)
    letter_like = region(box(0, 0, 2, 2).difference(box(0.9, 0.5, 1.12, 1.5)))
    assert told(judged(letter_like)) == {("blocks", COUNTER_LOST)}
    field = region(box(0, 0, 30, 30).difference(pore))
    assert told(judged(field)) == {("warns", COUNTER_LOST)}


def test_a_field_of_pores_that_goes_solid_blocks():
    pores = [Point(x * 0.5, y * 0.5).buffer(0.13, quad_segs=4) for x in range(1, 20) for y in range(1, 20)]
    assert ("blocks", COUNTER_LOST) in told(judged(region(box(0, 0, 10, 10).difference(shapely.union_all(pores)))))


def test_parts_that_fuse_block_and_parts_that_touch_warn():
    assert told(judged(region(box(0, 0, 1, 6), box(1.15, 0, 2, 6)))) == {("blocks", RUN_TOGETHER)}
    discs = region(Point(0, 0).buffer(1), Point(2.18, 0).buffer(1))
    assert told(judged(discs)) == {("warns", RUN_TOGETHER)}


def test_a_lost_part_blocks_and_a_lost_speck_warns_unless_it_belongs_to_a_letter():
    block = box(0, 0, 5, 5)
    for size, severity in ((2.0, "blocks"), (0.5, "warns")):
        given = region(block, box(8, 0, 8 + size, size))
        changes = liken(region(block), given).changes
        assert told(judge_likeness(changes, speck=SPECK)) == {(severity, PART_LOST)}
    letter = Letter("i", "library", box(7.5, -2, 9, 1))
    (finding,) = judge_likeness(changes, [letter], speck=SPECK)
    assert (finding.severity, finding.message) == ("blocks", "The letter 'i' of 'library' lost a part of it or all")


def test_an_e_blocks_by_the_gaps_between_its_arms_and_a_drawing_warns():
    arms = [box(0, y, 1.6, y + 0.4) for y in (0, 0.55, 1.1)]
    given = region(box(0, 0, 0.4, 1.5), *arms)
    assert told(judged(given)) <= {("warns", GAP_CLOSED)}
    assert told(judged(given, [Letter("E", "SEED", box(*given.bounds))])) == {("blocks", GAP_CLOSED)}


def test_what_is_too_narrow_to_lay_is_told_by_examining_the_artwork_alone():
    hair = region(box(0, 0, 20, 5), box(0, 6, 20, 6.01))
    changes = liken(spread_ink(hair, 0.1), hair, spread=0.1, laid=0.4).changes
    assert [change.kind for change in changes] == [PART_LOST]
    assert judge_likeness(changes, speck=SPECK) == ()


def test_the_counter_of_a_line_too_narrow_to_lay_is_not_told_beside_it():
    """A hair line drawn as a ring is not laid: preflight says so, and that its counter stands open is no news."""
    hair = region(box(0, 0, 20, 5), Point(30, 0).buffer(3).difference(Point(30, 0).buffer(2.99)))
    changes = liken(spread_ink(hair, 0.1), hair, spread=0.1, laid=0.4).changes
    assert {change.kind for change in changes} >= {PART_LOST}
    assert all(not change.laid for change in changes)
    assert judge_likeness(changes, speck=SPECK) == ()


def test_accepted_kinds_warn():
    given = region(box(0, 0, 1, 6), box(1.15, 0, 2, 6))
    assert told(judged(given, accept=(RUN_TOGETHER,))) == {("warns", RUN_TOGETHER)}


def test_of_very_many_some_are_listed_and_the_rest_counted():
    bars = region(*[box(x * 1.15, 0, x * 1.15 + 1, 4) for x in range(60)])
    findings = judged(bars)
    assert len(findings) == 41
    assert findings[-1].severity == "notes"
    assert findings[-1].measured == len(liken(spread_ink(bars, 0.1), bars, spread=0.1).changes)

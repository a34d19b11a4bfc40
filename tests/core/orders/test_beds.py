"""Promises of beds: nothing over another, nothing over the margin, rush first, all that fits is laid."""

import itertools
import math
import random

import pytest
import shapely
from shapely import affinity
from stampwright.orders import finishing
from stampwright.orders.beds import nesting
from stampwright.orders.beds.laying import lay_parts
from stampwright.orders.beds.nesting import Nester, Nesting
from stampwright.orders.beds.parts import BedPart, PartPlace, Room, faults_of
from stampwright.orders.beds.rows import lay_in_rows
from stampwright.orders.beds.searching import STEP, BedSearch
from stampwright.orders.making.record import PartMade
from stampwright.orders.schedule.printers import Printer


def ring(shape):
    return tuple((round(x, 3), round(y, 3)) for x, y in shapely.get_coordinates(shapely.Polygon(shape).exterior)[:-1])


def disc(radius):
    return ring(shapely.Point(0, 0).buffer(radius, quad_segs=6).exterior)


def oblong(width, depth, corner=2.0):
    core = shapely.box(-width / 2 + corner, -depth / 2 + corner, width / 2 - corner, depth / 2 - corner)
    return ring(core.buffer(corner, quad_segs=2).exterior)


def three(radius):
    return ring([(radius * math.cos(turn), radius * math.sin(turn)) for turn in (0.5, 2.6, 4.7)])


FORMS = [disc(25), disc(19), oblong(52, 32), oblong(70, 22), disc(15), oblong(40, 30), three(28), oblong(30, 30, 5)]


def bed_part(name, outline, *, material="pla", height=10.0, rush=False, brim=0.0):
    made = PartMade("die", "die.stl", material, 10.0, 1.0, 1000.0, 20, 0.2, 0.4, height, brim, outline)
    return BedPart(name, 1, made, rush)


def mixed(count, seed):
    chance = random.Random(seed)
    return [bed_part(f"s{number}", chance.choice(FORMS)) for number in range(count)]


def stand_apart(laid, room, clearance):
    """Check the places by turning and moving each outline anew, and every pair of them."""
    outlines = [
        affinity.translate(
            affinity.rotate(shapely.Polygon(part.part.outline), place.turn, origin=(0, 0)), place.x, place.y
        )
        for part, place in laid
    ]
    free = shapely.box(room.margin, room.margin, room.width - room.margin, room.depth - room.margin).buffer(1e-6)
    assert all(free.covers(outline) for outline in outlines)
    assert all(one.distance(other) >= clearance - 1e-6 for one, other in itertools.combinations(outlines, 2))


def test_random_beds_are_exact(sweep):
    pytest.importorskip("spyrrow")
    found = 0
    for seed in sweep(range(1000), quick=6):
        chance = random.Random(seed)
        room = Room(chance.uniform(100, 160), chance.uniform(90, 160), chance.uniform(0, 6), chance.uniform(0.4, 5))
        parts = [bed_part(str(number), chance.choice(FORMS)) for number in range(chance.randrange(2, 7))]
        outlines = [part.part.outline for part in parts]
        nesting = Nester(room, reports=25).nest(outlines)
        found += nesting is not None
        if nesting is None:
            spots = lay_in_rows(outlines, room)
            kept = [(part, place) for part, (bed, place) in zip(parts, spots, strict=True) if bed == 0]
        else:
            kept = list(zip(parts, nesting.places, strict=True))
        stand_apart(kept, room, room.clearance)
        assert faults_of(kept, room) == []
    assert found > 0


def test_the_same_parts_come_to_the_same_places():
    pytest.importorskip("spyrrow")
    outlines = [part.part.outline for part in mixed(8, 1)]
    room = Room(180, 180, 5, 3)
    first = Nester(room).nest(outlines)
    assert first is not None
    assert Nester(room).nest(outlines) == first


@pytest.mark.sweep(1)
@pytest.mark.parametrize(("side", "count", "seed"), [(140, 12, 3), *((220, 60, seed) for seed in range(4))])
def test_nesting_lays_more_than_rows(side, count, seed):
    pytest.importorskip("spyrrow")
    parts = mixed(count, seed)
    printers = [Printer("one", side, side)]
    nested, rows = (lay_parts(parts, printers, nest=nest).beds for nest in (True, False))
    assert all(faults_of(bed.parts, bed.room) == [] for bed in (*nested, *rows))
    assert sum(len(bed.parts) for bed in nested) == sum(len(bed.parts) for bed in rows) == count
    # The last bed is as full as what is left over.
    dense, plain = (sum(bed.density for bed in beds[:-1]) / (len(beds) - 1) for beds in (nested, rows))
    assert dense >= 1.15 * plain


def test_a_nester_that_ends_itself_takes_nothing_with_it(monkeypatch):
    monkeypatch.setattr(nesting, "PROCESS", "stampwright.no_such_module")
    laid = lay_parts(mixed(12, 2), [Printer("one")], nest=True)
    assert sum(len(bed.parts) for bed in laid.beds) == 12
    assert not any(bed.nested for bed in laid.beds)


def test_beds_that_nesting_came_too_late_for_are_counted(monkeypatch):
    monkeypatch.setattr(nesting, "PROCESS", "stampwright.no_such_module")
    monkeypatch.setattr(nesting, "MOST_TRIES", 3)
    laid = lay_parts(mixed(60, 2), [Printer("one")], nest=True)
    assert 0 < laid.given_up < len(laid.beds)
    assert any(f"{laid.given_up} beds stand in rows" in line for line in finishing.told_of((), laid))
    assert sum(len(bed.parts) for bed in laid.beds) == 60


class Pretended:
    """A nester that has room for so much area, finds up to some of it easily, and remembers what it was asked."""

    spent = False

    def __init__(self, room, easily=0.0):
        self.room, self.easily, self.asked = room, easily, []

    def grown(self, outline):
        return shapely.Polygon(outline)

    def nest(self, outlines):
        covered = sum(self.grown(outline).area for outline in outlines)
        self.asked.append(covered)
        places = (PartPlace(0.0, 0.0, 0.0),) * len(outlines)
        return Nesting(places, covered <= self.easily) if covered <= self.room else None


ROOM = Room(220, 220, 5, 3)
AREA = 213.0**2


def test_a_bed_holds_the_first_parts_and_later_ones_that_fill_it_up():
    large, small = oblong(96, 96), oblong(100, 9)
    nester = Pretended(4 * shapely.Polygon(large).area + 2000)
    nested, places = BedSearch(ROOM, nester).next_bed([large] * 8 + [small] * 4)
    assert nested
    assert sorted(places)[:4] == [0, 1, 2, 3]
    assert set(places) - {0, 1, 2, 3} <= {8, 9, 10, 11}
    assert len(places) in (5, 6)


def covered_by(outlines, places):
    return sum(shapely.Polygon(outlines[number]).area for number in places)


@pytest.mark.parametrize("most", [0.7, 0.78, 0.84, 0.93])
def test_beds_come_to_what_they_hold_without_many_searches_in_vain(most):
    outlines = [part.part.outline for part in mixed(300, 5)]
    nester = Pretended(most * AREA, easily=most * AREA)
    search = BedSearch(ROOM, nester)
    shares = []
    for _ in range(6):
        nested, places = search.next_bed(outlines)
        assert nested
        assert 0 in places
        shares.append(covered_by(outlines, places) / AREA)
        outlines = [outline for number, outline in enumerate(outlines) if number not in places]
    assert min(shares[1:]) >= most - 2.5 * STEP
    assert sum(covered > most * AREA for covered in nester.asked) <= 12


def test_what_was_hard_to_find_is_left_at_that():
    outlines = [part.part.outline for part in mixed(300, 5)]
    nester = Pretended(AREA)
    BedSearch(ROOM, nester).next_bed(outlines)
    assert len(nester.asked) == 1


def test_a_bed_that_rows_fill_better_stands_in_rows():
    outlines = [oblong(66, 38)] * 60
    search = BedSearch(ROOM, Pretended(0.7 * AREA))
    nested, places = search.next_bed(outlines)
    assert (nested, len(places)) == (False, len(BedSearch(ROOM).next_bed(outlines)[1]))
    assert covered_by(outlines, places) > 0.7 * AREA


def test_none_in_a_rush_waits_so_that_later_ones_fill_its_bed_better():
    outlines = [part.part.outline for part in mixed(200, 7)]

    def first_left(kept):
        _, places = BedSearch(ROOM, Pretended(0.86 * AREA)).next_bed(outlines, kept)
        return next(number for number in range(200) if number not in places)

    fits = first_left(200)
    found = [first_left(kept) for kept in range(fits + 1)]
    assert all(min(kept, fits) <= left <= fits for kept, left in enumerate(found))
    assert found[0] < fits


@pytest.mark.parametrize(
    ("outline", "count"), [(disc(20), 1), (oblong(30, 30), 2), (oblong(40, 30), 4), (three(28), 8)]
)
def test_turns_that_change_nothing_are_not_tried(outline, count):
    assert len(nesting._turns_that_differ(outline, nesting.TURNS)) == count


@pytest.mark.parametrize("outline", [((0, 0), (1, 1), (2, 2)), ((0, 0), (10, 10), (10, 0), (0, 10)), ((0, 0),) * 4])
def test_what_the_solver_dislikes_is_no_end(outline):
    asked = {"height": 5.0, "width": 50.0, "reports": 5, "seeds": (1, 2)}
    found = nesting._answer({"shapes": [{"points": outline, "count": 3, "turns": [0.0]}], **asked})
    assert found is None or len(found[0]) == 3


def test_faults_are_seen():
    room = Room(100, 100, 5, 3)
    one, two = bed_part("one", disc(10)), bed_part("two", disc(10))
    assert faults_of([(one, PartPlace(0, 20, 20)), (two, PartPlace(0, 44, 20))], room) == []
    assert (
        "one die and two die are 2.000 mm apart"
        in faults_of([(one, PartPlace(0, 20, 20)), (two, PartPlace(0, 42, 20))], room)[0]
    )
    assert "over the margin" in faults_of([(one, PartPlace(0, 14, 20))], room)[0]
    assert "0.000 mm apart" in faults_of([(one, PartPlace(0, 30, 30)), (two, PartPlace(0, 32, 30))], room)[0]


def test_a_brim_needs_its_room():
    laid = lay_parts(
        [bed_part("a", disc(10), brim=4.0), bed_part("b", disc(10), brim=4.0)], [Printer("one")], nest=False
    )
    (bed,) = laid.beds
    (first, second) = [place for _, place in bed.parts]
    assert math.dist((first.x, first.y), (second.x, second.y)) >= 2 * 14 + 3 - 0.05


def test_rush_comes_on_the_first_beds():
    parts = [bed_part(f"s{number}", oblong(60, 60), rush=number >= 20) for number in range(26)]
    parts.sort(key=lambda part: not part.rush)
    laid = lay_parts(parts, [Printer("one")], nest=False)
    assert len(laid.beds) == 3
    assert [part.rush for part, _ in laid.beds[0].parts].count(True) == 6


def test_each_bed_has_one_material_and_stays_under_its_printers_height():
    parts = [
        bed_part("a", disc(20)),
        bed_part("b", disc(20), material="tpu-95a"),
        bed_part("tall", disc(20), height=120),
        bed_part("huge", disc(20), height=400),
        bed_part("wide", oblong(240, 40)),
        bed_part("none", disc(20), material="petg"),
    ]
    printers = [
        Printer("small", 120, 120, 100, materials=("pla", "tpu-95a")),
        Printer("large", 300, 300, 300, materials=("pla",)),
    ]
    laid = lay_parts(parts, printers, nest=False)
    on = {part.stamp: bed for bed in laid.beds for part, _ in bed.parts}
    assert (on["a"].room.width, on["b"].room.width, on["tall"].room.width, on["wide"].room.width) == (
        120,
        120,
        300,
        300,
    )
    assert on["b"].material == "tpu-95a"
    told = {part.stamp: why for part, why in laid.left_out}
    assert told == {
        "huge": "it is larger than any bed that takes its material",
        "none": "no printer takes its material",
    }


def test_what_fits_only_askew_has_a_bed_of_its_own():
    laid = lay_parts([bed_part("long", oblong(260, 20)), bed_part("a", disc(10))], [Printer("one")], nest=False)
    assert [len(bed.parts) for bed in laid.beds] == [1, 1]
    assert all(faults_of(bed.parts, bed.room) == [] for bed in laid.beds)

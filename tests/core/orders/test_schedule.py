"""Promises of schedules: the last bed is done within Graham's bound, each on a printer that can print it."""

import itertools
import random

import pytest
from stampwright.errors import OrderError
from stampwright.orders.schedule.assigning import assign, graham_bound
from stampwright.orders.schedule.printers import Printer, read_printers


@pytest.mark.parametrize("printers", [2, 3, 4, 7])
def test_the_worst_case_is_the_one_that_graham_gives(printers):
    # R. L. Graham, Bounds on Multiprocessing Timing Anomalies (1969): two each of 2m-1 down to m+1, and three of m.
    lengths = [length for length in range(2 * printers - 1, printers, -1) for _ in range(2)] + [printers] * 3
    schedule = assign([[float(length)] * printers for length in lengths])
    assert schedule.until == 4 * printers - 1
    # The best is 3m: the lengths sum up to it on every printer.
    assert sum(lengths) == 3 * printers * printers
    assert schedule.until / (3 * printers) == pytest.approx(schedule.bound) == pytest.approx(graham_bound(printers))


def test_no_schedule_takes_longer_than_the_bound(sweep):
    chance = random.Random(5)
    for _ in sweep(range(300), quick=40):
        printers, beds = chance.randrange(2, 4), chance.randrange(1, 7)
        lengths = [float(chance.randrange(1, 12)) for _ in range(beds)]
        best = min(
            max(
                sum(length for length, on in zip(lengths, given, strict=True) if on == each) for each in range(printers)
            )
            for given in itertools.product(range(printers), repeat=beds)
        )
        schedule = assign([[length] * printers for length in lengths])
        assert schedule.least - 1e-9 <= best <= schedule.until <= graham_bound(printers) * best + 1e-9


def test_each_bed_is_printed_once_where_it_can_be_and_no_printer_prints_two_at_a_time():
    chance = random.Random(2)
    minutes = [[chance.choice((None, 30.0, 50.0)) for _ in range(3)] + [60.0] for _ in range(40)]
    schedule = assign(minutes, [number % 7 == 0 for number in range(40)])
    assert sorted(run.bed for run in schedule.runs) == list(range(40))
    assert all(minutes[run.bed][run.printer] == pytest.approx(run.end - run.start) for run in schedule.runs)
    for printer in range(4):
        own = [run for run in schedule.runs if run.printer == printer]
        assert all(one.end <= other.start for one, other in itertools.pairwise(own))
    assert schedule.bound is None


def test_rush_comes_before_all_others():
    schedule = assign([[100.0], [10.0], [50.0]], [False, True, False])
    assert [run.bed for run in schedule.runs] == [1, 0, 2]


def test_nothing_to_print_is_done_at_once():
    assert assign([]).until == 0


def test_printers_come_from_a_file(tmp_path):
    path = tmp_path / "printers.toml"
    path.write_text('[[printers]]\nname = "Oak"\ncount = 2\nbed_width = 180\n[[printers]]\nmaterials = ["pla"]\n')
    found = read_printers(path)
    assert [printer.name for printer in found] == ["Oak 1", "Oak 2", "printer 2"]
    assert (found[0].bed_width, found[2].prints("pla"), found[2].prints("tpu-95a")) == (180, True, False)
    assert isinstance(found[0], Printer)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "[[printers]]"),
        ("printers = 3", "[[printers]]"),
        ("[[printers]]\nbed_width = 1", "50 to 2000"),
        ("[[printers]]\nbed_width = nan", "50 to 2000"),
        ("[[printers]]\nwidth = 200", "has no 'width'"),
        ('[[printers]]\nmaterials = ["cheese"]', "out of"),
        ('[[printers]]\nmaterials = "pla"', "out of"),
        ("[[printers]]\ncount = 0", "count"),
        ("[[printers]]\nname = 3", "name"),
        ("[[printers]]\nmargin = 100\nbed_width = 150", "leaves nothing"),
        ('[[printers]]\nname = "a"\n[[printers]]\nname = "A"', "two printers"),
        ("[[", "not valid TOML"),
    ],
)
def test_printers_that_are_none_are_refused(tmp_path, text, told):
    (tmp_path / "p.toml").write_text(text)
    with pytest.raises(OrderError, match=told.replace("[", "\\[")):
        read_printers(tmp_path / "p.toml")
    with pytest.raises(OrderError, match="cannot be read"):
        read_printers(tmp_path / "none.toml")

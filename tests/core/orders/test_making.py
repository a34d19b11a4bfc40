"""Promises of making: each stamp once, none twice, none lost, however a run ends; poison stops itself alone."""

import contextlib
import os
import random
import subprocess
import threading
import time
from dataclasses import replace

import pytest
from stampwright.errors import OrderError, OutputError
from stampwright.files.whole import digest_at
from stampwright.orders.making.lock import locked
from stampwright.orders.making.record import Record, record_bytes, record_from
from stampwright.orders.making.run import LocalHands, RunSetup, make_orders
from stampwright.orders.making.stores import commit_record, open_store, record_at
from stampwright.orders.making.workers import WorkerLimits

from .conftest import tree

ONE = RunSetup(workers=1)


class Pretended:
    """Hands that write a file and a record, so that what is tried is the run itself."""

    def __init__(self, store):
        self.store, self.made = store, []

    def make(self, tasks):
        for task in tasks:
            self.made.append(task.order.words)
            with self.store.staged(task.order.name) as folder:
                (folder / "die.stl").write_text(task.order.words)
                record = Record("made", task.fingerprint, files={"die.stl": digest_at(folder / "die.stl")})
                (folder / "made.json").write_bytes(record_bytes(record))
                self.store.commit(folder, task.order.name)
            yield task, record


@pytest.fixture
def pretended(tmp_path):
    store = open_store(str(tmp_path / "out"))

    def make(orders):
        hands = Pretended(store)
        made = make_orders(orders, store, ONE, hands=hands)
        return hands.made, made

    return make


def test_only_what_changed_is_made_again(orders_of, pretended, tmp_path):
    assert pretended(orders_of("ADA", "BO"))[0] == ["ADA", "BO"]
    assert pretended(orders_of("ADA", "BO"))[0] == []
    assert pretended(orders_of("NEW", "ADA", "BO"))[0] == ["NEW"]
    changed = [replace(order, job=order.job.with_value("die.relief", 1.6)) for order in orders_of("ADA", "BO")]
    assert pretended([changed[0], orders_of("BO")[0]])[0] == ["ADA"]


@pytest.mark.parametrize("harm", ["damaged", "missing", "no record", "other record"])
def test_a_folder_that_is_not_whole_is_made_again(orders_of, pretended, tmp_path, harm):
    orders = orders_of("ADA", "BO")
    pretended(orders)
    folder = tmp_path / "out" / "stamps" / orders[0].name
    if harm == "damaged":
        (folder / "die.stl").write_text("BDA")
    elif harm == "missing":
        (folder / "die.stl").unlink()
    elif harm == "no record":
        (folder / "made.json").unlink()
    else:
        (folder / "made.json").write_text('{"format": 1, "state": "made"}')
    assert pretended(orders)[0] == ["ADA"]


def test_how_many_and_whose_changes_nothing_that_is_made(orders_of, pretended):
    pretended(orders_of("ADA,1,x", columns="name,count,customer"))
    assert pretended(orders_of("ADA,9,y", columns="name,count,customer"))[0] == []


def test_changed_artwork_is_another_stamp(tmp_path, pretended, orders_of):
    (plain,) = orders_of("ADA")
    order = replace(plain, job=replace(plain.job, pieces=(), artwork=str(tmp_path / "mark.svg")))
    for colour in ("black", "#000"):
        (tmp_path / "mark.svg").write_text(f'<svg xmlns="http://www.w3.org/2000/svg"><rect fill="{colour}"/></svg>')
        assert pretended([order])[0] == ["ADA"]
    assert pretended([order])[0] == []


def test_a_second_run_is_refused_with_who_is_at_work_and_since_when(tmp_path):
    store = open_store(str(tmp_path / "out"))
    with locked(store), pytest.raises(OrderError, match=f"process {os.getpid()}, for 0 min"), locked(store):
        pass
    with locked(store):
        pass


@pytest.mark.parametrize("held", [b"", b"rubbish", b'{"user":"a","host":"b","process":1,"since":1}'])
def test_a_lock_that_nobody_holds_keeps_nobody_out(tmp_path, held):
    (tmp_path / ".lock").write_bytes(held)
    with locked(open_store(str(tmp_path))):
        pass


def test_a_lock_elsewhere_counts_while_it_is_fresh(tmp_path):
    pytest.importorskip("fsspec")
    store = open_store(f"file://{tmp_path}/out")
    with locked(store), pytest.raises(OrderError, match="is being worked in by"), locked(store):
        pass
    store.write(".lock", b'{"user":"a","host":"b","process":1,"since":1}')
    with locked(store):
        pass
    assert store.read(".lock") is None


def test_poison_is_stopped_and_recorded_and_the_rest_is_made(orders_of, tmp_path, monkeypatch, sweep):
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join([os.path.dirname(__file__), os.environ.get("PYTHONPATH", "")]))
    poison = sweep(["HANG", "DIE", "FAULT", "EAT"], quick=2)
    orders = orders_of(*poison, "BO")
    store = open_store(str(tmp_path / "out"))
    with LocalHands(1, WorkerLimits(seconds=10, megabytes=600), module="poisoned") as hands:
        made = make_orders(orders, store, ONE, hands=hands)
    told = {each.order.words: (each.record.state, each.record.why) for each in made}
    assert told["BO"][0] == "made"
    expected = {
        "HANG": "took more than 10 s",
        "EAT": "took more than 600 MB of memory",
        "DIE": "its process ended by itself (signal 9)",
        "FAULT": "ZeroDivisionError",
    }
    assert all(told[words][0] == "stopped" and expected[words] in told[words][1] for words in poison)
    assert all(record_at(store, each.order.name) == each.record for each in made)
    assert not (tmp_path / "out" / ".unfinished").exists()
    # What was stopped is tried again, the rest is not.
    hands = Pretended(store)
    make_orders(orders, store, ONE, hands=hands)
    assert hands.made == poison


def test_what_blocks_is_told_with_a_picture_of_it(orders_of, tmp_path):
    (order,) = orders_of("ADA")
    tiny = replace(order, job=order.job.with_values({"printer.nozzle": 1.8, "preflight.repair": False}))
    store = open_store(str(tmp_path / "out"))
    (made,) = make_orders([tiny], store, ONE)
    assert made.record.state == "blocked"
    assert "narrower" in made.record.why
    # A row has one line however much blocks it.
    assert len(made.record.why) < 400
    blocking = {finding["message"] for finding in made.record.findings if finding["severity"] == "blocks"}
    assert ("more" in made.record.why) == (len(blocking) > 3)
    assert (tmp_path / "out" / "stamps" / order.name / "examination.html").is_file()
    assert not make_orders([tiny], store, ONE)[0].anew


def test_what_would_make_a_blocked_row_pass_is_looked_for_when_it_is_asked_for(orders_of, tmp_path):
    (order,) = orders_of("ADA")
    store, asked = open_store(str(tmp_path / "out")), RunSetup(workers=1, ways=True)
    blocked = Record("blocked", "", findings=({"kind": "thin line"},))

    class Blocking:
        def make(self, tasks):
            for task in tasks:
                ways = ("twice as large: nothing warns",) if task.ways else None
                record = replace(blocked, fingerprint=task.fingerprint, ways=ways)
                commit_record(store, task.order.name, record, "token")
                yield task, record

    def run(setup):
        (made,) = make_orders([order], store, setup, hands=Blocking())
        assert record_at(store, order.name) == made.record
        return made.anew, made.record.ways

    assert run(ONE) == (True, None)
    assert run(ONE) == (False, None)
    assert run(asked) == (True, ("twice as large: nothing warns",))
    assert run(asked)[0] is False
    assert run(ONE)[0] is False


def killed_and_run_again(started, tmp_path, kills, seed):
    """Kill a run at random moments, run it to its end, and return what is there beside an undisturbed run."""
    chance = random.Random(seed)
    command = (
        "orders",
        "make",
        tmp_path / "orders.csv",
        "--template",
        tmp_path / "template.toml",
        "--workers",
        1,
        "-o",
    )
    calm = started(*command, tmp_path / "calm")
    began = time.monotonic()
    assert calm.wait(120) == 0, calm.communicate()
    took = time.monotonic() - began
    for _ in range(kills):
        run = started(*command, tmp_path / "killed")
        with contextlib.suppress(subprocess.TimeoutExpired):
            run.wait(chance.uniform(0.1, took))
        run.kill()
        run.communicate()
    last = started(*command, tmp_path / "killed")
    assert last.wait(120) == 0, last.communicate()
    return tree(tmp_path / "calm"), tree(tmp_path / "killed")


@pytest.mark.skipif(os.name != "posix", reason="kills as the system does")
def test_killed_at_any_moment_a_run_comes_to_the_same_bytes(orders_of, started, tmp_path, sweep):
    orders_of("ADA", "BO")
    kills = len(sweep(range(50), quick=1))
    calm, killed = killed_and_run_again(started, tmp_path, kills, seed=7)
    assert calm.keys() == killed.keys()
    assert [name for name in calm if calm[name] != killed[name]] == []
    assert any(name.endswith("die.stl") for name in calm)


@contextlib.contextmanager
def no_file_longer_than(most):
    """Let no file of this process and of those that it begins grow further, as on a full disk."""
    import resource

    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.mark.skipif(os.name != "posix", reason="files are limited as the system does")
def test_a_full_disk_stops_cleanly_and_what_is_made_stays(orders_of, tmp_path):
    orders = orders_of("ADA", "BO")
    store = open_store(str(tmp_path / "out"))
    make_orders(orders[:1], store, ONE, hands=Pretended(store))
    before = tree(tmp_path / "out" / "stamps")
    with no_file_longer_than(20_000), pytest.raises(OutputError, match="make room"):
        make_orders(orders, store, ONE)
    assert tree(tmp_path / "out" / "stamps") == before


@pytest.mark.skipif(os.name != "posix", reason="files are limited as the system does")
def test_a_disk_without_room_for_a_single_byte_is_told_of_and_harms_nothing(orders_of, pretended, tmp_path):
    orders = orders_of("ADA", "BO")
    with no_file_longer_than(0), pytest.raises(OutputError, match="make room"):
        pretended(orders)
    assert pretended(orders[:1])[0] == ["ADA"]
    with no_file_longer_than(0):
        assert pretended(orders[:1])[0] == []
    assert pretended(orders)[0] == ["BO"]


def test_a_run_that_is_stopped_by_its_user_ends_its_processes(orders_of, tmp_path, monkeypatch):
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join([os.path.dirname(__file__), os.environ.get("PYTHONPATH", "")]))
    orders = orders_of("HANG", "ADA")
    store = open_store(str(tmp_path / "out"))

    def stop(name, share):
        raise KeyboardInterrupt

    before = threading.active_count()
    with LocalHands(2, WorkerLimits(seconds=60), module="poisoned") as hands, pytest.raises(KeyboardInterrupt):
        make_orders(orders, store, ONE, hands=hands, told=stop)
    assert threading.active_count() == before
    assert record_at(store, orders[1].name).state == "made"
    assert record_at(store, orders[0].name) is None


@pytest.mark.parametrize("content", [None, b"", b"{}", b"[]", b"\xff", b'{"format": 99}', b'{"format":1,"state":"x"}'])
def test_what_is_no_record_is_none(content):
    assert record_from(content) is None


def test_a_folder_that_is_no_orders_is_left_alone(orders_of, pretended, tmp_path):
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "summary.csv").write_text("mine")
    with pytest.raises(OrderError, match=r"holds summary\.csv and is no order's folder"):
        pretended(orders_of("ADA"))
    assert tree(tmp_path / "out") == {".lock": b"", "summary.csv": b"mine"}


def test_what_others_put_into_a_stamps_folder_stays_when_it_is_made_again(orders_of, pretended, tmp_path):
    (order,) = orders_of("ADA")
    pretended([order])
    folder = tmp_path / "out" / "stamps" / order.name
    (folder / "photo.jpg").write_bytes(b"mine")
    pretended([replace(order, job=order.job.with_value("die.relief", 1.6))])
    assert (folder / "photo.jpg").read_bytes() == b"mine"
    assert (folder / "die.stl").read_text() == "ADA"


def test_killed_while_a_folder_takes_anothers_place_nothing_of_it_is_lost(orders_of, pretended, tmp_path):
    (order,) = orders_of("ADA")
    pretended([order])
    folder = tmp_path / "out" / "stamps" / order.name
    (folder / "photo.jpg").write_bytes(b"mine")
    (tmp_path / "out" / ".unfinished").mkdir()
    folder.rename(tmp_path / "out" / ".unfinished" / f"{order.name}.0a.before")
    assert pretended([order])[0] == []
    assert (folder / "photo.jpg").read_bytes() == b"mine"


def test_what_a_killed_run_left_is_gone_after_the_next(orders_of, pretended, tmp_path):
    pretended(orders_of("ADA"))
    (tmp_path / "out" / ".unfinished" / "ada.1").mkdir(parents=True)
    (tmp_path / "out" / ".unfinished" / "ada.1" / "die.stl").write_text("half")
    pretended(orders_of("ADA"))
    assert not (tmp_path / "out" / ".unfinished").exists()

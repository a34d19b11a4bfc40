"""What orders cost: name stamps a second, rows on a cluster, and parts nested on beds.

``build.py bench orders [STAMPS [ROWS]]``: how many stamps are made, 60 without it, and how many rows are simulated,
2,000 without it. The bars are told beside the figures; nothing is asserted, as machines differ and are busy.
"""

from __future__ import annotations

import math
import os
import random
import resource
import sys
import tempfile
import threading
import time
from collections.abc import Sequence
from datetime import date
from itertools import pairwise
from pathlib import Path

import shapely
from stampwright.job import Job
from stampwright.orders.beds.laying import lay_parts
from stampwright.orders.beds.parts import BedPart
from stampwright.orders.beds.rows import lay_in_rows
from stampwright.orders.making.cluster import MOST_AT_ONCE, ClusterHands
from stampwright.orders.making.one import Task
from stampwright.orders.making.record import PartMade, Record
from stampwright.orders.making.run import RunSetup, make_orders
from stampwright.orders.making.stores import open_store
from stampwright.orders.making.workers import WorkerLimits
from stampwright.orders.schedule.printers import Printer
from stampwright.orders.tables.checking import Order, check_orders
from stampwright.orders.tables.reading import read_orders
from stampwright.templates import read_template

ROOT = Path(__file__).resolve().parents[2]
TEMPLATE = ROOT / "shared" / "orders" / "member-name.toml"

FIRST = ("Ada", "Bo", "Cy", "Edda", "Finn", "Gus", "Hazel", "Ivo", "June", "Kit", "Linde", "Moss", "Nell", "Oda", "Pip")
LAST = (
    "Fern",
    "Marsh",
    "Low",
    "Hay",
    "Oak",
    "Reed",
    "Thorn",
    "Quince",
    "Rush",
    "Sedge",
    "Tansy",
    "Vetch",
    "Weald",
    "Yarrow",
)

ROW = 0.025
"""Seconds that a simulated row takes: a tenth of what a real one takes at four a second on one core."""

WORKERS_ON_PAPER = 1_000


def main(arguments: list[str]) -> int:
    """Run the bench."""
    stamps = int(arguments[0]) if arguments else 60
    rows = int(arguments[1]) if len(arguments) > 1 else 2_000
    nest_200()
    size, seconds = make_names(stamps)
    overhead = simulate(rows)
    on_paper(size, seconds, overhead)
    return 0


def make_names(count: int) -> tuple[float, float]:
    """Make name stamps on two processes; return bytes and seconds of one process that each takes."""
    names = [f"{one} {other} {number // 210 or ''}".strip() for number, (one, other) in enumerate(_names(count))]
    with tempfile.TemporaryDirectory() as folder:
        table = Path(folder) / "names.csv"
        table.write_text("name\n" + "\n".join(names) + "\n", encoding="utf-8")
        began = time.perf_counter()
        checked = check_orders(read_orders(table), read_template(TEMPLATE), Path(folder))
        print(f"rows checked: {len(checked.orders) / (time.perf_counter() - began):.0f} a second")
        out, moments, held = Path(folder) / "out", [time.perf_counter()], []
        stop = threading.Event()
        used = resource.getrusage(resource.RUSAGE_CHILDREN)
        before = used.ru_utime + used.ru_stime
        watcher = threading.Thread(target=_watch, args=(held, stop))
        watcher.start()
        made = make_orders(
            checked.orders,
            open_store(str(out)),
            RunSetup(workers=2),
            told=lambda *_: moments.append(time.perf_counter()),
        )
        stop.set()
        watcher.join()
        used = resource.getrusage(resource.RUSAGE_CHILDREN)
        used_by_each = (used.ru_utime + used.ru_stime - before) / len(made)
        print(f"processor: {used_by_each:.3f} s a stamp, the processes' own beginning included")
        _tell_rates(moments, held)
        whole = sum(each.record.state == "made" for each in made)
        size = sum(path.stat().st_size for path in out.rglob("*") if path.is_file()) / len(made)
        print(f"made {whole} of {len(made)}, {size / 1e6:.2f} MB each")
        began = time.perf_counter()
        make_orders(checked.orders, open_store(str(out)), RunSetup(workers=2))
        print(f"gone over again, nothing to make: {len(made) / (time.perf_counter() - began):.0f} a second")
    # The first stamps wait for the processes to begin.
    steady = (moments[-1] - moments[5]) / (len(moments) - 6)
    return size, 2.0 * steady


def _names(count: int) -> list[tuple[str, str]]:
    return [(FIRST[number % len(FIRST)], LAST[number % len(LAST)]) for number in range(count)]


def _tell_rates(moments: list[float], held: list[tuple[float, int]]) -> None:
    count = len(moments) - 1
    rate = (count - 5) / (moments[-1] - moments[5])
    half = count // 2
    early = (moments[half] - moments[5]) / (half - 5)
    late = (moments[-1] - moments[half]) / (count - half)
    print(f"{count} name stamps on two processes: {rate:.1f} a second once begun (bar: 4), with proof from the file")
    print(f"  each of the first half took {early:.3f} s, of the second {late:.3f} s: it does not grow with how many")
    if count > 20 and held:
        tenths = [moments[max(6, number * count // 10)] for number in range(11)]
        kept = [[size / 1e6 for at, size in held if since <= at <= until] for since, until in pairwise(tenths)]
        means = [sum(sizes) / len(sizes) for sizes in kept if sizes]
        # Within a stamp it goes up and down; what grows from stamp to stamp shows in the means.
        print(
            f"  memory of both processes, means of each tenth: from the second on {min(means[1:]):.0f} to "
            f"{max(means[1:]):.0f} MB, the last {means[-1] / means[1] - 1:+.0%} of the second (bar: 10 %); at any "
            f"moment {min(min(sizes) for sizes in kept[1:] if sizes):.0f} to "
            f"{max(max(sizes) for sizes in kept[1:] if sizes):.0f} MB"
        )


def _watch(held: list[tuple[float, int]], stop: threading.Event) -> None:
    """Keep what memory the processes hold that this one began, every half a second; where the system tells it."""
    try:
        import psutil
    except ImportError:
        return
    while not stop.wait(0.5):
        found = 0
        for child in psutil.Process().children(recursive=True):
            try:
                found += child.memory_info().rss
            except psutil.Error:
                continue
        held.append((time.perf_counter(), found))


def simulate(rows: int) -> float:
    """Send rows that take their time through a real scheduler to 1, 2 and 4 workers; return its seconds for one.

    A simulated row waits as long as a tenth of a real one works, so that four workers can be tried on two cores: ideal
    is that no worker is ever without a row, whatever the cores. Efficiency is the share of all workers' time that rows
    lasted: what sending, scheduling and answering take comes off it. Rows are given out as those of an order are.
    """
    try:
        from distributed import Client, LocalCluster
    except ImportError:
        print("no cluster: dask.distributed is not installed")
        return 0.0
    tasks = [_row(number) for number in range(rows)]
    overhead = 0.0
    for workers in (1, 2, 4):
        with (
            LocalCluster(
                n_workers=workers,
                threads_per_worker=1,
                processes=True,
                dashboard_address=None,
                host="127.0.0.1",
                silence_logs=50,
            ) as cluster,
            Client(cluster, set_as_default=False) as client,
        ):
            hands = ClusterHands(client, WorkerLimits(), wait_there)
            list(hands.make(tasks[: 2 * workers]))
            used = time.process_time()
            began = time.perf_counter()
            lasted = [record.minutes * 60.0 for _, record in hands.make(tasks)]
            took, used = time.perf_counter() - began, time.process_time() - used
        overhead = max(overhead, used / rows)
        # A busy machine wakes a row late; what it lasted is no fault of whoever gave it out.
        print(f"{len(lasted)} simulated rows of {1000 * sum(lasted) / rows:.1f} ms on {workers} workers, "
              f"{os.cpu_count() or 1} cores: {took:.1f} s, efficiency {sum(lasted) / workers / took:.3f} (bar: 0.85; "
              f"{rows * ROW / workers / took:.2f} of rows of {ROW * 1000:.0f} ms), {1e6 * used / rows:.0f} µs a row of "
              "the scheduler's and sender's process")  # fmt: skip
    return overhead


def wait_there(tasks: Sequence[Task], limits: WorkerLimits, program: str) -> list[Record]:
    """Do on a worker what takes a tenth of the time of making stamps, and record how long it lasted."""
    records = []
    for task in tasks:
        began = time.perf_counter()
        time.sleep(ROW)
        records.append(Record("made", task.fingerprint, minutes=(time.perf_counter() - began) / 60.0))
    return records


def _row(number: int) -> Task:
    order = Order(f"s{number}", number, "", "", f"Ada {number}", 1, False, Job())
    return Task(order, "0" * 64, "/nowhere", f"s{number}", date(2026, 11, 30))


def on_paper(size: float, seconds: float, overhead: float) -> None:
    """Say what a thousand workers would need."""
    rate = WORKERS_ON_PAPER / max(seconds, 1e-9)
    print(f"on paper, {WORKERS_ON_PAPER} workers at {seconds:.2f} s a stamp: {rate:.0f} stamps a second")
    # A batch of rows: to the scheduler and on to a worker, its end back, the answer fetched, and both let go.
    print(f"  scheduler: about {6 * rate / MOST_AT_ONCE:.0f} messages a second for batches of {MOST_AT_ONCE} rows, "
          f"{rate * overhead * 1000:.0f} ms of its time a second")  # fmt: skip
    print(f"  storage: {rate * size / 1e6:.0f} MB a second, {10_000 * size / 1e9:.1f} GB for 10,000 stamps")


def nest_200() -> None:
    """Nest 200 parts of a mixed order on beds of 220 x 220 mm, and lay the same in rows."""
    forms = _forms()
    chance = random.Random(3)
    parts = []
    for number in range(200):
        outline = chance.choice(forms)
        made = PartMade("die", "die.stl", "pla", 10.0, 1.0, 1000.0, 20, 0.2, 0.4, 10.0, 0.0, outline)
        parts.append(BedPart(f"s{number}", 1, made, False))
    printer = Printer("one")
    began = time.perf_counter()
    beds = lay_parts(parts, [printer], nest=True).beds
    took = time.perf_counter() - began
    rows = 1 + max(bed for bed, _ in lay_in_rows([part.part.outline for part in parts], printer.room))
    # The last bed holds what is left over.
    dense, plain = sum(bed.density for bed in beds[:-1]) / (len(beds) - 1), _density_of_rows(parts, printer)
    print(f"200 parts nested in {took:.0f} s (bar: 60) on {len(beds)} beds, in rows on {rows}")
    print(f"  {dense:.1%} covered, in rows {plain:.1%}: {dense / plain:.2f} times as dense (bar: 1.15)")


def _density_of_rows(parts: list[BedPart], printer: Printer) -> float:
    """Return the share that rows cover of the beds that they fill, the deepest parts first over the whole order."""
    spots = [bed for bed, _ in lay_in_rows([part.part.outline for part in parts], printer.room)]
    full = max(spots)
    area = sum(shapely.Polygon(part.part.outline).area for part, bed in zip(parts, spots, strict=True) if bed < full)
    return area / (220.0 * 220.0 * full)


def _forms() -> list[tuple[tuple[float, float], ...]]:
    def ring(points: object) -> tuple[tuple[float, float], ...]:
        corners = shapely.get_coordinates(shapely.Polygon(points).exterior)[:-1]
        return tuple((round(float(x), 3), round(float(y), 3)) for x, y in corners)

    def disc(radius: float) -> tuple[tuple[float, float], ...]:
        return ring(shapely.Point(0, 0).buffer(radius, quad_segs=6).exterior)

    def oblong(width: float, depth: float) -> tuple[tuple[float, float], ...]:
        return ring(
            shapely.box(2 - width / 2, 2 - depth / 2, width / 2 - 2, depth / 2 - 2).buffer(2, quad_segs=2).exterior
        )

    three = ring([(28 * math.cos(turn), 28 * math.sin(turn)) for turn in (0.5, 2.6, 4.7)])
    oval = ring([(30 * math.cos(turn / 12 * math.pi), 18 * math.sin(turn / 12 * math.pi)) for turn in range(24)])
    return [disc(25), disc(19), oblong(52, 32), oblong(70, 22), oval, disc(15), oblong(40, 30), three]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

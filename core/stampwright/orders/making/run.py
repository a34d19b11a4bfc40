"""A run over an order: what is made already stays, the rest is made side by side, and all of it is told of."""

from __future__ import annotations

import json
import os
import queue
import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor, as_completed
from dataclasses import dataclass, field
from datetime import date
from typing import Protocol

from ...errors import OrderError
from ...output.sheets.dating import day_of_making
from ..tables.checking import Order
from .fingerprints import stamp_fingerprint
from .lock import locked
from .one import Task
from .record import FORMAT_VERSION, Record
from .stores import STAMPS, Store, record_at, whole_at
from .workers import Worker, WorkerLimits

STATE = "order.json"
"""The file that says since which day an order is being made."""


@dataclass(frozen=True)
class RunSetup:
    """How an order is made.

    ``workers``: how many processes; ``limits``: of a row; ``whole``: every file of each stamp, not only those that beds
    and shop need; ``ways``: look for what would make a blocked one pass; ``cluster``: the address of a scheduler of
    dask.distributed, or ``local`` for one of this machine.
    """

    workers: int = 0
    limits: WorkerLimits = field(default_factory=WorkerLimits)
    whole: bool = False
    ways: bool = False
    cluster: str = ""


@dataclass(frozen=True)
class OrderMade:
    """One row and how it ended with it; ``anew``: in this run."""

    order: Order
    record: Record
    anew: bool


Told = Callable[[str, float], None]
"""Told which stamp is done, and which share of all is."""


class Hands(Protocol):
    """Whoever makes stamps: takes tasks, and yields each with its record as they are done, in any order."""

    def make(self, tasks: Sequence[Task]) -> Iterator[tuple[Task, Record]]:
        """Make stamps."""


def make_orders(
    orders: Sequence[Order],
    store: Store,
    setup: RunSetup,
    *,
    told: Told | None = None,
    after: Callable[[Sequence[OrderMade], date], None] | None = None,
    hands: Hands | None = None,
) -> tuple[OrderMade, ...]:
    """Make the stamps of an order in its place, those that are there already excepted, and return all.

    ``after``: what is to be done with them all before another run may begin; it is told the order's day. ``hands``:
    whoever makes them, in place of processes of this machine or a cluster. Raises
    :class:`~stampwright.errors.OrderError` when another run is at work in that place, and
    :class:`~stampwright.errors.OutputError` when it cannot be written, a full disk included: what is made then stays.
    """
    with locked(store) as beat:
        store.clear_unfinished()
        day = _day(store)
        records: dict[str, OrderMade] = {}
        todo: list[Task] = []
        for order in orders:
            fingerprint = stamp_fingerprint(order.job, day.isoformat(), str(setup.whole))
            there = record_at(store, order.name)
            if there is not None and _stands(there, fingerprint, setup) and whole_at(store, order.name, there):
                records[order.name] = OrderMade(order, there, anew=False)
            else:
                todo.append(Task(order, fingerprint, store.address, order.name, day, setup.whole, setup.ways))
        for task, record in _make(todo, setup, hands):
            beat()
            records[task.order.name] = OrderMade(task.order, record, anew=True)
            if told is not None:
                told(task.order.name, len(records) / max(len(orders), 1))
        made = tuple(records[order.name] for order in orders)
        if after is not None:
            after(made, day)
        store.clear_unfinished()
    return made


def _stands(record: Record, fingerprint: str, setup: RunSetup) -> bool:
    """Whether a record tells of the same stamp, and need not be tried again."""
    if setup.ways and record.state == "blocked" and record.findings and record.ways is None:
        return False
    return record.fingerprint == fingerprint and record.state != "stopped"


def left_over(store: Store, orders: Iterable[Order]) -> tuple[str, ...]:
    """Return the folders of stamps that no row of the table asks for any more; they stay."""
    wanted = {order.name for order in orders}
    return tuple(name for name in store.names(STAMPS) if name not in wanted)


def _day(store: Store) -> date:
    """Return the day that the order's papers bear: that of its first run, so that later ones make the same."""
    found = store.read(STATE)
    if found is not None:
        try:
            told = json.loads(found)
            if told["format"] == FORMAT_VERSION:
                return date.fromisoformat(told["day"])
        except (ValueError, KeyError, TypeError) as error:
            raise OrderError(f"{store.address}: its {STATE} is damaged; remove it, and all is dated anew") from error
        raise OrderError(f"{store.address}: was made by a newer program; update Stampwright")
    foreign = [name for name in store.names("") if not name.startswith(".")]
    if foreign:
        several = f" and {len(foreign) - 1} more" if len(foreign) > 1 else ""
        raise OrderError(
            f"{store.address}: holds {foreign[0]}{several} and is no order's folder; name a new one, or an empty one"
        )
    day = day_of_making()
    store.write(STATE, (json.dumps({"format": FORMAT_VERSION, "day": day.isoformat()}) + "\n").encode())
    return day


def _make(tasks: Sequence[Task], setup: RunSetup, hands: Hands | None) -> Iterator[tuple[Task, Record]]:
    if not tasks:
        return
    if hands is not None:
        yield from hands.make(tasks)
    elif setup.cluster:
        # The cluster's library is an extra, and takes a second to load.
        from .cluster import cluster_hands  # noqa: PLC0415

        with cluster_hands(setup.cluster, setup.workers, setup.limits) as lent:
            yield from lent.make(tasks)
    else:
        workers = min(setup.workers or default_workers(setup.limits), len(tasks))
        with LocalHands(workers, setup.limits) as own:
            yield from own.make(tasks)


def default_workers(limits: WorkerLimits) -> int:
    """Return how many processes this machine has processors and memory for."""
    try:
        memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")
    except (AttributeError, ValueError, OSError):
        return os.cpu_count() or 1
    return max(1, min(os.cpu_count() or 1, memory // (limits.megabytes << 20)))


class LocalHands:
    """Processes of this machine, each with a thread that waits for it."""

    def __init__(self, workers: int, limits: WorkerLimits, **how: str) -> None:
        self._workers = [Worker(limits, **how) for _ in range(workers)]

    def __enter__(self) -> LocalHands:
        return self

    def __exit__(self, *_: object) -> None:
        for worker in self._workers:
            worker.close()

    def make(self, tasks: Sequence[Task]) -> Iterator[tuple[Task, Record]]:
        """Make stamps; see :class:`Hands`."""
        free: queue.SimpleQueue[Worker] = queue.SimpleQueue()
        for worker in self._workers:
            free.put(worker)
        stopped = threading.Event()

        def work(task: Task) -> tuple[Task, Record] | None:
            if stopped.is_set():
                return None
            worker = free.get()
            try:
                return task, worker.make(task)
            finally:
                free.put(worker)

        with ThreadPoolExecutor(len(self._workers)) as threads:
            futures: list[Future[tuple[Task, Record] | None]] = [threads.submit(work, task) for task in tasks]
            try:
                for future in as_completed(futures):
                    done = future.result()
                    if done is not None:
                        yield done
            except BaseException:
                # What is being made is given up; what is made stays.
                stopped.set()
                for worker in self._workers:
                    worker.close()
                raise

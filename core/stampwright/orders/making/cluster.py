"""Stamps made by a cluster of dask.distributed, on this machine or on many; its scheduler, none of our own."""

from __future__ import annotations

import logging
import os
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from ...errors import OrderError, OutputError
from .fingerprints import program_fingerprint
from .one import Task
from .record import Record
from .stores import commit_record, open_store
from .workers import Worker, WorkerLimits

RETRIES = 3
"""How often a row is given to another worker when the one that makes it dies."""

WAITING = 30.0
"""Seconds that a cluster may take to answer."""

MOST_AT_ONCE, ROUNDS = 20, 8
"""Rows that a worker is given at a time, some seconds of work; how many times it is given some at least."""

MakeThere = Callable[[Sequence[Task], WorkerLimits, str], list[Record]]
"""What a worker does: makes stamps, within limits, by the program of a fingerprint."""

_held = threading.local()


@contextmanager
def cluster_hands(address: str, workers: int, limits: WorkerLimits) -> Iterator[ClusterHands]:
    """Reach a cluster, or begin one of this machine for ``local``, and give the hands that it lends.

    Raises :class:`~stampwright.errors.OrderError` when the library is not installed, or the cluster does not answer or
    runs another program.
    """
    try:
        from distributed import Client, LocalCluster  # noqa: PLC0415
    except ImportError as error:
        raise OrderError("a cluster takes dask.distributed; install stampwright[orders]") from error
    own = None
    try:
        if address == "local":
            count = workers or os.cpu_count() or 1
            own = LocalCluster(
                n_workers=count,
                threads_per_worker=1,
                processes=True,
                dashboard_address=None,
                host="127.0.0.1",
                silence_logs=logging.CRITICAL,
            )
        client = Client(own or address, timeout=WAITING, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        raise OrderError(f"the cluster {address} does not answer ({error}); check its address") from error
    try:
        yield ClusterHands(client, limits)
    finally:
        client.close()
        if own is not None:
            own.close()


class ClusterHands:
    """A cluster's workers, each of which makes stamps in a process that it watches.

    Several rows go to a worker at a time, so that sending and answering cost next to nothing beside the making.
    ``doing``: what a worker does with them, in place of :func:`make_there`.
    """

    def __init__(self, client: Any, limits: WorkerLimits, doing: MakeThere | None = None) -> None:
        self._client, self._limits, self._doing = client, limits, doing

    def make(self, tasks: Sequence[Task]) -> Iterator[tuple[Task, Record]]:
        """Make stamps; see :class:`~stampwright.orders.making.run.Hands`."""
        from distributed import KilledWorker, as_completed  # noqa: PLC0415

        futures = {self._given(batch): batch for batch in batches(tasks, self._threads())}
        done = as_completed(list(futures), loop=self._client.loop)
        for future in done:
            batch = futures.pop(future)
            try:
                records = future.result()
            except KilledWorker:
                if len(batch) > 1:
                    # One of them ends whoever makes it; alone it takes no others with it.
                    alone = {self._given([task]): [task] for task in batch}
                    futures |= alone
                    done.update(list(alone))
                    continue
                records = [_stopped(batch[0])]
            finally:
                future.release()
            yield from zip(batch, records, strict=True)

    def _given(self, batch: Sequence[Task]) -> Any:
        doing = self._doing or make_there
        return self._client.submit(doing, batch, self._limits, program_fingerprint(), pure=False, retries=RETRIES)

    def _threads(self) -> int:
        return sum(self._client.nthreads().values())


def batches(tasks: Sequence[Task], workers: int) -> list[Sequence[Task]]:
    """Return tasks in batches, small enough that every worker has several, so that all end at about the same time.

    >>> [len(batch) for batch in batches([None] * 7, 1)], len(batches([None] * 1000, 2)[0])
    ([1, 1, 1, 1, 1, 1, 1], 20)
    """
    size = max(1, min(MOST_AT_ONCE, len(tasks) // (ROUNDS * max(workers, 1))))
    return [tasks[begin : begin + size] for begin in range(0, len(tasks), size)]


def make_there(tasks: Sequence[Task], limits: WorkerLimits, program: str) -> list[Record]:
    """Make stamps on a worker of the cluster; raises :class:`OrderError` when it runs another program.

    Raises :class:`OutputError` when what is made cannot be written.
    """
    if program_fingerprint() != program:
        raise OrderError("a worker of the cluster runs another version of Stampwright; install the same there")
    if not hasattr(_held, "worker"):
        _held.worker = Worker(limits)
    try:
        return [_held.worker.make(task) for task in tasks]
    except OutputError as error:
        # It travels as it is: a full disk stops the run.
        raise OutputError(str(error)) from None


def _stopped(task: Task) -> Record:
    record = Record("stopped", task.fingerprint, why="its workers died, one after the other")
    commit_record(open_store(task.out), task.order.name, record, f"{task.token}.stopped")
    return record

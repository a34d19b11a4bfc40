"""Stamps made by a cluster of dask.distributed, on this machine or on many; its scheduler, none of our own."""

from __future__ import annotations

import logging
import os
import threading
from collections.abc import Iterator, Sequence
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
    """A cluster's workers, each of which makes stamps in a process that it watches."""

    def __init__(self, client: Any, limits: WorkerLimits) -> None:
        self._client, self._limits = client, limits

    def make(self, tasks: Sequence[Task]) -> Iterator[tuple[Task, Record]]:
        """Make stamps; see :class:`~stampwright.orders.making.run.Hands`."""
        from distributed import KilledWorker, as_completed  # noqa: PLC0415

        program = program_fingerprint()
        futures = {
            self._client.submit(make_there, task, self._limits, program, pure=False, retries=RETRIES): task
            for task in tasks
        }
        done = as_completed(list(futures), loop=self._client.loop)
        for future in done:
            task = futures.pop(future)
            try:
                yield task, future.result()
            except KilledWorker:
                record = Record("stopped", task.fingerprint, why="its workers died, one after the other")
                commit_record(open_store(task.out), task.order.name, record, f"{task.token}.stopped")
                yield task, record
            finally:
                future.release()


def make_there(task: Task, limits: WorkerLimits, program: str) -> Record:
    """Make a stamp on a worker of the cluster; raises :class:`OrderError` when it runs another program.

    Raises :class:`OutputError` when what is made cannot be written.
    """
    if program_fingerprint() != program:
        raise OrderError("a worker of the cluster runs another version of Stampwright; install the same there")
    if not hasattr(_held, "worker"):
        _held.worker = Worker(limits)
    try:
        record: Record = _held.worker.make(task)
    except OutputError as error:
        # It travels as it is: a full disk stops the run.
        raise OutputError(str(error)) from None
    return record

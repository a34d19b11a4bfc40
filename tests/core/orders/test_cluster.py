"""Promises on a cluster: a worker that dies loses nothing, and the bytes are those of this machine alone."""

import os
import signal

import pytest
from stampwright.errors import OrderError
from stampwright.orders.making import cluster as ours
from stampwright.orders.making.run import RunSetup, make_orders
from stampwright.orders.making.stores import open_store

from .conftest import tree

distributed = pytest.importorskip("distributed")


@pytest.fixture
def cluster():
    """A cluster of two workers, each a process of its own."""
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, host="127.0.0.1", silence_logs=50
    ) as running:
        yield running


@pytest.mark.skipif(os.name != "posix", reason="kills as the system does")
def test_a_worker_that_is_killed_loses_nothing_and_the_bytes_are_the_same(cluster, orders_of, tmp_path, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1800000000")
    orders = orders_of("ADA", "BO")
    with distributed.Client(cluster, set_as_default=False) as client:
        (victim, *_) = client.run(os.getpid).values()
    killed = []

    def kill(name, share):
        if not killed:
            killed.append(name)
            os.kill(victim, signal.SIGKILL)

    # The store is named by a scheme, as one that all machines of a cluster reach would be.
    made = make_orders(
        orders, open_store(f"file://{tmp_path}/there"), RunSetup(cluster=cluster.scheduler_address), told=kill
    )
    assert killed
    assert [each.record.state for each in made] == ["made"] * 2
    make_orders(orders, open_store(str(tmp_path / "here")), RunSetup(workers=1))
    here, there = tree(tmp_path / "here"), tree(tmp_path / "there")
    here.pop(".lock")
    assert here.keys() == there.keys()
    assert [name for name in here if here[name] != there[name]] == []


def test_a_cluster_that_does_not_answer_is_told_of(orders_of, tmp_path, monkeypatch):
    monkeypatch.setattr(ours, "WAITING", 1.0)
    with pytest.raises(OrderError, match="does not answer"):
        make_orders(orders_of("ADA"), open_store(str(tmp_path / "out")), RunSetup(cluster="tcp://127.0.0.1:9"))

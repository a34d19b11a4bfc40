"""Links: which of many nodes hang together."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Wholes = NDArray[np.int64]

SHORT = 16
"""Things in a round up to which rounds are walked all together."""


def least_labels(count: int, links: Wholes) -> Wholes:
    """Return for each of ``count`` nodes, (count,), the least node that it is linked to by ``links``, (n, 2), or is.

    Labels are lowered across links and then followed to their own labels, so that the rounds needed grow with the
    logarithm of the longest chain (Shiloach and Vishkin 1982).
    """
    labels = np.arange(count)
    while len(links):
        one, two = labels[links[:, 0]], labels[links[:, 1]]
        differ = one != two
        if not differ.any():
            break
        links, one, two = links[differ], one[differ], two[differ]
        np.minimum.at(labels, np.maximum(one, two), np.minimum(one, two))
        while True:
            nearer = labels[labels]
            if (nearer == labels).all():
                break
            labels = nearer
    return labels


def rounds(following: Wholes) -> tuple[Wholes, Wholes]:
    """Return things round by round, (n,), and how many each round has, where each thing has one that follows it.

    ``following``: (n,) a permutation.

    >>> rounds(np.array([2, 1, 0]))
    (array([1, 0, 2]), array([1, 2]))
    """
    count = len(following)
    leaders, at, rounded = np.arange(count), following, [np.empty((0, 2), dtype=np.int64)]
    # Most rounds are short, and are walked all together, each from its least thing; what is left, one by one.
    for length in range(1, SHORT + 1):
        closed = at == leaders
        rounded.append(np.column_stack((leaders[closed], np.full(int(closed.sum()), length))))
        going = at > leaders
        leaders, at = leaders[going], following[at[going]]
    firsts, lengths = np.concatenate(rounded).T
    order, at = np.empty(int(lengths.sum()), dtype=np.int64), firsts
    places = np.cumsum(lengths) - lengths
    for step in range(SHORT):
        going = lengths > step
        order[places[going] + step] = at[going]
        at = following[at]
    steps = following.tolist()
    walked = np.zeros(count, dtype=np.bool_)
    walked[order] = True
    long_order: list[int] = []
    long_lengths: list[int] = []
    for first in leaders.tolist():
        if walked[first]:
            continue
        now, begun = first, len(long_order)
        while steps[now] >= 0:
            long_order.append(now)
            steps[now], now = -1, steps[now]
        if len(long_order) > begun:
            long_lengths.append(len(long_order) - begun)
    return np.append(order, np.array(long_order, dtype=np.int64)), np.append(
        lengths, np.array(long_lengths, dtype=np.int64)
    )

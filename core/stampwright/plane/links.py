"""Links: which of many nodes hang together."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Wholes = NDArray[np.int64]


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

"""Sums over the places of a face, kept to one thread.

Linear algebra libraries hand sums as short as these to all processors at once and wait for the slowest: on a busy
machine a sum of ten thousand products then takes a hundred times as long as it should.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def inner(one: Floats, other: Floats) -> float:
    """Return the sum of products of two (n,) arrays."""
    return float(np.einsum("n,n->", one, other))


def added(free: Floats, loads: Floats) -> Floats:
    """Return (k,): loads (n,) added up along each motion (k, n)."""
    return np.asarray(np.einsum("kn,n->k", free, loads))


def carried(motion: Floats, free: Floats) -> Floats:
    """Return (n,): how far a motion (k,) takes each place, by the motions (k, n) that are free."""
    if len(motion) == 1:
        return np.asarray(free[0] * motion[0])
    return np.asarray(np.einsum("k,kn->n", motion, free))


def coupled(free: Floats, weights: Floats | None = None) -> Floats:
    """Return (k, k): products of the motions (k, n), added up over all places, each with its weight (n,)."""
    weighted = free if weights is None else free * weights
    return np.asarray(np.einsum("kn,jn->kj", weighted, free))

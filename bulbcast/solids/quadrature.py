"""Gauss-Legendre nodes on panels: the only quadrature rule used."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@lru_cache(maxsize=64)
def gauss(count: int) -> tuple[Array, Array]:
    """Return the nodes and weights of the Gauss-Legendre rule on [0, 1].

    Args:
        count: Number of nodes; the rule is exact for polynomials up to degree 2 count - 1. [-]

    Returns:
        Nodes and weights, each of shape (count,), read-only. [-]
    """
    nodes, weights = np.polynomial.legendre.leggauss(count)
    nodes = 0.5 * (nodes + 1.0)
    weights = 0.5 * weights
    nodes.setflags(write=False)
    weights.setflags(write=False)
    return nodes, weights


def gauss_on_panels(edges: Sequence[float] | Array, count: int) -> tuple[Array, Array]:
    """Join, end to end, the rules with `count` nodes for the panels between neighbouring edges.

    Args:
        edges: Ascending panel edges, shape (n + 1,). [any unit]
        count: Number of nodes on each panel. [-]

    Returns:
        Nodes and weights, each of shape (n * count,), in the unit of the edges. [any unit]
    """
    nodes, weights = gauss(count)
    start = np.asarray(edges, dtype=np.float64)
    width = np.diff(start)
    return (
        (start[:-1, None] + width[:, None] * nodes).ravel(),
        (width[:, None] * weights).ravel(),
    )

"""Closest point of each follower point on a chain of 3-node edge lines, all points at once."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

#: stretches of points and of edges that belong together
Parts = list[tuple[slice, slice]]
#: see parabolas
Lines = tuple[np.ndarray, np.ndarray, np.ndarray]

#: how far past +-1 the local coordinate of an end edge may lie and still count as on the chain
END_SLACK = 1e-9
_NEWTON_STEPS = 8
#: a step this small leaves its square as error
_SMALL = 1e-8


class Projection(NamedTuple):
    """Edge row (n,), local coordinate xi (n,) [-] on it and whether the point projects onto the chain (n,)."""

    edge: np.ndarray
    xi: np.ndarray
    inside: np.ndarray


def parabolas(chain: np.ndarray) -> Lines:
    """Middle m, half chord a and bend b, each (i, k) [mm], of edge lines (k, 3, i) [mm]: x(xi) = m + a xi + b xi^2 / 2."""
    start, end, middle = chain.transpose(1, 0, 2)
    return middle.T, (end - start).T / 2, (start + end - 2 * middle).T


def project(
    points: np.ndarray, chain: np.ndarray, frozen: Projection | None = None, parts: Parts | None = None,
    near: Projection | None = None,
) -> Projection:
    """Project points (n, 2) [mm] onto a chain of current edge coordinates (k, 3, 2) [mm], rows in order.

    parts names the stretches of points and of edges that belong together where several chains follow each
    other. A point is looked for along the chain from its edge in `near` on, a projection of points not far from these,
    else from the edge of its nearest node. With frozen, each point keeps its edge, and stays on or off the chain as it
    was: a point at a kink or at the chain's end would else flip for ever.
    """
    lines = parabolas(chain)
    if frozen is not None:
        return Projection(frozen.edge, _closest(points.T, lines, frozen.edge), frozen.inside)
    parts = [(slice(0, len(points)), slice(0, len(chain)))] if parts is None else parts
    first, last = np.zeros(len(chain), bool), np.zeros(len(chain), bool)
    for _, edges in parts:
        first[edges.start] = last[edges.stop - 1] = True
    edge = _searched(points, chain, parts) if near is None else near.edge.copy()
    xi = _closest(points.T, lines, edge, None if near is None else np.clip(near.xi, -1, 1))
    _walk(points.T, lines, edge, xi, (first, last))
    off = first[edge] & (xi < -1 - END_SLACK) | last[edge] & (xi > 1 + END_SLACK)
    return Projection(edge, xi, ~off & (np.abs(xi) < 2))


def _walk(
    points: np.ndarray, lines: Lines, edge: np.ndarray, xi: np.ndarray, ends: tuple[np.ndarray, np.ndarray]
) -> None:
    """Send points (2, n) whose feet lie past an end of their edges on along the chain, to the edge that has them.

    edge and xi (n,) are changed in place; ends (k,) tell the first and the last edges of chains.
    """
    moving = np.flatnonzero((xi < -1) & ~ends[0][edge] | (xi > 1) & ~ends[1][edge])
    way = np.sign(xi[moving]).astype(int)
    while len(moving):
        other = edge[moving] + way
        found = _closest(points[:, moving], lines, other, -way.astype(float))
        wedge = found * way < -1  # outside a kink no foot is normal
        takes = ~wedge | (np.abs(found) < np.abs(xi[moving]))
        edge[moving[takes]], xi[moving[takes]] = other[takes], found[takes]
        goes_on = takes & (found * way > 1) & ~np.where(way > 0, ends[1][other], ends[0][other])
        moving, way = moving[goes_on], way[goes_on]


def _searched(points: np.ndarray, chain: np.ndarray, parts: Parts) -> np.ndarray:
    """Edge (n,) of each point's nearest node on its own chain."""
    edge = np.zeros(len(points), int)
    for some, edges in parts:
        edge[some] = edges.start + _nearest_edges(points[some], chain[edges])
    return edge


def _nearest_edges(points: np.ndarray, chain: np.ndarray) -> np.ndarray:
    """The edge (n,) of the node nearest to each point (n, 2).

    All are compared with all: a search by stretches of the chain takes three times as long at 50 edges and pays from 200 on only,
    where it is a small part of an iteration.
    """
    nodes = np.concatenate([chain[:, [0, 2]].reshape(-1, 2), chain[-1:, 1]])
    away, along = (points[:, k, None] - nodes[:, k] for k in (0, 1))
    away *= away
    along *= along
    away += along
    return np.minimum(np.argmin(away, axis=1) // 2, len(chain) - 1)


def _closest(points: np.ndarray, lines: Lines, edge: np.ndarray, xi: np.ndarray | None = None) -> np.ndarray:
    """Local coordinate (n,) of the foot of points (2, n) on their edges, Newton on (x - x_l(xi)) . x_l'(xi) = 0.

    From xi (n,), else from the foot on the chord.
    """
    middle, (ax, az), (bx, bz) = (part[:, edge] for part in lines)
    dx, dz = points - middle
    if xi is None:
        xi = (dx * ax + dz * az) / (ax * ax + az * az)
    for _ in range(_NEWTON_STEPS):
        sx, sz = ax + xi * bx, az + xi * bz
        half = xi * xi / 2
        gx, gz = dx - xi * ax - half * bx, dz - xi * az - half * bz
        step = (gx * sx + gz * sz) / (sx * sx + sz * sz - gx * bx - gz * bz)
        before, xi = xi, np.clip(xi + step, -3.0, 3.0)
        if np.max(np.abs(xi - before), initial=0.0) < _SMALL:  # not the step: that of a point held at 3 stays large
            break
    return xi

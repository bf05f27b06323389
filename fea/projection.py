"""Closest point of each follower point on a chain of 3-node edge lines, all points at once."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.spatial import cKDTree

#: stretches of points and of edges that belong together
Parts = list[tuple[slice, slice]]

#: how far past +-1 the local coordinate of an end edge may lie and still count as on the chain
END_SLACK = 1e-9
_NEWTON_STEPS = 8
#: a step this small leaves its square as error
_SMALL = 1e-8


class Projection(NamedTuple):
    """Edge row (n,), local coordinate xi (n,) and whether the point projects onto the chain (n,)."""

    edge: np.ndarray
    xi: np.ndarray
    inside: np.ndarray


def parabolas(chain: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Middle m, half chord a and bend b, each (i, k), of edge lines (k, 3, i): x(xi) = m + a xi + b xi^2 / 2."""
    start, end, middle = np.moveaxis(chain, 1, 0)
    return middle.T, (end - start).T / 2, (start + end - 2 * middle).T


def project(
    points: np.ndarray, chain: np.ndarray, frozen: Projection | None = None, parts: Parts | None = None
) -> Projection:
    """Project points (n, 2) onto a chain of current edge coordinates (k, 3, 2), rows in order.

    parts names the stretches of points and of edges that belong together where several chains follow each
    other. The nearest node (a k-d tree, so the cost grows as n log k) names one or two candidate edges; the
    better projection wins. With frozen, each point keeps its edge, and stays on or off the chain as it was:
    a point at a kink or at the chain's end would else flip for ever.
    """
    if frozen is not None:
        return Projection(frozen.edge, _closest(points.T, chain, frozen.edge), frozen.inside)
    parts = [(slice(0, len(points)), slice(0, len(chain)))] if parts is None else parts
    edge, before = np.zeros(len(points), int), np.zeros(len(points), int)
    first, last = np.zeros(len(chain), bool), np.zeros(len(chain), bool)
    for some, edges in parts:
        edge[some], before[some] = (part + edges.start for part in _nearest_edges(points[some], chain[edges]))
        first[edges.start] = last[edges.stop - 1] = True
    between = np.flatnonzero(before < edge)
    every = np.concatenate([np.arange(len(points)), between])
    xi = _closest(points.T[:, every], chain, np.concatenate([edge, before[between]]))
    xi, other = xi[: len(points)], xi[len(points) :]
    swap = np.maximum(np.abs(other) - 1, 0) < np.maximum(np.abs(xi[between]) - 1, 0)
    edge[between[swap]] -= 1
    xi[between[swap]] = other[swap]
    off = first[edge] & (xi < -1 - END_SLACK) | last[edge] & (xi > 1 + END_SLACK)
    return Projection(edge, xi, ~off & (np.abs(xi) < 2))


def _nearest_edges(points: np.ndarray, chain: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Two candidate edge rows (n,), equal unless the nearest node is one where two edges meet."""
    nodes = np.concatenate([chain[:, [0, 2]].reshape(-1, 2), chain[-1:, 1]])
    _, nearest = cKDTree(nodes).query(points)
    edge = np.minimum(nearest // 2, len(chain) - 1)
    meeting = (nearest % 2 == 0) & (nearest < 2 * len(chain))
    return edge, np.where(meeting, np.maximum(edge - 1, 0), edge)


def _closest(points: np.ndarray, chain: np.ndarray, edge: np.ndarray) -> np.ndarray:
    """Local coordinate (n,) of the foot of points (2, n) on their edges, Newton on (x - x_l(xi)) . x_l'(xi) = 0."""
    middle, (ax, az), (bx, bz) = (part[:, edge] for part in parabolas(chain))
    dx, dz = points - middle
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

"""Closest point of each follower point on a chain of 3-node edge lines, all points at once."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.spatial import cKDTree

#: how far past +-1 the local coordinate of an end edge may lie and still count as on the chain
END_SLACK = 1e-9
_NEWTON_STEPS = 8


class Projection(NamedTuple):
    """Edge row (n,), local coordinate xi (n,) and whether the point projects onto the chain (n,)."""

    edge: np.ndarray
    xi: np.ndarray
    inside: np.ndarray


def project(points: np.ndarray, chain: np.ndarray, frozen: Projection | None = None) -> Projection:
    """Project points (n, 2) onto a chain of current edge coordinates (k, 3, 2), rows in order.

    The nearest node (a k-d tree, so the cost grows as n log k) names two candidate edges; the better
    projection wins. With frozen, each point keeps its edge, and stays on or off the chain as it was:
    a point at a kink or at the chain's end would else flip for ever.
    """
    if frozen is not None:
        xi = _closest(points, chain[frozen.edge])
        return Projection(frozen.edge, xi, frozen.inside)
    edge = _nearest_edges(points, chain)
    xi = _closest(points[:, None], chain[edge])
    pick = np.argmin(np.maximum(np.abs(xi) - 1, 0), axis=1)
    rows = np.arange(len(points))
    edge, xi = edge[rows, pick], xi[rows, pick]
    before = (edge == 0) & (xi < -1 - END_SLACK)
    after = (edge == len(chain) - 1) & (xi > 1 + END_SLACK)
    return Projection(edge, xi, ~(before | after) & (np.abs(xi) < 2))


def _nearest_edges(points: np.ndarray, chain: np.ndarray) -> np.ndarray:
    """Two candidate edge rows (n, 2), equal when the nearest node is a middle or an end node."""
    nodes = np.concatenate([chain[:, [0, 2]].reshape(-1, 2), chain[-1:, 1]])
    _, nearest = cKDTree(nodes).query(points)
    first = np.minimum(nearest // 2, len(chain) - 1)
    second = np.where(nearest % 2 == 0, np.maximum(first - 1, 0), first)
    second = np.where(nearest == 2 * len(chain), first, second)
    return np.column_stack([first, second])


def _closest(points: np.ndarray, edges: np.ndarray) -> np.ndarray:
    """Local coordinate of the foot point, Newton on (x - x_l(xi)) . x_l'(xi) = 0."""
    mid = (edges[..., 1, :] - edges[..., 0, :]) / 2
    bend = edges[..., 0, :] + edges[..., 1, :] - 2 * edges[..., 2, :]
    offset = points - edges[..., 2, :]
    xi = np.sum(offset * mid, -1) / np.sum(mid * mid, -1)
    for _ in range(_NEWTON_STEPS):
        slope = mid + xi[..., None] * bend
        gap = offset - xi[..., None] * mid - (xi**2 / 2)[..., None] * bend
        step = np.sum(gap * slope, -1) / (np.sum(slope * slope, -1) - np.sum(gap * bend, -1))
        xi = np.clip(xi + step, -3.0, 3.0)
        if np.max(np.abs(step), initial=0.0) < 1e-14:
            break
    return xi

"""Whether what flows in a body reaches from one of its sides to another: a band of metal that gives way."""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from colletfea.fea.bodies.solid import Solid


def spans(solid: Solid, body: str, flows: np.ndarray, side: np.ndarray, other: np.ndarray) -> bool:
    """Whether elements of a body that flow are joined by shared nodes all the way from one side to the other.

    flows (e, q): integration points that flow; an element does where more than half of its own do. side, other: node numbers.
    """
    part = solid.slices[body]
    cells = solid.nodes_of[part][np.mean(flows[part], axis=1) > 0.5]
    if not len(cells):
        return False
    size = int(max(cells.max(), np.max(side), np.max(other))) + 1
    links = coo_matrix((np.ones(7 * len(cells)), (np.repeat(cells[:, 0], 7), cells[:, 1:].ravel())), (size, size))
    label = connected_components(links, directed=False)[1]
    flowing = np.unique(cells)
    ends = [label[np.intersect1d(nodes, flowing)] for nodes in (side, other)]
    return bool(np.intersect1d(*ends).size)

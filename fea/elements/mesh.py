"""A meridional mesh: nodes, bodies of 8-node quadrilaterals, named boundary edges."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from colletfea.fea.elements.shapes import SIDES
from colletfea.fea.errors import MeshError

#: a function of reference (R, Z) [mm]: arrays in, array of the same shape out
Field = Callable[[np.ndarray, np.ndarray], np.ndarray]


@dataclass(frozen=True)
class Mesh:
    """Nodes (n, 2) as (r, z) in mm; cells {body: (e, 8)}; edges {name: (k, 3)}.

    An edge row is (first, last, middle node). Rows form an ordered chain with the body on the
    left, so the outward normal is the tangent turned by -90 degrees: n = (tau_z, -tau_r).
    """

    nodes: np.ndarray
    cells: dict[str, np.ndarray]
    edges: dict[str, np.ndarray]

    @classmethod
    def build(cls, nodes: np.ndarray, cells: dict[str, np.ndarray], edges: dict[str, np.ndarray]) -> Mesh:
        """Mesh of nodes (n, 2) [mm], cells {body: (e, 8)} and edges {name: (k, 3)}, these in any order and sense.

        Raises MeshError for an edge that is not on a boundary or is no single open chain.
        """
        sides = _boundary_sides(np.concatenate(list(cells.values())))
        ordered = {name: _chain(name, np.asarray(rows), sides) for name, rows in edges.items()}
        return cls(np.asarray(nodes, dtype=float), {k: np.asarray(v) for k, v in cells.items()}, ordered)

    def require_edges(self, *names: str) -> None:
        """Raise MeshError listing missing and present edge names."""
        missing = [name for name in names if name not in self.edges]
        if missing:
            raise MeshError(f"mesh lacks the edges {', '.join(missing)}; it has {', '.join(sorted(self.edges))}")

    def edge_nodes(self, name: str) -> np.ndarray:
        """Node numbers (2k + 1,) of an edge along its chain: first, middle, last, middle, ..."""
        rows = self.edges[name]
        return np.append(rows[:, [0, 2]].ravel(), rows[-1, 1])

    def body_nodes(self, *bodies: str) -> np.ndarray:
        """Sorted node numbers (m,) of the named bodies."""
        return np.unique(np.concatenate([self.cells[b].ravel() for b in bodies]))


def strip(across: np.ndarray, along: np.ndarray) -> tuple[np.ndarray, np.ndarray, dict[str, np.ndarray]]:
    """Structured grid of 8-node quadrilaterals: nodes (n, 2) as (r, z) [mm], cells (e, 8), sides {name: (k, 3)}.

    across (i + 1,) and along (j + 1,) are the stations of the corners in r and in z [mm], both rising. Sides are inner
    (first r), outer, bottom (first z) and top; their rows are as those of Mesh.edges. Cells run along z first.
    """
    r, z = (np.insert(s, range(1, len(s)), (s[:-1] + s[1:]) / 2) for s in (across, along))
    number = np.arange(len(r) * len(z)).reshape(len(r), len(z))
    offsets = ((0, 0), (2, 0), (2, 2), (0, 2), (1, 0), (2, 1), (1, 2), (0, 1))
    last = len(r) - 2, len(z) - 2
    cells = np.stack([number[i : last[0] + i : 2, j : last[1] + j : 2].ravel() for i, j in offsets], axis=1)
    lines = {"inner": number[0], "outer": number[-1], "bottom": number[:, 0], "top": number[:, -1]}
    sides = {name: np.column_stack([n[:-2:2], n[2::2], n[1::2]]) for name, n in lines.items()}
    kept = np.unique(cells)  # an 8-node element has no node at its middle
    rank = np.zeros(number.size, int)
    rank[kept] = np.arange(len(kept))
    nodes = np.column_stack([np.repeat(r, len(z)), np.tile(z, len(r))])
    return nodes[kept], rank[cells], {name: rank[rows] for name, rows in sides.items()}


def _boundary_sides(cells: np.ndarray) -> dict[int, np.ndarray]:
    """Boundary sides keyed by their middle node (unique to one side), walked body on the left."""
    sides = cells[:, SIDES].reshape(-1, 3)
    middle, first_at, count = np.unique(sides[:, 2], return_index=True, return_counts=True)
    return {int(m): sides[i] for m, i, c in zip(middle, first_at, count) if c == 1}


def _chain(name: str, rows: np.ndarray, sides: dict[int, np.ndarray]) -> np.ndarray:
    try:
        rows = np.array([sides[int(m)] for m in rows[:, 2]])
    except KeyError as err:
        raise MeshError(f"edge {name}: node {err} is not the middle of a boundary side") from None
    follow = {int(row[0]): row for row in rows}
    starts = set(follow) - {int(row[1]) for row in rows}
    if len(starts) != 1 or len(follow) != len(rows):
        raise MeshError(f"edge {name} is not one open chain ({len(starts)} starts, {len(rows)} rows)")
    node, chain = starts.pop(), []
    while node in follow:
        chain.append(follow[node])
        node = int(follow[node][1])
    if len(chain) != len(rows):
        raise MeshError(f"edge {name} is broken: {len(chain)} of {len(rows)} rows hang together")
    return np.array(chain)

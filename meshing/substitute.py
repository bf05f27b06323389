"""Elements of a mesh replaced by others that fill the same place."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from colletfea.fea.elements.mesh import Mesh

_NEAR = 1e-9  # mm; below it two points are one node


class Change(NamedTuple):
    """What goes and what comes, bodies and edges by name; points are (r, z) [mm].

    `gone` (e,) marks elements of a body, `elements` (m, 8, 2) take their place. `sides` (k, 3, 2) of an
    edge, in the order of its chain, take the place of the rows `rows` (k,) in which they lie.
    """

    gone: dict[str, np.ndarray]
    elements: dict[str, np.ndarray]
    rows: dict[str, np.ndarray]
    sides: dict[str, np.ndarray]


def substitute(mesh: Mesh, change: Change) -> Mesh:
    """The mesh after a change within one part; new points that coincide with the part's nodes become those."""
    from scipy.spatial import cKDTree  # a tenth of a second, and few meshes are changed

    old = np.unique(np.concatenate([mesh.cells[b][gone].ravel() for b, gone in change.gone.items()]))
    points = np.concatenate([mesh.nodes[old], *(x.reshape(-1, 2) for x in change.elements.values())])
    tree = cKDTree(points)
    number, added = _numbered(points, tree.query_pairs(_NEAR, output_type="ndarray"), old, len(mesh.nodes))
    cells, at = dict(mesh.cells), len(old)
    for body, x in change.elements.items():
        new = number[at : at + 8 * len(x)].reshape(-1, 8)
        cells[body], at = np.concatenate([mesh.cells[body][~change.gone[body]], new]), at + 8 * len(x)
    edges = dict(mesh.edges)
    for name, rows in change.rows.items():
        new = number[tree.query(change.sides[name].reshape(-1, 2))[1]].reshape(-1, 3)
        edges[name] = _in_order(mesh.edges[name], rows, new)
    return _compact(np.concatenate([mesh.nodes, added]), cells, edges)


def _numbered(points: np.ndarray, pairs: np.ndarray, old: np.ndarray, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Node numbers (n,) of points, pairs (p, 2) of which coincide, and the points (k, 2) numbered from `count`.

    The first points are the nodes `old`.
    """
    pairs = np.sort(pairs, axis=1)
    first = np.arange(len(points))
    np.minimum.at(first, pairs[:, 1], pairs[:, 0])
    fresh = first == np.arange(len(points))
    fresh[: len(old)] = False
    number = np.empty(len(points), int)
    number[: len(old)] = old
    number[fresh] = count + np.arange(fresh.sum())
    return number[first], points[fresh]


def _in_order(chain: np.ndarray, rows: np.ndarray, new: np.ndarray) -> np.ndarray:
    """Rows (k, 3) of an edge with new ones in the place of the old ones they lie in."""
    kept = np.setdiff1d(np.arange(len(chain)), rows)
    order = np.argsort(np.concatenate([kept, rows]), kind="stable")
    return np.concatenate([chain[kept], new])[order]


def _compact(nodes: np.ndarray, cells: dict[str, np.ndarray], edges: dict[str, np.ndarray]) -> Mesh:
    """A mesh without the nodes that no element uses any more."""
    used = np.unique(np.concatenate([c.ravel() for c in cells.values()]))
    number = np.zeros(len(nodes), int)
    number[used] = np.arange(len(used))
    return Mesh(nodes[used], {b: number[c] for b, c in cells.items()}, {n: number[r] for n, r in edges.items()})

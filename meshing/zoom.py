"""A neighbourhood cut out of a mesh, every element of it split in four: one step of a zoom.

The new nodes know the old element they lie in, so that displacements of the old mesh are known on the new one. Elements keep
the old ones' curved shape; where an edge is drawn as an arc its new nodes are put on the arc.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from colletfea.fea.elements.mesh import Mesh
from colletfea.fea.elements.shapes import SIDES, quad8

#: local coordinates of the 21 nodes of four small elements in a large one: its own eight, eight between these, five inside
_CORNER = [(-1, -1), (1, -1), (1, 1), (-1, 1)]
_MIDDLE = [(0, -1), (1, 0), (0, 1), (-1, 0)]
_BETWEEN = [(-0.5, -1), (0.5, -1), (1, -0.5), (1, 0.5), (0.5, 1), (-0.5, 1), (-1, 0.5), (-1, -0.5)]
_INSIDE = [(0, 0), (0, -0.5), (0.5, 0), (0, 0.5), (-0.5, 0)]
_PLACES = np.array([*_CORNER, *_MIDDLE, *_BETWEEN, *_INSIDE], float)
#: nodes of the four small elements among the 21, corners counter-clockwise, then middles of sides
_SMALL = np.array([
    [0, 4, 16, 7, 8, 17, 20, 15],
    [4, 1, 5, 16, 9, 10, 18, 17],
    [16, 5, 2, 6, 18, 11, 12, 19],
    [7, 16, 6, 3, 20, 19, 13, 14],
])
#: where the small elements lie in the large one: local = centre + small local / 2
CENTRES = np.array([(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)])
#: nodes of the two halves of each side among the 21, (first, last, middle)
_HALVES = np.array([[[0, 4, 8], [4, 1, 9]], [[1, 5, 10], [5, 2, 11]], [[2, 6, 12], [6, 3, 13]], [[3, 7, 14], [7, 0, 15]]])


class Arc(NamedTuple):
    """A rounded corner of a body: nodes of these edges between its two ends lie on a circle about centre (2,), (r, z) [mm]."""

    edges: tuple[str, ...]
    centre: np.ndarray
    radius: float
    ends: np.ndarray  # (2, 2) points where the arc begins and ends [mm]


@dataclass(frozen=True)
class Zoom:
    """A finer mesh of a neighbourhood, and how it hangs in the old one.

    source (n, 8) old nodes and share (n, 8) their weights [-]: a value at a new node is sum(share * old values). Bodies that
    have no element here are left out. origin {body: (e,)} old element of each new one; centre and half {body: (e, 2), (e, 1)}
    where it lies there, local = centre + half * own local. rows {edge: (k,)} old row of each new one, begins and width (k,)
    the stretch of it, 0 to 1. cut (c,) new nodes at which the old mesh went on.
    """

    mesh: Mesh
    source: np.ndarray
    share: np.ndarray
    origin: dict[str, np.ndarray]
    centre: dict[str, np.ndarray]
    half: dict[str, np.ndarray]
    rows: dict[str, np.ndarray]
    begins: dict[str, np.ndarray]
    width: dict[str, np.ndarray]
    cut: np.ndarray

    def carried(self, values: np.ndarray) -> np.ndarray:
        """Values (n, c) at the new nodes of nodal values (m, c) of the old mesh."""
        return np.einsum("na,nac->nc", self.share, values[self.source])


def zoomed(mesh: Mesh, keep: Mapping[str, np.ndarray], split: set[str], ends: np.ndarray, arcs: Sequence[Arc] = ()) -> Zoom:
    """The elements keep {body: (e,) marks} of a mesh, those of the bodies split in four each.

    Bodies that share nodes are split together or not at all. ends (m,) are nodes of the mesh at which it was cut out of a
    larger one itself. Edges of which nothing is kept are left out.
    """
    kept = {body: np.flatnonzero(marks) for body, marks in keep.items() if np.any(marks)}
    old = np.concatenate([mesh.cells[body][rows] for body, rows in kept.items()])
    fine = np.concatenate([np.full(len(rows), body in split) for body, rows in kept.items()])
    source, share, number = _numbered(old, fine)
    cells, origin, centre, half = {}, {}, {}, {}
    for body, part in _stretches(kept).items():
        small, of, quarter = (_SMALL, 4, CENTRES) if body in split else (np.arange(8)[None], 1, np.zeros((1, 2)))
        cells[body] = number[part][:, small].reshape(-1, 8)
        origin[body], centre[body] = np.repeat(kept[body], of), np.tile(quarter, (len(kept[body]), 1))
        half[body] = np.full((len(cells[body]), 1), of**-0.5)
    edges, rows, begins, width = _edges(mesh, old, fine, number)
    new = Mesh(np.einsum("na,nak->nk", share, mesh.nodes[source]), cells, edges)
    return Zoom(_rounded(new, arcs), source, share, origin, centre, half, rows, begins, width, _cut(mesh, old, fine, number, ends))


def _numbered(cells: np.ndarray, fine: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Old nodes (n, 8) and weights (n, 8) of the new nodes, and numbers (e, 21) of these, -1 where an element is not split."""
    used = np.ones((len(cells), 21), bool)
    used[~fine, 8:] = False
    keys = _keys(cells)[used]
    _, first, inverse = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    number = np.full(used.shape, -1)
    number[used] = inverse.ravel()
    cell, place = (index[first] for index in np.nonzero(used))
    return cells[cell], quad8(_PLACES)[0][place], number


def _keys(cells: np.ndarray) -> np.ndarray:
    """What tells the 21 places of each element apart (e, 21, 2): equal where elements share a node, new ones included."""
    keys = np.empty((len(cells), 21, 2), int)
    keys[:, :8, 0], keys[:, :8, 1] = cells, -1
    near = np.array([0, 1, 1, 2, 2, 3, 3, 0])
    keys[:, 8:16, 0], keys[:, 8:16, 1] = cells[:, np.repeat([4, 5, 6, 7], 2)], cells[:, near]
    keys[:, 16:, 0], keys[:, 16:, 1] = -1 - np.arange(len(cells))[:, None], np.arange(5)
    return keys


def _stretches(kept: dict[str, np.ndarray]) -> dict[str, slice]:
    ends = np.cumsum([0, *(len(rows) for rows in kept.values())])
    return {body: slice(a, b) for body, a, b in zip(kept, ends[:-1], ends[1:])}


def _edges(mesh: Mesh, cells: np.ndarray, fine: np.ndarray, number: np.ndarray) -> tuple[dict, dict, dict, dict]:
    """New rows in the order of the old ones', the old row of each, and the stretch of it that each is."""
    order = np.argsort(cells[:, 4:], axis=None)
    found = cells[:, 4:].ravel()[order]
    edges, rows, begins, width = {}, {}, {}, {}
    for name, old in mesh.edges.items():
        at = np.minimum(np.searchsorted(found, old[:, 2]), len(found) - 1)
        some = np.flatnonzero(found[at] == old[:, 2])
        if not len(some):
            continue
        cell, side = np.divmod(order[at[some]], 4)
        turned = cells[cell, SIDES[side, 0]] != old[some, 0]
        halves = number[cell[:, None, None], _HALVES[side]]
        halves[turned] = halves[turned][:, ::-1][:, :, [1, 0, 2]]
        whole = number[cell[:, None], SIDES[side]]
        whole[turned] = whole[turned][:, [1, 0, 2]]
        parts = np.where(fine[cell], 2, 1)
        rows[name] = np.repeat(some, parts)
        second = np.diff(rows[name], prepend=-1) == 0
        edges[name] = np.concatenate([halves[k] if fine[c] else whole[k : k + 1] for k, c in enumerate(cell)])
        begins[name], width[name] = np.where(second, 0.5, 0.0), np.repeat(1 / parts, parts)
    return edges, rows, begins, width


def _cut(mesh: Mesh, cells: np.ndarray, fine: np.ndarray, number: np.ndarray, ends: np.ndarray) -> np.ndarray:
    """New nodes (c,) on sides behind which the old mesh went on, or where it was cut itself."""
    everything = np.bincount(np.concatenate([c[:, 4:].ravel() for c in mesh.cells.values()]), minlength=len(mesh.nodes))
    here = np.bincount(cells[:, 4:].ravel(), minlength=len(mesh.nodes))
    at_end = np.zeros(len(mesh.nodes), bool)
    at_end[ends] = True
    cell, side = np.nonzero(((here < everything) | at_end)[cells[:, 4:]])
    nodes = np.unique(np.concatenate([number[cell[:, None, None], _HALVES[side]].ravel(), number[cell[:, None], SIDES[side]].ravel()]))
    return nodes[nodes >= 0]


def _rounded(mesh: Mesh, arcs: Sequence[Arc]) -> Mesh:
    """The mesh with the nodes of its edges put on their arcs: the old mesh is off by a thousandth of the radius at most."""
    nodes = mesh.nodes.copy()
    for arc in arcs:
        names = [name for name in arc.edges if name in mesh.edges]
        if names:
            on = np.unique(np.concatenate([mesh.edges[name].ravel() for name in names]))
            nodes[on] = _on_arc(nodes[on], arc)
    return replace(mesh, nodes=nodes)


def _on_arc(points: np.ndarray, arc: Arc) -> np.ndarray:
    """Points (k, 2) with those that lie between the arc's ends, seen from its centre, put on it."""
    away = points - arc.centre
    distance = np.hypot(*away.T)
    middle = arc.ends.mean(axis=0) - arc.centre
    half = arc.ends[0] - arc.centre
    narrow = middle @ half / np.hypot(*middle) / np.hypot(*half)
    inside = (away @ middle > narrow * np.hypot(*middle) * distance) & (np.abs(distance / arc.radius - 1) < 0.1)
    return np.where(inside[:, None], arc.centre + away / distance[:, None] * arc.radius, points)

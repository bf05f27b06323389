"""Bodies of constant stiffness seen from their contact edges: factored once, condensed onto surface unknowns."""

from __future__ import annotations

import itertools

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from colletfea.fea.algebra.elimination import Table
from colletfea.fea.algebra.fronts import Fronts
from colletfea.fea.algebra.low_rank import shortened
from colletfea.fea.model.balance import Balance

#: spring on force-driven unknowns, relative to the stiffest one: bodies that only contact holds
_SPRING = 1e-7
#: the stiffness between groups only gives directions, and is kept in single precision: they need three digits, and what rounding leaves out is seen
#: in the residual, double throughout, and goes with the next correction. 80 random slit designs took as many iterations
_PRECISION = np.float32


class Condensation:
    """Static condensation of one balance's bodies, unstressed or with these element tangents (e, n, n) [N/mm; N, N mm for the angle].

    surface (c,) are the free independent unknowns on contact edges, body after body and in each edge after edge; parts are the stretch of
    each body in it; stiffness is the condensed stiffness (m, m) [N/mm; N, N mm for the angle] of each body, all else free, in that order.
    groups are the rows of each body's edges in surface, dense the stiffness between them, in the lower precision. Of each nodal
    unknown: group (size,) the number of its group, len(groups) for prescribed and inner ones, place (size,) its row there, else 0.
    Raises NotConverged where a body is neither held nor touched, or not stable.
    """

    def __init__(self, balance: Balance, precision: type = _PRECISION, tangents: np.ndarray | None = None):
        n = balance.numbering
        self.balance, self.precision = balance, precision
        tangents = balance.model.solid.rest_tangents if tangents is None else tangents
        linked, bodies = self._linked()
        self.surface, self.parts, self.groups = self._order_surface(bodies)
        middles, of_elements = balance.model.mesh.nodes[balance.model.solid.nodes_of].mean(axis=1), bodies[linked.min(axis=1)]
        self._fronts = Fronts(linked, n.free, tangents, middles, of_elements, self.surface, self._springs(linked, tangents))
        self.inner, self.stiffness = self._fronts.inner, self._fronts.stiffness
        self.dense = self._by_groups()
        self.group, self.place = np.full(n.count, len(self.groups)), np.zeros(n.count, np.int32)
        for k, rows in enumerate(self.groups):
            self.group[self.surface[rows]], self.place[self.surface[rows]] = k, np.arange(len(rows))
        self.group, self.place = self.group[n.number], self.place[n.number]

    def _linked(self) -> tuple[np.ndarray, np.ndarray]:
        """Independent unknowns (e, d) of the elements, and the number (count,) of the body of each, prescribed ones' -1."""
        n = self.balance.numbering
        linked = n.number[self.balance.model.solid.dofs]
        first = np.broadcast_to(linked.min(axis=1, keepdims=True), linked.shape)  # a free one where there is any
        free = linked < n.free
        links = coo_matrix((np.ones(free.sum(), bool), (first[free], linked[free])), shape=(n.free, n.free))
        return linked, np.append(connected_components(links, directed=False)[1], np.full(n.count - n.free, -1))

    def _springs(self, linked: np.ndarray, tangents: np.ndarray) -> np.ndarray:
        n = self.balance.numbering
        springs, diagonal = np.zeros(n.free), np.diagonal(tangents, axis1=1, axis2=2)
        stiffest = np.bincount(linked.ravel(), diagonal.ravel(), n.count)[: n.free].max(initial=0.0)
        for drive in n.drives:
            if drive.force is not None:
                springs[n.unknown(drive.name)] = _SPRING * stiffest * n.weight[n.unknown(drive.name)] ** -2
        return springs

    def _order_surface(self, bodies: np.ndarray) -> tuple[np.ndarray, list[slice], list[np.ndarray]]:
        """The surface, each body's part of it and the groups."""
        unknowns, edge = self._on_edges()
        body = bodies[unknowns]
        order = np.lexsort((edge, body))
        places = np.arange(len(order))
        new = np.any(np.diff([body[order], edge[order]], axis=1), axis=0)
        groups = np.split(places, np.flatnonzero(new) + 1) if len(order) else []
        ends = np.cumsum([0, *np.unique(body, return_counts=True)[1]])
        return unknowns[order], [slice(a, b) for a, b in zip(ends[:-1], ends[1:])], groups

    def _on_edges(self) -> tuple[np.ndarray, np.ndarray]:
        """Free unknowns (c,) on contact edges, along their chains, and the number (c,) of the first edge each lies on."""
        model, n = self.balance.model, self.balance.numbering
        found = []
        for pair in model.contact.pairs:
            for name in (pair.follower, pair.leader):
                nodes = model.mesh.edge_nodes(name)
                found.append(n.number[nodes[:, None] * model.unknowns + np.arange(model.unknowns)].ravel())
        every = np.concatenate([*found, np.empty(0, int)])
        edge = np.repeat(np.arange(len(found)), [len(some) for some in found])
        first = np.sort(np.unique(every, return_index=True)[1])
        first = first[every[first] < n.free]
        return every[first], edge[first]

    def _by_groups(self) -> Table:
        """Stiffness between the groups of each body."""
        table = {}
        for part, stiffness in zip(self.parts, self.stiffness):
            own = [(k, g - part.start) for k, g in enumerate(self.groups) if part.start <= g[0] < part.stop]
            rough = stiffness.astype(self.precision)
            table |= {(i, j): rough[a[0] : a[-1] + 1, b[0] : b[-1] + 1] for i, a in own for j, b in own}
            for (i, _), (j, _) in itertools.combinations(own, 2):
                weights = (self.balance.numbering.weight[self.surface[self.groups[k]]] for k in (i, j))
                table[i, j], table[j, i] = shortened(table[i, j], *weights)
        return table

    def pull(self, moved: np.ndarray) -> np.ndarray:
        """Forces (count,) [N; N mm] of the unstressed bodies that all independent unknowns (count,) [mm; rad] move."""
        n, solid = self.balance.numbering, self.balance.model.solid
        local = (solid.rest_tangents @ n.expand(moved)[solid.dofs][..., None]).ravel()
        return n.reduce(np.bincount(solid.dofs.ravel(), local, solid.size))

    def condense(self, force: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Forces (count,) [N; N mm] on free unknowns as forces (c,) on the surface, and inner displacements (i,) [mm; rad].

        Those are what the forces move while the surface, and what is eliminated later, is held.
        """
        return self._fronts.down(force)

    def spread(self, step: np.ndarray, answer: np.ndarray) -> np.ndarray:
        """Displacements (count,) [mm; rad] from those of the surface (c,) and condense's inner ones; prescribed stay 0."""
        result = np.zeros(self.balance.numbering.count)
        result[self.surface] = step
        result[self.inner] = self._fronts.up(step, answer)
        return result

    def hold(self, step: np.ndarray) -> np.ndarray:
        """Forces (c,) [N; N mm] that hold a step (c,) [mm; rad] of the surface."""
        result = np.empty(len(step))
        for part, stiffness in zip(self.parts, self.stiffness):
            result[part] = stiffness @ step[part]
        return result

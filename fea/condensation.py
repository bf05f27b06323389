"""Unstressed elastic bodies seen from their contact edges: factored once, condensed onto surface unknowns."""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_matrix, csc_matrix, csr_matrix, diags, hstack, identity, vstack
from scipy.sparse.csgraph import connected_components

from fea.blocks import Table
from fea.model import Balance
from fea.newton import NotConverged
from fea.sparse import assemble, factorise

#: spring on force-driven unknowns, relative to the stiffest one: bodies that only contact holds
_SPRING = 1e-7
#: rows of the condensed product taken at once: few enough that they leave most of the surface out (102 000 unknowns:
#: 256 to 4096 rows take 4.0, 3.6, 4.2 and 5.0 s with the rest of the set-up), and little memory
_ROWS = 512


#: what only gives directions is kept in single precision: they need three digits, and what rounding leaves out is seen
#: in the residual, double throughout, and goes with the next correction. 80 random slit designs took as many iterations
_PRECISION = np.float32


class Condensation:
    """Static condensation of one balance's unstressed bodies.

    surface (c,) are the free independent unknowns on contact edges, body after body and in each edge after
    edge; rank (count,) is their place in it or -1; stiffness is the condensed stiffness of each body, all else
    free, in that order. groups are the places of each body's edges in surface, dense the stiffness between
    them, in the lower precision, group (c,) the number of the one that holds a place. coupling takes prescribed
    displacements to forces on the free unknowns.
    """

    def __init__(self, balance: Balance, precision: type = _PRECISION):
        model, n = balance.model, balance.numbering
        self.balance, self.precision = balance, precision
        whole = assemble([(model.solid.dofs, model.solid.tangents(np.zeros(model.size)))], n.number, n.free, n.count)
        self.coupling = whole[:, n.free :]
        stiffness = (whole[:, : n.free] + diags(self._springs(whole.diagonal()))).tocsc()
        self._parts = self._order_surface()
        self.rank = np.full(n.count, -1)
        self.rank[self.surface] = np.arange(len(self.surface))
        self.inner = np.flatnonzero(self.rank[: n.free] < 0)
        self._factor = factorise(stiffness[self.inner][:, self.inner].astype(self.precision))
        self._between = stiffness[self.inner][:, self.surface].tocsr()
        self.stiffness = self._condensed(stiffness)
        self.dense = self._by_groups()
        self.group = np.repeat(np.arange(len(self.groups)), [len(g) for g in self.groups])

    def _springs(self, diagonal: np.ndarray) -> np.ndarray:
        n = self.balance.numbering
        springs = np.zeros(n.free)
        for drive in n.drives:
            if drive.force is not None:
                springs[n.unknown(drive.name)] = _SPRING * diagonal.max() * n.weight[n.unknown(drive.name)] ** -2
        return springs

    def _order_surface(self) -> list[slice]:
        """Set surface and groups, and return each body's part of the surface."""
        model, n = self.balance.model, self.balance.numbering
        unknowns, edge = self._on_edges()
        linked = n.number[model.solid.dofs]
        first = np.broadcast_to(linked.min(axis=1, keepdims=True), linked.shape)  # a free one where there is any
        free = linked < n.free
        links = coo_matrix((np.ones(free.sum(), bool), (first[free], linked[free])), shape=(n.free, n.free))
        body = connected_components(links, directed=False)[1][unknowns]
        order = np.lexsort((edge, body))
        self.surface = unknowns[order]
        places = np.arange(len(order))
        new = np.any(np.diff([body[order], edge[order]], axis=1), axis=0)
        self.groups = np.split(places, np.flatnonzero(new) + 1) if len(order) else []
        ends = np.cumsum([0, *np.unique(body, return_counts=True)[1]])
        return [slice(a, b) for a, b in zip(ends[:-1], ends[1:])]

    def _on_edges(self) -> tuple[np.ndarray, np.ndarray]:
        """Free unknowns (c,) on contact edges, and the number (c,) of the first edge that each lies on."""
        model, n = self.balance.model, self.balance.numbering
        found = []
        for pair in model.contact.pairs:
            for name in (pair.follower, pair.leader):
                nodes = model.mesh.edge_nodes(name)
                found.append(n.number[nodes[:, None] * model.unknowns + np.arange(model.unknowns)].ravel())
        every = np.concatenate([*found, np.empty(0, int)])
        edge = np.repeat(np.arange(len(found)), [len(some) for some in found])
        unknowns, first = np.unique(every, return_index=True)
        return unknowns[unknowns < n.free], edge[first[unknowns < n.free]]

    def _by_groups(self) -> Table:
        """Stiffness between the groups of each body."""
        table = {}
        for part, stiffness in zip(self._parts, self.stiffness):
            own = [(k, g - part.start) for k, g in enumerate(self.groups) if part.start <= g[0] < part.stop]
            rough = stiffness.astype(self.precision)
            table |= {(i, j): rough[a[0] : a[-1] + 1, b[0] : b[-1] + 1] for i, a in own for j, b in own}
        return table

    def _condensed(self, stiffness: csc_matrix) -> list[np.ndarray]:
        """Schur complements K_ss - K_si K_ii^-1 K_is, body by body.

        One more factorisation, of [K_ii K_is; 0 1], holds L^-1 K_is in its upper factor; with the
        symmetry of K_ii = L D L^T the product is (L^-1 K_is)^T D^-1 (L^-1 K_is).
        """
        order = self.inner[np.argsort(self._factor.perm_c)]
        count, held = len(order), len(self.surface)
        upper = hstack([stiffness[order][:, order], stiffness[order][:, self.surface]])
        border = vstack([upper, hstack([csr_matrix((held, count)), identity(held)])]).tocsc()
        lu = factorise(border, "NATURAL", pivot=0.0)
        place, factor = lu.perm_c, lu.U
        diagonal = factor.diagonal()[place[:count]]
        if np.min(diagonal, initial=1.0) <= 0:
            raise NotConverged("the bodies' stiffness is singular: a body is neither held nor touched")
        answer = factor[:, place[count:]].tocsr()[place[:count]]
        return [self._schur(stiffness, answer, diagonal, part) for part in self._parts]

    def _schur(self, stiffness: csc_matrix, answer: csr_matrix, diagonal: np.ndarray, part: slice) -> np.ndarray:
        own = self.surface[part]
        result = stiffness[own][:, own].toarray(order="F")
        columns = answer[:, part]
        rows = np.flatnonzero(np.diff(columns.indptr))
        for start in range(0, len(rows), _ROWS):
            some = rows[start : start + _ROWS]
            part = columns[some]
            used = np.flatnonzero(np.bincount(part.indices, minlength=len(own)))
            scaled = part[:, used].toarray() / np.sqrt(diagonal[some, None])
            result[np.ix_(used, used)] -= scaled.T @ scaled
        return result

    def condense(self, force: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Forces (count,) on free unknowns as forces (c,) on the surface, and the inner answer to them."""
        answer = self._answer(force[self.inner])
        return force[self.surface] - self._between.T @ answer, answer

    def spread(self, step: np.ndarray, answer: np.ndarray) -> np.ndarray:
        """Displacements (count,) from those of the surface (c,) and condense's inner answer; prescribed stay 0."""
        result = np.zeros(self.balance.numbering.count)
        result[self.surface] = step
        result[self.inner] = answer - self._answer(self._between @ step)
        return result

    def _answer(self, force: np.ndarray) -> np.ndarray:
        """Displacements of the inner unknowns under forces on them, surface held."""
        return self._factor.solve(force.astype(self.precision)).astype(float)

    def push(self, step: np.ndarray) -> np.ndarray:
        """Forces (c,) that hold a step (c,) of the surface."""
        result = np.empty(len(step))
        for part, stiffness in zip(self._parts, self.stiffness):
            result[part] = stiffness @ step[part]
        return result

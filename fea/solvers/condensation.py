"""Bodies of constant stiffness seen from their contact edges: factored once, condensed onto surface unknowns."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import numpy as np
from scipy.sparse import coo_matrix, csc_matrix, csr_matrix, diags
from scipy.sparse.csgraph import connected_components

from colletfea.fea.algebra.elimination import Table
from colletfea.fea.algebra.low_rank import shortened
from colletfea.fea.algebra.sparse import assemble, factorise
from colletfea.fea.errors import NotConverged
from colletfea.fea.model.balance import Balance

#: spring on force-driven unknowns, relative to the stiffest one: bodies that only contact holds
_SPRING = 1e-7
#: default rows of the condensed product taken at once: few enough that they leave most of the surface out (103 000
#: unknowns: 256 to 2048 rows take 1.4, 1.5, 1.8 and 2.6 s), and little memory
_ROWS = 512
#: what only gives directions is kept in single precision: they need three digits, and what rounding leaves out is seen
#: in the residual, double throughout, and goes with the next correction. 80 random slit designs took as many iterations
_PRECISION = np.float32


class Condensation:
    """Static condensation of one balance's bodies, unstressed or with these element tangents (e, n, n) [N/mm; N, N mm for the angle].

    surface (c,) are the free independent unknowns on contact edges, body after body and in each edge after
    edge; parts are the stretch of each body in it; rank (count,) is an unknown's row in it or -1; stiffness is the
    condensed stiffness (m, m) [N/mm; N, N mm for the angle] of each body, all else free, in that order. groups are the
    rows of each body's edges in surface, dense the stiffness between them, in the lower precision, group (c,) the
    number of the group that a row is in, start the first row of each. coupling takes prescribed displacements to forces on the free unknowns.
    rows of the condensed product are taken at once. Raises NotConverged where a body is neither held nor touched, or not stable.
    """

    def __init__(self, balance: Balance, precision: type = _PRECISION, rows: int = _ROWS, tangents: np.ndarray | None = None):
        n = balance.numbering
        self.balance, self.precision, self._rows = balance, precision, rows
        self.surface, self.parts, self.groups = self._order_surface()
        self.rank = np.full(n.count, -1, np.int32)
        self.rank[self.surface] = np.arange(len(self.surface))
        self.inner = np.flatnonzero(self.rank[: n.free] < 0)
        stiffness, self.coupling = self._inner_first(balance.model.solid.rest_tangents if tangents is None else tangents)
        inside = stiffness[:, : len(self.inner)][: len(self.inner)]
        self._inner = factorise(inside.astype(self.precision))
        self._between = stiffness[:, len(self.inner) :][: len(self.inner)].tocsr()
        self.stiffness = self._condensed(stiffness)
        self.dense = self._by_groups()
        self.start = np.array([g[0] for g in self.groups], int)
        self.group = np.repeat(np.arange(len(self.groups)), [len(g) for g in self.groups])

    def _inner_first(self, tangents: np.ndarray) -> tuple[csc_matrix, csc_matrix]:
        """Stiffness of the free unknowns, inner ones before the surface's, and coupling."""
        model, n = self.balance.model, self.balance.numbering
        order = np.concatenate([self.inner, self.surface, np.arange(n.free, n.count)])
        place = np.argsort(order)
        whole = assemble([(model.solid.dofs, tangents)], place[n.number], n.free, n.count)
        springs = self._springs(whole.diagonal())[order[: n.free]]
        return (whole[:, : n.free] + diags(springs)).tocsc(), whole[:, n.free :][place[: n.free]]

    def _springs(self, diagonal: np.ndarray) -> np.ndarray:
        n = self.balance.numbering
        springs = np.zeros(n.free)
        for drive in n.drives:
            if drive.force is not None:
                springs[n.unknown(drive.name)] = _SPRING * diagonal.max() * n.weight[n.unknown(drive.name)] ** -2
        return springs

    def _order_surface(self) -> tuple[np.ndarray, list[slice], list[np.ndarray]]:
        """The surface, each body's part of it and the groups."""
        model, n = self.balance.model, self.balance.numbering
        unknowns, edge = self._on_edges()
        linked = n.number[model.solid.dofs]
        first = np.broadcast_to(linked.min(axis=1, keepdims=True), linked.shape)  # a free one where there is any
        free = linked < n.free
        links = coo_matrix((np.ones(free.sum(), bool), (first[free], linked[free])), shape=(n.free, n.free))
        body = connected_components(links, directed=False)[1][unknowns]
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

    def _condensed(self, stiffness: csc_matrix) -> list[np.ndarray]:
        """Schur complements K_ss - K_si K_ii^-1 K_is, body by body.

        One more factorisation, of [K_ii K_is; 0 1], holds L^-1 K_is in its upper factor; with the
        symmetry of K_ii = L D L^T the product is (L^-1 K_is)^T D^-1 (L^-1 K_is).
        """
        count = len(self.inner)
        upper, rest = stiffness[:count].tocoo(), np.arange(count, stiffness.shape[0])
        order = np.concatenate([self._inner.perm_c, rest])
        row, column = (np.concatenate([order[x], rest]) for x in (upper.row, upper.col))
        values = np.concatenate([upper.data, np.ones(len(rest))])
        lu = factorise(coo_matrix((values, (row, column)), shape=stiffness.shape).tocsc(), "NATURAL", pivot=0.0)
        factor = lu.U
        diagonal = factor.diagonal()
        if np.min(diagonal, initial=1.0) <= 0:
            raise NotConverged("the bodies' stiffness is singular: a body is neither held nor touched")
        weight = diagonal**-0.5
        weight[lu.perm_c[count:]] = 0.0  # the identity's rows
        surface, answer = stiffness[:, count:][count:], factor[:, lu.perm_c[count:]]
        return [self._schur(surface[:, x][x], answer[:, x].tocsr(), weight, x.start) for x in self.parts]

    def _schur(self, own: csc_matrix, answer: csr_matrix, weight: np.ndarray, start: int) -> np.ndarray:
        """Of one body, whose surface begins at start; weight are those of the rows of answer."""
        result = own.toarray(order="C")
        starts = [g[0] - start for g in self.groups if start <= g[0] < start + len(result)]
        for some in _alike(answer, self._rows):
            bands = [(x, block.toarray() * weight[some, None]) for x, block in _bands(answer[some], starts)]
            for k, (i, left) in enumerate(bands):
                for j, right in bands[k:]:
                    result[i, j] -= left.T @ right
        for i in starts[1:]:
            result[i:, :i] = result[:i, i:].T
        return result.T  # symmetric: in the order that LAPACK wants

    def condense(self, force: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Forces (count,) [N; N mm] on free unknowns as forces (c,) on the surface, and inner displacements (i,) [mm; rad].

        Those are what the forces move while the surface is held.
        """
        answer = self._answer(force[self.inner])
        return force[self.surface] - self._between.T @ answer, answer

    def spread(self, step: np.ndarray, answer: np.ndarray) -> np.ndarray:
        """Displacements (count,) [mm; rad] from those of the surface (c,) and condense's inner ones; prescribed stay 0."""
        result = np.zeros(self.balance.numbering.count)
        result[self.surface] = step
        result[self.inner] = answer - self._answer(self._between @ step)
        return result

    def _answer(self, force: np.ndarray) -> np.ndarray:
        """Displacements of the inner unknowns under forces on them, surface held."""
        return self._inner.solve(force.astype(self.precision)).astype(float)

    def hold(self, step: np.ndarray) -> np.ndarray:
        """Forces (c,) [N; N mm] that hold a step (c,) [mm; rad] of the surface."""
        result = np.empty(len(step))
        for part, stiffness in zip(self.parts, self.stiffness):
            result[part] = stiffness @ step[part]
        return result


def _alike(matrix: csr_matrix, count: int) -> Iterator[np.ndarray]:
    """Rows that hold anything, count at a time; those that reach over like columns come together."""
    rows = np.flatnonzero(np.diff(matrix.indptr))
    if not len(rows):
        return
    first, last = (reduce.reduceat(matrix.indices, matrix.indptr[rows]) for reduce in (np.minimum, np.maximum))
    order = rows[np.lexsort((first, np.log2(last - first + 1).astype(int)))]
    for start in range(0, len(order), count):
        yield order[start : start + count]


def _bands(rows: csr_matrix, starts: list[int]) -> Iterator[tuple[slice, csr_matrix]]:
    """Of each stretch of columns that begins at one of starts: the columns that hold anything."""
    used = np.flatnonzero(np.bincount(rows.indices, minlength=rows.shape[1]))
    for some in np.split(used, np.searchsorted(used, starts[1:])):
        if len(some):
            band = slice(some[0], some[-1] + 1)
            yield band, rows[:, band]

"""Direct solution of dense diagonal blocks with a sparse coupling: elastic bodies and their contact."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import NamedTuple

import numpy as np
from scipy.linalg import get_lapack_funcs
from scipy.sparse import csr_matrix

from colletfea.fea.algebra.entries import Entries
from colletfea.fea.algebra.low_rank import LowRank
from colletfea.fea.errors import NotConverged

#: matrices between groups of unknowns, by their numbers; what is missing is zero
Table = dict[tuple[int, int], np.ndarray | Entries | LowRank]


class _Link(NamedTuple):
    """How an eliminated group is coupled to the group parent."""

    parent: int
    reach: slice | np.ndarray  # columns of the coupling that are not zero, or a matrix (r, m)
    spread: np.ndarray  # the group's displacements per unit of it
    back: np.ndarray | csr_matrix | LowRank  # forces on the parent's unknowns from the group's


class _Leaf(NamedTuple):
    """An eliminated group: its unknowns, its LU, and how it is coupled to what is eliminated later."""

    own: np.ndarray
    lu: tuple[np.ndarray, np.ndarray]
    links: tuple[_Link, ...]
    taken: dict[tuple[int, int], np.ndarray]  # back of one parent @ spread of another, subtracted from those columns between them
    under: frozenset[int]  # groups eliminated onto this one before

    @property
    def parents(self) -> set[int]:
        """Groups that this one is eliminated onto."""
        return {link.parent for link in self.links}


class BlockLU:
    """LU of a matrix of groups of unknowns, group by group.

    own are the unknowns (m,) of each group, dense what couples those of one body, contact what contact adds, sparse,
    both [N/mm; N, N mm for the angle]. A group coupled to one other only, by contact, is eliminated onto that one at
    the cost of its own size; where there is none such (a body of three edges, bodies coupled in a circle), one goes onto
    all that it is coupled to.
    ages tell when each group's part of contact last changed, as a count of factorisations. Groups that did not change
    for longest are eliminated first, and taken from `before` if nothing eliminated onto them has changed since.
    Precision is that of `dense`. Raises NotConverged where a group is singular.
    """

    def __init__(self, own: list[np.ndarray], dense: Table, contact: Table,
                 ages: list[int] | None = None, before: BlockLU | None = None):
        self._own, self._dense, self._contact = own, dense, contact
        self._ages = ages or [0] * len(own)
        self.leaves: dict[int, _Leaf] = {}
        self._eliminate({} if before is None else before._unchanged(self._ages))

    def _unchanged(self, ages: list[int]) -> dict[int, _Leaf]:
        """Eliminated groups whose part of contact is as old as now."""
        return {k: leaf for k, leaf in self.leaves.items() if self._ages[k] == ages[k]}

    def _eliminate(self, kept: dict[int, _Leaf]) -> None:
        links: dict[int, set[int]] = {k: set() for k in range(len(self._own))}
        for i, j in (*self._dense, *self._contact):
            if i != j:
                links[i].add(j)
                links[j].add(i)
        while links:
            k = min(links, key=lambda k: (len(links[k]) > 1, self._ages[k], len(self._own[k])))
            others = links.pop(k)
            self.leaves[k] = self._leaf(kept, k, others)
            for j in others:
                links[j] = (links[j] | others) - {j, k}

    def _under(self, *groups: int) -> frozenset[int]:
        """Groups that were eliminated onto all of these."""
        return frozenset(i for i, leaf in self.leaves.items() if leaf.parents.issuperset(groups))

    def _leaf(self, kept: dict[int, _Leaf], k: int, parents: set[int]) -> _Leaf:
        under, old = self._under(k), kept.get(k)
        if old and (old.parents, old.under) == (parents, under) and all(self.leaves[i] is kept.get(i) for i in under):
            return old
        lu = _lu(self._less_taken(k, k, self._diagonal(k)))
        felt = [(j, *_split(self._between(k, j))) for j in sorted(parents)]
        links = tuple(_Link(j, reach, _lu_solve(lu, np.asfortranarray(front)), _ready(self._between(j, k))) for j, front, reach in felt)
        taken = {(a.parent, b.parent): a.back @ b.spread for a in links for b in links}
        return _Leaf(self._own[k], lu, links, taken, under)

    def _diagonal(self, k: int) -> np.ndarray:
        """The group's own matrix."""
        whole = np.array(self._dense[k, k], order="F")
        return self._contact[k, k].add_to(whole) if (k, k) in self._contact else whole

    def _less_taken(self, i: int, j: int, whole: np.ndarray) -> np.ndarray:
        """A matrix (n, m) between groups after what was eliminated onto both, in place."""
        for leaf in (self.leaves[k] for k in self._under(i, j)):
            reach = next(link.reach for link in leaf.links if link.parent == j)
            if isinstance(reach, slice):
                whole[:, reach] -= leaf.taken[i, j]
            else:
                whole -= leaf.taken[i, j] @ reach
        return whole

    def _between(self, i: int, j: int) -> np.ndarray | Entries | LowRank:
        dense, sparse = self._dense.get((i, j)), self._contact.get((i, j))
        if self._under(i, j):
            whole = np.zeros((len(self._own[i]), len(self._own[j])), self._dense[i, i].dtype)
            for some in (dense, sparse):
                whole += 0 if some is None else _full(some)
            return self._less_taken(i, j, whole)
        if dense is None:
            return sparse
        return dense if sparse is None else _full(dense) + sparse.toarray()

    def solve(self, right: np.ndarray) -> np.ndarray:
        """Solution (n,) [mm; rad] for the right-hand side (n,) [N; N mm]."""
        x = right.astype(next((self._dense[k, k].dtype for k in self.leaves), float))
        for leaf in self.leaves.values():
            x[leaf.own] = _lu_solve(leaf.lu, x[leaf.own])
            for link in leaf.links:
                x[self._own[link.parent]] -= link.back @ x[leaf.own]
        for leaf in reversed(self.leaves.values()):
            for link in leaf.links:
                above = x[self._own[link.parent]]
                x[leaf.own] -= link.spread @ (above[link.reach] if isinstance(link.reach, slice) else link.reach @ above)
        return x.astype(float)


def _split(matrix: np.ndarray | Entries | LowRank) -> tuple[np.ndarray, slice | np.ndarray]:
    """A matrix between groups as a dense one and what that acts on, see _Link.reach."""
    if isinstance(matrix, LowRank):
        return matrix.left, matrix.right
    if not isinstance(matrix, Entries):
        return matrix, slice(None)
    first, end = np.min(matrix.column, initial=matrix.shape[1]), np.max(matrix.column, initial=-1) + 1
    felt = np.zeros((matrix.shape[0], max(end - first, 0)), matrix.values.dtype, order="F")
    return matrix.add_to(felt, first), slice(first, end)


def _full(matrix: np.ndarray | Entries | LowRank) -> np.ndarray:
    if isinstance(matrix, LowRank):
        return matrix.left @ matrix.right
    return matrix.toarray() if isinstance(matrix, Entries) else matrix


def _ready(matrix: np.ndarray | Entries | LowRank) -> np.ndarray | csr_matrix | LowRank:
    """The matrix as it is multiplied with."""
    return matrix.tocsr() if isinstance(matrix, Entries) else matrix


@cache
def _lapack(precision: str) -> tuple[Callable, Callable]:
    """Factorisation and solution of dense matrices in a precision."""
    return get_lapack_funcs(("getrf", "getrs"), dtype=precision)


def _lu(block: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    lu, pivots, info = _lapack(block.dtype.char)[0](block, overwrite_a=True)
    if info > 0:
        raise NotConverged("the contact tangent is singular")
    return lu, pivots


def _lu_solve(lu: tuple[np.ndarray, np.ndarray], right: np.ndarray) -> np.ndarray:
    return _lapack(lu[0].dtype.char)[1](*lu, right)[0]

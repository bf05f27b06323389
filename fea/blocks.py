"""Direct solution of dense diagonal blocks with a sparse coupling: elastic bodies and their contact."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.linalg import lapack
from scipy.sparse import csr_matrix

from fea.newton import NotConverged


class _Leaf(NamedTuple):
    """An eliminated block: its unknowns, its LU, and how it hangs on the block other (None: it does not)."""

    own: np.ndarray
    lu: tuple[np.ndarray, np.ndarray]
    other: np.ndarray | None = None
    columns: np.ndarray | None = None  # unknowns of other that the block feels
    spread: np.ndarray | None = None  # own answer to them
    rows: np.ndarray | None = None  # unknowns of other whose force the block changes
    back: csr_matrix | None = None  # by so much


class Blocks:
    """LU of blockdiag(dense) + coupling, block by block.

    dense are square arrays; coupling is sparse on all their unknowns, in that order. A block coupled to
    one other only, a ring on its sleeve, is eliminated onto that one at the cost of its own size; what is
    left once there is none such (bodies coupled in a circle) is solved as one block.
    Raises NotConverged where a block is singular.
    """

    def __init__(self, dense: list[np.ndarray], coupling: csr_matrix):
        ends = np.cumsum([0, *(len(block) for block in dense)])
        self._own = [np.arange(a, b) for a, b in zip(ends[:-1], ends[1:])]
        table = coupling.tocoo()
        owner = np.repeat(np.arange(len(dense)), np.diff(ends))
        place = np.arange(ends[-1]) - ends[owner]
        self._owners = owner[table.row], owner[table.col]
        self._table = table.data, place[table.row], place[table.col]
        self._leaves: list[_Leaf] = []
        self._eliminate([self._diagonal(k, block) for k, block in enumerate(dense)])

    def _part(self, i: int, j: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Values, rows and columns of the coupling between rows of block i and columns of block j."""
        here = np.flatnonzero((self._owners[0] == i) & (self._owners[1] == j))
        value, row, column = (t[here] for t in self._table)
        return value, row, column

    def _diagonal(self, k: int, block: np.ndarray) -> np.ndarray:
        whole = np.array(block, order="F")
        value, row, column = self._part(k, k)
        whole[row, column] += value
        return whole

    def _coupling(self, i: int, j: int) -> csr_matrix:
        value, row, column = self._part(i, j)
        return csr_matrix((value, (row, column)), shape=(len(self._own[i]), len(self._own[j])))

    def _eliminate(self, whole: list[np.ndarray]) -> None:
        links: dict[int, set[int]] = {k: set() for k in range(len(whole))}
        for i, j in np.argwhere(self._linked(len(whole))).tolist():
            links[i].add(j)
        while links:
            k = min(links, key=lambda k: (len(links[k]), len(whole[k])))
            if len(links[k]) > 1:
                self._leaves.append(self._rest(whole, list(links)))
                return
            others = links.pop(k)
            self._leaves.append(self._leaf(whole, k, *others))
            for j in others:
                links[j].remove(k)

    def _linked(self, count: int) -> np.ndarray:
        """Which blocks (count, count) are coupled to which others, either way."""
        linked = np.zeros((count, count), bool)
        linked[self._owners] = True
        return (linked | linked.T) & ~np.eye(count, dtype=bool)

    def _leaf(self, whole: list[np.ndarray], k: int, j: int | None = None) -> _Leaf:
        lu = _lu(whole[k])
        if j is None:
            return _Leaf(self._own[k], lu)
        front, back = self._coupling(k, j), self._coupling(j, k)
        columns, rows = np.flatnonzero(np.diff(front.tocsc().indptr)), np.flatnonzero(np.diff(back.indptr))
        spread, back = lapack.dgetrs(*lu, front[:, columns].toarray(order="F"), overwrite_b=True)[0], back[rows]
        whole[j][np.ix_(rows, columns)] -= back @ spread
        return _Leaf(self._own[k], lu, self._own[j], columns, spread, rows, back)

    def _rest(self, whole: list[np.ndarray], ids: list[int]) -> _Leaf:
        rows = [[whole[i] if i == j else self._coupling(i, j).toarray() for j in ids] for i in ids]
        return _Leaf(np.concatenate([self._own[i] for i in ids]), _lu(np.asfortranarray(np.block(rows))))

    def solve(self, right: np.ndarray) -> np.ndarray:
        """Solution (n,) for the right-hand side (n,)."""
        x = right.copy()
        for leaf in self._leaves:
            x[leaf.own] = lapack.dgetrs(*leaf.lu, x[leaf.own])[0]
            if leaf.other is not None:
                x[leaf.other[leaf.rows]] -= leaf.back @ x[leaf.own]
        for leaf in reversed(self._leaves):
            if leaf.other is not None:
                x[leaf.own] -= leaf.spread @ x[leaf.other[leaf.columns]]
        return x


def _lu(block: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    lu, pivots, info = lapack.dgetrf(block, overwrite_a=True)
    if info > 0:
        raise NotConverged("the contact tangent is singular")
    return lu, pivots

"""Elimination of a mesh's inner unknowns front by front: the elements are halved again and again, and each half gives on what it shares."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.linalg import get_lapack_funcs

from colletfea.fea.errors import NotConverged

#: most elements of the smallest fronts: with 16, 32, 48 and 96 a coupling of 8 300 unknowns is set up in 85, 62, 70 and 150 ms
_LEAF = 32


class _Front(NamedTuple):
    """What is eliminated together: its places and those (b,) that it is coupled to and are eliminated later.

    both (m, m + b): the inverse of its own stiffness, then carry (m, b), that times the stiffness to the rest.
    """

    own: slice
    rest: np.ndarray
    both: np.ndarray
    carry: np.ndarray


class Fronts:
    """Symmetric stiffness of bodies made of elements, the unknowns that are kept last.

    unknowns (e, d) are the numbers of each element's, those below count free, the others held; tangents (e, d, d), middles (e, 2)
    [mm] and bodies (e,) of elements; kept (c,) numbers, body after body; springs (count,) are added to the diagonal. inner (i,) are
    the other numbers in the order of elimination, stiffness [(m, m)] what is left of each body that keeps any. Nested dissection
    and the multifrontal method, e.g. Davis, Direct Methods for Sparse Linear Systems, ch. 6 and 7 (from memory).
    All is in double precision: in single, what a thin wall bends by gets lost on its way from front to front, and of 16 lifted plates two
    found no balance. Raises NotConverged where a body is not held or not stable.
    """

    def __init__(self, unknowns: np.ndarray, count: int, tangents: np.ndarray, middles: np.ndarray, bodies: np.ndarray,
                 kept: np.ndarray, springs: np.ndarray):
        trees = [_halved(middles, some) for some in (np.flatnonzero(bodies == k) for k in range(bodies.max(initial=-1) + 1))]
        self._order(unknowns, count, bodies, kept, trees)
        self.inner = self._numbers[: count - len(kept)]
        self._springs = springs[self._numbers]
        place = np.full(max(count, unknowns.max(initial=0) + 1), count)
        place[self._numbers] = np.arange(count)
        self._fronts: list[_Front] = []
        self.stiffness = [left for k, tree in enumerate(trees) if len(left := self._eliminated(k, tree, place[unknowns], tangents))]

    def _order(self, unknowns: np.ndarray, count: int, bodies: np.ndarray, kept: np.ndarray, trees: list[list[np.ndarray]]) -> None:
        """Each unknown goes where all elements that share it have come together; kept ones come after all."""
        leaf = np.empty(len(unknowns), np.int64)
        for tree in trees:
            leaf[np.concatenate(tree)] = np.repeat(np.arange(len(tree)), [len(some) for some in tree])
        free = unknowns < count
        owner, first, last = np.zeros(count, np.int64), np.full(count, len(unknowns)), np.zeros(count, np.int64)
        where, mine = unknowns[free], np.broadcast_to(leaf[:, None], unknowns.shape)[free]
        owner[where] = np.broadcast_to(bodies[:, None], unknowns.shape)[free]
        np.minimum.at(first, where, mine)
        np.maximum.at(last, where, mine)
        if np.any(first > last):
            raise NotConverged("the bodies' stiffness is singular: an unknown belongs to no element")
        height = np.frexp(first ^ last)[1].astype(np.int64)
        key = _key(owner, height, first >> height)
        key[kept] = np.iinfo(np.int64).max
        order = np.argsort(key, kind="stable")
        self._keys = key[order]
        self._numbers = np.concatenate([order[: count - len(kept)], kept])

    def _eliminated(self, body: int, tree: list[np.ndarray], place: np.ndarray, tangents: np.ndarray) -> np.ndarray:
        """Go up a body's tree; what is left on its kept unknowns (m, m)."""
        parts, height = [_assembled(place[some], tangents[some], len(self._numbers)) for some in tree], 0
        while True:
            parts = [self._front(_key(body, height, k), *part) for k, part in enumerate(parts)]
            if len(parts) == 1:
                (kept, left), = parts
                left[np.diag_indices(len(kept))] += self._springs[kept]
                return left.T  # symmetric: in the order that LAPACK wants
            parts, height = [_joined(*two) for two in zip(parts[::2], parts[1::2])], height + 1

    def _front(self, key: int, ids: np.ndarray, whole: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Eliminate what comes to its end in a front, places ids (n,), stiffness whole (n, n); the rest and its stiffness."""
        own = slice(*np.searchsorted(self._keys, [key, key + 1]).tolist())
        m = own.stop - own.start
        if not m:
            return ids, whole
        whole[np.diag_indices(m)] += self._springs[own]
        factor, info = _POTRF(whole[:m, :m], lower=True)
        if info:
            raise NotConverged("the bodies' stiffness is singular: a body is neither held nor touched")
        half = _TRTRS(factor, np.hstack([np.eye(m), whole[:m, m:]]), lower=True)[0]
        full = _TRTRS(factor, half, lower=True, trans=1)[0]
        self._fronts.append(_Front(own, ids[m:], full, full[:, m:]))
        shared = half[:, m:]
        return ids[m:], whole[m:, m:] - shared.T @ shared  # half the work of any other product

    def down(self, force: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Forces (count,) as forces (c,) on the kept unknowns, and displacements (i,) of the inner ones while what comes later is held."""
        x, answer = force[self._numbers], np.empty(len(self.inner))
        for own, rest, both, _ in self._fronts:
            found, m = x[own] @ both, len(both)
            answer[own] = found[:m]
            x[rest] -= found[m:]
        return x[len(answer) :], answer

    def up(self, step: np.ndarray, answer: np.ndarray) -> np.ndarray:
        """Displacements (i,) of the inner unknowns from those of the kept ones (c,) and what down answered."""
        x = np.concatenate([answer, step])
        for own, rest, _, carry in reversed(self._fronts):
            x[own] -= carry @ x[rest]
        return x[: len(answer)]


_POTRF, _TRTRS = get_lapack_funcs(("potrf", "trtrs"), dtype=float)


def _key(body, height, node):
    """A number that rises with the order of elimination: whole numbers, or arrays of them."""
    return (body * 64 + height) * 2**40 + node


def _halved(middles: np.ndarray, some: np.ndarray) -> list[np.ndarray]:
    """Elements some (e,) in pieces that lie together, 2^k of them: every one is halved across its longer side."""
    pieces = [some]
    while len(pieces[0]) > _LEAF:
        sides = [np.argmax(np.ptp(middles[piece], axis=0)) for piece in pieces]
        sorted_ = [piece[np.argsort(middles[piece, side], kind="stable")] for piece, side in zip(pieces, sides)]
        pieces = [half for piece in sorted_ for half in (piece[: (len(piece) + 1) // 2], piece[(len(piece) + 1) // 2 :])]
    return pieces


def _assembled(places: np.ndarray, tangents: np.ndarray, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Free places (n,) that elements have, and their stiffness (n, n) there."""
    ids = np.unique(places)
    ids = ids[: np.searchsorted(ids, count)]
    at, size = np.searchsorted(ids, places), len(ids) + 1
    whole = np.bincount((at[:, :, None] * size + at[:, None, :]).ravel(), tangents.ravel(), size * size).reshape(size, size)
    return ids, whole[:-1, :-1]


def _joined(one: tuple[np.ndarray, np.ndarray], other: tuple[np.ndarray, np.ndarray]) -> tuple[np.ndarray, np.ndarray]:
    """The sum of two parts, over the places of both."""
    ids = np.union1d(one[0], other[0])
    whole = np.zeros((len(ids),) * 2)
    first, second = (np.ix_(at, at) for at in (np.searchsorted(ids, places) for places, _ in (one, other)))
    whole[first] = one[1]
    whole[second] += other[1]
    return ids, whole

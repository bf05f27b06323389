"""Block elimination of bodies and their contact against numpy's dense solution of the same matrix."""

import numpy as np
import pytest

from colletfea.fea.algebra.elimination import BlockLU
from colletfea.fea.algebra.entries import Entries
from colletfea.fea.algebra.low_rank import LowRank
from colletfea.fea.errors import NotConverged

#: a ring's face, a sleeve's two, a shaft's, and one that stands alone
SIZES = (5, 9, 4, 3, 2)
OWN = np.split(np.arange(sum(SIZES)), np.cumsum(SIZES)[:-1])
BODIES = [(0,), (1, 2), (3,), (4,)]
CHAIN = [(0, 1), (2, 3)]
CIRCLE = [(0, 1), (2, 3), (3, 0)]


def bodies(rng):
    table = {}
    for body in BODIES:
        a = rng.standard_normal((sum(SIZES[k] for k in body),) * 2)
        whole, ends = a @ a.T + 0.1 * np.eye(len(a)), np.cumsum([0, *(SIZES[k] for k in body)])
        for i, k in enumerate(body):
            for j, m in enumerate(body):
                table[k, m] = whole[ends[i] : ends[i + 1], ends[j] : ends[j + 1]]
    return table


def coupling(rng, links):
    """Unsymmetric, on two unknowns of each group of a linked pair."""
    table = {}
    for i, j in links:
        some = {k: rng.choice(SIZES[k], 2, False) for k in (i, j)}
        for k in (i, j):
            for m in (i, j):
                row, column = (x.ravel() for x in np.meshgrid(some[k], some[m], indexing="ij"))
                block = Entries(row, column, rng.standard_normal(4), (SIZES[k], SIZES[m]))
                table[k, m] = block if (k, m) not in table else table[k, m] + block
    return table


def matrix(*tables):
    whole = np.zeros((sum(SIZES),) * 2)
    for table in tables:
        for (i, j), block in table.items():
            whole[np.ix_(OWN[i], OWN[j])] += block if isinstance(block, np.ndarray) else block.toarray()
    return whole


def check(blocks, *tables):
    right = np.random.default_rng(9).standard_normal(sum(SIZES))
    kept = right.copy()
    np.testing.assert_allclose(blocks.solve(right), np.linalg.solve(matrix(*tables), right), rtol=1e-9)
    np.testing.assert_array_equal(right, kept)


@pytest.mark.parametrize("links", [[], CHAIN, CIRCLE], ids=["apart", "chain", "circle"])
@pytest.mark.parametrize("ages", [None, [0, 0, 3, 3, 0], [3, 3, 0, 0, 0]], ids=["alike", "bore last", "cone last"])
def test_same_solution_as_dense(links, ages):
    rng = np.random.default_rng(1)
    dense, extra = bodies(rng), coupling(rng, links)
    check(BlockLU(OWN, dense, extra, ages), dense, extra)


@pytest.mark.parametrize("links", [[], CHAIN, CIRCLE, [*CHAIN, (1, 2)]], ids=["apart", "chain", "circle", "across"])
@pytest.mark.parametrize("ages", [[0, 0, 3, 3, 0], [3, 3, 0, 0, 0]], ids=["bore last", "cone last"])
def test_low_rank_between_the_sleeve_s_faces(links, ages):
    """Same solution as with the product of its factors in their place."""
    rng = np.random.default_rng(6)
    dense, extra = bodies(rng), coupling(rng, links)
    left, right = rng.standard_normal((SIZES[1], 2)), rng.standard_normal((2, SIZES[2]))
    given = dense | {(1, 2): LowRank(left, right), (2, 1): LowRank(right.T, left.T)}
    check(BlockLU(OWN, given, extra, ages), dense | {(1, 2): left @ right, (2, 1): (left @ right).T}, extra)


def test_what_did_not_change_is_kept_and_the_rest_is_new():
    """After a change at the bore, ring and sleeve's cone keep their factors; the solution is that of the new matrix."""
    rng = np.random.default_rng(3)
    dense, cone, bore = bodies(rng), coupling(rng, [(0, 1)]), coupling(rng, [(2, 3)])
    first = BlockLU(OWN, dense, cone | bore, [0, 0, 1, 1, 0])
    changed = coupling(rng, [(2, 3)])
    then = BlockLU(OWN, dense, cone | changed, [0, 0, 2, 2, 0], first)
    assert [then.leaves[k] is first.leaves[k] for k in range(5)] == [True, True, False, False, True]
    check(then, dense, cone, changed)


def test_a_change_below_is_carried_up():
    """A group whose own part is as it was is eliminated anew where one under it has changed."""
    rng = np.random.default_rng(4)
    dense, cone, bore = bodies(rng), coupling(rng, [(0, 1)]), coupling(rng, [(2, 3)])
    first = BlockLU(OWN, dense, cone | bore, [0, 1, 2, 2, 0])
    more = Entries(np.arange(5), np.arange(5), np.ones(5), (5, 5))
    changed = cone | {(0, 0): cone[0, 0] + more}
    check(BlockLU(OWN, dense, changed | bore, [1, 1, 2, 2, 0], first), dense, changed, bore)


def test_the_other_end_first_once_it_is_older():
    """A change at the cone turns the order round: nothing that hung the other way is taken over."""
    rng = np.random.default_rng(5)
    dense, cone, bore = bodies(rng), coupling(rng, [(0, 1)]), coupling(rng, [(2, 3)])
    first = BlockLU(OWN, dense, cone | bore, [0, 0, 1, 1, 0])
    changed = coupling(rng, [(0, 1)])
    check(BlockLU(OWN, dense, changed | bore, [2, 2, 1, 1, 0], first), dense, changed, bore)


def test_tables_given_are_left_untouched():
    rng = np.random.default_rng(2)
    dense, extra = bodies(rng), coupling(rng, CIRCLE)
    before = matrix(dense), matrix(extra)
    BlockLU(OWN, dense, extra)
    np.testing.assert_array_equal(matrix(dense), before[0])
    np.testing.assert_array_equal(matrix(extra), before[1])


def test_singular_group_is_named():
    with pytest.raises(NotConverged, match="singular"):
        BlockLU([np.arange(2), np.arange(2, 5)], {(0, 0): np.eye(2), (1, 1): np.zeros((3, 3))}, {})


def test_precision_is_that_of_the_tables():
    """Single precision: measured 1e-6 of the largest value, and double handed back."""
    rng = np.random.default_rng(5)
    dense, contact = bodies(rng), coupling(rng, CHAIN)
    right = rng.standard_normal(sum(SIZES))
    rough = BlockLU(OWN, {k: v.astype(np.float32) for k, v in dense.items()}, contact).solve(right)
    exact = BlockLU(OWN, dense, contact).solve(right)
    assert rough.dtype == float
    assert 1e-9 < np.abs(rough - exact).max() / np.abs(exact).max() < 2e-5

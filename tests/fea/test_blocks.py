"""Block elimination of bodies and their contact against numpy's dense solution of the same matrix."""

import numpy as np
import pytest
from scipy.linalg import block_diag
from scipy.sparse import csr_matrix

from fea.blocks import Blocks
from fea.newton import NotConverged

SIZES = (5, 9, 4, 3)
CHAIN = [(0, 1), (1, 2)]
CIRCLE = [(0, 1), (1, 2), (2, 0)]


def bodies(rng):
    return [a @ a.T + 0.1 * np.eye(len(a)) for a in (rng.standard_normal((n, n)) for n in SIZES)]


def coupling(rng, links):
    """Unsymmetric, on a few unknowns of each linked pair; the last block stands alone."""
    ends = np.cumsum([0, *SIZES])
    result = np.zeros((ends[-1], ends[-1]))
    for i, j in links:
        some = np.concatenate([ends[i] + rng.choice(SIZES[i], 2, False), ends[j] + rng.choice(SIZES[j], 2, False)])
        result[np.ix_(some, some)] += rng.standard_normal((4, 4))
    return result


@pytest.mark.parametrize("links", [[], CHAIN, CIRCLE], ids=["apart", "chain", "circle"])
def test_same_solution_as_dense(links):
    rng = np.random.default_rng(1)
    dense, extra = bodies(rng), coupling(rng, links)
    right = rng.standard_normal(sum(SIZES))
    kept = right.copy()
    found = Blocks(dense, csr_matrix(extra)).solve(right)
    np.testing.assert_allclose(found, np.linalg.solve(block_diag(*dense) + extra, right), rtol=1e-10)
    np.testing.assert_array_equal(right, kept)


def test_blocks_given_are_left_untouched():
    rng = np.random.default_rng(2)
    dense = bodies(rng)
    copies = [block.copy() for block in dense]
    Blocks(dense, csr_matrix(coupling(rng, CHAIN)))
    for block, copy in zip(dense, copies, strict=True):
        np.testing.assert_array_equal(block, copy)


def test_singular_block_is_named():
    with pytest.raises(NotConverged, match="singular"):
        Blocks([np.eye(2), np.zeros((3, 3))], csr_matrix((5, 5)))

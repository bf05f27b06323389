"""Sparse assembly and factorisation, shared by the solvers."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.sparse import coo_matrix, csc_matrix
from scipy.sparse.linalg import SuperLU, splu

from colletfea.fea.errors import NotConverged


Triplets = tuple[np.ndarray, np.ndarray, np.ndarray]


def assemble(
    tables: list[tuple[np.ndarray, np.ndarray]], number: np.ndarray, count: int, more: Sequence[Triplets] = ()
) -> csc_matrix:
    """Sparse sum (count, count) of dense tangents, tables of (unknown numbers (k, d), values (k, d, d)), in their unit.

    more: unknown numbers of rows and columns (k,) and values (k,), added to them.
    number (size,) are the independent unknowns; those not below count are left out. The compressed
    pattern is not kept: turning triplets into columns costs less than looking places up.
    """
    parts, number = [], number.astype(np.int32)  # what the sparse matrix keeps, and half the memory to move
    for dofs, values in tables:
        n = number[dofs]
        i = np.broadcast_to(n[:, :, None], values.shape).ravel()
        j = np.broadcast_to(n[:, None, :], values.shape).ravel()
        parts.append((i, j, values.ravel()))
    parts += [(number[i], number[j], values) for i, j, values in more]
    i, j, v = (np.concatenate(column) for column in zip(*parts))
    keep = (i < count) & (j < count)
    i, j, v = i[keep], j[keep], v[keep]
    return coo_matrix((v, (i, j)), shape=(count, count)).tocsc()


def factorise(matrix: csc_matrix) -> SuperLU:
    """Sparse LU of a matrix (n, n) with a symmetric-pattern ordering; raises NotConverged where it is singular."""
    try:
        return splu(matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.01, options={"SymmetricMode": True})
    except RuntimeError as err:
        raise NotConverged(f"the tangent is singular ({err})") from None

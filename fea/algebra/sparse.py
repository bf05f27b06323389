"""Sparse assembly and factorisation, shared by the solvers."""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_matrix, csc_matrix
from scipy.sparse.linalg import SuperLU, splu

from colletfea.fea.errors import NotConverged


def assemble(tables: list[tuple[np.ndarray, np.ndarray]], number: np.ndarray, rows: int, columns: int) -> csc_matrix:
    """Sparse sum (rows, columns) of dense tangents, tables of (unknown numbers (k, d), values (k, d, d)), in their unit.

    number (size,) are the independent unknowns; those not below rows (columns) are left out. The compressed
    pattern is not kept: turning triplets into columns costs less than looking places up.
    """
    parts, number = [], number.astype(np.int32)  # what the sparse matrix keeps, and half the memory to move
    for dofs, values in tables:
        n = number[dofs]
        i = np.broadcast_to(n[:, :, None], values.shape).ravel()
        j = np.broadcast_to(n[:, None, :], values.shape).ravel()
        keep = (i < rows) & (j < columns)
        parts.append((i[keep], j[keep], values.ravel()[keep]))
    i, j, v = (np.concatenate(column) for column in zip(*parts))
    return coo_matrix((v, (i, j)), shape=(rows, columns)).tocsc()


def factorise(matrix: csc_matrix) -> SuperLU:
    """Sparse LU of a matrix (n, n) with a symmetric-pattern ordering; raises NotConverged where it is singular."""
    try:
        return splu(matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.01, options={"SymmetricMode": True})
    except RuntimeError as err:
        raise NotConverged(f"the tangent is singular ({err})") from None

"""Dense matrices of low rank, as the product of two narrow ones."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.linalg import svd

#: share of the largest singular value that may be left out between two surfaces, and the least gain in rank for it.
#: Iterations without and with, on three models of 47 000, 33 000 and 38 000 unknowns, the last two soft (ranks 111 of 610,
#: 96 of 837): 106 and 106, 212 and 211, 182 and 183. Where elements are not small against the wall ranks are near full;
#: at 1e-3, one of 60 random designs did not converge
_LEFT_OUT, _SHARE = 1e-4, 4


class LowRank(NamedTuple):
    """A matrix (n, m) as left (n, r) @ right (r, m)."""

    left: np.ndarray
    right: np.ndarray

    def __matmul__(self, other: np.ndarray) -> np.ndarray:
        return self.left @ (self.right @ other)


def shortened(
    block: np.ndarray, rows: np.ndarray, columns: np.ndarray
) -> tuple[np.ndarray | LowRank, np.ndarray | LowRank]:
    """Stiffness (n, m) between two groups and its transpose, of low rank where that is near enough and much smaller.

    block (n, m) [N/mm; N, N mm for the angle]; rows (n,) and columns (m,) [-; 1/mm] are weights that make the unknowns
    comparable, lengths with angles. Once elements are small against the wall between two surfaces, only smooth fields
    reach across it, and the rank is low.
    Randomised range finder, Halko, Martinsson and Tropp, SIAM Review 53 (2011) (from memory).
    """
    share = min(block.shape) // _SHARE
    if not share:
        return block, block.T
    rows, columns = rows[:, None].astype(block.dtype), columns.astype(block.dtype)
    even = rows * block * columns
    basis = np.linalg.qr(even @ np.random.default_rng(0).standard_normal((even.shape[1], share), even.dtype))[0]
    left, size, right = svd(basis.T @ even, full_matrices=False, check_finite=False)
    rank = np.count_nonzero(size > _LEFT_OUT * np.max(size, initial=0.0))
    if rank >= share:
        return block, block.T
    left, right = basis @ left[:, :rank] * size[:rank] / rows, right[:rank] / columns
    return LowRank(left, right), LowRank(np.ascontiguousarray(right.T), np.ascontiguousarray(left.T))

"""Small sparse matrices as their entries, whose places may repeat."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.sparse import csr_matrix


class Entries(NamedTuple):
    """A sparse matrix of a shape, the sum of its values (k,) at rows (k,) and columns (k,).

    Most are added to a dense one once, and scipy's own classes check more than small ones are worth.
    """

    row: np.ndarray
    column: np.ndarray
    values: np.ndarray
    shape: tuple[int, int]

    def add_to(self, whole: np.ndarray, first: int = 0) -> np.ndarray:
        """Add to columns of a dense matrix (n, m) that lies in Fortran's order, whose own begin at first; returns it."""
        np.add.at(whole.ravel("A"), (self.column - first) * np.intp(whole.shape[0]) + self.row, self.values)
        return whole

    def toarray(self) -> np.ndarray:
        """The matrix as a dense one."""
        return self.add_to(np.zeros(self.shape, self.values.dtype, order="F"))

    def tocsr(self) -> csr_matrix:
        """The matrix in compressed rows, for products."""
        return csr_matrix((self.values, (self.row, self.column)), shape=self.shape)

    def __add__(self, other: Entries) -> Entries:
        return Entries(*(np.concatenate(two) for two in zip(self[:3], other[:3])), self.shape)

"""Sparse assembly and factorisation."""

import numpy as np
import pytest
from helpers.solids import dense
from scipy.sparse import csc_matrix

from colletfea.fea.algebra.sparse import assemble, factorise
from colletfea.fea.errors import NotConverged

RNG = np.random.default_rng(8)
TABLES = [
    (RNG.integers(0, 9, (5, 4)), RNG.standard_normal((5, 4, 4))),
    (RNG.integers(0, 9, (3, 2)), RNG.standard_normal((3, 2, 2))),
]
NUMBER = np.array([0, 3, 3, 1, 5, 2, 4, 6, 6])  # two ties; 7 independent unknowns


def test_sum_of_tables_is_the_dense_sum_on_independent_unknowns():
    whole = sum(dense(dofs, values, 9) for dofs, values in TABLES)
    tie = np.zeros((9, 7))
    tie[np.arange(9), NUMBER] = 1
    expected = tie.T @ whole @ tie
    np.testing.assert_allclose(assemble(TABLES, NUMBER, 7).toarray(), expected, atol=1e-14)
    np.testing.assert_allclose(assemble(TABLES, NUMBER, 5).toarray(), expected[:5, :5], atol=1e-14)


def test_single_places_are_added_to_the_tables():
    more = (np.array([0, 8, 1]), np.array([3, 2, 1]), np.array([1.0, 2.0, 4.0]))  # the second of an unknown that is left out
    added = assemble(TABLES, NUMBER, 5, [more]).toarray() - assemble(TABLES, NUMBER, 5).toarray()
    expected = np.zeros((5, 5))
    expected[0, 1], expected[3, 3] = 1.0, 4.0
    np.testing.assert_allclose(added, expected, atol=1e-14)


def test_factor_solves_an_unsymmetric_system():
    matrix = np.eye(6) * 5 + RNG.standard_normal((6, 6))
    right = RNG.standard_normal(6)
    np.testing.assert_allclose(
        factorise(csc_matrix(matrix)).solve(right), np.linalg.solve(matrix, right), rtol=1e-12
    )


def test_singular_matrix_is_reported_as_no_convergence():
    with pytest.raises(NotConverged, match="tangent is singular"):
        factorise(csc_matrix(np.diag([1.0, 0.0, 2.0])))

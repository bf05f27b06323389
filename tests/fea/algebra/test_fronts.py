"""Elimination by fronts against numpy's dense solution of the same elements."""

import numpy as np
import pytest

from colletfea.fea.algebra import fronts
from colletfea.fea.algebra.fronts import Fronts
from colletfea.fea.errors import NotConverged

KEPT = [2, 0, 41, 39]


def strips(rng):
    """Two strips of ten elements by two, four unknowns each; one unknown of the first goes through all of its elements, and a held one."""
    unknowns, middles = [], []
    for body in range(2):
        for k in range(20):
            row, column = divmod(k, 10)
            corner = 33 * body + 11 * row + column
            unknowns.append([corner, corner + 1, corner + 11, corner + 12, 66 if body == 0 else 200])
            middles.append([column, row])
    factors = rng.standard_normal((40, 5, 5))
    return np.array(unknowns), factors @ factors.swapaxes(1, 2) + 0.1 * np.eye(5), np.array(middles, float), np.repeat([0, 1], 20)


def dense(unknowns, tangents, count, springs):
    whole = np.diag(springs)
    for own, tangent in zip(unknowns, tangents):
        free = own < count
        whole[np.ix_(own[free], own[free])] += tangent[np.ix_(free, free)]
    return whole


@pytest.mark.parametrize("most", [1, 3, 100], ids=["an element a front", "some", "one front"])
@pytest.mark.parametrize("kept", [KEPT, []], ids=["some kept", "none"])
def test_pass_down_and_up_solve_the_whole(most, kept, monkeypatch):
    monkeypatch.setattr(fronts, "_LEAF", most)
    rng = np.random.default_rng(2)
    unknowns, tangents, middles, bodies = strips(rng)
    springs, force, kept = rng.uniform(0, 1, 67), rng.standard_normal(70), np.array(kept, int)
    found = Fronts(unknowns, 67, tangents, middles, bodies, kept, springs)
    whole = dense(unknowns, tangents, 67, springs)
    assert sorted([*found.inner, *kept]) == list(range(67))
    load, answer = found.down(force)
    left = np.zeros((len(kept),) * 2)
    if len(kept):
        left[:2, :2], left[2:, 2:] = found.stiffness
        np.testing.assert_allclose(left, np.linalg.inv(np.linalg.inv(whole)[np.ix_(kept, kept)]), atol=1e-9)
    step = np.linalg.solve(left, load)
    expected = np.linalg.solve(whole, force[:67])
    np.testing.assert_allclose(step, expected[kept], atol=1e-9)
    np.testing.assert_allclose(found.up(step, answer), expected[found.inner], atol=1e-9)


def test_a_body_that_is_not_held_is_told():
    """Two elements of springs between their unknowns alone."""
    spring = np.array([[1.0, -1.0], [-1.0, 1.0]])
    with pytest.raises(NotConverged, match="neither held nor touched"):
        Fronts(np.array([[0, 1], [1, 2]]), 3, np.array([spring, spring]), np.zeros((2, 2)), np.zeros(2, int), np.empty(0, int), np.zeros(3))


def test_an_unknown_of_no_element_is_told():
    with pytest.raises(NotConverged, match="no element"):
        Fronts(np.array([[0, 1]]), 3, np.eye(2)[None], np.zeros((1, 2)), np.zeros(1, int), np.empty(0, int), np.zeros(3))

"""Anderson mixing on linear maps, where what it must reach is known."""

import numpy as np

from colletfea.fea.solvers.mixing import Mixing


def rounds(matrix, right, mixing):
    """Rounds that x <- x + f(x), f = right - matrix x, takes to 1e-10, mixed or plain."""
    x = np.zeros(len(right))
    for k in range(1000):
        given = right - matrix @ x
        if np.linalg.norm(given) < 1e-10 * np.linalg.norm(right):
            return k
        x = x + (given if mixing is None else mixing.step(given))
    return 1000


def problem(slowest=0.02, size=40):
    """A symmetric map that contracts by 1 - slowest, with a few slow directions."""
    rng = np.random.default_rng(4)
    basis = np.linalg.qr(rng.normal(size=(size, size)))[0]
    values = np.concatenate([[slowest, 2 * slowest, 0.3], rng.uniform(0.9, 1.1, size - 3)])
    return basis * values @ basis.T, rng.normal(size=size)


def test_few_slow_directions_cost_a_few_rounds():
    matrix, right = problem()
    plain, mixed = rounds(matrix, right, None), rounds(matrix, right, Mixing(np.ones(40)))
    assert plain > 500 and mixed < 30


def test_a_map_of_five_values_is_solved_by_five_differences():
    values = np.repeat([0.01, 0.2, 0.5, 0.9, 1.4], 4)
    assert rounds(np.diag(values), np.arange(1.0, 21.0), Mixing(np.ones(20))) <= 8


def test_weights_are_units_and_change_nothing_where_all_are_alike():
    matrix, right = problem()
    found = [rounds(matrix, right, Mixing(np.full(40, w))) for w in (1.0, 1e-6)]
    assert found[0] == found[1]

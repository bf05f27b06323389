"""First guess of an increment: what is carried on along a line, and what comes in over the leader's end."""

from dataclasses import replace

import numpy as np
import pytest
from helpers.contact import small_cone

from colletfea.fea.contact.pair import History
from colletfea.fea.model.balance import Balance
from colletfea.fea.solvers.full import FullNewton
from colletfea.fea.solvers.newton import Settings
from colletfea.fea.stepping.guess import _newcomers, _with_places, guess
from colletfea.fea.stepping.run import run_through
from colletfea.fea.stepping.state import initial_state

PLACES = [0.1, 0.2, 0.3]


@pytest.fixture(scope="module")
def pushed():
    """Solver and accepted states of a ring that overhangs its plug by 4 mm: edges of 2.8 mm come in one by one."""
    model, drives = small_cone(top=12)
    balance = Balance.of(model, drives(lambda t: 8 * t))
    solver = FullNewton(balance, Settings(residual=1e-8))
    first = initial_state(balance)
    return solver, [first, *run_through(solver, first, PLACES)]


def test_a_line_is_carried_on(pushed):
    """Positions and pressures of points that were on before; here the last two steps are alike."""
    solver, (*_, before, here) = pushed
    u, pressure, _ = guess(solver, [before, here], 0.4, False)
    free = np.ones(len(u), bool)
    free[solver.balance.model.mesh.edge_nodes("ring.top") * 2 + 1] = False
    np.testing.assert_allclose(u[free], (2 * here.u - before.u)[free], rtol=1e-9)
    contact = solver.balance.model.contact
    on = contact.edge_means(np.isfinite(before.history.gap)) > 1 - 1e-9
    line = np.maximum(2 * here.history.pressure - before.history.pressure, 0)
    assert on.any() and np.max(line[on]) > 0
    np.testing.assert_allclose(pressure[on], line[on], rtol=1e-9)


def test_what_comes_in_takes_about_the_pressure_at_the_leaders_end(pushed):
    """Points that were off the plug: not nothing, and not a growth out of nothing."""
    solver, (*_, before, here) = pushed
    contact = solver.balance.model.contact
    u, pressure, _ = guess(solver, [before, here], 0.4, False)
    new = np.isfinite(contact.feet(u)[0]) & np.isinf(here.history.gap)
    assert new.any() and np.all(pressure[new] > 0)
    found = next(run_through(solver, here, [0.4])).history.pressure
    means = [contact.edge_means(p)[new] for p in (pressure, found)]
    assert np.all(np.abs(means[0] - means[1]) < 0.4 * means[1])  # measured 0.24; nothing at all would miss by 1


class TwoPairs:
    """Contact of two pairs: edges of two points, four edges on one leader, two on another."""

    points = [slice(0, 8), slice(8, 12)]
    edge = np.repeat(np.arange(6), 2)

    def __init__(self, inside, arc):
        self.found = np.where(inside, 0.0, np.inf), np.array(arc)

    def feet(self, u):
        return self.found

    def edge_sums(self, values):
        return np.bincount(self.edge, weights=values)[self.edge]

    def edge_means(self, values):
        return self.edge_sums(values) / 2


def test_each_pair_has_its_own_leader_and_places_may_run_either_way():
    """Worked by hand. Edge 2 came whole, edge 1 by its second point since `back`: both go by place among what was on.

    On before: points 0, 1, 2, whose edges bore 20 each and 30 over the half that was on, at places 5, 4, 3. New at 3.5:
    25; at 2.5: 30, beyond the last; the point at 3.5 that was on, in edge 1, is told anew, too. Point 6 stays off.
    """
    inf = np.inf
    gap = np.array([0, 0, 0, inf, inf, inf, inf, inf, 0, 0, 0, 0])
    state = History(*(np.zeros(12) for _ in range(2)), np.zeros(12), gap, np.zeros(12), np.empty(0))
    here = replace(
        state, arc=np.array([5.0, 4, 3, 0, 0, 0, 0, 0, 1, 2, 3, 4]), pressure=np.array([20.0, 20, 30, 0, 0, 0, 0, 0, 7, 7, 9, 9])
    )
    now = TwoPairs([True] * 6 + [False] * 2 + [True] * 4, [5.0, 4, 3.5, 2.5, 3.5, 2.5, 9, 9, 1, 2, 3, 4])
    grown = np.arange(12.0)
    told = _newcomers(now, now.feet(np.zeros(0)), state, here, grown)
    np.testing.assert_allclose(told, [0, 1, 25, 30, 25, 30, 6, 7, 8, 9, 10, 11])
    np.testing.assert_array_equal(grown, np.arange(12.0))


def test_nothing_comes_in_where_the_leaders_end_bears_nothing(pushed):
    solver, (*_, before, here) = pushed
    idle = replace(here, history=replace(here.history, pressure=np.zeros_like(here.history.pressure)))
    _, pressure, _ = guess(solver, [before, idle], 0.4, False)
    assert np.all(pressure == 0)


def test_stages_begin_with_the_solvers_prediction(pushed):
    solver, states = pushed
    u, pressure, _ = guess(solver, states[-1:], 0.4, True)
    here = states[-1]
    np.testing.assert_array_equal(u, solver.predict(here.u, here.t, 0.4, here.history, True))
    np.testing.assert_array_equal(pressure, here.history.pressure)


def test_open_points_are_charged_with_what_they_slide_after_their_touch():
    """Worked by hand: slides of 1 from place 5. A gap of 3 that goes to -1 is closed after 3/4 of the way; one that stays open has
    slid nothing by its end. What touches, what comes in over the end and what has left keep their places."""
    inf = np.inf
    here = History(
        np.zeros(6), np.zeros((6, 1)), np.full(6, 5.0), np.array([3, 3, 0, -1, inf, 1]), np.array([0, 0, 9, 9, 0, 0.0]), np.empty(0)
    )
    moved = _with_places(here, np.array([-1, 1, -1, 1, -1, inf]), np.full(6, 6.0))
    np.testing.assert_allclose(moved.arc, [5.75, 6, 5, 5, 5, 5])
    np.testing.assert_array_equal(here.arc, 5.0)

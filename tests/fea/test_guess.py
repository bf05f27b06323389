"""First guess of an increment: what is carried on along a line, and what comes in over the leader's end."""

from dataclasses import replace

import numpy as np
import pytest
from helpers_contact import small_cone

from fea.full import FullNewton
from fea.guess import guess
from fea.increment import initial_state
from fea.model import Balance
from fea.newton import Settings
from fea.stepping import run_through

PLACES = [0.1, 0.2, 0.3]


@pytest.fixture(scope="module")
def pushed():
    """Solver and accepted states of a ring that overhangs its plug by 4 mm: edges of 2.8 mm come in one by one."""
    model, drives = small_cone(top=12)
    balance = Balance.of(model, drives(lambda t: 8 * t))
    solver = FullNewton(balance, Settings(residual=1e-8, penetration=1e-4))
    first = initial_state(balance)
    return solver, [first, *run_through(solver, first, PLACES)]


def test_a_line_is_carried_on(pushed):
    """Positions and pressures of points that were on before; here the last two steps are alike."""
    solver, (*_, before, here) = pushed
    u, pressure = guess(solver, [before, here], 0.4, False)
    free = np.ones(len(u), bool)
    free[solver.balance.model.mesh.edge_nodes("ring.top") * 2 + 1] = False
    np.testing.assert_allclose(u[free], (2 * here.u - before.u)[free], rtol=1e-9)
    contact = solver.balance.model.contact
    on = contact.edge_means(np.isfinite(before.history.gap)) > 1 - 1e-9
    line = np.maximum(2 * here.history.pressure - before.history.pressure, 0)
    assert on.any() and np.max(line[on]) > 0
    np.testing.assert_allclose(pressure[on], line[on], rtol=1e-9)


def test_what_comes_in_takes_the_pressure_at_the_leaders_end(pushed):
    """Points that were off the plug: what its edge bore before, not nothing and not a growth out of nothing."""
    solver, (*_, before, here) = pushed
    contact = solver.balance.model.contact
    u, pressure = guess(solver, [before, here], 0.4, False)
    inside, place = contact.places(u)
    new = inside & np.isinf(here.history.gap)
    assert new.any()
    at_end = np.max(here.history.place[np.isfinite(here.history.gap)])
    assert np.all(np.abs(place[new] - at_end) < 2.8)
    borne = contact.edge_means(here.history.pressure) / contact.edge_means(np.isfinite(here.history.gap)).clip(1e-9)
    last = np.argmax(np.where(np.isfinite(here.history.gap), here.history.place, -np.inf))
    far = new & (place > here.history.place[last])
    np.testing.assert_allclose(pressure[far], borne[last], rtol=1e-12)
    found = next(run_through(solver, here, [0.4])).history.pressure
    means = [contact.edge_means(p)[far] for p in (pressure, found)]
    assert np.all(np.abs(means[0] - means[1]) < 0.4 * means[1])  # measured 0.24; nothing at all would miss by 1


def test_nothing_comes_in_where_the_leaders_end_bears_nothing(pushed):
    solver, (*_, before, here) = pushed
    idle = replace(here, history=replace(here.history, pressure=np.zeros_like(here.history.pressure)))
    _, pressure = guess(solver, [before, idle], 0.4, False)
    assert np.all(pressure == 0)


def test_stages_begin_with_the_solvers_prediction(pushed):
    solver, states = pushed
    u, pressure = guess(solver, states[-1:], 0.4, True)
    here = states[-1]
    np.testing.assert_array_equal(u, solver.predict(here.u, here.t, 0.4, here.history, True))
    np.testing.assert_array_equal(pressure, here.history.pressure)

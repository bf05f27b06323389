"""Full Newton with a factor that is kept: the same balance from fewer factors, none where it is not asked for."""

import numpy as np
import pytest
from helpers.contact import small_cone, solve

from colletfea.fea.model.balance import Balance
from colletfea.fea.solvers import full
from colletfea.fea.solvers.full import FullNewton
from colletfea.fea.solvers.newton import Settings


@pytest.fixture(scope="module")
def pushed():
    """A small cone, its drives and a state of it."""
    model, drives = small_cone()
    (state,) = solve(model, drives(lambda t: t), (0.5,))
    return model, drives(lambda t: t), state


def balanced(pushed, monkeypatch, keep):
    """Positions at a longer travel, iterations, and the trials a factor was made for."""
    model, drives, state = pushed
    made, real = [], full._Everything._factorised

    def factorised(self, trial, before):
        made.append(trial)
        return real(self, trial, before)

    monkeypatch.setattr(full._Everything, "_factorised", factorised)
    solver = FullNewton(Balance.of(model, drives), Settings(residual=1e-11), keep)
    start = solver.trial(solver.predict(state.u, 0.5, 0.6, state.history, True), 0.6, state.history)
    found, spent = solver.equilibrate(start, 0.6, state.history)
    return found, spent, made


def test_newton_proper_makes_a_factor_an_iteration(pushed, monkeypatch):
    _, spent, made = balanced(pushed, monkeypatch, 0.0)
    assert len(made) == spent > 1


def test_a_kept_factor_comes_to_the_same_balance(pushed, monkeypatch):
    proper, spent, _ = balanced(pushed, monkeypatch, 0.0)
    monkeypatch.undo()
    found, _, made = balanced(pushed, monkeypatch, 0.1)
    assert len(made) < spent and found.norm <= 1e-11
    assert found.u == pytest.approx(proper.u, abs=1e-9 * np.abs(proper.u).max())


def test_a_factor_whose_step_leaves_too_much_is_made_anew(pushed, monkeypatch):
    """No step leaves less than this: all factors are new ones."""
    _, spent, made = balanced(pushed, monkeypatch, 1e-30)
    assert len(made) == spent


def test_a_kept_factor_of_softer_springs_serves_no_stiff_ones(pushed):
    model, drives, state = pushed
    problem = full._Everything(Balance.of(model, drives), 0.5, state.history, None, Settings(), keep=0.1)
    trial = problem.evaluate(np.concatenate([state.u, state.history.multiplier]), None)
    problem.direction(trial, None)
    kept = problem.factor
    problem.direction(trial, None)
    assert problem.factor is kept
    with problem.softer(0.1):
        problem.direction(trial, None)
        soft = problem.factor
        assert soft is not kept
    problem.direction(trial, None)
    assert problem.factor is not soft

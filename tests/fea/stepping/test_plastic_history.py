"""Flow through increments: committed once, left alone by what is refused, and the same for both solvers."""

from dataclasses import fields, replace

import numpy as np
import pytest
from helpers.contact import build, hold, small_cone, solve, touching
from helpers.plastic import metal
from pytest import approx

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.plastic import equivalent
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.errors import NotConverged
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.drives import ANGLE, Drive
from colletfea.fea.solvers import condensed
from colletfea.fea.solvers.condensed import Condensed
from colletfea.fea.solvers.full import FullNewton
from colletfea.fea.solvers.newton import Settings
from colletfea.fea.stepping.restart import settle, under, with_twist
from colletfea.fea.stepping.run import Steps, Stopped, run, run_through
from colletfea.fea.stepping.state import initial_state

SOLVERS = pytest.mark.parametrize("kind", [FullNewton, Condensed])


def cone(yield_stress=150.0, slope=1000.0, twist=False, laws=None):
    """Ring on a hollow cone, the ring of soft metal: a push of 0.4 mm makes a part of it flow."""
    return small_cone(laws=laws or {"plug": Elastic(210_000.0, 0.3), "ring": metal(yield_stress, slope)}, twist=twist)


def same(a, b):
    return all(np.array_equal(getattr(a, f.name), getattr(b, f.name)) for f in fields(a))


def pushed(targets=(0.4, 0.8, 1.0), condensed=True, **kept):
    model, drives = cone(**kept)
    return model, solve(model, drives(lambda t: t), targets, condensed=condensed)


def test_a_good_part_of_the_ring_flows_and_the_work_is_accounted_for():
    """Work balance measured 2e-4; the plastic work is a tenth of what is put in."""
    model, states = pushed(np.linspace(0.1, 1, 10))
    last = states[-1]
    assert 0.3 < np.mean(last.flow.alpha[model.solid.slices["ring"]] > 0) <= 1
    assert not last.flow.alpha[model.solid.slices["plug"]].any()
    assert last.work.plastic > 0.05 * last.work.drives and last.work.relative_error() < 0.01
    limit = 150 + 1000 * last.flow.alpha[model.solid.slices["ring"]]
    assert np.all(equivalent(last.flow.stress[model.solid.slices["ring"]]) <= limit * (1 + 1e-9))


def test_both_solvers_give_the_same_state():
    """To 1e-7 of each field's largest value, also of the history."""
    (_, full), (_, fast) = pushed(condensed=False), pushed()
    for a, b in zip(full, fast):
        for one, other in ((a.u, b.u), (a.flow.alpha, b.flow.alpha), (a.flow.stress, b.flow.stress), (a.flow.strain, b.flow.strain)):
            np.testing.assert_allclose(one, other, atol=1e-7 * max(np.abs(one).max(), 1e-12))
        assert a.totals["push"] == approx(b.totals["push"], rel=1e-8)


@SOLVERS
def test_below_yield_it_is_the_elastic_run(kind):
    """Yield far above: forces and displacements to 1e-10; elastic bodies keep no history."""
    fast = kind is Condensed
    _, plastic = pushed(yield_stress=1e5, condensed=fast)
    _, elastic = pushed(laws=Elastic(210_000.0, 0.3), condensed=fast)
    for a, b in zip(elastic, plastic):
        assert a.flow is None and a.work.plastic == 0 and not b.flow.alpha.any()
        np.testing.assert_allclose(b.u, a.u, atol=1e-10 * np.abs(a.u).max())
        assert b.totals["push"] == approx(a.totals["push"], rel=1e-9)


@SOLVERS
def test_a_refused_increment_leaves_the_history_bit_for_bit(kind, monkeypatch):
    """Iterations that flow far and are then given up, and the state that is reached from there afterwards."""
    model, drives = cone()
    solver = kind(Balance.of(model, drives(lambda t: t)), Settings())
    (state,) = run_through(solver, initial_state(solver.balance), [0.5])
    kept = {f.name: getattr(state.flow, f.name).copy() for f in fields(state.flow)}
    real = kind.equilibrate

    def given_up(self, start, t, *rest):
        found, spent = real(self, start, t, *rest)
        assert np.any(model.solid.advance(found.u, state.flow).alpha > state.flow.alpha)
        raise NotConverged("told to")

    with monkeypatch.context() as m:
        m.setattr(kind, "equilibrate", given_up)
        with pytest.raises(Stopped):
            list(run_through(solver, state, [1.0]))
    assert all(np.array_equal(getattr(state.flow, name), values) for name, values in kept.items())


def test_a_run_that_is_cut_equals_one_that_is_asked_for_the_smaller_steps(monkeypatch):
    """The first try from 0.5 is refused after it flowed: full Newton keeps nothing from it."""
    model, drives = cone()
    balance = Balance.of(model, drives(lambda t: t))
    (state,) = run_through(FullNewton(balance, Settings()), initial_state(balance), [0.5])
    real = FullNewton.equilibrate

    def once(self, start, t, *rest):
        found = real(self, start, t, *rest)
        if t > 0.8:
            raise NotConverged("told to")
        return found

    with monkeypatch.context() as m:
        m.setattr(FullNewton, "equilibrate", once)
        way = run(FullNewton(balance, Settings()), state, 1.0, Steps(0.5, 0.5))
        cut = next(way)
    assert cut.t == 0.75
    (asked,) = run_through(FullNewton(balance, Settings()), state, [0.75])
    assert same(cut.flow, asked.flow) and np.array_equal(cut.u, asked.u)


def test_history_is_committed_once_an_increment():
    """The committed flow is the answer to the accepted positions from the flow before, not a sum over iterations."""
    model, (first, second, _) = pushed()
    assert same(second.flow, model.solid.advance(second.u, first.flow))
    assert np.all(second.flow.alpha >= first.flow.alpha) and np.all(second.flow.work >= first.flow.work)


@SOLVERS
def test_pulled_back_the_ring_keeps_its_shape(kind):
    """Pulled back to where it began: alpha stays or grows, the ring is wider than before and its stress is its own."""
    model, states = pushed(condensed=kind is Condensed)
    _, drives = cone()
    end = settle(states[-1], model)
    back = Balance.of(model, drives(lambda t: 1 - t))
    solver = kind(back, Settings(augment=False))
    start = under(end, back)
    *_, last = run_through(solver, start, [0.01, 0.03, 0.06, 0.1, 0.2, 0.3, 0.4, 0.6, 0.9], reversal=True)
    assert np.all(last.flow.alpha >= start.flow.alpha) and not last.contact.pressure.any()
    ring = model.mesh.body_nodes("ring")
    assert np.mean(last.u.reshape(-1, 2)[ring, 0]) > 0
    assert np.abs(last.flow.stress[model.solid.slices["ring"]]).max() > 1  # residual
    assert last.work.relative_error() < 0.02


def test_settling_and_twist_carry_the_history():
    """Six components from four; the torque of a small turn is elastic, as metal that was unloaded would give."""
    flat, states = pushed()
    model, drives = cone(twist=True)
    state = with_twist(states[-1], flat, model)
    assert same(settle(states[-1], flat).flow, states[-1].flow)
    assert state.flow.strain.shape[-1] == 6 and np.array_equal(state.flow.alpha, states[-1].flow.alpha)
    np.testing.assert_allclose(state.nodal.reshape(-1, 3)[:, :2], states[-1].nodal.reshape(-1, 2), atol=1e-7)
    turn = [*drives(lambda t: 1.0), hold("still", "plug.bottom", ANGLE), Drive("turn", "ring.top", ANGLE, lambda t: 1e-6 * t)]
    (turned,) = solve(model, turn, (1.0,), under(state, Balance.of(model, turn)), condensed=True, reversal=True, augment=False)
    assert turned.totals["turn"] > 0
    assert np.max(turned.flow.alpha - state.flow.alpha) < 1e-6


def test_what_the_rounds_do_not_reach_full_newton_does(monkeypatch):
    """With patience cut to nothing every increment goes over; results stay."""
    _, fast = pushed()
    calls, real = [], FullNewton.equilibrate
    monkeypatch.setattr(condensed.gain, "slow", lambda norms: len(norms) > 2)
    monkeypatch.setattr(FullNewton, "equilibrate", lambda self, *given: calls.append(1) or real(self, *given))
    _, slow = pushed()
    assert calls
    np.testing.assert_allclose(slow[-1].u, fast[-1].u, atol=1e-7 * np.abs(fast[-1].u).max())


def test_rounds_that_stay_far_off_are_given_up_early():
    """Nothing holds this ring but a pair that can't reach it: no balance, and the increment is cut, not ground through."""
    mesh = join({"a": block(5, 10, spread(0, 4, 2), spread(0, 1, 2)), "b": block(10, 15, spread(0, 4, 2), spread(0, 1, 2))})
    model = build(mesh, (touching("b.inner", "a.outer"),), metal(100.0))
    drives = [hold("a", "a.bottom", 1), hold("b", "b.bottom", 1), Drive("burst", "a.inner", 0, force=lambda t: 1e6 * t)]
    solver = Condensed(Balance.of(model, drives), Settings(max_cuts=3))
    with pytest.raises(Stopped):
        list(run(solver, initial_state(solver.balance), 1.0, Steps(1.0, 1.0)))
    assert replace(solver.settings, max_cuts=3) == solver.settings

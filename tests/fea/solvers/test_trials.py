"""What both solvers do with a first guess, and with points that slide back: it saves iterations and moves no result."""

from dataclasses import replace

import numpy as np
import pytest
from helpers.contact import build, hold, small_cone, solve, touching

from colletfea.fea.contact.contact import Contact
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.errors import NotConverged
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.drives import Drive, Z
from colletfea.fea.solvers import condensed, factor, full
from colletfea.fea.solvers.condensed import Condensed, SurfaceIterate
from colletfea.fea.solvers.full import FullNewton
from colletfea.fea.solvers.newton import Settings
from colletfea.fea.stepping.state import initial_state

SOLVERS = pytest.mark.parametrize("kind, module", [(FullNewton, full), (Condensed, condensed)], ids=["full", "condensed"])


@SOLVERS
def test_a_guess_that_lifts_the_ring_off_still_touches_and_is_never_in_balance(kind, module):
    """Ring 0.01 mm off its cone: without what is kept there would be no contact at all. Balance is found all the same,
    and nothing pulls any more."""
    model, drives = small_cone()
    (state,) = solve(model, drives(lambda t: t), (0.5,))
    solver = kind(Balance.of(model, drives(lambda t: t)), Settings())
    lifted = state.u.reshape(-1, 2).copy()
    lifted[model.mesh.body_nodes("ring"), 0] += 0.01
    trial = solver.trial(lifted.ravel(), state.t, state.history)
    assert np.count_nonzero(trial.contact.pressure < 0) == np.count_nonzero(state.contact.pressure > 0) > 0
    assert trial.norm >= 1
    found, _ = solver.equilibrate(trial, state.t, state.history)
    assert found.norm <= 1e-9 and found.contact.pressure.min() >= 0


@SOLVERS
def test_steps_are_taken_with_the_law_of_points_that_turn_back(kind, module, monkeypatch):
    """The contact of the trial before goes in, and the tangent is that of what comes out."""
    linear = full if module is full else factor  # the file that takes the tangent
    befores, made, used, real = [], [], [], linear.tangent

    def eased(contact, now, before):
        befores.append(before)
        made.append(replace(now))
        return made[-1]

    def tangent(contact, ev, *points):
        used.append(ev)
        return real(contact, ev, *points)

    model, drives = small_cone()
    (state,) = solve(model, drives(lambda t: t), (0.5,), augment=False)
    monkeypatch.setattr(module, "turned_back", eased)
    monkeypatch.setattr(linear, "tangent", tangent)
    solve(model, drives(lambda t: t), (1.0,), state, condensed=kind is Condensed, augment=False)
    assert befores[0] is None and any(b is not None for b in befores)
    assert used and all(any(ev is m for m in made) for ev in used)


def test_points_are_followed_from_a_settled_start_only(monkeypatch):
    """From others they are searched: along a wild trial position a walk goes astray."""
    norms, followed, real = [], [], condensed.SurfaceProblem.evaluate
    contact_of = Contact.evaluate

    def surface(self, at, frozen):
        norms.append(self.start.norm if at is not self.start.at else None)
        return real(self, at, frozen)

    def evaluate(self, u, *given, near=None, **kept):
        if norms and norms[-1] is not None:
            followed.append((norms.pop(), near is not None))
        return contact_of(self, u, *given, near=near, **kept)

    model, drives = small_cone()
    monkeypatch.setattr(condensed.SurfaceProblem, "evaluate", surface)
    monkeypatch.setattr(Contact, "evaluate", evaluate)
    solve(model, drives(lambda t: t), (0.2, 0.4, 0.6), condensed=True)
    assert {near for _, near in followed} == {True, False}
    assert all(near == (norm < 0.01) for norm, near in followed)


@SOLVERS
def test_prediction_carries_a_force_on_from_where_it_is(kind, module):
    """Half the load is borne already, so only the other half is to be added. The ring answers linearly to 4e-6 of its
    way, 1e-5 allowed."""
    ring = block(10, 14, spread(0, 12, 4), spread(0, 1, 2))
    model = build(join({"ring": ring, "far": block(30, 34, spread(0, 12, 2), spread(0, 1, 2))}),
                  (touching("far.inner", "ring.outer"),))
    drives = [hold("ring", "ring.bottom", Z), hold("far", "far.bottom", Z), Drive("pull", "ring.top", Z, force=lambda t: 300 * t)]
    balance = Balance.of(model, drives)
    half, whole = solve(model, drives, (0.5, 1.0), condensed=kind is Condensed)
    told = kind(balance, Settings()).predict(half.u, 0.5, 1.0, half.history, False)
    way = balance.numbering.value("pull", whole.u)
    assert balance.numbering.value("pull", told) == pytest.approx(way, rel=1e-5)
    assert balance.numbering.value("pull", half.u) == pytest.approx(way / 2, rel=1e-5)


@pytest.mark.filterwarnings("error")
def test_a_step_too_far_off_for_single_precision_is_refused_without_a_warning():
    """Contact forces of 1e40 N are none in single precision, which the condensed bodies are factored in, nor are stiffnesses of 1e40 N/mm."""
    model, drives = small_cone()
    (state,) = solve(model, drives(lambda t: t), (0.5,))
    solver = Condensed(Balance.of(model, drives(lambda t: t)), Settings())
    start = solver.trial(state.u, state.t, state.history)
    problem = condensed.SurfaceProblem(solver, start, np.zeros(len(solver.bodies.surface)), state.history)
    wild = SurfaceIterate.of(state.u, state.contact, 1e40, 1.0, 0.0, residual=np.full(len(solver.bodies.surface), 1e40))
    assert not np.all(np.isfinite(problem.direction(wild, None)))
    pressed = SurfaceIterate.of(state.u, replace(state.contact, pressure=1e40 * state.contact.pressure), 1e40, 1.0, 0.0, residual=wild.residual)
    problem.factor = Condensed(Balance.of(model, drives(lambda t: t)), Settings()).factor
    assert not np.all(np.isfinite(problem.direction(pressed, None)))


def test_full_newton_that_takes_over_gets_no_more_than_one_round_of_iterations(monkeypatch):
    """It fails here: its iterations are counted with those before it."""
    seen = []

    class Fails:
        def __init__(self, balance, settings):
            seen.append(settings)

        def equilibrate(self, *given):
            failure = NotConverged("no way")
            failure.iterations = 20
            raise failure

    model, drives = small_cone()
    solver = Condensed(Balance.of(model, drives(lambda t: t)), Settings())
    monkeypatch.setattr(condensed, "FullNewton", Fails)
    with pytest.raises(NotConverged) as failed:
        solver._full(None, 0.5, None, None, 7)
    assert failed.value.reason == "no way"
    assert seen == [replace(Settings(), patience=1)] and failed.value.iterations == 27


def test_springs_are_stiff_again_where_no_balance_was_found_on_softer_ones():
    contact = small_cone()[0].contact
    stiff = contact.normal
    with pytest.raises(NotConverged), contact.softer(0.1):
        np.testing.assert_array_equal(contact.normal, 0.1 * stiff)
        raise NotConverged("no way")
    assert contact.normal is stiff


def test_rounds_tell_the_iterations_of_all_where_one_fails(monkeypatch):
    """The third one fails after four iterations; the two before took what newton told."""
    model, drives = small_cone()
    solver, told, real = Condensed(Balance.of(model, drives(lambda t: t)), Settings()), [], condensed.newton

    def newton(*given):
        if len(told) == 2:
            raise NotConverged("no way", iterations=4)
        found = real(*given)
        told.append(found.iterations)
        return found

    monkeypatch.setattr(condensed, "newton", newton)
    state = initial_state(solver.balance)
    with pytest.raises(NotConverged, match="no way") as failed:
        solver.equilibrate(solver.trial(solver.predict(state.u, 0.0, 0.5, state.history, False), 0.5, state.history), 0.5, state.history)
    assert sum(told) > 0 and failed.value.iterations == sum(told) + 4


def test_no_factor_of_softer_springs_serves_stiff_ones():
    model, drives = small_cone()
    (state,) = solve(model, drives(lambda t: t), (0.5,))
    solver = Condensed(Balance.of(model, drives(lambda t: t)), Settings())
    stiff = solver.factor(state.contact, True, 0.003)
    assert solver.factor(state.contact, True, 0.003) is stiff
    with model.contact.softer(0.1):
        soft = solver.factor(state.contact, True, 0.003)
        assert soft is not stiff and solver.factor(state.contact, True, 0.003) is soft
    assert solver.factor(state.contact, True, 0.003) is not soft


@pytest.mark.parametrize("missed, failure, tried", [(0, NotConverged, 0), (1, NotConverged, 1), (1, condensed._Helpless, 0)])
def test_full_newton_begins_once_where_rounds_fail_for_the_second_time(missed, failure, tried, monkeypatch):
    """But not where it was called in the rounds' place and failed. All iterations are told."""
    model, drives = small_cone()
    solver, called = Condensed(Balance.of(model, drives(lambda t: t)), Settings()), []

    def rounds(*given):
        raise spent(failure("rounds"), 5)

    def full(*given):
        called.append(given)
        raise spent(condensed._Helpless("full"), 20 + given[-1])

    def spent(error, iterations):
        error.iterations = iterations
        return error

    monkeypatch.setattr(solver, "_rounds", rounds)
    monkeypatch.setattr(solver, "_full", full)
    solver._missed = missed
    with pytest.raises(NotConverged, match="full" if tried else "rounds") as failed:
        solver.equilibrate(None, 0.5, None)
    assert len(called) == tried and failed.value.iterations == (25 if tried else 5)

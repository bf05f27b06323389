"""Where two runs that begin alike part, and that a run taken up there comes to what it comes to alone."""

import numpy as np
import pytest
from helpers.contact import small_cone

from colletfea.fea.model.balance import Balance
from colletfea.fea.solvers.condensed import Condensed
from colletfea.fea.solvers.newton import Settings
from colletfea.fea.stepping.branch import parting
from colletfea.fea.stepping.events import Event
from colletfea.fea.stepping.run import Steps, Tally, run
from colletfea.fea.stepping.state import initial_state

STEPS = Steps(0.05, 0.3, 1.5)


@pytest.fixture(scope="module")
def first():
    """A solver and its run to the end: its states, the first one included, and its effort."""
    model, drives = small_cone()
    one, tally = Condensed(Balance.of(model, drives(lambda t: 0.3 * t)), Settings(residual=1e-8)), Tally()
    start = initial_state(one.balance)
    return one, [start, *run(one, start, 1.0, STEPS, tally=tally)], tally


def at(t):
    return Event("at", lambda s: s.t - t, 1e-9, smooth=True, stops=True)


def test_a_size_is_noted_for_every_increment(first):
    _, states, tally = first
    assert len(tally.sizes) == len(states) - 1 and tally.sizes[:3] == pytest.approx([0.05, 0.075, 0.1125])


@pytest.mark.parametrize("t", [0.06, 0.2, 0.45, 0.99])
def test_what_is_gone_alike_ends_before_the_event(first, t):
    one, states, tally = first
    k = parting(states, tally.sizes, [at(t)])
    assert states[k].t < t
    event = list(run(one, states[0], 1.0, STEPS, [at(t)]))
    alike = [s.t for s in event[:k]]
    assert alike == [s.t for s in states[1 : k + 1]] and event[k].t != states[k + 1].t
    on = list(run(one, states[k], 1.0, STEPS, [at(t)], before=states[:k], size=tally.sizes[k]))
    assert [s.t for s in on] == pytest.approx([s.t for s in event[k:]], rel=1e-12)
    np.testing.assert_allclose(on[-1].u, event[-1].u, atol=1e-9 * np.abs(event[-1].u).max())


def test_runs_that_no_event_parts_are_alike_to_the_end(first):
    _, states, tally = first
    assert parting(states, tally.sizes, [at(2.0)]) == len(states) - 1 == parting(states, tally.sizes, [])


def test_an_event_that_a_shortened_increment_left_out_parts_the_runs(first):
    """The try of which half was taken may have met an event that lies behind the half: it is no common way."""
    _, states, tally = first
    sizes = [*tally.sizes[:2], 2 * tally.sizes[2], *tally.sizes[3:]]
    behind = states[3].t + 0.5 * tally.sizes[2]
    assert parting(states[:4], sizes, [at(behind)]) == 2 and parting(states[:4], tally.sizes, [at(behind)]) == 3

"""Stages after the push on a small coupling: release, twist to slip, thrust with torque, what can't be run."""

import copy
from math import atan, sqrt, tan

import numpy as np
import pytest
from test_x1 import X1

from colletfea.cases.simulation import measures, model, push
from colletfea.cases.simulation.stages import stages
from colletfea.cases.hand.calculation import hand
from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation.plan import plan
from colletfea.cases.simulation.release import release
from colletfea.cases.simulation.twist import twist
from colletfea.cases.simulation.pushed import silent
from colletfea.fea.solvers.condensed import Condensed
from colletfea.fea.model.drives import ANGLE, Drive
from colletfea.fea.stepping.state import initial_state
from colletfea.fea.model.balance import Balance
from colletfea.fea.contact.resultants import resultant
from colletfea.fea.stepping.run import run_through


def case(**tables):
    """The published coupling with tables changed, on a coarse mesh."""
    given = copy.deepcopy({**X1, "mesh": {"size": 1.0}})
    for name, keys in tables.items():
        given[name] = {**given.get(name, {}), **keys}
    return Case.from_tables(given, "x1")


PUSHED = {}


def pushed(c):
    """The push of such a case; kept, for what comes after it leaves it as it is."""
    key = repr(c.tables())
    if key not in PUSHED:
        PUSHED[key] = push.push(c, plan(c, hand(c), "quick"), "quick", silent)
    return PUSHED[key]


@pytest.fixture(scope="module")
def x1():
    c = case()
    return c, pushed(c)


def deformed_taper(model, state):
    """Pressure-weighted half angle of the cone as it stands under load."""
    ev = state.contact
    on_cone = ev.closed.index[ev.closed.index < model.contact.points[0].stop]
    across, along = ev.closed.normal[:, : len(on_cone)]
    weight = (ev.pressure * ev.area)[on_cone]
    return float(np.sum(np.arctan2(along, across) * weight) / np.sum(weight))


def test_pull_that_frees_a_locked_ring(x1):
    """Statics: F = N_r tan(phi - alpha), alpha as it stands under load; measured 0.01 %."""
    c, push = x1
    done = release(c, push.model, push.states[-1])
    found = done.summary()
    at_slip = max(done.states, key=lambda s: -measures.push_force(s))
    seat = resultant(push.model.contact, at_slip.contact, "cone")
    angle = deformed_taper(push.model, at_slip)
    assert found["self_locking"]
    assert found["release_force_N"] == pytest.approx(seat.radial_force * tan(atan(0.08) - angle), rel=1e-3)
    assert 0.9 < found["residual_bore_force_N"] / resultant(push.model.contact, push.states[-1].contact, "bore").normal_force < 1.1


@pytest.mark.parametrize("taper, locks", [(3, True), (8, False)])
def test_both_sides_of_the_locking_limit(taper, locks):
    """mu = 0.1 locks below 5.71 degrees: statics."""
    c = case(sleeve={"taper": taper}, friction={"cone": 0.1}, push={"travel": 1.2 * tan(0.05236) / tan(taper * 0.0174533)})
    push = pushed(c)
    found = release(c, push.model, push.states[-1]).summary()
    assert found["self_locking"] is locks
    assert (found["release_force_N"] > 0) is locks and (found["residual_bore_force_N"] > 0) is locks


def test_torque_at_full_slip_is_the_capacity_of_that_state(x1):
    c, push = x1
    done = twist(c, push.model, push.states[-1])
    found = done.summary()
    assert found["capacity_ratio"] == pytest.approx(1, abs=1e-4)
    assert found["first_slip_torque_Nm"] < found["full_slip_torque_Nm"]
    axial = [abs(s.totals["shaft end"]) for s in done.states]
    assert axial[-1] < 0.01 * axial[0]  # axial friction turns round and lets go
    shares = [done.slipping(k) for k in range(len(done.states))]
    assert shares[0] == 0 and shares[-1] == 1 and np.all(np.diff(shares) > -1e-9)
    assert max(s.penetration for s in done.states) < 1e-9 * c.sleeve.clearance


def test_halved_increments_twist_to_the_same_torque(x1, monkeypatch):
    """No ratcheting: below 0.05 %."""
    from colletfea.cases.simulation import twist as stage

    c, push = x1
    once = twist(c, push.model, push.states[-1]).summary()["full_slip_torque_Nm"]
    monkeypatch.setattr(stage, "Steps", lambda first, largest, growth: stage_steps(first / 2, largest / 2, growth**0.5))
    twice = twist(c, push.model, push.states[-1]).summary()["full_slip_torque_Nm"]
    assert twice == pytest.approx(once, rel=5e-4)


def stage_steps(first, largest, growth):
    from colletfea.fea.stepping.run import Steps

    return Steps(first, largest, growth)


def test_thrust_held_while_twisting():
    """T = r sqrt((mu N)^2 - X^2): Coulomb's cone, one radius; N and r of the same state. Measured 0.1 %."""
    c = case(duty={"torque": 10, "thrust": 4000})
    push = pushed(c)
    done = twist(c, push.model, push.states[-1])
    last = done.states[-1]
    seat = resultant(done.model.contact, last.contact, "bore")
    grip = 0.12 * seat.normal_force
    expected = seat.torque_capacity / grip * sqrt(grip**2 - 4000**2)
    assert done.complete and done.torque(last) == pytest.approx(expected, rel=5e-3)
    assert last.totals["shaft end"] == pytest.approx(-4000, rel=1e-6)


@pytest.mark.parametrize("carried, tied, pair, words", [
    ("sleeve", True, "bore", "is tied to it"),
    ("sleeve", False, "bore", "turns freely"),
    ("ring", True, "bore", "is tied to it"),
    ("ring", False, "bore", "turns freely"),
])
def test_who_carries_the_hub(carried, tied, pair, words):
    c = case(duty={"torque": 10, "carried_by": carried}, after={"ring_tied": tied})
    push = pushed(c)
    done = twist(c, push.model, push.states[-1])
    assert done.complete and done.pair == pair and words in done.held
    face = next(d for d in done.held.split(";"))
    assert ("ring's driven face" in face) is (carried == "ring")
    if not tied:
        free = "ring face, turn" if carried == "sleeve" else "sleeve back, turn"
        assert abs(done.states[-1].totals[free]) < 1e-6 * done.torque(done.states[-1])


def test_weaker_cone_governs_where_the_hub_sits_on_the_ring():
    c = case(duty={"torque": 10, "carried_by": "ring"}, friction={"cone": 0.03, "bore": 0.3})
    push = pushed(c)
    done = twist(c, push.model, push.states[-1])
    assert done.pair == "cone" and done.summary()["capacity_ratio"] == pytest.approx(1, abs=1e-4)


def test_without_turning_three_unknowns_equal_two(x1):
    """All angles held at 0; to 1e-10 of the largest displacement."""
    c, done = x1
    mesh = done.model.mesh
    flat, full = model.of(c, mesh), model.of(c, mesh, twist=True)
    still = Drive("no turn", np.arange(len(mesh.nodes)), ANGLE, lambda t: np.zeros(len(mesh.nodes)))
    found = []
    pushing = model.push_drives(c)
    for whole, drives in ((flat, pushing), (full, (*pushing, still))):
        balance = Balance.of(whole, drives)
        solver = Condensed(balance, push.settings(c))
        *_, last = run_through(solver, initial_state(balance), [0.4, 0.75, 0.9])
        found.append(last.u.reshape(-1, whole.unknowns)[:, :2])
    assert np.max(np.abs(found[0] - found[1])) <= 1e-10 * np.max(np.abs(found[0]))


def test_stages_that_cannot_run_are_null_with_a_verdict():
    short = case(push={"travel": 0.3}, after={"release": True, "twist": True})
    done = stages(short, pushed(short), lambda f, t: None, "condensed")
    assert done.after_release is None and done.twist is None
    assert {v.name: v.ok for v in done.verdicts} == {"release": None, "twist": None}
    assert all("never touched" in v.because for v in done.verdicts)
    heavy = case(duty={"torque": 1, "thrust": 90000}, after={"twist": True})
    done = stages(heavy, pushed(heavy), lambda f, t: None, "condensed")
    assert done.twist is None and "thrust of 90000 N" in done.verdicts[0].because

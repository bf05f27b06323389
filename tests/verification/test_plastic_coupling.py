"""A whole coupling whose ring flows, pushed, drawn back and taken off, on the default mesh.

Source: two independent codes with the same laws, one of them a general-purpose library (weak forms, multipliers on the contact
surface); their differences and mesh errors are the uncertainties of the values. Geometry, elasticity and friction are those of
the elastic coupling that is held to a library, too; shaft and sleeve yield at 2000 MPa, the ring at 600 with hardening 1000.
"""

import numpy as np
import pytest
from helpers.rounds import counting
from pytest import approx

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.calculation import hand
from colletfea.cases.simulation import events, model, push
from colletfea.cases.simulation.plan import plan
from colletfea.fea.bodies.measures import flowed
from colletfea.fea.bodies.plastic import equivalent
from colletfea.fea.contact.resultants import resultant
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.drives import Drive, Z
from colletfea.fea.solvers.condensed import Condensed
from colletfea.fea.solvers.full import FullNewton
from colletfea.fea.stepping.events import Event
from colletfea.fea.stepping.restart import settle, under
from colletfea.fea.stepping.run import Steps, run
from colletfea.fea.stepping.state import initial_state
from colletfea.meshing.build import build

pytestmark = [pytest.mark.slow, pytest.mark.verification(source="Two independent finite-element codes, computed for this comparison")]

HARD = {"young": 205000, "poisson": 0.29, "yield": 2000}
TABLES = {
    "shaft": {"diameter": 14, "beyond": [6, 8], "material": HARD},
    "sleeve": {"length": 12, "nose_wall": 1.4, "taper": 3, "clearance": 0.06, "material": HARD},
    "ring": {"length": 12, "outer_diameter": 30, "start": 1.5, "material": {**HARD, "yield": 600, "hardening": 1000}},
    "friction": {"cone": 0.08, "bore": 0.12},
    "push": {"travel": 1.2},
    "solver": {"plastic": True, "increments": 24},
}
#: travel: push, cone force, bore force, torque, shaft reaction, integral of alpha, plastic work, plastic share of the wall
PUSH = {
    0.8: (13145, 99065, None, None, None, 0.0, 0.0, 0.0),
    1.0: (19636, 148252, 34808, 29232, 915, 0.0030, 1.85, 0.0),
    1.1: (22874, 172702, 54384, 45668, 2110, 0.178, 106.3, 0.133),
    1.2: (25384, 191680, 69560, 58407, 2955, 0.6570, 393, 0.260),
}
#: travel: tolerance of the shaft's reaction, measured 6.5, 2.6, 1.7 %. The values are unsure by 2.7, 1.2, 1.0 %. Reactions are 974, 2165,
#: 3006 N; with eight times as many increments 950, 2140, 2980, with springs ten times as stiff as well 950, 2141, 2981: 3.8, 1.5, 0.9 % off.
#: Friction that charged points with what they slide before they touch, and softer springs, gave 894 at 1.0, nearer to the source for a wrong reason:
#: it grew from below to the same 950 with more increments
REACTION = {1.0: 0.07, 1.1: 0.03, 1.2: 0.02}
#: travel on the way back, 0.9 and 0.75 of the whole: ring force, bore force
BACK = {1.08: (-4263, 44740), 0.9: (-2983, 10390)}
#: the ring's bore, wider on the radius by [mm] at front, middle and rear, when it is off
GROWN = (3.02e-3, 2.30e-3, 2.18e-3)


def stops(targets):
    return [Event(f"at {t}", lambda s, t=t: s.t - t, 1e-9) for t in targets]


@pytest.fixture(scope="module")
def pushed():
    case = Case.from_tables(TABLES, "case")
    way = plan(case, hand(case), "default")
    whole = model.of(case, build(model.section(case, way.expected, push.contact_size(case, way, "default"))))
    balance = Balance.of(whole, model.push_drives(case))
    with counting() as rounds:
        found = run(
            Condensed(balance, push.settings(case)), initial_state(balance), 1.2, way.steps, [*events.events(case, whole), *stops(PUSH)]
        )
        return case, whole, list(found), rounds


@pytest.fixture(scope="module")
def released(pushed):
    case, whole, states, _ = pushed
    end = settle(states[-1], whole)
    balance = Balance.of(whole, (Drive(model.RING, "ring.trailing", Z, lambda t: t - 1.2), *model.holds(case)))
    return list(run(Condensed(balance, push.settings(case)), under(end, balance), 1.3, Steps(0.003, 0.05), stops([1.2 - t for t in BACK]), reversal=True))


def at(states, t):
    return next(s for s in states if abs(s.t - t) < 1e-8)


def seat(whole, state, name):
    return resultant(whole.contact, state.contact, name)


def share_of_wall(whole, state):
    """Share of the ring's wall at its mid-length that has flowed: there alpha, carried on from the outermost points, ends."""
    part = whole.solid.slices["ring"]
    x, alpha = whole.solid.points[part], state.flow.alpha[part]
    flows = (np.abs(x[..., 1] - 7.5) < 0.4) & (alpha > 0)
    if not flows.any():
        return 0.0
    r, alpha = x[..., 0][flows], alpha[flows]
    slope, start = np.polyfit(r[r > r.max() - 0.35], alpha[r > r.max() - 0.35], 1)
    bore = 7.03 + 1.4 + 4.5 * np.tan(np.radians(3))
    return (-start / slope - bore) / (15 - bore)


@pytest.mark.parametrize("travel", PUSH)
def test_forces_and_flow_of_the_push(pushed, travel):
    """Forces 0.1 % (measured 0.03 %), seat 0.2 %; flow 2 % from where it is more than a trace; reaction see REACTION."""
    _, whole, states, _ = pushed
    state = at(states, travel)
    force, cone, bore, torque, shaft, strain, work, depth = PUSH[travel]
    assert events.push_force(state) == approx(force, rel=1e-3)
    assert seat(whole, state, "cone").normal_force == approx(cone, rel=1e-3)
    if bore is not None:
        assert seat(whole, state, "bore").normal_force == approx(bore, rel=2e-3)
        assert seat(whole, state, "bore").torque_capacity == approx(torque, rel=2e-3)
        assert state.totals[model.SHAFT] == approx(shaft, rel=REACTION[travel])
    ring = flowed(whole.solid, state.flow)["ring"]
    assert ring.strain_integral == approx(strain, rel=0.02 if travel > 1 else 0.1, abs=2e-4)
    assert ring.work == approx(work, rel=0.02, abs=0.1)
    assert share_of_wall(whole, state) == approx(depth, abs=0.02)


def test_share_of_the_ring_and_the_largest_strain_away_from_edges(pushed):
    """0.22 +- 0.02 of the volume; 0.143 +- 0.003 % more than a quarter of the nose wall from where an edge of contact swept."""
    _, whole, states, _ = pushed
    x = whole.solid.points
    keep = np.ones(x.shape[:2], bool)
    for z in (*np.linspace(0.3, 1.5, 13), 1.5, 13.5, *np.linspace(12.0, 13.5, 16)):
        keep &= np.hypot(x[..., 0] - np.interp(z, [0, 12], [9.0589, 8.43]), x[..., 1] - z) > 0.35
    ring = flowed(whole.solid, states[-1].flow, keep)["ring"]
    assert ring.share == approx(0.22, abs=0.02)
    assert 100 * ring.largest == approx(0.143, abs=0.003)


def test_work_balance_and_yield_hold_in_every_state(pushed):
    _, whole, states, _ = pushed
    part = whole.solid.slices["ring"]
    for state in states:
        assert state.work.relative_error() < 0.01
        limit = 600 + 1000 * state.flow.alpha[part]
        assert np.all(equivalent(state.flow.stress[part]) <= limit * (1 + 1e-9))


@pytest.mark.parametrize("travel", BACK)
def test_forces_on_the_way_back(pushed, released, travel):
    """0.1 % of the ring's force (measured 0.03 %), 0.5 % of the seat's (0.15 %).

    With multipliers frozen at the end of the push the seat's force at 0.9 mm would be 3.4 % too high: springs that were
    pressed in spread again.
    """
    _, whole, _, _ = pushed
    state = at(released, 1.2 - travel)
    force, bore = BACK[travel]
    assert events.push_force(state) == approx(force, rel=1e-3)
    assert seat(whole, state, "bore").normal_force == approx(bore, rel=5e-3)


def test_ring_that_is_off_stays_wider_and_the_sleeve_does_not(pushed, released):
    """0.06 um on the radius; the seat is free."""
    _, whole, _, _ = pushed
    last = released[-1]
    assert not last.contact.pressure.any()
    u = last.u.reshape(-1, 2)
    cone = whole.mesh.edge_nodes("ring.cone")
    order = cone[np.argsort(whole.mesh.nodes[cone, 1])]
    z = whole.mesh.nodes[order, 1]
    ends = [np.interp(place, z, u[order, 0]) for place in (1.5, 7.5, 13.5)]
    np.testing.assert_allclose(sorted(ends, reverse=True), GROWN, atol=6e-5)
    assert np.abs(u[whole.mesh.edge_nodes("sleeve.bore"), 0]).max() < 1e-5


def test_rounds_of_correction_stay_few(pushed):
    """15 in the middle, 40 at most."""
    _, _, states, rounds = pushed
    taken = [rounds[state.t] for state in states]
    assert np.median(taken) <= 15 and max(taken) <= 40


def test_both_solvers_agree_at_the_first_flow(pushed):
    """From the same accepted state one increment of each: forces 1e-7, alpha 1e-7 of its largest."""
    case, whole, states, _ = pushed
    k = next(i for i, s in enumerate(states) if abs(s.t - 1.1) < 1e-8)
    found = []
    for kind in (Condensed, FullNewton):
        balance = Balance.of(whole, model.push_drives(case))
        found.append(next(run(kind(balance, push.settings(case)), states[k], 1.2, Steps(0.03, 0.03))))
    fast, full = found
    assert events.push_force(fast) == approx(events.push_force(full), rel=1e-7)
    np.testing.assert_allclose(fast.flow.alpha, full.flow.alpha, atol=1e-7 * full.flow.alpha.max())
    np.testing.assert_allclose(fast.u, full.u, atol=1e-7 * np.abs(full.u).max())

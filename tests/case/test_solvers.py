"""The condensed solver against full Newton on whole couplings: equal increments, equal histories."""

from dataclasses import replace

import numpy as np
import pytest
from helpers.push import case_of, coarsest, push_corner
from scipy.linalg import block_diag
from test_x1 import X1

from colletfea.cases.simulation import model, push
from colletfea.cases.casefile import examples
from colletfea.cases.hand.calculation import hand
from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation.plan import plan
from colletfea.fea.solvers.condensation import Condensation
from colletfea.fea.solvers.factor import Factor
from colletfea.fea.contact.multipliers import EdgeMeans
from colletfea.fea.contact.tangent import tangent
from colletfea.fea.model.balance import Balance

FINGERS = {"pattern": "fingers", "count": 4, "width": 1.5, "depth": 14}
CASES = {"x1": Case.from_tables(X1, "x1"), "fingers": case_of(sleeve__slits=FINGERS)}


def example(name):
    import tomllib

    return Case.from_tables(tomllib.loads(examples.text(name)), name)


def history(pushed):
    """One row a state: travel, reactions, then pair resultants."""
    from colletfea.cases.simulation.blocks import row

    rows = [row(pushed.model, s, "push", s.t) for s in pushed.states]
    skip = ("stage", "iterations", "event", "balance_relative", "penetration_mm", "work_relative", "touching_points")
    return np.array([[v for k, v in r.items() if k not in skip] for r in rows], dtype=float)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["x1", "spindle", "sprocket_hub", "fingers", "bronze_sleeve"])
def test_condensed_equals_full_newton(name):
    """1e-6 of the largest value of its kind. The coarsest mesh there is: both solvers see the same one."""
    case = CASES.get(name) or example(name)
    fast, full = (push_corner(coarsest(case), "quick", solver=solver)[0] for solver in ("condensed", "full"))
    assert fast.reason == full.reason
    a, b = history(fast), history(full)
    assert a.shape == b.shape and len(a) > 4
    scale = np.max(np.abs(b), axis=0)
    assert np.all(np.abs(a - b) <= 1e-6 * np.where(scale > 0, scale, 1))


@pytest.mark.slow
@pytest.mark.parametrize("size", [0.5, 0.12])
def test_rounding_ends_the_correction_on_coarse_and_fine_meshes(size, monkeypatch):
    """Asked for a balance of nothing, each increment stops where rounding leaves it, below 1e-9; with a bound that does not
    grow with the mesh the fine one, 25 000 unknowns, has no end (left at last: 1.7e-10 of the force scale)."""
    asked = push.settings
    monkeypatch.setattr(push, "settings", lambda case: replace(asked(case), residual=0.0))
    case = Case.from_tables({**X1, "push": {"travel": 0.9}, "mesh": {"size": size}}, "x1")
    done = push.push(case, plan(case, hand(case), "default"), "default", lambda f, t: None)
    assert done.reason == "travel", done.message
    assert 0 < max(state.norm for state in done.states) < 1e-9


@pytest.fixture(scope="module")
def two_states():
    """A condensed coupling, the contact of two of its states, the later one's cone made like the earlier's."""
    case = case_of()
    done = push.push(case, plan(case, hand(case), "quick"), "quick", lambda f, t: None)
    contact, balance = done.model.contact, Balance.of(done.model, model.push_drives(case))
    then, now = (s.contact for s in done.states[-2:])
    cone, bore = contact.points
    now = replace(now, status=now.status.copy(), foot=now.foot._replace(edge=now.foot.edge.copy()))
    now.status[cone], now.foot.edge[cone] = then.status[cone], then.foot.edge[cone]
    assert np.any(now.status[bore] != then.status[bore]) or np.any(now.foot.edge[bore] != then.foot.edge[bore])
    return Condensation(balance, float), then, now


def check(bodies, factor, parts, means=()):
    """The factor against numpy's solution with the tangents of (contact, points) summed, and with what multipliers add to them."""
    whole, number = block_diag(*bodies.stiffness), bodies.balance.numbering.number
    rows = np.full(bodies.balance.numbering.count, -1)
    rows[bodies.surface] = np.arange(len(bodies.surface))
    for row, column, values in (one.coupling() for one in means):
        held = (rows[number[row]] >= 0) & (rows[number[column]] >= 0)
        np.add.at(whole, (rows[number[row[held]]], rows[number[column[held]]]), values[held])
    for ev, points in parts:
        dofs, values = tangent(bodies.balance.model.contact, ev, points)
        for p, v in zip(rows[number[dofs]], values):
            on = p >= 0
            whole[np.ix_(p[on], p[on])] += v[np.ix_(on, on)]
    right = np.random.default_rng(1).standard_normal(len(whole))
    np.testing.assert_allclose(factor.solve(right), np.linalg.solve(whole, right), rtol=1e-6)


def test_a_pair_whose_points_stay_keeps_its_tangent(two_states):
    bodies, then, now = two_states
    cone, bore = points = bodies.balance.model.contact.points
    first = Factor.of(bodies, then)
    factor = Factor.of(bodies, now, first)
    assert not first.fits(now, points) and factor.fits(now, points)
    check(bodies, factor, [(then, cone), (now, bore)])


def test_a_pair_whose_points_stay_keeps_its_multipliers(two_states):
    """A step with those of both pairs is numpy's; forces and gains of a pair are those where its tangent was taken."""
    bodies, then, now = two_states
    contact = bodies.balance.model.contact
    first = Factor.of(bodies, then, least=0.003)
    factor = Factor.of(bodies, now, first, 0.003)
    assert factor.means[0] is first.means[0] and factor.means[1] is not first.means[1]
    means = [EdgeMeans.of(contact, ev, 0.003, points) for ev, points in zip((then, now), contact.points)]
    check(bodies, factor, list(zip((then, now), contact.points)), means)
    misfit = contact.edge_means(np.random.default_rng(2).standard_normal(len(contact.weights)))
    step = 1e-3 * np.random.default_rng(3).standard_normal(contact.size)
    np.testing.assert_allclose(factor.pressed(misfit), sum(one.pressed(misfit) for one in means))
    np.testing.assert_allclose(factor.gained(misfit, step), np.concatenate([one.gained(misfit, step) for one in means]))


def test_a_pair_that_opens_lets_go(two_states):
    bodies, then, now = two_states
    cone, bore = bodies.balance.model.contact.points
    away = now.closed.index < bore.start
    closed = type(now.closed)(*(tuple(x[..., away] for x in f) if isinstance(f, tuple) else f[..., away] for f in now.closed))
    law = type(now.law)(*(f[away] for f in now.law))
    now = replace(now, status=np.where(np.arange(len(now.status)) < bore.start, now.status, 0), closed=closed, law=law)
    check(bodies, Factor.of(bodies, now, Factor.of(bodies, then)), [(then, cone)])

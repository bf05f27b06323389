"""Couplings that flow, by the case file's switch: below yield nothing changes, beyond it release and twist go on from there."""

import numpy as np
import pytest
from helpers.push import CLOSED, FLANGE, run
from pytest import approx

from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation import events
from colletfea.cases.simulation.release import release
from colletfea.cases.simulation.twist import twist
from colletfea.fea.bodies.measures import flowed


def metals(yield_stress, hardening=1000):
    own = {"young": 205000, "poisson": 0.29, "yield": yield_stress, "hardening": hardening}
    return {"shaft__material": own, "sleeve__material": own, "ring__material": own}


def plastic(yield_stress, hardening=1000, **changes):
    return run(solver={"plastic": True}, **metals(yield_stress, hardening), **changes)


def slit(hoop_stiffness):
    return {"sleeve__slits": {"pattern": "through", "count": 1, "width": 1, "hoop_stiffness": hoop_stiffness}}


def test_below_yield_the_switch_changes_nothing():
    """1e-10 of the push force (measured 4e-11); displacements 1e-10 of the largest."""
    elastic, other = run(**CLOSED, **metals(20000)), plastic(20000, **CLOSED)
    assert elastic.last.flow is None and not other.last.flow.alpha.any()
    assert other.force == approx(elastic.force, rel=1e-10)
    np.testing.assert_allclose(other.last.u, elastic.last.u, atol=1e-10 * np.abs(elastic.last.u).max())


def test_a_part_without_yield_stress_stays_elastic():
    soft = {"young": 205000, "poisson": 0.29}
    found = run(solver={"plastic": True}, **{**metals(300), "shaft__material": soft}, **CLOSED)
    assert set(found.push.model.solid.yielding) == {"sleeve", "ring"}


def test_a_table_of_hardening_is_that_of_the_metal():
    """Two rows of the same straight line give the same push."""
    straight, table = plastic(300, 1000, **CLOSED), plastic(300, [[0, 300], [1.0, 1300]], **CLOSED)
    assert table.force == approx(straight.force, rel=1e-9)


@pytest.mark.slow
@pytest.mark.parametrize("name, yield_stress, changes", [
    ("flange, rounded", 300, CLOSED | FLANGE | {"ring__edge_radius": 0.2}), ("slit", 110, slit(0.3)), ("hoopless", 110, slit(1e-6)),
])  # fmt: skip
def test_push_release_and_twist_of_couplings_that_flow(name, yield_stress, changes):
    """Work balance 1 %, history never falls, the twist reaches the torque that friction carries."""
    found = plastic(yield_stress, **changes)
    elastic = run(**metals(yield_stress), **changes)
    model, last = found.push.model, found.last
    assert found.force < elastic.force and last.work.relative_error() < 0.01
    assert last.work.plastic == approx(sum(part.work for part in flowed(model.solid, last.flow).values()), rel=1e-12) and last.work.plastic > 0
    back = release(found.case, model, last)
    assert not back.message and back.summary()["self_locking"]
    for a, b in zip(back.states, back.states[1:]):
        assert np.all(b.flow.alpha >= a.flow.alpha)
    turned = twist(found.case, model, last)
    assert turned.summary()["capacity_ratio"] == approx(1, rel=1e-4) and turned.states[-1].flow.strain.shape[-1] == 6


def test_the_switch_is_read_and_reaches_the_bodies():
    tables = {
        "shaft": {"diameter": 20}, "sleeve": {"length": 20, "nose_wall": 2, "taper": 4, "clearance": 0.03},
        "ring": {"length": 16, "outer_diameter": 40, "start": 2}, "friction": {"cone": 0.08, "bore": 0.12},
        "push": {"travel": 0.3}, "solver": {"plastic": True},
    }  # fmt: skip
    assert Case.from_tables(tables, "case").solver.plastic
    found = plastic(20000, **CLOSED)
    assert set(found.push.model.solid.yielding) == {"shaft", "sleeve", "ring"}
    assert events.push_force(found.last) > 0

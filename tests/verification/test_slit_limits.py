"""The slit law at its two ends: no hoop stress as eta goes to 0, and the plain solid at eta = 1 and f = 1.

Sleeve 10/14, short against its wall, ends free. Derived here: with hoop modulus eta E, plane stress, the
radial stress has powers -1 +- sqrt(eta) of r; eta = 0 leaves r sigma_r constant.
"""

import math

import numpy as np
import pytest
from helpers.contact import STEEL, touching
from helpers.contact import solve as press
from helpers.solids import hold
from pytest import approx

from colletfea.fea.bodies.solid import Body
from colletfea.fea.bodies.stress import cauchy
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.model.drives import R, Z
from colletfea.fea.model.loads import Pressure
from colletfea.fea.model.model import Model

BORE, OUTSIDE, LENGTH, LOAD = 10.0, 14.0, 0.2, 0.1
EDGES = [hold("sleeve.bottom", Z), hold("sleeve.inner", R)]


def on_a_rigid_shaft(body):
    """Model and state of a sleeve whose bore can't move, under a small pressure outside."""
    mesh = join({"sleeve": block(BORE, OUTSIDE, spread(0, LENGTH, 1), spread(0, 1, 6))})
    model = Model.build(mesh, {"sleeve": body}, (), (Pressure("sleeve.outer", lambda t: LOAD * t),))
    return model, press(model, EDGES)[-1]


def passed_on(ratio, poisson=STEEL.poisson):
    """Bore pressure over outside pressure when the bore can't move."""
    k, share = math.sqrt(ratio), BORE / OUTSIDE
    # u = 0 at the bore: k/ratio (A - B) = poisson (A + B) for sigma_r r = A (r/a)^k + B (r/a)^-k
    b = (k - ratio * poisson) / (k + ratio * poisson)
    return (1 + b) / share / (share**-k + b * share**k)


def bore_pressure(state):
    """Mean pressure on the bore over that outside."""
    return state.totals["sleeve.inner 0"] / (2 * math.pi * BORE * LENGTH * LOAD)


@pytest.mark.verification(source="Ring of cylindrical orthotropy in plane stress, derived here")
@pytest.mark.parametrize("ratio", [1.0, 0.3, 0.1, 0.03, 0.01, 1e-3, 1e-6])
def test_pressure_passed_on_for_any_hoop_ratio(ratio):
    """1e-6 (measured 3e-8)."""
    _, state = on_a_rigid_shaft(Body(STEEL, lambda r, z: np.full(r.shape, ratio)))
    assert bore_pressure(state) == approx(passed_on(ratio), rel=1e-6)


@pytest.mark.verification(source="Balance of a wall without hoop stress: r sigma_r is constant; derived here")
def test_no_hoop_stress_as_the_ratio_goes_to_zero():
    """Hoop stress falls with eta to exactly 0; then force passes on and the wall shortens by p r_o ln(r_o/r_i)/E."""
    hoop = {}
    for ratio in (1e-2, 1e-3, 1e-4, 0.0):
        model, state = on_a_rigid_shaft(Body(STEEL, lambda r, z, ratio=ratio: np.full(r.shape, ratio)))
        hoop[ratio] = np.max(np.abs(cauchy(model.solid, state.u)[..., 1, 1])) / LOAD
    assert hoop[1e-3] == approx(hoop[1e-2] / 10, rel=0.05)
    assert hoop[1e-4] == approx(hoop[1e-3] / 10, rel=0.005)
    assert hoop[0.0] == 0
    assert bore_pressure(state) == approx(OUTSIDE / BORE, rel=1e-5)
    shorter = -np.mean(state.u.reshape(-1, 2)[model.mesh.edge_nodes("sleeve.outer"), R])
    assert shorter == approx(LOAD * OUTSIDE * math.log(OUTSIDE / BORE) / STEEL.young, rel=1e-4)


@pytest.mark.verification(source="A closed ring is the isotropic solid of any textbook")
def test_full_ratio_and_full_fill_change_no_number():
    one = lambda r, z: np.ones(r.shape)
    plain, ones = (on_a_rigid_shaft(body)[1] for body in (Body(STEEL), Body(STEEL, one, one)))
    assert np.array_equal(plain.u, ones.u) and plain.totals == ones.totals


@pytest.mark.verification(source="A closed ring is the isotropic solid of any textbook")
def test_full_fill_on_both_sides_of_a_contact_changes_no_number():
    one = lambda r, z: np.ones(r.shape)
    sleeve = block(BORE, OUTSIDE, spread(0, LENGTH, 1), spread(0, 1, 3))
    mesh = join({"shaft": block(0, BORE, spread(0, LENGTH, 1), spread(0, 1, 3)), "sleeve": sleeve})
    found = []
    for fill in ({}, {"follower_fill": one, "leader_fill": one}):
        pair = touching("sleeve.inner", "shaft.outer", **fill)
        bodies = {"shaft": Body(STEEL), "sleeve": Body(STEEL, one, one) if fill else Body(STEEL)}
        model = Model.build(mesh, bodies, (pair,), (Pressure("sleeve.outer", lambda t: LOAD * t),))
        state = press(model, [hold("shaft.bottom", Z), hold("sleeve.bottom", Z)])[-1]
        found.append(state)
    assert np.array_equal(found[0].u, found[1].u)
    pressure = [state.contact.pressure for state in found]
    assert np.array_equal(*pressure) and pressure[0].min() > 0

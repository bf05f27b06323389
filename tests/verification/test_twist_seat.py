"""Torque through a seat: full slip, slip together with thrust, slip that spreads, and bonded decay.

Seats are fitted without friction, so that their pressure is uniform, and twisted with it. Shear-lag results are derived
here; the bonded decay is an exact eigenvalue.
"""

from dataclasses import replace
from math import pi

import numpy as np
import pytest
from helpers.contact import SHEAR, YOUNG, build, displacement, hold, rigid, seat, solve, touching

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.contact.pair import SLIP
from colletfea.fea.elements.grids import block, graded, join, spread
from colletfea.fea.model.drives import ANGLE, Drive, Z

RADIUS, FRICTION, PRESSURE = 10.0, 0.1, 50.0
LIMIT = 2 * pi * RADIUS**2 * FRICTION * PRESSURE  # [N] torque per length in slip
POLAR = pi * RADIUS**4 / 2


def fitted(stations, friction, radius=RADIUS, pressure=PRESSURE, poisson=0.3, radial=5, **kept):
    """Shaft in a longer rigid sleeve under uniform pressure: the model with friction and the state to twist from."""
    over = pressure * radius * (1 - poisson) / YOUNG
    shaft = block(0, radius + over, stations, spread(0, 1, radial, ratio=0.4))
    sleeve = block(radius, 1.2 * radius, spread(stations[0] - 5, stations[-1] + 5, 40), spread(0, 1, 1))
    mesh = join({"shaft": shaft, "sleeve": sleeve})
    pair = touching("shaft.outer", "sleeve.inner", **kept)
    smooth, rough = (
        build(mesh, (replace(pair, friction=f),), Elastic(YOUNG, poisson), twist=True) for f in (0.0, friction)
    )
    far = [hold("far", "shaft.bottom", Z), hold("turn", "shaft.bottom", ANGLE)]
    (state,) = solve(smooth, [*still(mesh), *far], condensed=True, residual=1e-8)
    return rough, replace(state, t=0.0)


def still(mesh):
    """The sleeve held in all three components."""
    return rigid(mesh, "sleeve", {ANGLE: lambda t: np.zeros(len(mesh.body_nodes("sleeve")))})


def twisted(model, start, drive, targets, **kept):
    settings = {"residual": 1e-8, "augment": False, "reversal": True} | kept
    return solve(model, [*still(model.mesh), drive], targets, start, condensed=True, **settings)


def test_full_slip_torque():
    """T = mu p pi d^2 L / 2 = 314 159 N mm to 0.1 %, and to 1e-6 of the solver's own integral of mu p r dA.

    At a tenth of the pressure and scaled back: at full load the twisted shaft's axial strain (r theta')^2 / 2 takes
    0.18 % of the fit away, a true effect of finite strain.
    """
    model, start = fitted(spread(0, 100, 25), FRICTION, pressure=PRESSURE / 10)
    turn = Drive("turn", "shaft.top", ANGLE, displacement=lambda t: 0.005 * t)
    state = twisted(model, start, turn, (0.02, 0.1, 0.3, 1.0))[-1]
    _, total = seat(model, state)
    assert set(state.contact.status) == {SLIP}
    assert 10 * state.totals["turn"] == pytest.approx(314_159, rel=1e-3)
    assert abs(total.torque) == pytest.approx(total.torque_capacity, rel=1e-6)
    assert state.totals["turn"] == pytest.approx(abs(total.torque), rel=1e-6)


@pytest.mark.parametrize("thrust, target", [(0.0, 10_000.0), (1000.0, 8660.25)])
def test_torque_at_slip_with_thrust(thrust, target):
    """N = 20 kN, r = 5, mu = 0.1, thrust held: T = r sqrt((mu N)^2 - F^2), 0.5 %."""
    pressure = 20_000 / (2 * pi * 5 * 10)
    model, start = fitted(spread(0, 10, 8), FRICTION, 5.0, pressure, poisson=0.0)
    push = Drive("thrust", "shaft.top", Z, force=lambda t: thrust * min(1.0, 5 * t))
    turn = Drive("turn", "shaft.top", ANGLE, displacement=lambda t: 0.02 * max(0.0, (t - 0.2) / 0.8))
    targets = np.append(0.2, np.linspace(0.25, 1, 16))
    state = solve(model, [*still(model.mesh), push, turn], targets, start, reversal=True, condensed=True, residual=1e-8, augment=False)[-1]
    assert set(state.contact.status) == {SLIP}
    assert state.totals["turn"] == pytest.approx(target, rel=5e-3)


def mouth(share):
    """Rotation of the mouth's face and slip length when share of the full-slip torque is put in."""
    model, start = fitted(graded((0, 20, 6, 1.0), (20, 100, 48, 1.0)), FRICTION, tangential=10.0, pressure=PRESSURE / 10)
    turn = Drive("turn", "shaft.top", ANGLE, force=lambda t: share * LIMIT * 10 * t)
    state = twisted(model, start, turn, np.linspace(0.2, 1, 5))[-1]
    ev = state.contact
    return 10 * displacement(model, state, "shaft.top", ANGLE), ev.length[ev.status == SLIP].sum()


def test_slip_spreads_along_the_seat():
    """Mouth rotation T^2 / (2 LIMIT G J), slip length T / LIMIT less 0.15 a; torques of 1/4, 1/2, 3/4 of full slip.

    One-dimensional theory puts the front at rest as a whole. In the round shaft only its surface rests there, which
    lags the section's mean by LIMIT a^2 / (24 G J) = 1.0e-5 where it slides: an offset that does not grow with the
    torque (measured 5.3e-6 to 6.5e-6, the same on finer meshes). Rotation gained between two torques: 0.1 %
    (measured 0.02 %); at 3/4 the whole rotation to 0.3 % (measured 0.09 %). Slip lengths within 0.1 a of 23.5, 48.5, 73.5.
    """
    targets = {0.25: 7.73810e-4, 0.5: 3.09524e-3, 0.75: 6.96429e-3}
    angle, length = np.array([mouth(share) for share in targets]).T
    wanted = np.array(list(targets.values()))
    np.testing.assert_allclose(np.diff(angle), np.diff(wanted), rtol=1e-3)
    lag = LIMIT * RADIUS**2 / (24 * SHEAR * POLAR)
    assert np.all((angle > wanted) & (angle < wanted + lag))
    assert angle[2] == pytest.approx(wanted[2], rel=3e-3)
    np.testing.assert_allclose(length, [23.5, 48.5, 73.5], atol=0.1 * RADIUS)


def test_bonded_seat_decays_with_the_first_root_of_j1():
    """mu -> infinity: torque left at depth z falls as exp(-3.83171 z / a); log slope over a to 2.5 a, 1 %.

    A face turned as a whole excites the second mode, exp(-7.02 z / a), by 0.55 of the first: 2 % of it left at a.
    """
    model, start = fitted(spread(60, 100, 80), 1e6, tangential=100.0, radial=10)
    turn = Drive("turn", "shaft.top", ANGLE, force=lambda t: 1e4 * t)
    state = twisted(model, start, turn, [1.0])[-1]
    assert SLIP not in set(state.contact.status)
    ev = state.contact
    depth = 100 - ev.position[:, 1]
    order = np.argsort(-depth)
    carried = np.cumsum((ev.traction[:, 1] * ev.area * ev.position[:, 0])[order])
    ends = np.arange(3, len(depth) + 1, 3) - 1
    edge = (depth[order][ends] + np.append(depth[order][ends[1:] - 2], 0.0)) / 2
    span = (edge > RADIUS) & (edge < 2.5 * RADIUS)
    slope = np.polyfit(edge[span] / RADIUS, np.log(np.abs(carried[ends][span])), 1)[0]
    assert -slope == pytest.approx(3.83171, rel=0.01)


def test_elastic_hub_shares_the_torque():
    """Shaft in a 10/20 sleeve, in at one end, out at the other: slip at both, 3 % (one-dimensional estimate).

    Stuck: T_s / T = J_s / (J_s + J_h) = 0.0625, measured 0.25 % off by what the seat's upper half takes over; slip lengths (T - T_s) / LIMIT = 29.8416 and T_s / LIMIT = 1.98944;
    at the mouth the shaft turns in the sleeve by (T - T_s) T / (2 LIMIT G J_s) = 1.17605e-3.
    """
    over = PRESSURE / YOUNG * RADIUS * (0.7 + (20**2 + 10**2) / (20**2 - 10**2) + 0.3) / 2
    stations = graded((0, 6, 8, 1.0), (6, 60, 16, 1.0), (60, 100, 26, 1.0))
    shaft = block(0, RADIUS + over, stations, spread(0, 1, 5, ratio=0.4))
    sleeve = block(RADIUS - over, 20, spread(0, 100, 53), spread(0, 1, 4))
    mesh = join({"shaft": shaft, "sleeve": sleeve})
    pair = touching("shaft.outer", "sleeve.inner", tangential=10.0)
    smooth, rough = (build(mesh, (replace(pair, friction=f),), twist=True) for f in (0.0, FRICTION))
    held = [hold("out", "sleeve.bottom", ANGLE), hold("base", "sleeve.bottom", Z)]
    far = [hold("far", "shaft.bottom", Z), hold("turn", "shaft.bottom", ANGLE)]
    (fit,) = solve(smooth, [*held, *far], condensed=True, residual=1e-8)
    turn = Drive("turn", "shaft.top", ANGLE, force=lambda t: 1e5 * t)
    steps = np.linspace(0.2, 1, 5)
    state = solve(rough, [*held, turn], steps, replace(fit, t=0.0), reversal=True, condensed=True, residual=1e-8, augment=False)[-1]
    ev = state.contact
    z, slid = ev.position[:, 1], ev.status == SLIP
    carried = np.abs(np.sum((ev.traction[:, 1] * ev.area * ev.position[:, 0])[z > 50]))
    assert 1 - carried / 1e5 == pytest.approx(0.0625, rel=0.03)
    assert ev.length[slid & (z > 50)].sum() == pytest.approx(29.8416 - 0.15 * RADIUS, abs=0.2 * RADIUS)
    assert ev.length[slid & (z < 50)].sum() == pytest.approx(1.98944, abs=0.2 * RADIUS)
    turned = displacement(rough, state, "shaft.top", ANGLE) - displacement(rough, state, "sleeve.top", ANGLE)
    assert turned == pytest.approx(1.17605e-3, rel=0.03)

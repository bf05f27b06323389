"""A whole coupling against a general-purpose finite-element library, on the default mesh.

Source: computed with GetFEM 5.4.2 (an open library): biquadratic quadrilaterals, ray-traced finite
sliding on the deformed configuration, Lagrange multipliers on the contact surface; a second code with
another method agrees to 0.1-0.3 %. Stated uncertainty: forces 0.05 %, bore force 0.1 %. Tolerances are
those set for this comparison; measured differences stand in MEASURED.
"""

import numpy as np
import pytest

from colletfea.cases.simulation import events, measures, model, push
from colletfea.cases.hand.calculation import hand
from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation.plan import plan
from colletfea.cases.simulation.blocks import at_touch
from colletfea.fea.solvers.condensed import Condensed
from colletfea.fea.stepping.state import initial_state
from colletfea.fea.model.balance import Balance
from colletfea.fea.contact.resultants import pair_points, profile, resultant
from colletfea.fea.stepping.events import Event
from colletfea.fea.stepping.run import run
from colletfea.meshing.build import build

STEEL = {"young": 205000, "poisson": 0.29}
X1 = {
    "shaft": {"diameter": 14, "beyond": [6, 8], "material": STEEL},
    "sleeve": {"length": 12, "nose_wall": 1.4, "taper": 3, "clearance": 0.06, "material": STEEL},
    "ring": {"length": 12, "outer_diameter": 30, "start": 1.5, "material": STEEL},
    "friction": {"cone": 0.08, "bore": 0.12},
    "push": {"travel": 1.2},
}
# travel: push force, cone force, bore force, shaft reaction, mean pressure, torque capacity, p(z = 6), u_r(z = 6), u_r(z = 12)
REFERENCE = {
    0.4: (6460, 48721, 0, 0, None, 0, None, -0.014241, -0.01569),
    0.7: (11413, 86011, 0, 0, None, 0, None, -0.024978, -0.02694),
    0.9: (15999, 120752, 13125, -190, 32.8, 11024, 22.3, -0.030572, -0.0309),
    1.0: (19645, 148318, 34858, 920, 66.0, 29275, 61.4, -0.031529, -0.0315),
    1.1: (23352, 176321, 57297, 2270, 108.6, 48113, 100.1, -0.032467, -0.0320),
    1.2: (27057, 204351, 79745, 3550, 151.1, 66956, 138.6, -0.033402, -0.0326),
}
TOUCH = 0.7838
# travel: length of bore in contact [mm]; the reference's is unsure by 0.1 where the seat is still closing
LENGTH = {0.4: 0.0, 0.7: 0.0, 0.9: 9.1, 1.0: 12.0, 1.1: 12.0, 1.2: 12.0}
MEASURED = "push, cone 0.01 %; bore 0.1 %; shaft 1.0 % of its value at 1.2 (increments 0.3 %); p(6) 0.4 %; touch 0.0002 mm; u_r(6) 1e-6 mm; length 0.12 mm"


@pytest.fixture(scope="module")
def states():
    case = Case.from_tables(X1, "x1")
    way = plan(case, hand(case), "default")
    size = push.contact_size(case, way, "default")
    whole = model.of(case, build(model.section(case, way.expected, size)))
    balance = Balance.of(whole, model.push_drives(case))
    stops = [Event(f"{t}", lambda s, t=t: s.t - t, 1e-9) for t in REFERENCE]
    solver = Condensed(balance, push.settings(case))
    found = run(solver, initial_state(balance), 1.2, way.steps, [*events.events(case, whole), *stops])
    return whole, list(found)


def at(states, travel):
    return next(s for s in states[1] if abs(s.t - travel) < 1e-8)


def along_bore(model, state, z, values):
    x = profile(model.contact, state.contact, "bore").position[:, 1]
    order = np.argsort(x)
    return float(np.interp(z, x[order], values[order]))


@pytest.mark.verification(source="GetFEM 5.4.2, computed for this comparison")
@pytest.mark.parametrize("travel", REFERENCE)
def test_forces_pressures_and_displacements(states, travel):
    model, state = states[0], at(states, travel)
    push, cone, bore, shaft, mean, torque, middle, radial, nose = REFERENCE[travel]
    seats = {n: resultant(model.contact, state.contact, n) for n in ("cone", "bore")}
    assert measures.push_force(state) == pytest.approx(push, rel=5e-4)
    assert seats["cone"].normal_force == pytest.approx(cone, rel=5e-4)
    assert seats["bore"].normal_force == pytest.approx(bore, rel=3e-3)
    assert seats["bore"].torque_capacity == pytest.approx(torque, rel=3e-3)
    assert state.totals["shaft end"] == pytest.approx(shaft, abs=0.015 * 3550)
    nodes = model.mesh.edge_nodes("sleeve.bore")
    z, u = model.mesh.nodes[nodes, 1] + state.u[2 * nodes + 1], state.u[2 * nodes]
    order = np.argsort(z)
    assert np.interp(6, z[order], u[order]) == pytest.approx(radial, abs=4e-6)
    assert np.interp(12, z[order], u[order]) == pytest.approx(nose, abs=7e-5)  # printed to 1e-4 once it touches
    assert seats["bore"].length == pytest.approx(LENGTH[travel], abs=0.2 if travel == 0.9 else 0.02)
    if middle is not None:
        pressure = profile(model.contact, state.contact, "bore").pressure
        # at 0.9 the reference's own contact length, 9.1 +- 0.1 mm, leaves its mean pressure 1.1 % unsure
        assert seats["bore"].mean_pressure == pytest.approx(mean, rel=2.1e-2 if travel == 0.9 else 3e-3)
        assert along_bore(model, state, 6, pressure) == pytest.approx(middle, rel=6e-3)


def test_first_touch(states):
    """Landed on within 5e-4 of the clearance; carried on along the gap it is the reference's."""
    model, found = states
    k = next(k for k, s in enumerate(found) if s.events == ("touch",))
    points = pair_points(model.contact, "bore")
    assert 0 <= np.min(found[k].contact.gap[points]) <= 5e-4 * 0.06
    assert np.all(found[k].contact.pressure[points] == 0)
    touch = at_touch(model, found[k - 1], found[k])
    assert touch["travel_mm"] == pytest.approx(TOUCH, abs=0.002)
    assert set(touch["bore"].values()) == {0.0}


def test_every_increment_balances(states):
    """Axial forces 1e-8 of the force scale, work 1 % at the end."""
    for state in states[1]:
        assert abs(sum(state.totals.values())) <= 1e-8 * state.scale
    assert states[1][-1].work.relative_error() < 0.01

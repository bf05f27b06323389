"""Press fits against Lame's thick rings, ends free.

Interference lies half in each body's mesh; pressures are means along the seat.
"""

import numpy as np
import pytest
from helpers.contact import STEEL, displacement, seat
from helpers.press import fit

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.stress import cauchy, to_nodes, von_mises
from colletfea.fea.model.drives import R

CAST_IRON = Elastic(100_000, 0.211)
SHAFT_207 = Elastic(207_000, 0.292)
ALUMINIUM_70 = Elastic(70_000, 0.33)
TWO_MESHES = pytest.mark.parametrize("elements", [16, 32])
SHIGLEY = pytest.mark.verification(
    source="Budynas & Nisbett, Shigley's Mechanical Engineering Design, ch. 7, press and shrink fits; own numbers"
)


def on_side(model, values, body, side):
    """Mean over a side of integration-point values (e, q) of a body, carried to its nodes."""
    part = model.solid.slices[body]
    at_nodes = to_nodes(model.solid, model.mesh, values)[part]
    return float(np.mean(at_nodes[np.isin(model.solid.nodes_of[part], model.mesh.edge_nodes(f"{body}.{side}"))]))


def hoop(model, state, body, side):
    """Mean hoop stress on a side of a body."""
    return on_side(model, cauchy(model.solid, state.u)[..., 1, 1], body, side)


def radial(model, state, body, side):
    """Mean radial stress on a side of a body."""
    return on_side(model, cauchy(model.solid, state.u)[..., 0, 0], body, side)


@pytest.mark.verification(source="public teaching manual, printed press fit example; stresses from Lame")
@TWO_MESHES
def test_printed_example_of_a_public_teaching_manual(elements):
    """Thin slice, solid shaft r = 500 in hub 1000, E = 2e5, radial interference 0.6667: printed 100 MPa, 0.2 % in all.

    Exact 100.005; finite strain adds 0.05 %: measured 100.06 (0.06 %) on both meshes. Stresses carried to nodes: 0.17 % at most.
    """
    law = Elastic(2e5, 0.3)
    model, state = fit(0, 500, 1000, 0.6667, 60, {"shaft": law, "hub": law}, elements)
    assert seat(model, state)[1].mean_pressure == pytest.approx(100, rel=2e-3)
    assert hoop(model, state, "hub", "inner") == pytest.approx(166.667, rel=2e-3)
    assert hoop(model, state, "hub", "outer") == pytest.approx(66.667, rel=2e-3)
    assert hoop(model, state, "shaft", "outer") == pytest.approx(-100.0, rel=2e-3)
    assert radial(model, state, "shaft", "outer") == pytest.approx(-100.0, rel=2e-3)


@SHIGLEY
@TWO_MESHES
def test_steel_shaft_in_cast_iron_hub(elements):
    """Own numbers, 0.3 % in all: pressure, stresses and displacements.

    Eight contact points an edge: the shaft's edge ends lie inside the hub's edges, which the default integrates
    across: same mean pressure, but the mean of the shaft's surface nodes is then 0.31 and 0.34 % off (measured); with eight
    0.01 %. Stresses: 0.21 % at most.
    """
    model, state = fit(10, 20, 40, 0.025, 10, {"shaft": SHAFT_207, "hub": CAST_IRON}, elements, contact_order=8)
    assert seat(model, state)[1].mean_pressure == pytest.approx(49.1786, rel=3e-3)
    assert hoop(model, state, "hub", "inner") == pytest.approx(81.9643, rel=3e-3)
    assert hoop(model, state, "shaft", "outer") == pytest.approx(-81.9643, rel=3e-3)
    assert hoop(model, state, "shaft", "inner") == pytest.approx(-131.143, rel=3e-3)
    moved = {"hub.inner": 0.0184682, "shaft.outer": -0.00653180, "shaft.inner": -0.00633541, "hub.outer": 0.0131143}
    for edge, target in moved.items():
        assert displacement(model, state, edge, R) == pytest.approx(target, rel=3e-3), edge


@SHIGLEY
@TWO_MESHES
@pytest.mark.parametrize("hub, held, target", [(STEEL, False, 78.75), (STEEL, True, 86.5385), (ALUMINIUM_70, False, 31.3901)])
def test_diametral_three_hundredths_on_thirty(hub, held, target, elements):
    """d = 30, D = 60: p = E delta (1 - Q^2) / (2 d), free or held ends, and an aluminium hub: 0.3 %."""
    model, state = fit(0, 15, 30, 0.015, 10, {"shaft": STEEL, "hub": hub}, elements, held=held)
    assert seat(model, state)[1].mean_pressure == pytest.approx(target, rel=3e-3)


@SHIGLEY
@TWO_MESHES
def test_bore_stresses_of_the_steel_hub(elements):
    """sigma_theta 131.25, von Mises 183.75 and Tresca 210 at the bore, carried to nodes: 0.3 %, measured 0.17 and 0.04 %."""
    model, state = fit(0, 15, 30, 0.015, 10, {"shaft": STEEL, "hub": STEEL}, elements)
    stress = cauchy(model.solid, state.u)
    around, across = hoop(model, state, "hub", "inner"), radial(model, state, "hub", "inner")
    assert around == pytest.approx(131.25, rel=3e-3)
    assert on_side(model, von_mises(stress), "hub", "inner") == pytest.approx(183.75, rel=3e-3)
    assert around - across == pytest.approx(210.0, rel=3e-3)


@pytest.mark.parametrize("normal", [10.0, 100.0])
def test_plain_penalty_acts_as_a_spring_in_series(normal):
    """Without augmentation p = 78.75 / (1 + 78.75 h / (normal E interference)), h the hub's edge: 78.10 and 78.68; 0.1 %."""
    model, state = fit(0, 15, 30, 0.015, 10, {"shaft": STEEL, "hub": STEEL}, augment=False, normal=normal)
    edge = 10 / 3
    wanted = 78.75 / (1 + 78.75 * edge / (normal * STEEL.young * 0.015))
    assert seat(model, state)[1].mean_pressure == pytest.approx(wanted, rel=1e-3)

"""What the pictures of a section are made from, after plastic flow."""

import numpy as np
from helpers.contact import hold, solve
from helpers.plastic import STIFF, front, metal, ring

from colletfea.cases.simulation.section import arrays, with_stress_of
from colletfea.fea.elements.shapes import NODES
from colletfea.fea.model.drives import Z
from colletfea.fea.model.loads import Pressure

ENDS = [hold("low", "ring.bottom", Z), hold("high", "ring.top", Z)]


def loaded(pressure):
    """Tube 100/200, plastic to r = 120.5 at 140 MPa."""
    model = ring(metal(240, times=STIFF), 100, 200, 16, 10.0, [Pressure("ring.inner", lambda t: t)])
    return model, solve(model, ENDS, (pressure,))[-1]


def test_the_zone_that_flowed_is_kept_as_the_points_saw_it():
    """A corner has the strain of the point next to it: nothing spreads into metal that never flowed."""
    model, state = loaded(140)
    found = arrays(model, state)["alpha_ring"]
    r = model.mesh.nodes[model.solid.nodes_of][:, :4, 0]
    middle = r.mean(axis=1, keepdims=True)
    assert (found > 0).any() and (r + 0.4 * (middle - r))[found[:, :4] > 0].max() < front(model, state, 100) + 0.5
    for k, corner in enumerate(NODES[:4]):
        nearest = np.argmin(np.hypot(*(model.solid.local - corner).T))
        np.testing.assert_array_equal(found[:, k], state.flow.alpha[:, nearest])


def test_elastic_states_have_none_and_a_part_brings_its_own():
    model, state = loaded(50)
    elastic = arrays(model, state)
    assert "alpha_ring" not in elastic
    model, state = loaded(140)
    found = with_stress_of(elastic, {"ring": arrays(model, state)})
    assert found["worst_alpha_ring"].shape == found["worst_von_mises_ring"].shape == (16, 8)
    assert "worst_alpha_ring" not in with_stress_of(elastic, {"ring": elastic})

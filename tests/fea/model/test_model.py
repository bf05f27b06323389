"""The force scale that every stop rule is measured against, and travel without any force."""

import numpy as np
import pytest
from helpers.solids import STEEL, hold, solve

from colletfea.fea.bodies.solid import Body
from colletfea.fea.contact.pair import Pair
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.errors import MeshError
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.drives import ANGLE, Drive, Z
from colletfea.fea.model.loads import Pressure
from colletfea.fea.model.model import Model
from colletfea.fea.solvers.condensed import Condensed
from colletfea.fea.solvers.full import FullNewton
from colletfea.fea.solvers.newton import Settings
from colletfea.fea.stepping.run import run_through
from colletfea.fea.stepping.state import initial_state

RING = block(10, 20, spread(0, 20, 12), spread(0, 1, 6))


@pytest.mark.parametrize("travel", [0.1, 1.0, 100.0])
def test_body_that_only_travels_balances(travel):
    """No force anywhere: round-off alone, 2e-16 of stiffness times travel, must not look like a residual."""
    mesh = join({"ring": RING})
    result = solve(mesh, STEEL, [hold("ring.bottom", Z, -travel)])
    np.testing.assert_allclose(result.u, [[0, -travel]] * len(mesh.nodes), atol=1e-12 * travel)
    assert (
        solve(
            mesh, STEEL, [hold("ring.bottom", Z, travel), hold("ring.bottom", ANGLE, 1.0)], twist=True
        ).state.iterations
        == 0
    )


def test_stiffest_element_is_looked_for_among_all():
    """Where the law stiffens to a hundredfold in the last of many elements, nothing before it counts."""
    stiff = lambda r, z: np.where(z > 9, 1.0, 0.01)
    model = Model.build(join({"ring": block(10, 20, spread(0, 10, 12), spread(0, 1, 3))}), {"ring": Body(STEEL, fill=stiff)})
    balance = Balance.of(model, [hold("ring.bottom", Z)])
    each = [np.diag(tangent)[::2].max() for tangent in model.solid.tangents(np.zeros(model.size))]
    assert balance.element == pytest.approx(max(each), rel=1e-12) and max(each) > 50 * np.median(each)


@pytest.mark.parametrize("solver", [FullNewton, Condensed])
def test_bodies_apart_travel_until_they_touch(solver):
    """A ring moved freely along a rod with a gap carries no force in either solver."""
    mesh = join({"ring": RING, "rod": block(0, 9.9, spread(-10, 30, 12), spread(0, 1, 4))})
    pair = Pair("fit", follower="ring.inner", leader="rod.outer", young=STEEL.young, friction=0.1)
    model = Model.build(mesh, {"ring": Body(STEEL), "rod": Body(STEEL)}, pairs=(pair,))
    pull = Drive("pull", "ring.top", Z, displacement=lambda t: -2.0 * t)
    balance = Balance.of(model, [pull, hold("rod.bottom", Z)])
    state = list(run_through(solver(balance, Settings()), initial_state(balance), [0.5, 1.0]))[-1]
    assert abs(state.totals["pull"]) < 1e-3 and not np.any(state.contact.pressure)


def test_loads_without_reactions_set_the_scale():
    """A ring under outside pressure: out-of-balance of the unloaded shape over the load's own norm is 1."""
    load = Pressure("ring.outer", lambda t: 50 * t)
    model = Model.build(join({"ring": RING}), {"ring": Body(STEEL)}, loads=(load,))
    balance, rest = Balance.of(model, [hold("ring.bottom", Z)]), np.zeros(model.size)
    residual = balance.residual(model.bodies_force(rest, 1.0), 1.0)
    scale = balance.scale(residual, rest, rest, 1.0)
    assert balance.imbalance(residual, None) == pytest.approx(scale)
    assert balance.imbalance(2 * residual, None) == pytest.approx(2 * scale)


def test_pair_on_an_edge_the_mesh_lacks_is_refused():
    pair = Pair("fit", follower="ring.inner", leader="rod.outer", young=1.0)
    with pytest.raises(MeshError, match="lacks the edges rod.outer"):
        Model.build(join({"ring": RING}), {"ring": Body(STEEL)}, pairs=(pair,))

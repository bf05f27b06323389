"""Work done and answers do not depend on the unit of length: every stop rule is a ratio."""

import numpy as np
import pytest
from helpers.solids import hold, solve

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.solid import Body
from colletfea.fea.contact.pair import Pair
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.drives import Drive, Z
from colletfea.fea.model.loads import Pressure
from colletfea.fea.model.model import Model
from colletfea.fea.solvers.condensed import Condensed
from colletfea.fea.solvers.full import FullNewton
from colletfea.fea.solvers.newton import Settings
from colletfea.fea.stepping.run import run_through
from colletfea.fea.stepping.state import initial_state

UNITS = pytest.mark.verification(
    source="dimensional analysis: lengths times k, moduli and pressures over k^2, forces kept"
)
SCALES = pytest.mark.parametrize("k", [1e-3, 1 / 25.4])


def squeezed_cone(k):
    """A soft conical hub under follower pressure, up to strains of several percent."""
    mesh = join({"hub": block(5 * k, lambda z: 20 * k - 0.3 * z, spread(0, 30 * k, 6), spread(0, 1, 4))})
    load = Pressure("hub.outer", lambda t: 60 / k**2 * t)
    return solve(mesh, Elastic(2000 / k**2, 0.3), [hold("hub.bottom", Z)], [load], targets=(0.4, 1.0)).states


def pushed_rod(k, solver):
    """A press-fitted rod pushed along its ring until everything slides, with friction."""
    bodies = {
        "rod": block(0, 10.005 * k, spread(-3 * k, 15 * k, 9), spread(0, 1, 3)),
        "ring": block(9.995 * k, 18 * k, spread(0, 10 * k, 6), spread(0, 1, 3)),
    }
    young = 210_000 / k**2
    pair = Pair("fit", follower="ring.inner", leader="rod.outer", young=young, friction=0.1)
    model = Model.build(join(bodies), {name: Body(Elastic(young, 0.3)) for name in bodies}, pairs=(pair,))
    push = Drive("push", "rod.bottom", Z, displacement=lambda t: 0.02 * k * max(t - 1, 0))
    balance = Balance.of(model, [hold("ring.top", Z), push])
    settings = Settings()
    return list(run_through(solver(balance, settings), initial_state(balance), [1.0, 1.3, 1.6, 2.0]))


@UNITS
@SCALES
def test_large_strain_takes_the_same_iterations_in_any_unit(k):
    """Measured: iterations equal, positions to 1e-13."""
    ours, theirs = squeezed_cone(1.0), squeezed_cone(k)
    assert sum(s.iterations for s in ours) >= 5
    assert [s.iterations for s in ours] == [s.iterations for s in theirs]
    np.testing.assert_allclose(theirs[-1].u / k, ours[-1].u, atol=1e-8)


@UNITS
@SCALES
@pytest.mark.parametrize("solver", [FullNewton, Condensed])
def test_frictional_push_takes_the_same_iterations_in_any_unit(k, solver):
    """Measured: iterations equal, push force to 1e-9."""
    ours, theirs = pushed_rod(1.0, solver), pushed_rod(k, solver)
    assert ours[-1].totals["push"] > 1000
    assert [s.iterations for s in ours] == [s.iterations for s in theirs]
    for a, b in zip(ours, theirs):
        assert b.totals["push"] == pytest.approx(a.totals["push"], rel=1e-6, abs=1e-3)

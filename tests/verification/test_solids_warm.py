"""Warm bodies: a published thermal stress, free growth, and a bar that flows because it can't grow."""

import numpy as np
import pytest
from helpers.plastic import STIFF, metal
from helpers.solids import SMALL, STEEL, hold, near, nodal_stress, solve

from colletfea.fea.bodies.solid import Body
from colletfea.fea.bodies.stress import cauchy
from colletfea.fea.bodies.warmth import Warmth
from colletfea.fea.elements.grids import block, join, mapped, spread
from colletfea.fea.model.drives import Z
from colletfea.fea.solvers.condensed import Condensed
from colletfea.fea.solvers.full import FullNewton

SOLVERS = pytest.mark.parametrize("solver", [FullNewton, Condensed])


def vessel(s, t):
    """Through the wall, s from 0 to 1, and along it: a sphere for t in 0 to 1, a taper to 2, a cylinder to 3 [m]."""

    def side(radius, angle, *corners):
        on_sphere = radius * np.array([np.cos(angle * np.clip(t, 0, 1)), np.sin(angle * np.clip(t, 0, 1))])
        first = radius * np.cos(angle), radius * np.sin(angle)
        r, z = zip(first, *corners)
        return np.where(t > 1, [np.interp(t, [1, 2, 3], r), np.interp(t, [1, 2, 3], z)], on_sphere)

    inner = side(1.0, np.pi / 4, (0.5**0.5, 1.39), (0.5**0.5, 1.79))
    outer = side(1.4, np.pi / 6, (1, 1.39), (1, 1.79))
    return tuple((1 - s) * inner + s * outer)


@pytest.mark.verification(source="The Standard NAFEMS Benchmarks, TNSB rev. 3 (1990), LE11: geometry and target")
@SOLVERS
@pytest.mark.parametrize("finer", [2, 4])
def test_cylinder_taper_and_sphere(finer, solver):
    """Axial stress at the inside of the equator, target -105 MPa, 1 %. Measured -104.23 and -104.97 on 4 and 8 elements through
    the wall; a solid model converges to -105.6. At 1e-4 of the temperature; all of it at once makes 0.08 % less, by finite strain."""
    along = [*spread(0, 1, 4 * finer, 3.0), *spread(1, 2, 4 * finer)[1:], *spread(2, 3, 2 * finer)[1:]]
    mesh = join({"vessel": mapped(vessel, spread(0, 1, 2 * finer, 3.0), along)})
    grown = {"vessel": lambda r, z: 2.3e-4 * (r + z)}
    under = lambda solid: {"warmth": Warmth.of(solid, grown, lambda t: SMALL * t)}
    result = solve(mesh, STEEL, [hold("vessel.bottom", Z), hold("vessel.top", Z)], solver=solver, under=under)
    stress = nodal_stress(result)[near(mesh, 1.0, 0.0), 2, 2] / SMALL
    assert stress == pytest.approx(-105, rel=1e-2)
    assert result.state.work.relative_error() < 1e-7


@SOLVERS
@pytest.mark.parametrize("ratio", [1.0, 0.05, 0.0], ids=["closed", "slit", "fingers"])
def test_a_free_body_grows_without_stress(ratio, solver):
    """By 5 %: every length is 1.05 times as long. A slit ring is a body at one temperature as any other."""
    mesh = join({"ring": block(10, 14, spread(0, 6, 3), spread(0, 1, 2))})
    body = {"ring": Body(STEEL, lambda r, z: np.full(np.shape(r), ratio))}
    under = lambda solid: {"warmth": Warmth.of(solid, {"ring": 0.05}, lambda t: t)}
    ends = [hold("ring.bottom", Z)] if ratio else [hold("ring.bottom", Z), hold("ring.inner", 0, np.full(7, 0.5))]
    result = solve(mesh, body, ends, solver=solver, under=under)
    np.testing.assert_allclose(result.u, 0.05 * mesh.nodes, atol=1e-8)
    stress = cauchy(result.model.solid, result.state.u, None, result.model.free(1.0))
    assert np.max(np.abs(stress)) < 1e-6 * STEEL.young


@SOLVERS
def test_a_bar_that_cannot_grow_flows_and_is_torn_when_it_cools(solver):
    """Held at both ends, free round it, ideally plastic: stress -E a T up to yield, then -yield; the plastic strain is what
    is beyond. Cooled to where it began it is under tension. Closed form of a bar. Measured 1e-6 of the yield stress."""
    law, limit = metal(200.0, times=STIFF), 200.0 / STIFF / 210_000.0
    path = lambda t: limit * (2.5 * t if t <= 1 else 2.5 * (2 - t))
    mesh = join({"bar": block(5, 8, spread(0, 4, 2), spread(0, 1, 2))})
    under = lambda solid: {"warmth": Warmth.of(solid, {"bar": 1.0}, path)}
    ends = [hold("bar.bottom", Z), hold("bar.top", Z)]
    result = solve(mesh, {"bar": Body(law)}, ends, targets=(0.2, 0.6, 1.0, 1.2, 2.0), solver=solver, under=under)
    axial = [float(np.mean(cauchy(result.model.solid, s.u, s.flow, result.model.free(s.t))[..., 2, 2])) for s in result.states]
    np.testing.assert_allclose(np.array(axial) / 200, [-0.5, -1, -1, -0.5, 1], atol=1e-5)
    np.testing.assert_allclose(result.states[2].flow.strain[..., 1], -1.5 * limit, rtol=1e-4)
    assert result.state.work.plastic > 0 and result.state.work.relative_error() < 1e-6

"""Centrifugal force of turning bodies."""

import numpy as np
import pytest
from helpers.grid import distorted, quadrilateral
from helpers.solids import STEEL, dense, difference

from colletfea.fea.bodies.solid import Body, Solid
from colletfea.fea.elements.grids import join, spread
from colletfea.fea.model.spin import Spin

MESH = join({
    name: distorted(quadrilateral([(r, 0), (r + 3, 0), (r + 3, 2), (r, 2)], spread(0, 1, 3), spread(0, 1, 3)), 0.2)
    for name, r in (("inner", 0), ("middle", 4), ("outer", 8))
})
BODIES = {"inner": Body(STEEL), "middle": Body(STEEL), "outer": Body(STEEL, fill=lambda r, z: np.full(np.shape(r), 0.9))}
DENSITY = {"outer": 3e-9, "inner": 8e-9}  # in another order than the bodies, one without any


@pytest.fixture(params=[False, True], ids=["plane", "twist"])
def spun(request):
    """A solid, its spin, and finite displacements."""
    solid = Solid(MESH, BODIES, request.param)
    u = np.random.default_rng(1).uniform(-0.1, 0.1, solid.size)
    return solid, Spin.of(solid, DENSITY, lambda t: 300 * t), u


def test_force_is_the_slope_of_the_potential_and_its_tangent_that_of_the_force(spun):
    """Potential -w^2/2 int rho (R + u)^2 dV; both are exact to rounding."""
    solid, spin, u = spun
    density = np.zeros(len(solid.nodes_of))
    for name, given in DENSITY.items():
        density[solid.slices[name]] = given

    def potential(v):
        r = solid.radius + v.reshape(-1, solid.unknowns)[solid.nodes_of, 0] @ solid.value.T
        return -(150.0**2) / 2 * np.sum(density[:, None] * r**2 * solid.volume)

    def force(v):
        return spin.evaluate(MESH, v, solid.unknowns, 0.5)[0]

    _, dofs, slopes = spin.evaluate(MESH, u, solid.unknowns, 0.5)
    tangent = dense(dofs, slopes, solid.size)
    np.testing.assert_allclose(tangent, tangent.T, rtol=1e-12)
    for direction in np.random.default_rng(4).standard_normal((6, solid.size)):
        assert -force(u) @ direction == pytest.approx(difference(potential, u, direction, 1e-3), rel=1e-8)
        np.testing.assert_allclose(-tangent @ direction, difference(force, u, direction, 1e-3), rtol=1e-8, atol=1e-12)


def test_sum_is_mass_times_arm_and_goes_with_the_square_of_the_speed():
    """Pappus, of the middle line of each square: rho w^2 r 2 pi r A with the square's own spread, all radial."""
    solid = Solid(MESH, BODIES)
    spin, rest = Spin.of(solid, DENSITY, lambda t: 300 * t), np.zeros(solid.size)
    force = spin.evaluate(MESH, rest, 2, 1.0)[0]
    square = lambda a: 2 * np.pi * 2 * ((a + 3) ** 3 - a**3) / 3
    assert force[::2].sum() == pytest.approx(300**2 * (8e-9 * square(0) + 0.9 * 3e-9 * square(8)), rel=1e-12)
    assert not np.any(force[1::2]) and not np.any(force[2 * np.unique(solid.nodes_of[solid.slices["middle"]])])
    np.testing.assert_allclose(spin.evaluate(MESH, rest, 2, 0.5)[0], force / 4)

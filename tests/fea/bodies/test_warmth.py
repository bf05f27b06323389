"""Free strain of warm bodies: stress, force, tangent and energy belong together with it, elastic and flowing."""

from dataclasses import replace

import numpy as np
import pytest
from helpers.grid import distorted, quadrilateral
from helpers.plastic import metal
from helpers.solids import dense, difference
from pytest import approx

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.solid import Body, Solid
from colletfea.fea.bodies.warmth import Warmth
from colletfea.fea.elements.grids import join, spread

GRIDS = {
    name: distorted(quadrilateral([(r, 0), (r + 3, 0.3), (r + 2.5, 2.4), (r, 2)], spread(0, 1, 2), spread(0, 1, 2)), 0.2)
    for name, r in (("soft", 4), ("hard", 8))
}
MESH = join(GRIDS)
BODIES = {"soft": Body(metal(300, 2000), lambda r, z: 0.1 + 0.3 * z / 2.4), "hard": Body(Elastic(210_000.0, 0.3))}
TWISTS = pytest.mark.parametrize("twist", [False, True])


def at(twist):
    """A solid, positions, flow, and free strain of both bodies, one of them uneven."""
    solid = Solid(MESH, BODIES, twist)
    rng = np.random.default_rng(5)
    before, now = (rng.uniform(-1e-3, 1e-3, (len(MESH.nodes), solid.unknowns)) / [1, 1, 5][: solid.unknowns] for _ in range(2))
    warmth = Warmth.of(solid, {"soft": lambda r, z: 1e-4 * (r + z), "hard": 6e-4}, lambda t: t)
    return solid, now.ravel(), solid.advance(before.ravel(), solid.start(), warmth.strain(0.5)), warmth.strain(1.0)


def test_strain_is_that_of_a_longer_line_and_of_named_bodies_alone():
    solid = Solid(MESH, BODIES)
    free = Warmth.of(solid, {"hard": 0.02}, lambda t: 2 * t).strain(0.5)
    assert free[solid.slices["hard"]] == approx((1.02**2 - 1) / 2, rel=1e-14) and not np.any(free[solid.slices["soft"]])
    assert not Warmth.of(solid, {"hard": 0.02}, lambda t: t).expansion.flags.writeable


@TWISTS
def test_tangent_is_the_slope_of_the_force_and_symmetric(twist):
    """As without free strain: 3e-7 of the largest entry measured."""
    solid, u, flow, free = at(twist)
    tangent = dense(solid.dofs, solid.tangents(u, flow, free), solid.size)
    np.testing.assert_allclose(tangent, tangent.T, atol=1e-11 * np.abs(tangent).max())
    assert not np.allclose(tangent, dense(solid.dofs, solid.tangents(u, flow), solid.size), rtol=1e-3)
    for direction in np.random.default_rng(3).standard_normal((6, solid.size)):
        quotient = difference(lambda v: solid.force(v, flow, free), u, direction, 1e-9)
        np.testing.assert_allclose(tangent @ direction, quotient, atol=2e-6 * np.abs(quotient).max())


@TWISTS
def test_force_is_the_slope_of_the_energy_and_stress_that_over_free_strain(twist):
    """Of elastic bodies: dW = S:dE - S:dEt, the second one point by point. 1e-9 measured."""
    bodies = {name: replace(body, law=Elastic(210_000.0, 0.3)) for name, body in BODIES.items()}
    solid, (_, u, _, free) = Solid(MESH, bodies, twist), at(twist)
    force, stress = solid.force(u, None, free), solid.stress(u, None, free)
    rng = np.random.default_rng(2)
    for direction in rng.standard_normal((6, solid.size)):
        quotient = difference(lambda v: solid.energy(v, None, free), u, direction, 1e-6)
        assert force @ direction == approx(quotient, abs=1e-7 * np.linalg.norm(force))
    for direction in rng.standard_normal((6, *free.shape)):
        quotient = difference(lambda f: solid.energy(u, None, f), free, direction, 1e-7)
        told = -np.sum(np.sum(stress[..., :3], axis=-1) * direction * solid.volume)
        assert told == approx(quotient, abs=1e-7 * np.linalg.norm(force))


@TWISTS
def test_flow_is_that_of_the_strain_beyond_the_free_one(twist):
    """Grown freely, nothing flows; held back, what flows has the stress of the yield surface."""
    solid, u, flow, free = at(twist)
    grown = np.concatenate([0.05 * MESH.nodes, np.zeros((len(MESH.nodes), solid.unknowns - 2))], axis=1).ravel()
    even = Warmth.of(solid, {"soft": 0.05, "hard": 0.05}, lambda t: t).strain(1.0)
    assert not np.any(solid.advance(grown, solid.start(), even).alpha)
    held = solid.advance(np.zeros(solid.size), solid.start(), even)
    assert np.all(held.alpha[solid.slices["soft"]] > 0)
    np.testing.assert_allclose(held.stress, solid.stress(np.zeros(solid.size), held, even), rtol=1e-9, atol=1e-6)
